"""The fan: the past as booked, the future as the forecast says it, week by week."""

import datetime as dt
from collections.abc import Sequence
from itertools import pairwise

import pytest
from attrs import evolve

from propagate.errors import Refused
from propagate.ledger import fold
from propagate.names import parse
from propagate.planning.case import Case
from propagate.planning.fans import make_fan
from propagate.planning.forecasting import make_forecast
from propagate.planning.groups import make_groups
from propagate.records import events
from propagate.records.answers import QUANTILES
from propagate.records.events import Entry, Started
from propagate.records.fans import Fan
from propagate.records.methods import Figure, Gate, MethodRecord, Season, Stage

CODE, OTHER = "M7KD", "CC7P"
STRUCK = dt.date(2026, 11, 12)
LOOKED = dt.date(2027, 3, 4)  # 16 weeks later


def after(weeks: int) -> dt.date:
    return STRUCK + dt.timedelta(weeks=weeks)


def record(gate: Gate = "any") -> MethodRecord:
    """Roots in 12 to 24 weeks; 60 to 90 % take."""
    take = Figure(0.6, 0.9, "memory")
    stage = Stage("rooting", "take", Figure(12, 24, "memory"), take, gate=gate)
    return MethodRecord("way", None, (stage,), Season(("dormant",), (11,)))


def other_batch(case: Case, code: str, on: dt.date, plant: str = "Ribes nigrum") -> Case:
    """Another batch of 60 by the same method and record."""
    moment = dt.datetime(2026, 1, 1, tzinfo=dt.UTC)
    started = Started(code, parse(plant), "way", 60)
    state = fold([Entry(1, "1", on, moment, started)]).batch(code)
    return evolve(case, state=state)


@pytest.fixture
def fan_of(north):
    """The fan of some cases as of a day, by a day, from a day."""

    def of(cases: Sequence[Case], as_of: dt.date, by=None, codes=None, **options) -> Fan:
        wanted = codes or [case.state.code for case in cases]
        answer = make_forecast(cases, wanted, north, as_of, by)
        return make_fan(make_groups(cases, north), answer, north, **options)

    return of


@pytest.fixture
def checked(make_case):
    """A batch of 40 of which 16 were found rooted and 3 dead after 16 weeks, 10 potted on since."""
    return make_case(
        record(),
        STRUCK,
        (after(8), events.Checked(CODE, rooted=0, dead=1)),
        (LOOKED, events.Checked(CODE, rooted=16, dead=3)),
        (after(17), events.PottedOn(CODE, 10)),
    )


def test_every_week_says_what_the_forecast_by_that_day_says(checked, fan_of, north) -> None:
    fan = fan_of([checked], after(18))
    for week in fan.weeks[::5]:
        said = make_forecast([checked], [CODE], north, after(18), week.date).batches[0].plants
        assert week.quantiles == said.quantiles
        assert week.mean == pytest.approx(said.mean, abs=1e-9)


def test_the_end_is_the_forecasts_own_answer(checked, fan_of, north) -> None:
    fan = fan_of([checked], after(18))
    said = make_forecast([checked], [CODE], north, after(18)).batches[0]
    ends = (fan.plants.low, fan.plants.likely, fan.plants.high)
    assert ends == (said.plants.low, said.plants.likely, said.plants.high)
    assert fan.plants.quantiles == said.plants.quantiles
    assert [window.pot_on for window in fan.windows] == [said.pot_on]


def test_quantiles_are_in_order_and_never_fall(checked, fan_of) -> None:
    weeks = fan_of([checked], after(18)).weeks
    assert [tuple(week.quantiles) for week in weeks] == [QUANTILES] * len(weeks)
    for week in weeks:
        assert sorted(week.quantiles.values()) == list(week.quantiles.values())
    for share in QUANTILES:
        line = [week.quantiles[share] for week in weeks]
        assert line == sorted(line)


def test_the_fan_opens_at_the_latest_look_with_what_was_counted(checked, fan_of) -> None:
    first = fan_of([checked], after(18)).weeks[0]
    assert first.date == LOOKED
    assert set(first.quantiles.values()) == {16}


def test_a_look_that_counted_nothing_opens_no_fan(make_case, fan_of) -> None:
    counted = (LOOKED, events.Checked(CODE, rooted=16, dead=3))
    glanced = (after(17), events.Checked(CODE))
    fan = fan_of([make_case(record(), STRUCK, counted, glanced)], after(18))
    assert fan.weeks[0].date == LOOKED
    assert [dot.date for dot in fan.dots] == [LOOKED]


def test_before_any_check_it_opens_at_the_start_with_nothing(make_case, fan_of) -> None:
    fan = fan_of([make_case(record(), STRUCK)], after(5))
    assert (fan.first, fan.weeks[0].date) == (STRUCK, STRUCK)
    assert set(fan.weeks[0].quantiles.values()) == {0}
    assert fan.dots == ()


def test_weeks_are_a_week_apart_and_reach_the_last_day(make_case, fan_of) -> None:
    fan = fan_of([make_case(record(), STRUCK)], after(5))
    days = [week.date for week in fan.weeks]
    gaps = [(later - day).days for day, later in pairwise(days)]
    assert set(gaps[:-1]) == {7}
    assert 1 <= gaps[-1] <= 7
    assert days[-1] == fan.last


def test_the_last_day_is_past_the_window_and_nearly_all_rooting(make_case, fan_of) -> None:
    fan = fan_of([make_case(record(), STRUCK)], after(5))
    assert fan.last >= fan.windows[0].pot_on.late
    assert fan.plants.mean - fan.weeks[-1].mean < 1.5  # of some 30 that will come


def test_a_day_asked_for_is_the_last_one(checked, fan_of) -> None:
    fan = fan_of([checked], after(18), by=after(22))
    assert fan.last == after(22)
    assert fan.weeks[-1].quantiles == fan.plants.quantiles


def test_checks_are_dots_at_what_had_been_found(checked, fan_of) -> None:
    dots = fan_of([checked], after(18)).dots
    assert [(dot.date, dot.rooted, dot.dead, dot.plants) for dot in dots] == [
        (after(8), 0, 1, 0),
        (LOOKED, 16, 3, 16),
    ]


def test_steps_tell_found_and_potted_on_as_the_book_does(checked, fan_of) -> None:
    steps = fan_of([checked], after(18)).steps
    assert [(step.date, step.started, step.raised, step.potted) for step in steps] == [
        (STRUCK, 40, 0, 0),
        (LOOKED, 40, 16, 0),
        (after(17), 40, 16, 10),
    ]


def test_a_sample_stands_at_what_the_tray_would_hold(make_case, fan_of) -> None:
    happened = (after(16), events.Checked(CODE, rooted=6, dead=0, sample=10))
    (dot,) = fan_of([make_case(record(), STRUCK, happened)], after(16)).dots
    # 6 of 10 lifted from a tray of 40 make 24.
    assert (dot.rooted, dot.sample, dot.plants) == (6, 10, pytest.approx(24))


def test_dead_found_without_a_count_of_roots_is_a_dot_that_says_so(make_case, fan_of) -> None:
    happened = (after(10), events.Checked(CODE, dead=2))
    (dot,) = fan_of([make_case(record(), STRUCK, happened)], after(16)).dots
    assert (dot.rooted, dot.dead, dot.plants) == (None, 2, 0)


def test_loss_of_found_plants_opens_the_fan_anew_below(make_case, fan_of) -> None:
    fan = fan_of(
        [
            make_case(
                record(),
                STRUCK,
                (LOOKED, events.Checked(CODE, rooted=16, dead=3)),
                (after(18), events.Lost(CODE, 4, "mice", "rooted")),
            )
        ],
        after(18),
    )
    assert fan.weeks[0].date == after(18)
    assert fan.weeks[0].quantiles[0.05] >= 12
    assert [step.raised for step in fan.steps] == [0, 16, 12]


def test_a_finished_batch_is_a_sure_line_without_a_window(make_case, fan_of) -> None:
    happened = [
        (after(20), events.Checked(CODE, rooted=30, dead=10)),
        (after(21), events.PottedOn(CODE, 30)),
    ]
    fan = fan_of([make_case(record("dormant"), STRUCK, *happened)], after(200))
    assert all(set(week.quantiles.values()) == {30} for week in fan.weeks)
    assert (fan.windows, fan.seasons) == ((), ())
    assert fan.last <= after(30)


def test_a_first_day_cuts_the_past_and_keeps_what_was_known(checked, fan_of) -> None:
    fan = fan_of([checked], after(18), first=after(17))
    assert fan.first == fan.weeks[0].date == after(17)
    assert [(step.raised, step.potted) for step in fan.steps] == [(16, 10)]
    assert fan.dots == ()


def test_a_gate_marks_the_seasons_in_which_the_batch_may_be_lifted(make_case, fan_of) -> None:
    fan = fan_of([make_case(record("after growth"), STRUCK)], after(5))
    first = fan.seasons[0]
    assert first.opens == dt.date(2027, 11, 5)  # not the winter it was struck in
    assert all(season.opens <= season.closes <= fan.last for season in fan.seasons)
    assert "leaf fall" in fan.season_words
    assert fan_of([make_case(record(), STRUCK)], after(5)).seasons == ()


def test_batches_of_a_plant_add_up_with_what_they_share(make_case, fan_of, north) -> None:
    cases = [make_case(record(), STRUCK)]
    cases.append(other_batch(cases[0], OTHER, after(4)))
    fan = fan_of(cases, after(5))
    by = fan.weeks[20].date
    total = make_forecast(cases, [CODE, OTHER], north, after(5), by).totals[0].plants
    assert fan.weeks[20].quantiles == total.quantiles
    assert fan.batch == ""
    assert fan.count == 100
    assert [step.started for step in fan.steps] == [40, 100]
    assert [window.batch for window in fan.windows] == [CODE, OTHER]


def test_two_plants_or_none_are_refused(make_case, fan_of) -> None:
    case = make_case(record(), STRUCK)
    quince = other_batch(case, OTHER, STRUCK, "Cydonia oblonga")
    with pytest.raises(Refused, match="one batch or one plant; say which"):
        fan_of([case, quince], after(5))


def test_the_title_says_what_was_started(make_case, fan_of) -> None:
    assert fan_of([make_case(record(), STRUCK)], after(5)).title == (
        "M7KD, 40 cuttings started 12 Nov 2026"
    )
