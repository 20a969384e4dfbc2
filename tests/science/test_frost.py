import datetime as dt

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from propagate.errors import Refused
from propagate.science.frost import FrostLaw, frost_days, frost_law, month_day, winter_day

LAWS = st.builds(FrostLaw, st.floats(0.05, 1), st.floats(50, 300), st.floats(2, 30))
CHANCES = st.floats(0.01, 0.99)


def years_of(first_year, last_year, frosts):
    """Minima of 5 °C on every day, but -1 °C on the dates given as text."""
    dates = np.arange(f"{first_year}-01-01", f"{last_year + 1}-01-01", dtype="datetime64[D]")
    minimum = np.full(dates.shape, 5.0)
    minimum[np.isin(dates, np.array(frosts, dtype="datetime64[D]"))] = -1
    return dates, minimum


def test_each_winter_has_its_first_and_its_last_frost():
    """1 July to 30 June; the winters cut off at both ends are left out."""
    dates, minimum = years_of(
        2001, 2004, ["2001-10-20", "2002-01-05", "2002-05-02", "2003-11-01", "2004-03-09"]
    )
    found = frost_days(dates, minimum)
    assert [month_day(day) for day in found.first[[0, 2]]] == [(10, 20), (11, 1)]
    assert month_day(found.last[0]) == (5, 2)
    assert np.isnan(found.first).tolist() == [False, True, False]
    assert np.isnan(found.last).tolist() == [False, True, False]


def test_a_southern_winter_is_a_calendar_year():
    dates, minimum = years_of(2001, 2002, ["2001-05-10", "2001-09-28", "2002-06-01"])
    found = frost_days(dates, minimum, southern=True)
    assert [month_day(day, southern=True) for day in found.first] == [(5, 10), (6, 1)]
    assert [month_day(day, southern=True) for day in found.last] == [(9, 28), (6, 1)]


def test_a_first_frost_after_new_year_is_still_a_first_frost():
    dates, minimum = years_of(2001, 2002, ["2002-02-03"])
    found = frost_days(dates, minimum)
    assert found.first.tolist() == found.last.tolist() == [winter_day((2, 3))]


def test_gaps_make_a_winter_incomplete():
    dates, minimum = years_of(2001, 2003, ["2001-10-20", "2002-12-01"])
    minimum[250:300] = np.nan
    assert len(frost_days(dates, minimum).first) == 1


def test_order_does_not_matter_and_the_limit_does():
    dates, minimum = years_of(2001, 2003, ["2001-10-20", "2002-12-01"])
    shuffled = np.random.default_rng(1).permutation(len(dates))
    assert frost_days(dates[shuffled], minimum[shuffled]).first.tolist() == [
        *frost_days(dates, minimum).first
    ]
    assert np.isnan(frost_days(dates, minimum, limit_c=-2).first).all()


@given(LAWS, CHANCES)
def test_a_day_and_its_chance_belong_together(law, chance):
    late, early = law.day_exceeded(chance), law.day_undercut(chance)
    if chance < law.chance_of_any:
        assert law.chance_after(late) == pytest.approx(chance)
        assert law.chance_before(early) == pytest.approx(chance)
    else:
        assert late is None
        assert early is None


@given(LAWS, CHANCES, CHANCES)
def test_a_smaller_risk_waits_longer(law, one, other):
    small, large = sorted((one, other))
    days = law.day_exceeded(small), law.day_exceeded(large)
    if None not in days:
        assert days[0] >= days[1]


@given(st.lists(st.integers(100, 320), min_size=5, max_size=40), st.integers(0, 20))
def test_winters_without_frost_lower_the_chance_and_leave_the_date(days, mild):
    law, mixed = frost_law(days), frost_law([*days, *[np.nan] * mild])
    assert mixed.chance_of_any == pytest.approx(len(days) / (len(days) + mild))
    assert mixed.mean_day == law.mean_day
    assert mixed.deviation_days == law.deviation_days


def test_a_law_is_found_again_from_many_winters():
    truth = FrostLaw(0.7, 290, 12)
    rng = np.random.default_rng(7)
    days = np.where(rng.random(4000) < 0.7, rng.normal(290, 12, 4000), np.nan)
    law = frost_law(days)
    for chance in (0.1, 0.5):
        assert law.day_exceeded(chance) == pytest.approx(truth.day_exceeded(chance), abs=1.5)
    assert law.day_exceeded(0.9) is None
    later = np.nan_to_num(days, nan=-1) > law.day_exceeded(0.1)
    assert later.mean() == pytest.approx(0.1, abs=0.01)


def test_one_frost_in_many_winters_borrows_its_spread():
    law = frost_law([200, *[np.nan] * 9])
    assert (law.chance_of_any, law.mean_day, law.deviation_days) == (0.1, 200, 11)
    assert frost_law([np.nan] * 6).day_exceeded(0.1) is None
    assert frost_law([np.nan] * 6).chance_after(0) == 0


@given(st.dates(dt.date(2001, 7, 1), dt.date(2002, 6, 30)), st.booleans())
def test_a_date_and_its_day_of_the_winter_belong_together(date, southern):
    here = (date.month, date.day)
    assert month_day(winter_day(here, southern=southern), southern=southern) == here


def test_what_cannot_be_is_refused():
    with pytest.raises(Refused, match="need 5 complete winters; there are 4"):
        frost_law([1, 2, 3, 4])
    with pytest.raises(Refused, match="2 minima do not belong to 1 dates"):
        frost_days(np.array(["2001-01-01"], dtype="datetime64[D]"), [1, 2])
    with pytest.raises(Refused, match="between 0 and 1; got 1"):
        FrostLaw(1, 1, 1).day_exceeded(1)
