"""The plan: what to start, when, so that the beds are filled.

gaps -> the ways to fill each -> every possible start with its number -> the limits
-> a mixed-integer programme -> lines, looked at once more by the forecast itself, with reasons
"""

import datetime as dt
from collections.abc import Callable, Iterable, Sequence

import numpy as np
from attrs import frozen

from propagate.ledger import Book
from propagate.library import Library
from propagate.planning import effort
from propagate.planning.candidates import Choice, choices, mothers_of, site_of, start_days
from propagate.planning.fresh import Source, learn_sources
from propagate.planning.gaps import filled_without, gaps_of, short_of
from propagate.planning.groups import Group
from propagate.planning.limits import Circumstances, Limits, Start, gather
from propagate.planning.planlines import make_lines
from propagate.planning.relaxing import relaxations, why_missing
from propagate.planning.solving import GIVEN_UP, Columns, Solution, Task, solve
from propagate.planning.supply import Supply
from propagate.records.beds import Want
from propagate.records.methods import MethodRecord
from propagate.records.plans import Gap, Missing, Plan, PlanLine, PlanPlace
from propagate.science.timing import Array

Tell = Callable[[str], None]

HORIZON_WEEKS = 160
"""What is wanted later than three years ahead is planned for nearer the time."""


@frozen(eq=False)
class PlanQuestion:
    """All that a plan is made from.

    `slower` stretches the times of what is yet to be started; `without` are methods to leave out.
    """

    around: Circumstances
    book: Book
    library: Library
    groups: Sequence[Group]
    supplies: Sequence[Supply]
    wants: Sequence[Want]
    slower: float = 1.0
    without: frozenset[str] = frozenset()
    seconds: float = 10.0
    assumed: tuple[str, ...] = ()


def make_plan(question: PlanQuestion, tell: Tell = lambda _: None) -> Plan:
    """The cheapest plan that fills every gap with the certainty asked for, or comes nearest."""
    found = gaps_of(question.supplies)
    gaps = [gap for gap, _ in found]
    tell(f"{len(gaps)} gaps to fill")
    starts, ways = all_starts(question, found, tell)
    limits = gather(starts, gaps, question.around)
    task = task_of(starts, gaps, limits, question)
    tell(f"{len(starts)} possible starts under {len(limits.rows)} limits")
    solution = solve(task, seconds=question.seconds, tell=tell)
    lines = make_lines(starts, solution.started, found, question.around)
    today = question.around.today
    lost = {at: n for at, n in enumerate(np.ceil(solution.given_up - 1e-6)) if n > 0}
    relax = relaxations(task, limits, lost, gaps, question.around) if lost else ()
    return Plan(
        as_of=today,
        lines=lines,
        missing=tuple(
            Missing(gaps[at], int(n), why_missing(gaps[at], at, starts, ways[at], today))
            for at, n in lost.items()
        ),
        relax=relax,
        filled=filled_without(question.wants, gaps),
        places=_places(starts, solution, limits, question.around),
        hours=sum(line.hours for line in lines),
        hours_by_week=_hours_by_week(lines, question.around),
        above_bound=solution.above_bound,
        assumed=question.assumed,
    )


def all_starts(
    question: PlanQuestion, found: Sequence[tuple[Gap, Supply]], tell: Tell
) -> tuple[list[Start], list[list[Source]]]:
    """Every start that would fill a gap in time, sorted; and the ways tried for each gap."""
    tried = [_tried(question, gap) for gap, _ in found]
    sources = _sources(question, found, tried)
    starts: list[Start] = []
    ways = [
        [sources[gap.plant.species_name, choice.method.id] for choice in each]
        for (gap, _), each in zip(found, tried, strict=True)
    ]
    for at, (gap, supply) in enumerate(found):
        for source in ways[at]:
            starts.extend(_starts_of(at, gap, supply, source, question))
        if at % 50 == 49:
            tell(f"looked into {at + 1} of {len(found)} gaps")
    return starts, ways


def _tried(question: PlanQuestion, gap: Gap) -> list[Choice]:
    used = [
        group.cases[0].method.id
        for group in question.groups
        if group.species == gap.plant.species_name
    ]
    found = choices(question.library, gap.plant, used)
    return [choice for choice in found if choice.method.id not in question.without]


def _sources(
    question: PlanQuestion,
    found: Sequence[tuple[Gap, Supply]],
    tried: Sequence[Sequence[Choice]],
) -> dict[tuple[str, str], Source]:
    chosen = {
        (gap.plant.species_name, choice.method.id): choice
        for (gap, _), each in zip(found, tried, strict=True)
        for choice in each
    }
    wanted: dict[str, dict[str, MethodRecord]] = {}
    for (species, method_id), choice in chosen.items():
        wanted.setdefault(method_id, {})[species] = choice.record
    methods = {choice.method.id: choice.method for choice in chosen.values()}
    learned = learn_sources(wanted, methods, question.groups)
    return {
        (species, method_id): Source(
            species=species,
            method=choice.method,
            record=choice.record,
            level=choice.level,
            said=choice.said,
            posterior=learned[species, method_id][0],
            group=learned[species, method_id][1],
            nursery=question.around.nursery,
            slower=question.slower,
        )
        for (species, method_id), choice in chosen.items()
    }


def _starts_of(
    at: int, gap: Gap, supply: Supply, source: Source, question: PlanQuestion
) -> Iterable[Start]:
    """Every week in which a source would still fill a gap, with the fewest to start."""
    around = question.around
    latest = min(gap.by, around.today + dt.timedelta(weeks=HORIZON_WEEKS))
    days = start_days(source.record, around.nursery, around.today, latest)
    if not days:
        return
    group = source.group if source.group in supply.groups else None
    short = short_of(gap, supply, group)
    counts = source.smallest([day for _, day in days], gap.by, short, gap.chance)
    site = site_of(source, around.cases, around.nursery)
    mothers = mothers_of(question.book, around.nursery, gap.plant)
    gives = effort.per_mother(source.record, source.method.id, around.nursery)
    for (week, day), count in zip(days, counts.tolist(), strict=True):
        if count:
            pot_on, ready = source.course(day)
            in_rows = any(want.row for want in gap.wants)
            leaves = gap.by if in_rows else min(gap.by, ready)
            dates = (pot_on, ready, leaves, gap.by)
            yield Start(at, source, site, mothers, gives, week, day, count, *dates)


def task_of(
    starts: Sequence[Start], gaps: Sequence[Gap], limits: Limits, question: PlanQuestion
) -> Task:
    """The programme in numbers."""
    nursery = question.around.nursery
    each = [_minutes_each(start, question.around) for start in starts]
    risk = _risk(starts)
    batch = [effort.standing_minutes((s.pot_on - s.day).days, nursery) for s in starts]
    names = {id(source): n for n, source in enumerate(dict.fromkeys(s.source for s in starts))}
    columns = Columns(
        gap=np.array([s.gap for s in starts], dtype=np.int_),
        method=np.array([names[id(s.source)] for s in starts], dtype=np.int_),
        week=np.array([s.week for s in starts], dtype=np.int_),
        count=np.array([s.count for s in starts], dtype=np.int_),
        each=np.array(each) * risk,
        batch=np.array(batch) * risk,
    )
    return Task(
        columns=columns,
        wanted=np.array([float(max(gap.short, 1)) for gap in gaps]),
        worth=np.array([GIVEN_UP / gap.priority for gap in gaps]),
        use=limits.matrix(len(starts)),
        limit=np.array(limits.most),
        resource=limits.resource,
    )


def _minutes_each(start: Start, around: Circumstances) -> float:
    """What one propagule costs: hands to set and to pot it, and a little for its bench."""
    minutes = effort.start_minutes(start.source.method.id, around.nursery)
    potted = effort.POT_MINUTES if start.pot_on < start.leaves else 0.0
    waits = max(0, (start.pot_on - start.day).days) / 7 * start.site.tray_m2
    stands = max(0, (start.leaves - start.pot_on).days) / 7 * start.site.pot_m2 * start.rooted
    bench = (waits + stands) * effort.M2_WEEK_MINUTES
    waiting = max(0, (start.by - start.ready).days) / 7 * effort.HOLD_MINUTES * start.rooted
    return minutes + potted * start.rooted + bench + waiting


def _risk(starts: Sequence[Start]) -> Array:
    """What the work of each start counts for: dearer where little is known, or time is short."""
    last: dict[tuple[int, int], int] = {}
    for start in starts:
        key = (start.gap, id(start.source))
        last[key] = max(last.get(key, 0), start.week)
    late = [
        max(0, effort.LATE_WEEKS - (last[start.gap, id(start.source)] - start.week))
        for start in starts
    ]
    known = [effort.RISK[start.source.level] for start in starts]
    return np.array(known) * (1 + effort.LATE * np.array(late))


def _places(
    starts: Sequence[Start], solution: Solution, limits: Limits, around: Circumstances
) -> tuple[PlanPlace, ...]:
    """The bench of every place of known size that the book or the plan takes up."""
    weeks = 1 + max((row.week or 0 for row in limits.rows), default=0)
    use = limits.matrix(len(starts)) @ solution.started if starts else np.zeros(0)
    planned: dict[str, Array] = {}
    for row, amount in zip(limits.rows, use.tolist(), strict=True):
        if row.kind == "bench" and row.week is not None:
            planned.setdefault(row.name, np.zeros(weeks))[row.week] += amount
    made = []
    for place in around.nursery.places.values():
        booked = around.booked_m2.get(place.name)
        if place.size_m2 is None or (booked is None and place.name not in planned):
            continue
        there = np.zeros(weeks)
        if booked is not None:
            there = np.array([booked[min(week, len(booked) - 1)] for week in range(weeks)])
        more = planned.get(place.name, np.zeros(weeks))
        made.append(
            PlanPlace(place.name, place.size_m2, tuple(there.tolist()), tuple(more.tolist()))
        )
    return tuple(made)


def _hours_by_week(lines: Sequence[PlanLine], around: Circumstances) -> tuple[float, ...]:
    """The hours of work in each week, up to the last that has any."""
    weeks: dict[int, float] = {}
    for line in lines:
        for day, hours in line.work:
            week = around.week_of(day)
            weeks[week] = weeks.get(week, 0.0) + hours
    return tuple(weeks.get(week, 0.0) for week in range(max(weeks, default=-1) + 1))
