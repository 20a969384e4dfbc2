"""How wide a text runs, from a table, so that a label is fitted before it is laid out.

The figures are the advance widths of DejaVu Sans 2.37 ("hmtx" table, rounded up), the widest of
the usual sans-serif faces: what fits by them fits in Liberation Sans and its like as well.
Scripts outside the table are taken at the width of their widest common letter.
"""

import unicodedata
from functools import lru_cache
from typing import Final

_CLASSES_EM: Final = {
    0.32: "ijlıłIJ \u00a0,.·'‘’",
    0.37: "/:;\\|f-",
    0.42: "!()[]tr",
    0.53: '"*_`–szß“”',
    0.58: "?cLkF",
    0.64: "vxyPaeoTYbdghnpquESþđ0123456789${}øð",
    0.70: "KABVXZCR",
    0.79: "UNHDGOQ&♀",
    0.87: "w#+<=>^~×M",
    1.00: "♂%mWæ@—…",
    1.03: "œÆ",
    1.08: "Œ",
}
_WIDTH_EM: Final = {char: width for width, chars in _CLASSES_EM.items() for char in chars}
_DIGRAPHS: Final = frozenset("ǄǅǆǇǈǉǊǋǌǱǲǳ")

_WIDE_EM: Final = 1.05  # one em square, and a little for faces that overhang it
_SYMBOL_EM: Final = 1.3
_LIGATURE_EM: Final = 1.5
_CAPITAL_EM: Final = 1.18  # Cyrillic, the widest of the alphabets in the face
_LETTER_EM: Final = 1.03
_SCRIPT_LETTER_EM: Final = {"GREEK": (0.94, 0.84), "CYRILLIC": (1.1, 0.95)}

# Bold letters are wider, thin ones most (DejaVu Sans Bold against DejaVu Sans, same table).
_THIN_EM: Final = 0.53
_BOLD_THIN: Final = 1.27
_BOLD: Final = 1.15


@lru_cache(maxsize=20_000)
def width_em(text: str, *, bold: bool = False) -> float:
    """Width of `text` [em], rather too much than too little."""
    plain = unicodedata.normalize("NFD", text)
    return sum(_bold_em(_char_em(char)) if bold else _char_em(char) for char in plain)


def _bold_em(plain_em: float) -> float:
    return plain_em * (_BOLD_THIN if plain_em <= _THIN_EM else _BOLD)


def _char_em(char: str) -> float:
    known = _WIDTH_EM.get(char)
    if known is not None:
        return known
    category = unicodedata.category(char)
    if category in ("Mn", "Me", "Cf"):
        return 0.0
    if unicodedata.east_asian_width(char) in "WF":
        return _WIDE_EM
    if char in _DIGRAPHS:
        return _LIGATURE_EM
    if not category.startswith("L"):
        return _SYMBOL_EM
    return _letter_em(char)


def _letter_em(char: str) -> float:
    script = unicodedata.name(char, "").partition(" ")[0]
    capital_em, letter_em = _SCRIPT_LETTER_EM.get(script, (_CAPITAL_EM, _LETTER_EM))
    return capital_em if char.isupper() else letter_em
