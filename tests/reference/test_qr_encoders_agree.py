"""Symbols compared module for module with those of a second encoder.

Source: segno, a pure Python encoder for ISO/IEC 18004 that shares no code with the one used. For
text in one mode the standard leaves no freedom but the choice among eight masks, where encoders
read its penalties differently; so the same picture comes from one of the eight.
"""

import pytest
import segno

from propagate import codes
from propagate.paper.qr import QUIET_MODULES, symbol


def black_of(text: str) -> set[tuple[int, int]]:
    drawing = symbol(text)
    return {
        (x + along - QUIET_MODULES, y - QUIET_MODULES)
        for x, y, length in drawing.dashes
        for along in range(length)
    }


def black_by_segno(text: str, mask: int) -> set[tuple[int, int]]:
    # Level M, raised where that costs no larger symbol: what `symbol` promises.
    rows = segno.make(text, error="m", micro=False, boost_error=True, mask=mask).matrix
    return {(x, y) for y, row in enumerate(rows) for x, bit in enumerate(row) if bit}


@pytest.mark.parametrize("text", [*map(codes.code, range(0, 300, 29)), "HTTP://BENCH.LOCAL/T/M7KD"])
def test_two_encoders_draw_the_same_symbol(text):
    same = [mask for mask in range(8) if black_of(text) == black_by_segno(text, mask)]
    assert len(same) == 1
