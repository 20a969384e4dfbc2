"""Which glyph of which font stands for a letter, as the layout engine chooses them.

Every letter that a print needs is set once on a specimen page, a page a style. Painting these
pages beside the print makes the engine pick and embed the fonts, and tells glyph and width.
"""

import unicodedata
from typing import Any, Final

from attrs import frozen

FACES: Final = {"upright": "span", "italic": "i", "bold": "b"}
"""The faces of type, and the element that the specimen sets each in."""

# One glyph a letter, left to right, is all that is needed to set these; anything else (Arabic,
# Devanagari, Thai, letters with loose marks, emoji) is shaped by the layout engine.
_PLAIN_RANGES: Final = (
    (0x0020, 0x02FF), (0x0370, 0x058F), (0x10A0, 0x10FF), (0x1D00, 0x1DBF), (0x1E00, 0x2BFF),
    (0x2E80, 0x9FFF), (0xA640, 0xA69F), (0xA720, 0xA7FF), (0xAC00, 0xD7A3), (0xF900, 0xFAFF),
    (0xFF00, 0xFFEF), (0x20000, 0x323AF),
)  # fmt: skip
_NOT_PLAIN: Final = ("M", "C")


@frozen
class Glyph:
    """A glyph [hexadecimal id] in a font of the print, and how far it moves the pen [em]."""

    font: str
    code: str
    width_em: float


def face_of(style: str) -> str:
    """The face a style is set in; small capitals are capitals of the upright one."""
    return style if style in FACES else "upright"


def is_plain(letter: str) -> bool:
    """Whether a letter is one glyph wherever it stands."""
    code = ord(letter)
    plain = any(first <= code <= last for first, last in _PLAIN_RANGES)
    return plain and unicodedata.category(letter)[0] not in _NOT_PLAIN


def glyphs_painted(page: Any, stream: Any) -> dict[str, Glyph]:
    """Paint a specimen page on a scratch stream; its fonts join those of the print."""
    fonts: dict[Any, Any] = {}
    page.paint(stream.clone(fonts=fonts), 1)
    found: dict[str, Glyph] = {}
    for key, font in fonts.items():
        kept = stream._fonts.setdefault(key, font)
        for glyph, text in font.to_unicode.items():
            kept.to_unicode.setdefault(glyph, text)
            kept.widths.setdefault(glyph, font.widths[glyph])
            if len(text) == 1:
                found.setdefault(text, Glyph(font.hash, f"{glyph:04x}", font.widths[glyph] / 1000))
        kept.missing.update(font.missing)
    return found
