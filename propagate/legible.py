"""Text that can be read: cleaned before it is kept, and made harmless before it is shown."""

import re
import unicodedata
from typing import Final

from propagate.errors import Refused
from propagate.worded import worded

LONGEST: Final = 2000
"""Characters of one text in the book; a longer one is a file that slipped into an option."""

LONGEST_LINE: Final = 1000
HALF_LINE: Final = 300

_JOINERS: Final = "\u200c\u200d"  # some scripts are spelt with them
_VARIANTS: Final = "\ufe0e\ufe0f"

# What a screen obeys instead of showing: control characters (ECMA-48), and the marks that turn
# the direction of what follows (Unicode UAX 9), by which a text can look like another.
_OBEYED: Final = re.compile("[\x00-\x08\x0b-\x1f\x7f-\x9f\u202a-\u202e\u2066-\u2069]")


def legible(text: str, what: str = "The text") -> str:
    """A text of one line as it is kept: no invisible characters, single spaces, composed (NFC).

    Raises Refused for control characters, broken text, and more than LONGEST characters.
    """
    kept = "".join(ch for ch in text if not _is_invisible(ch))
    tidy = " ".join(unicodedata.normalize("NFC", kept).split())
    bad = next((ch for ch in tidy if unicodedata.category(ch) in ("Cc", "Cs", "Co")), None)
    if bad is not None:
        raise Refused(
            worded(
                "{what} holds {letter!a}, which cannot be printed; type it again.",
                what=what,
                letter=bad,
            )
        )
    if len(tidy) > LONGEST:
        raise Refused(
            worded(
                "{what} has {count} characters; {most} is the most.",
                what=what,
                count=len(tidy),
                most=LONGEST,
            )
        )
    return tidy


def shown(text: str) -> str:
    """A text for a screen: what a terminal would obey stands there as its code instead."""
    return _OBEYED.sub(lambda found: f"\\u{ord(found[0]):04x}", text)


def told_shortly(text: str) -> str:
    """A refusal as it is told: lines that say back a whole file are cut in their middle."""
    return "\n".join(
        line if len(line) <= LONGEST_LINE else f"{line[:HALF_LINE]} … {line[-HALF_LINE:]}"
        for line in text.split("\n")
    )


def shortened(text: str, most: int = 40) -> str:
    """A text cut off where it is too long to be said back."""
    return text if len(text) <= most else f"{text[:most]}…"


def _is_invisible(ch: str) -> bool:
    if ch in _JOINERS:
        return False
    return ch in _VARIANTS or unicodedata.category(ch) == "Cf"
