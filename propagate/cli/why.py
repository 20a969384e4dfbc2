"""Why a forecast says what it says: a range for each source on one axis, then the words."""

import math
from collections.abc import Sequence
from typing import Final

from attrs import frozen

from propagate.cli.say import say, say_text
from propagate.cli.sparks import can_draw
from propagate.planning.reasons import Range, Reasons

WIDTH: Final = 40  # columns of an axis, so that each of its quarters has ten
QUARTERS: Final = 4
FEW: Final = 20  # on an axis of fewer weeks than this, tenths of a week tell something


@frozen
class Pens:
    """The characters to draw ranges with."""

    opens: str
    inside: str
    likely: str
    closes: str
    tick: str


FANCY: Final = Pens("├", "─", "●", "┤", "·")
PLAIN: Final = Pens("[", "-", "#", "]", ".")


def tell_why(reasons: Reasons) -> None:
    """Print where the answer for a batch comes from."""
    for line in drawn(reasons, fancy=can_draw()):
        say(line)
    say()
    for words in reasons.words:
        say_text(words)


def drawn(reasons: Reasons, *, fancy: bool = False) -> list[str]:
    """The two drawings, share and time, at most 79 characters wide."""
    lead = max((len(row.who) for row in (*reasons.take, *reasons.weeks)), default=0)
    lines = []
    if reasons.take:
        lines += ["Share that takes, 8 times in 10 within the range", _axis(lead, 100, "%")]
        shares = [_times(row, 100) for row in reasons.take]
        lines += [_line(row, lead, 100, FANCY if fancy else PLAIN) for row in shares]
        lines.append("")
    most = _whole_quarters(reasons.weeks)
    share = f"{reasons.share * 100:.0f} % of those that take"
    lines += [f"Weeks from the start until {share} are {reasons.taken}", _axis(lead, most, "weeks")]
    lines += [_line(row, lead, most, FANCY if fancy else PLAIN) for row in reasons.weeks]
    return lines


def _times(row: Range, factor: float) -> Range:
    return Range(row.who, row.low * factor, row.likely * factor, row.high * factor)


def _whole_quarters(rows: Sequence[Range]) -> int:
    """The end of the axis of weeks, such that each of its quarters is a whole number."""
    return QUARTERS * max(1, math.ceil(max(row.high for row in rows) / QUARTERS))


def _axis(lead: int, most: int, unit: str) -> str:
    """The numbers of an axis, each over its own column."""
    cells = [" "] * (WIDTH + 12)
    for quarter in range(QUARTERS + 1):
        number = str(most * quarter // QUARTERS)
        at = WIDTH * quarter // QUARTERS
        cells[at : at + len(number)] = number
    return f"  {' ' * lead}  {''.join(cells).rstrip()} {unit}"


def _line(row: Range, lead: int, most: float, pens: Pens) -> str:
    cells = [pens.tick if at % (WIDTH // QUARTERS) == 0 else " " for at in range(WIDTH + 1)]
    low, likely, high = (_column(end, most) for end in (row.low, row.likely, row.high))
    for at in range(low, high + 1):
        cells[at] = pens.inside
    cells[low], cells[high] = pens.opens, pens.closes
    cells[likely] = pens.likely
    return f"  {row.who.ljust(lead)}  {''.join(cells)}  {_figures(row, most)}"


def _column(value: float, most: float) -> int:
    return round(min(max(value / most, 0.0), 1.0) * WIDTH)


def _figures(row: Range, most: float) -> str:
    decimals = 1 if most < FEW else 0
    low, likely, high = (f"{end:.{decimals}f}" for end in (row.low, row.likely, row.high))
    return likely if low == high else f"{likely} ({low}-{high})"
