import datetime as dt

import pytest
from scipy.stats import binom

from propagate.actions.reckoning import stratification, to_start
from propagate.errors import Refused
from propagate.library import Library
from propagate.paths import methods_folder

LIBRARY = Library([methods_folder()])


@pytest.mark.parametrize(
    ("wanted", "takes", "stays"), [(100, 0.8, 0.9), (12, 0.5, 1.0), (1, 0.3, 0.5)]
)
def test_the_sure_number_is_the_smallest_by_the_binomial_law(
    wanted: int, takes: float, stays: float
) -> None:
    """Against scipy.stats.binom, an independent binomial distribution."""
    answer = to_start(wanted, takes, stays, 0.9)
    share = takes * stays
    assert binom.sf(wanted - 1, answer.surely, share) >= 0.9
    assert binom.sf(wanted - 1, answer.surely - 1, share) < 0.9
    assert answer.on_average <= answer.surely


def test_when_all_take_no_more_than_wanted_are_started() -> None:
    assert to_start(30, 1.0, 1.0, 0.9).surely == 30


def test_a_chance_of_no_use_is_refused() -> None:
    with pytest.raises(Refused, match="chance of 100 %"):
        to_start(10, 0.5, 1.0, 1.0)


def test_hawthorn_is_counted_back_through_cold_and_warm() -> None:
    # Treegrowers (British tree-seed nursery), warm and cold pre-treatments: 8 weeks and 31 weeks.
    sowing = dt.date(2028, 4, 1)
    answer = stratification(LIBRARY, LIBRARY.resolve("hawthorn"), sowing)
    assert [spell[0] for spell in answer.spells] == ["warm", "cold"]
    assert answer.begins == sowing - dt.timedelta(weeks=8 + 31)
    assert answer.spells[0][2] == answer.spells[1][1] == sowing - dt.timedelta(weeks=31)


def test_seed_without_a_spell_is_refused() -> None:
    with pytest.raises(Refused, match="no warm or cold spell"):
        stratification(LIBRARY, LIBRARY.resolve("tomato"), dt.date(2027, 3, 1))


def test_a_large_order_is_reckoned_too() -> None:
    """More than one batch holds; against scipy.stats.binom as above."""
    answer = to_start(6000, 0.6, 0.9, 0.9)
    assert binom.sf(5999, answer.surely, 0.54) >= 0.9
    assert binom.sf(5999, answer.surely - 1, 0.54) < 0.9
