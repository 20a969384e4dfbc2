"""QR codes as one line drawing, sharp at any size."""

from itertools import groupby
from typing import Final

from attrs import frozen

from propagate.errors import Refused

QUIET_MODULES: Final = 4  # ISO/IEC 18004: four modules of white on every side
# The maker of the symbology asks for four printer dots a module; at 300 dpi that is 0.34 mm.
SMALLEST_MODULE_MM: Final = 0.34


@frozen
class QrDrawing:
    """A symbol in units of its own modules: `side` with the quiet zone, and the black in it.

    The black is a path, to be drawn with a pen of one module's width.
    """

    side: int
    path: str


def draw_qr(text: str, side_mm: float) -> QrDrawing:
    """Draw `text` to fill a square of `side_mm`, quiet zone included.

    Error correction is level M, or better where it costs no larger symbol. Raises Refused
    when the text is so long that its modules would be too small to print.
    """
    import segno

    if not text:
        raise Refused("A label needs a text for its QR code, and it is empty.")
    try:
        symbol = segno.make(text, error="m", micro=False)
    except segno.DataOverflowError as overflow:
        raise Refused(
            f"A QR code cannot hold {len(text)} characters; shorten the link."
        ) from overflow
    rows = list(symbol.matrix)
    side = len(rows) + 2 * QUIET_MODULES
    if side_mm / side < SMALLEST_MODULE_MM:
        raise Refused(
            f'The QR code for "{text}" has {side_mm / side:.2f} mm a module on this label; it needs'
            f" {SMALLEST_MODULE_MM} mm. Shorten the link or take a larger format."
        )
    return QrDrawing(side, "".join(_row_path(row, y) for y, row in enumerate(rows, QUIET_MODULES)))


def _row_path(row: bytearray, y: int) -> str:
    """Black stretches of one row, as a line one module thick along its middle."""
    path, x, pen = "", 0, 0
    for black, same in groupby(row):
        length = len(list(same))
        if black:
            path += f"m{x - pen} 0h{length}" if path else f"M{x + QUIET_MODULES} {y}.5h{length}"
            pen = x + length
        x += length
    return path
