"""The chosen starts, against trying every combination of a small case."""

from itertools import product

import numpy as np
import pytest
from attrs import evolve
from scipy.sparse import csr_array

from propagate.planning import solving
from propagate.planning.solving import Columns, Task, solve


def small_task(seed: int) -> Task:
    """Two gaps, two starts each, one bench that may be too small, mothers of the first gap."""
    rng = np.random.default_rng(seed)
    count = rng.integers(2, 7, 4)
    columns = Columns(
        gap=np.array([0, 0, 1, 1]),
        method=np.array([0, 1, 2, 2]),
        week=np.array([0, 3, 1, 2]),
        count=count,
        each=rng.uniform(1, 9, 4),
        batch=rng.uniform(0, 20, 4),
    )
    use = rng.uniform(0, 1, (2, 4)) * (rng.random((2, 4)) < 0.7)
    use[1, 2:] = 0
    room = use @ count * rng.uniform(0.2, 0.9)
    return Task(
        columns=columns,
        wanted=rng.integers(2, 6, 2) * 1.0,
        worth=np.array([60.0, 45.0]),
        use=csr_array(use),
        limit=room,
        resource=np.array([0, 1]),
    )


def tried(task: Task) -> float:
    """The least cost over every whole number of every start."""
    columns = task.columns
    use = task.use.toarray()
    least = np.ceil(columns.count * solving.SMALLEST_PART)
    best = np.inf
    for numbers in product(*(range(n + 1) for n in columns.count)):
        x = np.array(numbers)
        if ((x > 0) & (x < least)).any() or (use @ x > task.limit + 1e-9).any():
            continue
        filled = np.bincount(columns.gap, x / columns.count * task.wanted[columns.gap], 2)
        short = np.maximum(task.wanted - filled, 0)
        cost = columns.each @ x + columns.batch @ (x > 0) + task.worth @ short
        best = min(best, float(cost))
    return best


@pytest.mark.parametrize("seed", range(40))
def test_the_plan_is_the_best_of_all_combinations(seed) -> None:
    task = small_task(seed)
    found = solve(task)
    assert found.cost == pytest.approx(tried(task), rel=2e-3)
    assert (task.use @ found.started <= task.limit + 1e-6).all()
    assert found.cost >= found.bound - 1e-6


@pytest.mark.parametrize("seed", range(8))
def test_solving_over_the_columns_of_the_relaxation_stays_near_its_bound(monkeypatch, seed) -> None:
    task = small_task(seed)
    exact = solve(task)
    monkeypatch.setattr(solving, "ALL_AT_ONCE", 0)
    near = solve(task)
    assert near.bound <= exact.cost + 1e-6
    assert exact.cost <= near.cost + 1e-6 * exact.cost + 2e-3 * exact.cost
    assert near.cost <= 1.6 * exact.cost


@pytest.mark.parametrize("seed", range(8))
def test_with_larger_resources_everything_is_had_and_no_larger_than_needed(seed) -> None:
    task = evolve(small_task(seed), stretch=True, give_up=False)
    found = solve(task)
    assert found.given_up.tolist() == [0, 0]
    columns = task.columns
    filled = np.bincount(columns.gap, found.started / columns.count, 2)
    assert (filled >= 1 - 1e-6).all()


def test_without_any_start_all_is_given_up() -> None:
    task = small_task(1)
    nothing = task.only(np.zeros(4, dtype=bool))
    assert solve(nothing).given_up.tolist() == task.wanted.tolist()
