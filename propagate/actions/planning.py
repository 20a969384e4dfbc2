"""Plans: what to start so that the beds are filled, and taking a line of one up."""

import datetime as dt
from collections.abc import Callable, Sequence
from typing import Any

from attrs import evolve

from propagate.actions.answering import cases, groups_of
from propagate.actions.assuming import assume, desk_assumed
from propagate.actions.bedding import want_view, wants
from propagate.actions.benches import bench
from propagate.actions.desk import Desk
from propagate.actions.recording import BatchPlan, start_batch
from propagate.days import written
from propagate.errors import Refused
from propagate.planning.beds import make_supplies
from propagate.planning.limits import Circumstances
from propagate.planning.plans import PlanQuestion, make_plan
from propagate.records.plans import Missing, Plan, PlanLine
from propagate.records.space import PlannedStart

Tell = Callable[[str], None]

SOON_DAYS = 7
"""A line whose day is no further off may be taken up as of today."""


def plan(
    desk: Desk,
    assuming: Sequence[str] = (),
    *,
    tell: Tell = lambda _: None,
    seconds: float = 10.0,
) -> Plan:
    """What to start so that every bed is filled, as of today, if what is assumed were so.

    Raises Refused for an assumption that cannot be read.
    """
    tell("reading the book")
    assumed = assume(desk, assuming)
    if assuming:
        desk = desk_assumed(desk, assumed)
    every = cases(desk)
    groups = groups_of(desk, every)
    wanted = wants(desk)
    if assumed.chance:
        wanted = [evolve(want, chance=assumed.chance) for want in wanted]
    supplies = make_supplies(groups, wanted, desk.nursery, desk.today)
    booked = {
        space.place: [week.expected_m2 for week in space.weeks]
        for space in bench(desk).places
        if space.size_m2 is not None
    }
    question = PlanQuestion(
        around=Circumstances(desk.nursery, desk.today, every, booked),
        book=desk.book,
        library=desk.library,
        groups=groups,
        supplies=list(supplies.values()),
        wants=wanted,
        slower=assumed.slower,
        without=assumed.without,
        seconds=seconds,
        assumed=assumed.said,
    )
    return make_plan(question, tell)


def planned_starts(answer: Plan) -> list[PlannedStart]:
    """The lines of a plan as starts that other questions can reckon with."""
    return [
        PlannedStart(line.plant, line.method, line.count, line.start, "", line.place)
        for line in answer.lines
    ]


def accept(
    desk: Desk,
    answer: Plan,
    numbers: Sequence[int],
    on: dt.date | None = None,
    count: int | None = None,
) -> list[str]:
    """Start the batches of some lines of a plan (numbered from 1); return their codes.

    Raises Refused, with nothing written, for a line that is not there, and for one whose day
    is still far off unless a day is given.
    """
    starts = [_start(desk, answer, number, on, count) for number in numbers]
    return [start_batch(desk, start).code for start in starts]


def _start(
    desk: Desk, answer: Plan, number: int, on: dt.date | None, count: int | None
) -> BatchPlan:
    line = line_numbered(answer, number)
    if on is None and (line.start - desk.today).days > SOON_DAYS:
        raise Refused(
            f"Line {number} is to be started on {written(line.start)}; to book it all the same, "
            "say the day with --on."
        )
    return BatchPlan(
        plant=line.plant,
        method=line.method,
        count=count or line.count,
        on=on or desk.today,
        place=line.place,
        stock_plant=line.mother,
        note=f"for {line.gap.beds} by {written(line.gap.by)}",
    )


def line_numbered(answer: Plan, number: int) -> PlanLine:
    """A line of a plan by its number from 1; raises Refused when there is none."""
    if not 1 <= number <= len(answer.lines):
        has = f"lines 1 to {len(answer.lines)}" if answer.lines else "no lines"
        raise Refused(f"There is no line {number} in this plan; it has {has}.")
    return answer.lines[number - 1]


def plan_view(answer: Plan) -> dict[str, Any]:
    """The plan as JSON has it."""
    return {
        "as_of": answer.as_of.isoformat(),
        "assumed": list(answer.assumed),
        "lines": [line_view(line, at) for at, line in enumerate(answer.lines, start=1)],
        "missing": [_missing_view(missing) for missing in answer.missing],
        "relax": list(answer.relax),
        "filled": answer.filled,
        "hours": round(answer.hours, 2),
        "hours_by_week": [round(hours, 2) for hours in answer.hours_by_week],
        "above_bound": round(answer.above_bound, 5),
        "places": [
            {
                "place": place.place,
                "size_m2": place.size_m2,
                "booked_m2": [round(m2, 3) for m2 in place.booked_m2],
                "planned_m2": [round(m2, 3) for m2 in place.planned_m2],
            }
            for place in answer.places
        ],
    }


def line_view(line: PlanLine, number: int) -> dict[str, Any]:
    """One line of a plan."""
    return {
        "line": number,
        "plant": str(line.plant),
        "method": line.method,
        "count": line.count,
        "start": line.start.isoformat(),
        "last_start": line.last_start.isoformat(),
        "place": line.place,
        "container": line.container,
        "mother": line.mother,
        "mothers": round(line.mothers, 2),
        "gives": line.gives,
        "chance": round(line.chance, 4),
        "pot_on": line.pot_on.isoformat(),
        "ready": line.ready.isoformat(),
        "tray_m2": round(line.tray_m2, 3),
        "pots_m2": round(line.pots_m2, 3),
        "pots_place": line.pots_place,
        "hours": round(line.hours, 2),
        "short": line.gap.short,
        "beds": [want_view(want) for want in line.gap.wants],
        "why": list(line.why),
    }


def _missing_view(missing: Missing) -> dict[str, Any]:
    return {
        "plant": str(missing.gap.plant),
        "beds": [want.name for want in missing.gap.wants],
        "by": missing.gap.by.isoformat(),
        "plants": missing.plants,
        "why": missing.why,
    }
