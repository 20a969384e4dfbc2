import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from propagate.errors import Refused
from propagate.science import quantities as q

SHARES = st.floats(0.01, 0.99)


@given(st.floats(10, 1e5), SHARES, st.floats(1, 1e4))
def test_a_dilution_keeps_the_active_substance(stock: float, part: float, volume: float) -> None:
    made = q.dilution(stock, stock * part, volume)
    assert made.stock_ml * stock == pytest.approx(volume * stock * part)
    assert made.stock_ml + made.diluent_ml == pytest.approx(volume)


@given(SHARES, SHARES)
def test_seeds_per_cell_is_the_fewest_that_does(germination: float, chance: float) -> None:
    seeds = q.seeds_per_cell(germination, chance)
    assert q.chance_filled(germination, seeds) >= chance - 1e-9
    assert seeds == 1 or q.chance_filled(germination, seeds - 1) < chance


@given(st.integers(1, 10_000), SHARES, SHARES)
def test_what_is_started_yields_what_is_wanted_and_no_less(wanted: int, a: float, b: float) -> None:
    started = q.to_start(wanted, a, b)
    assert (started - 1) * a * b < wanted + 1e-6
    assert started * a * b >= wanted - 1e-6


def test_a_straight_pot_is_a_cylinder() -> None:
    assert q.pot_litres(10, 10, straight=True) == pytest.approx(math.pi / 4)


@pytest.mark.parametrize(
    ("made", "said"),
    [
        (lambda: q.dilution(100, 200, 50), "weaker"),
        (lambda: q.dilution(-1, 200, 50), "stock strength is -1"),
        (lambda: q.mg_per_l_of_percent(math.nan), "percent is nan"),
        (lambda: q.to_start(10, 1.2), "share is 1.2"),
        (lambda: q.to_start(10, 0.0), "no number"),
        (lambda: q.seeds_per_cell(0.5, 1.0), "No number"),
        (lambda: q.strength_of_parts(100, 1, -1), "fewer than none"),
        (lambda: q.pots_per_bag(40, 0), "pot is 0"),
    ],
)
def test_what_cannot_be_is_refused(made, said: str) -> None:
    with pytest.raises(Refused, match=said):
        made()
