"""The projection over generations: by hand, by enumeration, by chance."""

import numpy as np
import pytest

from propagate.science.generations import (
    CountLaw,
    Life,
    growth,
    law,
    mean_matrix,
    means,
    moments,
    stock_growth,
)

CURRANT = Life(yield_low=8, yield_high=12, after_years=2, mother_stays=0.9, young_lives=0.95)
DIVIDED = Life(yield_low=2, yield_high=2, after_years=1, mother_stays=1.0, young_lives=1.0)


def test_the_matrix_of_a_small_example_is_the_one_written_out_by_hand() -> None:
    """A mother gives 10 cuttings, half take; 2 of 5 are kept, mothers two years on."""
    wanted = [
        [0, 2, 0],  # kept: 10 x 0.5 x 0.4
        [0.95, 0.9, 0],  # a young one grows up; a mother stays
        [0, 3, 1],  # 10 x 0.5 x 0.6 go out, and stay counted
    ]
    assert mean_matrix(CURRANT, 0.5, 0.4) == pytest.approx(np.array(wanted))


def test_three_years_of_it_by_hand() -> None:
    """1 mother: 2 young, 0.9 mothers, 3 out; then 1.8, 2.71, 5.7; then 5.42, 4.149, 13.83."""
    rows = means(CURRANT, 0.5, [0.4] * 3, [0, 1, 0])
    assert rows == pytest.approx(
        np.array([[0, 1, 0], [2, 0.9, 3], [1.8, 2.71, 5.7], [5.42, 4.149, 13.83]])
    )


def test_its_growth_is_the_root_of_its_own_equation() -> None:
    """x^2 - 0.9 x - 0.95 * 2 = 0, so x = (0.9 + sqrt(0.81 + 7.6)) / 2."""
    root = (0.9 + (0.81 + 7.6) ** 0.5) / 2
    assert stock_growth(CURRANT, 0.5, 0.4) == pytest.approx(root)
    values, _ = np.linalg.eig(mean_matrix(CURRANT, 0.5, 0.4)[:2, :2])
    assert growth(mean_matrix(CURRANT, 0.5, 0.4)[:2, :2]) == pytest.approx(max(values.real))


def test_clones_that_all_live_double_and_double_again() -> None:
    """Each mother gives two that take and are kept, and stays: 1, 3, 9, 27, surely."""
    made = law(DIVIDED, [1.0], [1.0] * 3, [1, 0], [0])
    assert made.pmf[27] == pytest.approx(1)
    assert stock_growth(DIVIDED, 1.0) == pytest.approx(3)


def enumerated(life: Life, take: float, keep: float, years: int) -> dict[tuple[int, ...], float]:
    """The law of all stages by going through every outcome of every plant; small lives only."""
    from itertools import product
    from math import comb

    assert life.after_years == 1
    states = {(1, 0): 1.0}
    for _ in range(years):
        after: dict[tuple[int, ...], float] = {}
        for (mothers, out), chance in states.items():
            one: dict[tuple[int, int], float] = {}
            numbers = range(life.yield_low, life.yield_high + 1)
            for number in numbers:
                for made, kept in product(range(number + 1), repeat=2):
                    if kept > made:
                        continue
                    p = comb(number, made) * take**made * (1 - take) ** (number - made)
                    p *= comb(made, kept) * keep**kept * (1 - keep) ** (made - kept)
                    for stays, q in ((1, life.mother_stays), (0, 1 - life.mother_stays)):
                        key = (kept + stays, made - kept)
                        one[key] = one.get(key, 0.0) + p * q / len(numbers)
            parts = {(0, 0): 1.0}
            for _mother in range(mothers):
                parts = _joined(parts, one)
            for (m, o), p in parts.items():
                key = (m, out + o)
                after[key] = after.get(key, 0.0) + chance * p
        states = after
    return states


def _joined(a: dict, b: dict) -> dict:
    joined: dict = {}
    for (m, o), p in a.items():
        for (n, r), q in b.items():
            joined[m + n, o + r] = joined.get((m + n, o + r), 0.0) + p * q
    return joined


@pytest.mark.parametrize("stage", [0, 1])
def test_the_law_is_that_of_all_outcomes_counted_out(stage) -> None:
    life = Life(yield_low=0, yield_high=2, after_years=1, mother_stays=0.7, young_lives=1.0)
    wanted = np.zeros(64)
    for state, chance in enumerated(life, 0.6, 0.5, 2).items():
        wanted[state[stage]] += chance
    made = law(life, [0.6], [0.5, 0.5], [1, 0], [stage])
    assert made.unit == 1
    assert made.pmf[:10] == pytest.approx(wanted[:10], abs=1e-12)


def test_the_law_has_the_mean_and_variance_of_the_recursion() -> None:
    """Two derivations that share no line: generating functions, and the covariance recursion."""
    keeps = [1.0, 0.5, 0.2, 0.0]
    for watch in ([2], [0, 1], [0, 1, 2]):
        mean, variance = moments(CURRANT, 0.6, keeps, [0, 3, 0], watch)
        made = law(CURRANT, [0.6], keeps, [0, 3, 0], watch)
        assert made.mean == pytest.approx(mean, rel=1e-6)
        assert made.variance == pytest.approx(variance, rel=1e-4)


def test_what_the_last_year_gave_is_told_apart() -> None:
    """1 mother gives 10 on average, half take; a year on 0.9 mothers give 4.5 again."""
    made = law(CURRANT, [0.5], [0.0, 0.0], [0, 1, 0], [2], of_last=True)
    assert made.mean == pytest.approx(4.5)
    assert law(CURRANT, [0.5], [0.0, 0.0], [0, 1, 0], [2]).mean == pytest.approx(9.5)


def test_a_law_over_many_thousands_is_read_off_in_steps() -> None:
    big = Life(yield_low=20, yield_high=60, after_years=1, mother_stays=0.9, young_lives=0.95)
    keeps = [1.0, 1.0, 0.0]
    mean, variance = moments(big, 0.7, keeps, [2, 0], [1])
    made = law(big, [0.7], keeps, [2, 0], [1])
    assert made.unit > 1
    assert made.mean == pytest.approx(mean, rel=1e-3)
    assert made.variance == pytest.approx(variance, rel=1e-2)


def test_an_unknown_take_widens_the_law() -> None:
    known = law(CURRANT, [0.5], [0.3] * 3, [0, 2, 0], [2])
    unknown = law(CURRANT, [0.3, 0.5, 0.7], [0.3] * 3, [0, 2, 0], [2])
    assert unknown.variance > 2 * known.variance


def test_the_law_agrees_with_plants_thrown_by_chance() -> None:
    """20,000 nurseries simulated plant by plant."""
    chance = np.random.default_rng(8)
    out = np.zeros(20_000, dtype=int)
    young, mothers = np.zeros_like(out), np.full_like(out, 2)
    for keep in (1.0, 0.4, 0.0):
        cuttings = np.array([chance.integers(8, 13, n).sum() for n in mothers])
        plants = chance.binomial(cuttings, 0.6)
        kept = chance.binomial(plants, keep)
        grown = chance.binomial(young, 0.95)
        mothers = chance.binomial(mothers, 0.9) + grown
        young, out = kept, out + plants - kept
    made = law(CURRANT, [0.6], [1.0, 0.4, 0.0], [0, 2, 0], [2])
    for share in (0.1, 0.5, 0.9):
        assert made.quantile(share) == pytest.approx(np.quantile(out, share), abs=2)


def test_quantiles_of_a_law_in_steps() -> None:
    stepped = CountLaw(np.array([0.5, 0.3, 0.2]), 10)
    assert [stepped.quantile(s) for s in (0.4, 0.6, 0.9)] == [0, 10, 20]
    assert stepped.at_least(10) == pytest.approx(0.5)
    assert stepped.at_least(11) == pytest.approx(0.2)
