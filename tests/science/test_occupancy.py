"""Sums of what batches take, against every case counted out one by one."""

from itertools import product

import numpy as np
import pytest

from propagate.science.occupancy import Phase, Shared, totals

WEIGHT = np.array([0.3, 0.7])


def certain(*amounts: float) -> tuple[np.ndarray, np.ndarray]:
    return np.ones((1, 1)), np.array(amounts)


def two_batches() -> Shared:
    """Trays of 3 and 2, then pots of as many plants as came, which they share an unknown in."""
    plants = np.array([[0.1, 0.2, 0.7], [0.6, 0.3, 0.1]])
    first = [
        Phase(np.array([1.0, 0.4]), *certain(3.0)),
        Phase(np.array([0.0, 0.5]), plants, np.array([0.0, 1.0, 2.0])),
    ]
    second = [Phase(np.array([0.5, 0.5]), plants, np.array([0.0, 1.0, 2.0]))]
    return Shared(WEIGHT, [first, second])


def counted_out(groups: list[Shared], week: int) -> dict[float, float]:
    """The law of the sum by going through every phase and number of every batch."""
    law: dict[float, float] = {0.0: 1.0}
    for group in groups:
        of_group: dict[float, float] = {}
        for node, weight in enumerate(group.weight):
            for way in product(*(outcomes(phases, node, week) for phases in group.batches)):
                amount = round(sum(part[0] for part in way), 9)
                chance = weight * np.prod([part[1] for part in way])
                of_group[amount] = of_group.get(amount, 0.0) + chance
        joined: dict[float, float] = {}
        for (a, p), (b, q) in product(law.items(), of_group.items()):
            joined[round(a + b, 9)] = joined.get(round(a + b, 9), 0.0) + p * q
        law = joined
    return law


def outcomes(phases: list[Phase], node: int, week: int) -> list[tuple[float, float]]:
    out = [(0.0, 1 - sum(phase.chance[week] for phase in phases))]
    for phase in phases:
        mass = np.broadcast_to(phase.mass, (2, phase.mass.shape[1]))[node]
        out += [(a, phase.chance[week] * m) for a, m in zip(phase.amounts, mass, strict=True)]
    return out


@pytest.mark.parametrize("week", [0, 1])
def test_the_law_of_the_sum_is_that_of_all_cases_counted_out(week) -> None:
    groups = [two_batches(), Shared(np.ones(1), [[Phase(np.full(2, 0.25), *certain(4.0))]])]
    law = totals(groups, 2, unit=1.0)
    wanted = counted_out(groups, week)
    assert sum(wanted.values()) == pytest.approx(1)
    for amount, chance in wanted.items():
        assert law.laws[week, round(amount)] == pytest.approx(chance, abs=1e-12)
    assert law.mean()[week] == pytest.approx(sum(a * p for a, p in wanted.items()))
    assert law.chance_above(3.0)[week] == pytest.approx(
        sum(p for a, p in wanted.items() if a > 3.0)
    )


def test_what_batches_share_widens_their_sum() -> None:
    """One unknown in common: both come together or not at all."""
    either = np.array([[1.0, 0.0], [0.0, 1.0]])
    half, once = np.array([0.5, 0.5]), np.ones(1)
    phase = Phase(once, either, np.array([0.0, 1.0]))
    together = totals([Shared(half, [[phase], [phase]])], 1, unit=1.0)
    apart = totals([Shared(half, [[phase]]), Shared(half, [[phase]])], 1, unit=1.0)
    assert together.laws[0, :3] == pytest.approx([0.5, 0, 0.5])
    assert apart.laws[0, :3] == pytest.approx([0.25, 0.5, 0.25])


def test_amounts_between_the_steps_keep_their_mean() -> None:
    phases = [Phase(np.ones(1), *certain(at)) for at in (0.123, 1.777, 0.9)]
    law = totals([Shared(np.ones(1), [[phase] for phase in phases])], 1)
    assert law.mean()[0] == pytest.approx(2.8, rel=1e-9)
    assert law.quantile(0.9)[0] == pytest.approx(2.8, abs=4 * law.unit)


def test_nothing_takes_nothing() -> None:
    law = totals([], 3)
    assert law.mean().tolist() == [0, 0, 0]
    assert law.quantile(0.9).tolist() == [0, 0, 0]


def test_a_phase_that_cannot_be_takes_nothing_however_large_it_would_be() -> None:
    tray = Phase(np.array([1.0, 1.0]), *certain(1.0))
    never = Phase(np.zeros(2), *certain(9_000.0))
    alone = totals([Shared(WEIGHT, [[tray]])], 2)
    both = totals([Shared(WEIGHT, [[tray, never]])], 2)
    assert both.mean() == pytest.approx(alone.mean())
