"""QR codes as one line drawing, sharp at any size."""

import re
from functools import lru_cache
from typing import Any, Final, cast

from attrs import frozen

from propagate.errors import Refused

QUIET_MODULES: Final = 4  # ISO/IEC 18004: four modules of white on every side
# The maker of the symbology asks for four printer dots a module; at 300 dpi that is 0.34 mm.
SMALLEST_MODULE_MM: Final = 0.34
# So much of the codewords may be lost: 15, 25, 30 % (ISO/IEC 18004).
_LEAST: Final = "M"
_BETWEEN: Final = "Q"
_BEST: Final = "H"
_SMALLEST_SIDE: Final = 21  # modules of version 1
_BLACK: Final = re.compile(rb"\x00+")

Dash = tuple[int, int, int]
"""A black stretch of one row: first column, row, length, in modules."""


@frozen
class QrDrawing:
    """A symbol in units of its own modules: `side` with the quiet zone, and the black in it."""

    side: int
    dashes: tuple[Dash, ...]

    @property
    def path(self) -> str:
        """The black as an SVG path, to be drawn with a pen of one module's width."""
        return "".join(f"M{x} {y}.5h{length}" for x, y, length in self.dashes)


def draw_qr(text: str, side_mm: float) -> QrDrawing:
    """Draw `text` to fill a square of `side_mm`, quiet zone included.

    Error correction is level M, or better where it costs no larger symbol. Raises Refused
    when the text is so long that its modules would be too small to print.
    """
    if not text:
        raise Refused("A label needs a text for its QR code, and it is empty.")
    drawing = symbol(text)
    if side_mm / drawing.side < SMALLEST_MODULE_MM:
        raise Refused(
            f'The QR code for "{text}" has {side_mm / drawing.side:.2f} mm a module on this label;'
            f" it needs {SMALLEST_MODULE_MM} mm. Shorten the link or take a larger format."
        )
    return drawing


@lru_cache(maxsize=4096)
def symbol(text: str) -> QrDrawing:
    """The symbol of a text; copies of a label share one. Raises Refused for a text too long."""
    rows = _matrix(text, _BEST)
    if len(rows) > _SMALLEST_SIDE:
        least = _matrix(text, _LEAST)
        between = _matrix(text, _BETWEEN) if len(least) < len(rows) else rows
        rows = next(one for one in (rows, between, least) if len(one) == len(least))
    dashes = [dash for y, row in enumerate(rows, QUIET_MODULES) for dash in _dashes(row, y)]
    return QrDrawing(len(rows) + 2 * QUIET_MODULES, tuple(dashes))


def _matrix(text: str, level: str) -> list[bytes]:
    """Rows of the symbol, a byte a module, 0 for black."""
    import zxingcpp

    try:
        code = zxingcpp.create_barcode(text, zxingcpp.BarcodeFormat.QRCode, ec_level=level)
    except ValueError as overflow:
        raise Refused(
            f"A QR code cannot hold {len(text)} characters; shorten the link."
        ) from overflow
    image = memoryview(cast(Any, code.to_image(scale=1, add_quiet_zones=False)))
    black = image.tobytes()
    across = image.shape[1] if image.shape else 0
    return [black[at : at + across] for at in range(0, len(black), across)]


def _dashes(row: bytes, y: int) -> list[Dash]:
    return [(black.start() + QUIET_MODULES, y, len(black[0])) for black in _BLACK.finditer(row)]
