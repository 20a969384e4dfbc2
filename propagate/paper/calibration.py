"""The calibration sheet: crosses and rulers that show what a printer does to a page."""

from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Final

from attrs import frozen

from propagate.paper.drawn import Stroke
from propagate.paper.formats import LabelFormat
from propagate.paper.printing import Print
from propagate.paper.templates import fill

LARGE_MM: Final = 100.0  # a page at least so long both ways has room for words between its rulers
_MARGIN_MM: Final = {True: 20.0, False: 8.0}
_CROSS_MM: Final = 4.0
_TICKS_MM: Final = {10: 4.0, 5: 3.0, 1: 1.8}


@frozen
class Plan:
    """Where the first cross lies, and how long the rulers are [mm]."""

    left_mm: float
    top_mm: float
    across_mm: float
    down_mm: float


def plan_for(label_format: LabelFormat) -> Plan:
    """Crosses well inside the page, and rulers as long as it allows in whole centimetres."""
    page = label_format.page
    margin = _MARGIN_MM[_is_large(label_format)]
    across, down = (
        max(10 * int((side - 2 * margin) // 10), 1.0) if side > 2 * margin + 10 else side / 3
        for side in (page.width_mm, page.height_mm)
    )
    return Plan(min(margin, page.width_mm / 3), min(margin, page.height_mm / 3), across, down)


def render_calibration(label_format: LabelFormat, folders: Sequence[Path]) -> Print:
    """Draw the sheet for the page of a format."""
    plan = plan_for(label_format)
    html = fill(
        "calibration.html",
        folders,
        page=label_format.page,
        plan=plan,
        strokes=[*_crosses(plan), *_ruler(plan)],
        large=_is_large(label_format),
        section="roll_printer" if label_format.is_roll else "printer",
    )
    return Print(html=html, exact_size=True)


def _is_large(label_format: LabelFormat) -> bool:
    page = label_format.page
    return min(page.width_mm, page.height_mm) >= LARGE_MM


def _crosses(plan: Plan) -> Iterator[Stroke]:
    for x in (plan.left_mm, plan.left_mm + plan.across_mm):
        for y in (plan.top_mm, plan.top_mm + plan.down_mm):
            yield (x - _CROSS_MM, y, x + _CROSS_MM, y)
            yield (x, y - _CROSS_MM, x, y + _CROSS_MM)


def _ruler(plan: Plan) -> Iterator[Stroke]:
    """Lines from the first cross along both edges, with a tick every millimetre."""
    left, top = plan.left_mm, plan.top_mm
    yield (left, top, left + plan.across_mm, top)
    yield (left, top, left, top + plan.down_mm)
    for at in range(int(plan.across_mm) + 1):
        yield (left + at, top, left + at, top + _tick(at))
    for at in range(int(plan.down_mm) + 1):
        yield (left, top + at, left + _tick(at), top + at)


def _tick(at: int) -> float:
    return next(length for every, length in _TICKS_MM.items() if at % every == 0)
