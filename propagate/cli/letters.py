"""Plain letters for a screen or a pipe that lacks the others."""

import codecs
import unicodedata
from typing import Final

NAME: Final = "propagate.plain"

PLAIN: Final = {
    **dict.fromkeys("‘’", "'"),
    **dict.fromkeys("“”„", '"'),
    **dict.fromkeys("–—─━", "-"),
    **dict.fromkeys("│┊┤", "|"),
    "×": "x",
    "→": "->",
    "←": "<-",
    "├": "|",
    "└": "`",
    "…": "...",
    "·": ".",
    "°": "",
    "●": "o",
}
"""Signs that this program prints, and what stands for them."""


def in_plain_letters(error: UnicodeError) -> tuple[str, int]:
    """Stand in for what cannot be encoded: its plain sign, its letter without accents, else ?."""
    if not isinstance(error, UnicodeEncodeError):
        raise error
    lacking = error.object[error.start : error.end]
    return "".join(PLAIN.get(sign, _bare(sign)) for sign in lacking), error.end


def _bare(sign: str) -> str:
    bare = unicodedata.normalize("NFKD", sign).encode("ascii", "ignore").decode("ascii")
    return bare or "?"


codecs.register_error(NAME, in_plain_letters)
