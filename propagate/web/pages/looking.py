"""Pages to look at instead of reading: benches filling up, beds filling up."""

import datetime as dt

from attrs import evolve, frozen
from starlette.requests import Request
from starlette.responses import Response

from propagate.actions.bedding import beds as beds_answer
from propagate.actions.benches import bench as bench_answer
from propagate.actions.desk import Desk
from propagate.actions.meaning import batch_meant
from propagate.actions.sharing import last_seq
from propagate.actions.tracing import family_of
from propagate.errors import PropagateError
from propagate.paper.strips import MonthMark, Scale, month_marks
from propagate.planning.benchspace import NOWHERE
from propagate.records.beds import BedForecast, BedsAnswer
from propagate.records.families import Family
from propagate.records.space import PlaceSpace, SpaceWeek
from propagate.web.rendering import page
from propagate.web.strips import WIDTH

HIGH = 14.0
"""Height of a place's picture, in the same units as its width."""

MOST_KIN = 200
"""So many of a family are listed; the whole is printed with `propagate trace`."""

EVERY_WEEKS = 4
"""The table has a row every so many weeks."""


@frozen
class PlacePicture:
    """One place over the coming year: shapes for the page to draw, and rows for its table."""

    space: PlaceSpace
    width: float
    height: float
    expected: str
    high: str
    size: float | None
    months: tuple[MonthMark, ...]
    rows: tuple[SpaceWeek, ...]


def place_picture(space: PlaceSpace) -> PlacePicture:
    """Lay the weeks of a place out, most of what is spoken of at the top."""
    weeks = space.weeks
    scale = Scale(weeks[0].date, weeks[-1].date + dt.timedelta(days=7), WIDTH)
    most = max(space.size_m2 or 0.0, max(week.high_m2 for week in weeks), 0.01) * 1.05

    def up(area_m2: float) -> float:
        return HIGH - HIGH * area_m2 / most

    def steps(areas: list[float]) -> str:
        path = f"M0 {up(areas[0]):.2f}"
        for week, area in zip(weeks[1:], areas[1:], strict=True):
            path += f"H{scale.x_mm(week.date):.2f}V{up(area):.2f}"
        return f"{path}H{WIDTH:.2f}"

    return PlacePicture(
        space=evolve(space, place="") if space.place == NOWHERE else space,
        width=WIDTH,
        height=HIGH,
        expected=f"{steps([w.expected_m2 for w in weeks])}V{HIGH}H0Z",
        high=steps([w.high_m2 for w in weeks]),
        size=None if space.size_m2 is None else up(space.size_m2),
        months=month_marks(scale),
        rows=weeks[::EVERY_WEEKS],
    )


async def benches(request: Request) -> Response:
    """How full each place will be, week by week."""

    def looked(desk: Desk) -> tuple[tuple[PlacePicture, ...], int]:
        answer = desk.remember("bench", lambda: bench_answer(desk))
        drawn = tuple(place_picture(space) for space in answer.places if space.weeks)
        return drawn, last_seq(desk.book)

    places, seen = await request.app.state.bench.room.ask(looked)
    return page(request, "benches.html", places=places, seen=seen)


@frozen
class BedBar:
    """One bed as a bar of 100 units: planted, sure to come, likely to come, and the mark wanted."""

    answer: BedForecast
    planted: float
    surely: float
    likely: float
    wanted: float


def bed_bar(answer: BedForecast) -> BedBar:
    """The bar of a bed; it is as long as what is wanted, or what is likely where that is more."""
    most = max(answer.want.wanted, answer.plants.likely, 1)
    parts = (answer.want.planted, answer.surely, answer.plants.likely, answer.want.wanted)
    planted, surely, likely, wanted = (100 * part / most for part in parts)
    return BedBar(answer, planted, max(surely, planted), max(likely, planted), wanted)


async def kin(request: Request) -> Response:
    """Where a tray's plants came from, what was raised from them, and where they went."""
    bench, code = request.app.state.bench, request.path_params["code"][:40]

    def traced(desk: Desk) -> tuple[str, Family, int]:
        found = batch_meant(desk, code)
        return found, family_of(desk, "batch", found), last_seq(desk.book)

    try:
        found, family, seen = await bench.room.ask(traced)
    except PropagateError as error:
        latest = await bench.room.latest()
        return page(request, "find.html", 404, typed=code, trouble=error.said, seen=latest)
    return page(
        request,
        "family.html",
        code=found,
        family=family,
        members=family.members[:MOST_KIN],
        more=max(0, len(family.members) - MOST_KIN),
        seen=seen,
    )


async def beds(request: Request) -> Response:
    """What the beds want, and whether it will be there."""

    def looked(desk: Desk) -> tuple[BedsAnswer, int]:
        return desk.remember("beds", lambda: beds_answer(desk)), last_seq(desk.book)

    answer, seen = await request.app.state.bench.room.ask(looked)
    bars = tuple(bed_bar(bed) for bed in answer.beds)
    return page(request, "beds.html", answer=answer, bars=bars, seen=seen)
