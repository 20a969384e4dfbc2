"""Gates: the season in which a step is allowed, by the nursery's own days, north and south."""

import datetime as dt

import pytest
from hypothesis import given
from hypothesis import strategies as st

from propagate.planning.seasons import into_gate, local_months, season_of, season_words
from propagate.records.methods import Gate
from propagate.records.nursery import Nursery
from propagate.science.seasons import into_season
from propagate.settings import COMMON_FROSTS

NORTH, SOUTH = (Nursery("Bench", key, **COMMON_FROSTS[key]) for key in ("north", "south"))
GATES: tuple[Gate, ...] = ("any", "dormant", "after growth", "growing", "frost-free")
DAYS = st.dates(dt.date(2024, 1, 1), dt.date(2030, 12, 31))


def day(text: str) -> dt.date:
    return dt.date.fromisoformat(text)


@pytest.mark.parametrize(
    ("gate", "ripe", "allowed"),
    [
        ("any", "2027-07-01", "2027-07-01"),
        ("dormant", "2027-07-01", "2027-11-05"),  # waits for leaf fall
        ("dormant", "2027-12-24", "2027-12-24"),
        ("dormant", "2028-03-26", "2028-11-05"),  # bud break has passed
        ("growing", "2027-01-10", "2027-03-25"),
        ("frost-free", "2027-02-01", "2027-05-10"),  # not before the last frost
        ("frost-free", "2027-06-01", "2027-06-01"),
        ("frost-free", "2027-10-21", "2028-05-10"),
    ],
)
def test_a_day_waits_for_its_season_in_the_north(gate, ripe, allowed) -> None:
    started = day("2026-11-12")
    assert into_gate(day(ripe), started, gate, NORTH, started) == day(allowed)


@pytest.mark.parametrize(
    ("gate", "ripe", "allowed"),
    [
        ("dormant", "2027-01-01", "2027-05-05"),
        ("dormant", "2027-06-24", "2027-06-24"),
        ("growing", "2027-07-10", "2027-09-25"),
        ("frost-free", "2027-08-01", "2027-11-10"),
        ("frost-free", "2027-12-01", "2027-12-01"),
    ],
)
def test_a_day_waits_for_its_season_in_the_south(gate, ripe, allowed) -> None:
    started = day("2026-05-12")
    assert into_gate(day(ripe), started, gate, SOUTH, started) == day(allowed)


@pytest.mark.parametrize("struck", ["2026-10-20", "2026-11-12", "2027-02-20"])
def test_wood_struck_in_winter_is_lifted_from_the_next_leaf_fall(struck) -> None:
    rooted = day(struck) + dt.timedelta(weeks=12)
    lifted = into_gate(rooted, day(struck), "after growth", NORTH, day(struck))
    assert lifted == day("2027-11-05")


def test_a_season_in_use_is_kept_and_a_missed_one_moves_to_the_next() -> None:
    ripe, started = day("2026-12-01"), day("2026-03-01")
    assert into_gate(ripe, started, "dormant", NORTH, day("2027-03-20")) == ripe
    assert into_gate(ripe, started, "dormant", NORTH, day("2027-03-25")) == ripe  # its last day
    assert into_gate(ripe, started, "dormant", NORTH, day("2027-03-26")) == day("2027-11-05")
    assert into_gate(ripe, started, "dormant", NORTH, day("2028-06-01")) == day("2028-11-05")


def test_in_an_open_season_a_long_missed_day_is_its_opening() -> None:
    ripe, started = day("2026-12-01"), day("2026-03-01")
    assert into_gate(ripe, started, "dormant", NORTH, day("2027-12-10")) == day("2027-11-05")


@given(st.sampled_from(GATES), DAYS, DAYS, st.sampled_from((NORTH, SOUTH)))
def test_the_allowed_day_is_in_season_and_never_too_soon(gate, ripe, today, nursery) -> None:
    allowed = into_gate(ripe, ripe - dt.timedelta(days=60), gate, nursery, today)
    assert allowed >= ripe
    season = season_of(gate, nursery)
    if season is not None:
        assert into_season(allowed, *season) == allowed
        assert into_season(allowed, season[1], season[1]) >= today  # not in a closed season


@given(st.sampled_from(GATES), DAYS, DAYS, DAYS)
def test_a_later_ripening_is_never_allowed_sooner(gate, one, other, today) -> None:
    early, late = sorted((one, other))
    started = early - dt.timedelta(days=60)
    first, second = (into_gate(each, started, gate, NORTH, today) for each in (early, late))
    assert first <= second


def test_a_gate_is_told_with_the_days_of_the_nursery() -> None:
    assert season_words("any", NORTH) == ""
    assert season_words("frost-free", SOUTH) == "after the last frost (10 Nov to 20 Apr)"
    for gate in GATES[1:]:
        assert "(" in season_words(gate, NORTH)


def test_months_of_the_north_are_half_a_year_off_in_the_south() -> None:
    assert local_months((11, 12, 1), NORTH) == (11, 12, 1)
    assert local_months((11, 12, 1), SOUTH) == (5, 6, 7)
    assert local_months((6,), SOUTH) == (12,)
