"""Whole plans of made-up nurseries, against trying every choice of starts."""

from itertools import product

import numpy as np
import pytest

from propagate.planning import solving
from propagate.planning.gaps import gaps_of
from propagate.planning.limits import gather
from propagate.planning.planlines import chance_together, enough_together
from propagate.planning.plans import all_starts, make_plan, task_of
from propagate.planning.solving import solve
from tests.bench.plan import question


def made(wants: int, bench_m2: float, seed: int):
    """The possible starts of a made-up nursery, and its programme."""
    asked = question(wants, bench_m2, seed)
    found = gaps_of(asked.supplies)
    starts, _ = all_starts(asked, found, lambda _: None)
    limits = gather(starts, [gap for gap, _ in found], asked.around)
    return asked, found, starts, task_of(starts, [gap for gap, _ in found], limits, asked)


@pytest.mark.parametrize("seed", range(3))
def test_with_bench_enough_every_gap_gets_its_cheapest_start(seed) -> None:
    asked, found, starts, task = made(3, 1e6, seed)
    columns = task.columns
    cost = columns.each * columns.count + columns.batch
    plan = make_plan(asked)
    assert len(plan.lines) == len(found)
    for at, (gap, _) in enumerate(found):
        own = np.flatnonzero(columns.gap == at)
        cheapest = starts[own[cost[own].argmin()]]
        (line,) = [line for line in plan.lines if line.gap == gap]
        assert (line.method, line.start) == (cheapest.source.method.id, cheapest.day)
        assert line.chance >= gap.chance


@pytest.mark.parametrize("seed", range(3))
def test_with_bench_scarce_two_gaps_get_the_best_pair_of_all(monkeypatch, seed) -> None:
    """Only whole starts, so that all pairs can be tried: some hundreds by some hundreds."""
    monkeypatch.setattr(solving, "SMALLEST_PART", 1.0)
    monkeypatch.setattr(solving, "ALL_AT_ONCE", 10_000)
    _, _, _, free = made(2, 1e6, seed)
    use = free.use @ solve(free).started
    _, _, _, task = made(2, 0.7 * float(use.max()), seed)
    columns, room = task.columns, task.limit + 1e-9
    cost = columns.each * columns.count + columns.batch
    amounts = task.use.toarray() * columns.count
    first, second = (np.flatnonzero(columns.gap == at) for at in (0, 1))
    best = float(task.worth @ task.wanted)
    for one, other in product([*first, None], [*second, None]):
        chosen = [at for at in (one, other) if at is not None]
        if (amounts[:, chosen].sum(axis=1) <= room).all():
            lost = task.worth * task.wanted * [one is None, other is None]
            best = min(best, float(cost[chosen].sum() + lost.sum()))
    assert solve(task).cost == pytest.approx(best, rel=2e-3)


def test_lots_that_fill_a_gap_together_are_made_as_sure_as_asked() -> None:
    _, found, starts, _ = made(1, 1e6, 4)
    gap, supply = found[0]
    sources = list(dict.fromkeys(start.source for start in starts))
    assert len(sources) > 1
    lots = [next(start for start in starts if start.source is source) for source in sources[:2]]
    for part in (3, 1):
        pairs = enough_together(gap, supply, [(start, start.count // part) for start in lots])
        assert gap.chance <= chance_together(gap, supply, pairs) < gap.chance + 0.05
    one = [(lots[0], lots[0].count)]
    assert chance_together(gap, supply, one) == pytest.approx(gap.chance, abs=0.02)
