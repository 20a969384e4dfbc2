"""Lines of a plan: the starts that were chosen, counted once more by the forecast itself.

A gap filled by one start needs exactly the smallest number by the forecast run backwards;
several that fill one together are made smaller or larger alike until they are just as certain
as asked.
"""

from collections.abc import Sequence
from itertools import pairwise

import numpy as np

from propagate.days import written
from propagate.planning import effort
from propagate.planning.gaps import short_of
from propagate.planning.limits import MINUTES, Circumstances, Start
from propagate.planning.supply import Supply
from propagate.records.plans import Gap, PlanLine
from propagate.science import counts, starting
from propagate.science.pools import chance_to_fill
from propagate.science.timing import Array

FINE = 64
"""Lots that fill a gap together are made smaller or larger by such parts of what they were."""

MOST_TIMES = 3


def make_lines(
    starts: Sequence[Start],
    started: Array,
    found: Sequence[tuple[Gap, Supply]],
    around: Circumstances,
) -> tuple[PlanLine, ...]:
    """The chosen starts as lines, soonest first."""
    lines: list[PlanLine] = []
    for at, (gap, supply) in enumerate(found):
        chosen = [
            (start, int(n))
            for start, n in zip(starts, started, strict=True)
            if start.gap == at and n > 0
        ]
        if chosen:
            ways = [start for start in starts if start.gap == at]
            lines.extend(_lines_of(gap, supply, chosen, ways, around))
    return tuple(sorted(lines, key=lambda line: (line.start, str(line.plant), line.method)))


def _lines_of(
    gap: Gap,
    supply: Supply,
    chosen: Sequence[tuple[Start, int]],
    ways: Sequence[Start],
    around: Circumstances,
) -> list[PlanLine]:
    whole = sum(n / start.count for start, n in chosen) >= 1 - 1e-9
    if len(chosen) == 1:
        start, count = chosen[0]
        if whole:
            count = smallest_exact(start, gap, supply)
        pairs = [(start, count)]
    else:
        pairs = enough_together(gap, supply, chosen) if whole else list(chosen)
    chance = chance_together(gap, supply, pairs)
    return [_line(gap, start, count, chance, ways, pairs, around) for start, count in pairs]


def smallest_exact(start: Start, gap: Gap, supply: Supply) -> int:
    """The smallest number by the forecast itself, from the one that the tables gave."""
    source = start.source
    group = source.group if source.group in supply.groups else None
    short = short_of(gap, supply, group)

    def enough(count: int) -> bool:
        return source.exact_chance(count, start.day, gap.by, short) >= gap.chance

    count = start.count
    while count > 1 and enough(count - 1):
        count -= 1
    while not enough(count):
        count += 1
    return count


def enough_together(
    gap: Gap, supply: Supply, chosen: Sequence[tuple[Start, int]]
) -> list[tuple[Start, int]]:
    """Several starts made smaller or larger alike, until together they are just certain enough.

    Mostly smaller: that all fail at once is less likely than that one does.
    """

    def scaled(parts: int) -> list[tuple[Start, int]]:
        return [(start, max(1, -(-count * parts // FINE))) for start, count in chosen]

    too_few, plenty = 0, MOST_TIMES * FINE
    while plenty - too_few > 1:
        middle = (too_few + plenty) // 2
        if chance_together(gap, supply, scaled(middle)) >= gap.chance:
            plenty = middle
        else:
            too_few = middle
    return scaled(plenty)


def chance_together(gap: Gap, supply: Supply, pairs: Sequence[tuple[Start, int]]) -> float:
    """The chance that several starts fill a gap; what those of one source share is kept."""
    by_source: dict[int, list[tuple[Start, int]]] = {}
    for start, count in pairs:
        by_source.setdefault(id(start.source), []).append((start, count))
    largest = max(by_source.values(), key=lambda each: sum(count for _, count in each))
    focus = largest[0][0].source
    weight = focus.posterior.shared_weight
    parts = []
    for members in by_source.values():
        source = members[0][0].source
        given = counts.total(
            [starting.counts_of(source.given(s.day, gap.by), count) for s, count in members]
        )
        if source is not focus:
            given = counts.mixed(source.posterior.shared_weight, given)[None]
        parts.append(np.broadcast_to(given, (len(weight), given.shape[-1])))
    group = focus.group if focus.group in supply.groups else None
    short = short_of(gap, supply, group)
    every = np.broadcast_to(short, (len(weight), short.shape[-1]))
    return chance_to_fill(every, counts.total(parts), weight)


def _line(
    gap: Gap,
    start: Start,
    count: int,
    chance: float,
    ways: Sequence[Start],
    pairs: Sequence[tuple[Start, int]],
    around: Circumstances,
) -> PlanLine:
    source, site = start.source, start.site
    law = source.given(start.day, gap.by)
    likely = counts.quantile(
        counts.mixed(source.posterior.shared_weight, starting.counts_of(law, count)), 0.5
    )
    potted = count * source.take
    set_hours = (effort.start_minutes(source.method.id, around.nursery) * count) / MINUTES
    stand = effort.standing_minutes((start.pot_on - start.day).days, around.nursery) / MINUTES
    pot_hours = effort.POT_MINUTES * potted / MINUTES if start.pot_on < start.leaves else 0.0
    last = max(way.day for way in ways if way.source is source)
    return PlanLine(
        plant=gap.plant,
        method=source.method.id,
        method_name=source.method.name,
        count=count,
        start=start.day,
        last_start=last,
        place=site.place,
        container=site.container,
        mother=start.mothers.first if start.gives else "",
        mothers=count / start.gives if start.gives else 0.0,
        gap=gap,
        gives=likely,
        chance=chance,
        pot_on=start.pot_on,
        ready=start.ready,
        tray_m2=count * site.tray_m2,
        pots_m2=potted * site.pot_m2 if start.pot_on < start.leaves else 0.0,
        pots_place=site.pots.name if site.pots else "",
        hours=set_hours + stand + pot_hours,
        work=((start.day, set_hours + stand), *(((start.pot_on, pot_hours),) if pot_hours else ())),
        why=tuple(_reasons(gap, start, count, chance, ways, pairs)),
    )


def _reasons(
    gap: Gap,
    start: Start,
    count: int,
    chance: float,
    ways: Sequence[Start],
    pairs: Sequence[tuple[Start, int]],
) -> list[str]:
    """Why this, so many, then, and not otherwise."""
    source = start.source
    wanted = sum(want.wanted for want in gap.wants)
    there = wanted - gap.short
    yet = f"; {there} of them may be counted on already" if there > 0 else ""
    reasons = [f"{wanted} {_are(wanted)} wanted in {gap.beds} by {written(gap.by)}{yet}."]
    noun = source.method.propagules if count != 1 else source.method.propagule
    lot = f"{count} {noun} {_are(count)}"
    sure = f"{chance * 100:.0f} %"
    if len(pairs) == 1:
        reasons.append(
            f"{lot} the fewest that fill it with {gap.chance * 100:.4g} % certainty"
            f" ({sure} by the forecast)."
            if chance >= gap.chance - 1e-9
            else f"{lot} as many as there is room and material for ({sure} certain)."
        )
    else:
        reasons.append(f"{lot} one of {len(pairs)} lots that fill it together ({sure} certain).")
    reasons.append(source.said)
    reasons.append(_choice_said(start, ways))
    return reasons


def _are(count: int) -> str:
    return "is" if count == 1 else "are"


def _choice_said(start: Start, ways: Sequence[Start]) -> str:
    """How the method compares with the others that would be in time, and how long it may wait."""
    fewest: dict[str, int] = {}
    for way in ways:
        name = way.source.method.name
        fewest[name] = min(fewest.get(name, way.count), way.count)
    others = [f"{n} by {name}" for name, n in fewest.items() if name != start.source.method.name]
    own = sorted(way.day for way in ways if way.source is start.source)
    gaps = [(b - a).days for a, b in pairwise(own)]
    season = written(own[-1]) if gaps else written(start.day)
    until = f"It may wait until {season}, not longer."
    if not others:
        return f"No other method that the library has for it is in time. {until}"
    return f"It would take {' or '.join(others)}. {until}"
