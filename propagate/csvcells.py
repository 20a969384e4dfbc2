"""Tables as spreadsheets write and read them: encodings, and cells that none runs as a formula."""

import codecs
import re

# A spreadsheet may take a cell for a formula by its first character: = + - @ and the control
# characters (OWASP "CSV Injection", ASVS 5.0 item 1.2.10), the full-width forms of the four
# signs, and the true minus sign. Blanks before the sign are skipped, because some readers trim.
_LIKE_A_FORMULA = re.compile("[\\s']*[=+\\-@\t\r\n\0＝＋－＠﹢﹣−]")
_GUARD = "'"
OLD_WESTERN = "cp1252"
_WIDE_MARKS = (codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)


def guard(text: str) -> str:
    """Return `text` as a cell that a spreadsheet shows and does not run.

    An apostrophe goes in front where the text would start like a formula; a text that has
    such an apostrophe already gets one more, so that `unguard` always restores it.
    """
    return _GUARD + text if _LIKE_A_FORMULA.match(text) else text


def encoding_of(head: bytes) -> str:
    """UTF-16 by its mark, else UTF-8 when the beginning is such, else the old Western one."""
    if head.startswith(_WIDE_MARKS):
        return "utf-16"
    try:
        # Not final: a sign may be cut in two at the end of the head.
        codecs.getincrementaldecoder("utf-8")().decode(head, final=False)
    except UnicodeDecodeError:
        return OLD_WESTERN
    return "utf-8-sig"


def unguard(cell: str) -> str:
    """Return the text that `guard` was given; cells it left alone come back unchanged."""
    if cell.startswith(_GUARD) and _LIKE_A_FORMULA.match(cell):
        return cell.removeprefix(_GUARD)
    return cell
