import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from propagate.errors import Refused
from propagate.science import chill
from propagate.science.chill import ChillUnits

HOURLY = st.lists(st.floats(-10, 30), min_size=24, max_size=200)


@pytest.mark.parametrize(
    ("minimum", "maximum", "share"),
    [(4, 4, 1), (1, 1, 1), (7, 7, 1), (0.9, 0.9, 0), (8, 20, 0), (1, 7, 1), (-2, 4, 0.5)],
)
def test_a_day_counts_its_time_in_the_band(minimum, maximum, share):
    """A sine from -2 to 4 °C spends half of its time above its mean of 1 °C."""
    assert chill.days_in_band(minimum, maximum, 1, 7) == pytest.approx(share)


@given(st.floats(-10, 20), st.floats(0.1, 15), st.floats(-5, 10), st.floats(0.1, 8))
def test_bands_side_by_side_add_up(low, span, edge, width):
    parts = [
        chill.days_in_band(low, low + span, *band)
        for band in ((-99, edge), (edge, edge + width), (edge + width, 99))
    ]
    assert sum(parts) == pytest.approx(1)


@given(HOURLY)
def test_hours_below_are_hours_between_and_the_frosty_ones(hourly):
    hourly = np.array(hourly)
    at_limit = (hourly == chill.CHILL_LIMIT_C).sum()
    frosty = (hourly < 0).sum()
    below = chill.hours_below(hourly).sum()
    assert below == chill.hours_between(hourly).sum() + frosty - at_limit


@given(HOURLY)
def test_units_without_warmth_undoing_are_the_positive_part(hourly):
    kept = chill.utah_units(hourly, warmth_undoes=False)
    assert (kept == np.maximum(chill.utah_units(hourly), 0)).all()


def test_the_smooth_curve_is_continuous_and_highest_at_seven_degrees():
    hourly = np.linspace(-5, 30, 35_001)
    units = chill.smooth_units(hourly)
    assert np.abs(np.diff(units)).max() < 3e-4
    assert hourly[units.argmax()] == pytest.approx(7, abs=0.01)
    assert (units.min(), units.max()) == pytest.approx((-1, 1))


@given(HOURLY, HOURLY)
def test_portions_once_fixed_are_kept(cold, then):
    """Whatever follows adds portions and takes none away."""
    whole = chill.portions(cold + then)
    assert (whole >= 0).all()
    assert whole[: len(cold)] == pytest.approx(chill.portions(cold))


def test_several_futures_go_in_one_call():
    futures = np.random.default_rng(4).uniform(0, 14, (3, 600))
    together = chill.portions(futures)
    apart = np.array([chill.portions(future) for future in futures])
    assert together == pytest.approx(apart)
    assert together.sum() > 3


def test_heat_undoes_a_precursor_that_is_not_fixed_yet():
    cold, heat = [5.0] * 20, [25.0] * 10
    assert chill.portions(cold + cold).sum() > 0
    assert chill.portions(cold + heat + cold).sum() == 0


def test_days_are_sums_of_24_hours():
    assert chill.per_day(np.ones((2, 48))) == pytest.approx(np.full((2, 2), 24))
    with pytest.raises(Refused, match="25 hours"):
        chill.per_day(np.ones(25))


@pytest.mark.parametrize(
    "count", [chill.hours_below, chill.hours_between, chill.utah_units, chill.smooth_units]
)
def test_a_missing_hour_stays_missing(count):
    assert np.isnan(count([5.0, np.nan])).tolist() == [False, True]


def test_a_band_upside_down_is_refused():
    with pytest.raises(Refused, match="from 7 to 1"):
        chill.days_in_band(0, 5, 7, 1)


@pytest.mark.parametrize(("model", "steady_c"), [("hours", 4.0), ("utah", 4.0), ("portions", 6.0)])
def test_a_day_of_steady_cold_counts_one_in_every_unit(model, steady_c):
    """Portions of 60 days at 6 °C, from nothing: 49 by the published constants, 0.82 a day."""
    cold = np.full(60, steady_c)
    assert ChillUnits(model).daily(cold, cold).sum() == pytest.approx(60, rel=0.03)


@pytest.mark.parametrize("model", ["hours", "utah", "portions"])
def test_summer_days_are_worth_no_chill_and_none_runs_backwards(model):
    low, high = np.full((2, 40), 14.0), np.full((2, 40), 26.0)
    low[1], high[1] = -1.0, 12.0
    found = ChillUnits(model).daily(low, high)
    assert found[0] == pytest.approx(0, abs=1e-9)
    assert (found >= 0).all()
    assert found[1].sum() > 10


@pytest.mark.parametrize("model", ["hours", "utah", "portions"])
def test_a_day_without_a_reading_counts_nothing_known_and_harms_no_other(model):
    low, high = np.full(50, 1.0), np.full(50, 9.0)
    whole = ChillUnits(model).daily(low, high)
    low[20] = np.nan
    holed = ChillUnits(model).daily(low, high)
    assert np.isnan(holed[20])
    assert np.delete(holed, 20) == pytest.approx(np.delete(whole, 20))
    assert np.isnan(ChillUnits(model).daily(np.full(3, np.nan), np.full(3, np.nan))).all()
