"""When not everything can be had: why, and the smallest change that would help, in words."""

import datetime as dt
import math
from collections.abc import Mapping, Sequence

from attrs import evolve

from propagate.days import written, written_short
from propagate.planning.candidates import start_days
from propagate.planning.fresh import Source
from propagate.planning.limits import Circumstances, Limits, Start
from propagate.planning.solving import Task, solve
from propagate.records.plans import Gap

LEAST = 1e-3  # less is rounding


A_YEAR = dt.timedelta(weeks=53)
"""Within it every season comes once."""


def why_missing(
    gap: Gap, at: int, starts: Sequence[Start], ways: Sequence[Source], today: dt.date
) -> str:
    """Why a gap is not filled: nothing that suits, no time, or no room, material or hands."""
    if not ways:
        return f"The library has no method for {gap.plant}."
    if not any(start.gap == at for start in starts):
        names = ", ".join(way.method.name for way in ways)
        return (
            f"No start from now on is ready by {written(gap.by)} ({names}).{_soonest(ways, today)}"
        )
    return "There is not bench, material or time enough for it beside the rest."


def _soonest(ways: Sequence[Source], today: dt.date) -> str:
    """The start from today on that is likely ready first, in words; empty where there is none."""
    starts = [
        (way.course(day)[1], day, way.method.name)
        for way in ways
        for _, day in start_days(way.record, way.nursery, today, today + A_YEAR)
    ]
    if not starts:
        return ""
    ready, day, name = min(starts)
    return f" Started {written(day)} by {name}, it is likely ready about {written(ready)}."


def relaxations(
    task: Task,
    limits: Limits,
    lost: Mapping[int, float],
    gaps: Sequence[Gap],
    around: Circumstances,
) -> tuple[str, ...]:
    """The least that would have to be added so that all can be had, and what else to give up."""
    able = set(task.columns.gap.tolist())
    dropped = {at: n for at, n in lost.items() if at in able}
    if not dropped:
        return ()
    wider = solve(evolve(task, stretch=True, give_up=False))
    use = task.use @ wider.started
    said = []
    for number in sorted(set(task.resource.tolist())):
        rows = [r for r in range(len(limits.rows)) if task.resource[r] == number]
        over = {r: float(use[r] - task.limit[r]) for r in rows}
        missing = max(over.values())
        if missing > LEAST:
            said.append(_said(limits, rows, over, missing, around))
    give_up = ", ".join(f"{n:.0f} {gaps[at].plant} in {gaps[at].beds}" for at, n in dropped.items())
    if not said:
        return (f"Give up {give_up}.",)
    return (f"{_joined(said)}; or give up {give_up}.",)


def _said(
    limits: Limits,
    rows: Sequence[int],
    over: Mapping[int, float],
    missing: float,
    around: Circumstances,
) -> str:
    """What is missing of one resource, and when."""
    first = limits.rows[rows[0]]
    weeks = sorted(limits.rows[r].week or 0 for r in rows if over[r] > LEAST)
    when = _when(weeks, around.today)
    if first.kind == "bench":
        return f"{_rounded_up(missing)} m² of {first.name} are missing {when}"
    if first.kind == "hands":
        return f"{_rounded_up(missing)} hours a week are missing {when}"
    more = math.ceil(missing - LEAST)
    plants = "1 more mother plant is" if more == 1 else f"{more} more mother plants are"
    return f"{plants} wanted beside {first.name}"


def _when(weeks: Sequence[int], today: dt.date) -> str:
    begins = today + dt.timedelta(weeks=weeks[0])
    ends = today + dt.timedelta(weeks=weeks[-1], days=6)
    return f"from {written_short(begins)} to {written(ends)}"


def _rounded_up(number: float) -> str:
    """A tenth more rather than a hair too little."""
    tenths = -int(-(number - 1e-6) * 10 // 1)
    return f"{tenths / 10:g}"


def _joined(parts: Sequence[str]) -> str:
    return " and ".join(parts)
