"""From batches and records to windows and counts: gates, treatments, free plants, totals."""

import datetime as dt

import pytest
from attrs import evolve

from propagate.planning.forecasting import make_forecast, pot_on_windows
from propagate.planning.groups import make_groups
from propagate.records import events
from propagate.records.answers import BatchForecast, PlantCount
from propagate.records.methods import Figure, Gate, MethodRecord, Season, Stage

CODE = "M7KD"
STRUCK = dt.date(2026, 11, 12)


def after(weeks: int) -> dt.date:
    return STRUCK + dt.timedelta(weeks=weeks)


def record(gate: Gate = "any", *treatments: Stage, establish: Figure | None = None) -> MethodRecord:
    """Roots in 12 to 24 weeks; 60 to 90 % take."""
    take = Figure(0.6, 0.9, "memory")
    taking = Stage("rooting", "take", Figure(12, 24, "memory"), take, gate=gate)
    legs = [*treatments, taking]
    if establish:
        legs.append(Stage("establishing", "establish", Figure(6, 10, "memory"), establish))
    return MethodRecord("way", None, tuple(legs), Season(("dormant",), (11,)))


def treatment(name: str, weeks: float) -> Stage:
    return Stage(name, "treat", Figure(weeks, weeks, "memory"))


HAWTHORN = record("any", treatment("warm", 8), treatment("cold", 20))


@pytest.fixture
def answer(make_case, north):
    """The answer for one batch as of a day, 12 November 2026 unless told."""

    def of(its_record: MethodRecord, *happened, today: dt.date = STRUCK, by=None) -> BatchForecast:
        case = make_case(its_record, STRUCK, *happened)
        return make_forecast([case], [CODE], north, today, by).batches[0]

    return of


def ordered(plants: PlantCount) -> bool:
    return 0 <= plants.low <= plants.likely <= plants.high


def test_the_window_of_a_batch_is_in_order_and_says_what_drives_it(answer) -> None:
    window = answer(record()).pot_on
    assert after(12) < window.early < window.likely < window.late < after(60)
    assert window.why == "when 80 % of those that take are rooted"


def test_a_dormant_gate_lifts_between_leaf_fall_and_bud_break(answer) -> None:
    window = answer(record("dormant")).pot_on
    assert window.early >= dt.date(2027, 2, 4)  # none has rooted before 12 weeks
    for day in (window.early, window.likely, window.late):
        assert (day.month, day.day) >= (11, 5) or (day.month, day.day) <= (3, 25)
    assert "between leaf fall and bud break (5 Nov to 25 Mar)" in window.why


def test_wood_struck_in_november_is_lifted_from_the_next_leaf_fall(answer) -> None:
    window = answer(record("after growth")).pot_on
    assert window.early == window.likely == dt.date(2027, 11, 5)


def test_a_missed_season_moves_the_window_to_the_next(answer) -> None:
    window = answer(record("after growth"), today=dt.date(2028, 4, 1)).pot_on
    assert window.early == dt.date(2028, 11, 5)


@pytest.mark.parametrize("weeks", range(1, 200, 9))
def test_a_window_is_in_order_whenever_it_is_asked_for(answer, weeks) -> None:
    window = answer(record("dormant"), today=after(weeks)).pot_on
    assert window.early <= window.likely <= window.late


def test_in_the_south_the_gates_are_half_a_year_round(make_case, south) -> None:
    case = make_case(record("after growth"), dt.date(2026, 5, 12))
    ((_, window),) = pot_on_windows(make_groups([case], south), south, dt.date(2026, 5, 12))
    assert window.likely == dt.date(2027, 5, 5)


def test_the_window_of_treated_seed_counts_from_the_end_of_its_spells(answer) -> None:
    plain, treated = answer(record()).pot_on, answer(HAWTHORN).pot_on
    assert treated.likely == plain.likely + dt.timedelta(weeks=28)


def test_a_late_move_to_the_fridge_moves_the_window(answer) -> None:
    planned = answer(HAWTHORN).pot_on
    moved = (after(13), events.Moved(CODE, "fridge"))
    late = answer(HAWTHORN, moved, today=after(13)).pot_on
    assert late.early == planned.early + dt.timedelta(weeks=5)
    assert late.likely == planned.likely + dt.timedelta(weeks=5)


def test_counts_are_in_order_and_within_the_batch(answer) -> None:
    said = answer(record())
    assert ordered(said.plants)
    assert said.plants.high <= 40
    assert 0.6 * 40 < said.plants.mean < 0.9 * 40


def test_a_count_by_a_day_grows_to_the_count_for_ever(answer) -> None:
    means = [answer(record(), by=after(weeks)).plants.mean for weeks in (0, 8, 16, 24, 52, 400)]
    assert means == sorted(means)
    assert means[0] == pytest.approx(0, abs=0.1)
    assert means[-1] == pytest.approx(answer(record()).plants.mean, abs=0.01)


def test_a_sample_of_which_nobody_said_what_was_rooted_tells_nothing(answer) -> None:
    looked = (after(10), events.Checked(CODE, sample=20))
    counted = (after(10), events.Checked(CODE, rooted=0, sample=20))
    assert answer(record(), looked, today=after(10)).plants == answer(record()).plants
    assert answer(record(), counted, today=after(10)).plants.mean < answer(record()).plants.mean


def test_known_plants_are_sure_and_lost_ones_gone(answer) -> None:
    look = (after(20), events.Checked(CODE, rooted=25, dead=10))
    plants = answer(record(), look, today=after(20)).plants
    assert 25 <= plants.low <= plants.high <= 30


def test_when_all_is_known_the_count_is_one_number(answer) -> None:
    look = (after(20), events.Checked(CODE, rooted=25, dead=15))
    plants = answer(record(), look, today=after(20)).plants
    assert (plants.low, plants.likely, plants.high, plants.mean) == (25, 25, 25, 25)


def test_free_plants_are_those_that_establish_and_are_not_planted_given_or_promised(answer) -> None:
    way = record(establish=Figure(0.8, 0.9, "memory"))
    happened = [
        (after(20), events.Checked(CODE, rooted=30, dead=10)),
        (after(21), events.PlantedOut(CODE, 5, "row")),
        (after(21), events.Given(CODE, 3, "Ann")),
        (after(21), events.Promised(CODE, 2, "Ben")),
    ]
    said = answer(way, *happened, today=after(21))
    assert said.plants.likely == 30  # planted and given ones have come of it
    # Of the 22 still rooted here some 85 % establish, and 2 are promised.
    assert said.free.mean == pytest.approx(22 * 0.85 - 2, abs=0.3)
    assert ordered(said.free)


def test_more_promised_than_will_come_leaves_none_free_and_not_less(answer) -> None:
    happened = [
        (after(1), events.Promised(CODE, 30, "Ann")),
        (after(20), events.Checked(CODE, rooted=10, dead=30)),
    ]
    free = answer(record(), *happened, today=after(20)).free
    assert (free.low, free.likely, free.high) == (0, 0, 0)


def test_the_answer_says_what_it_rests_on(answer) -> None:
    why = answer(record()).why
    assert why[0] == "A record."
    assert "60 to 90 % take" in why[1]


def test_only_the_batches_wanted_are_answered_and_summed(make_case, north) -> None:
    first = make_case(record(), STRUCK)
    other = evolve(
        first, state=evolve(first.state, started=evolve(first.state.started, batch="CC7P"))
    )
    said = make_forecast([first, other], [CODE], north, STRUCK)
    assert [batch.batch for batch in said.batches] == [CODE]
    assert said.totals[0].plants.mean == pytest.approx(said.batches[0].plants.mean, abs=0.01)


def test_sisters_are_summed_wider_than_if_they_had_nothing_in_common(make_case, north) -> None:
    first = make_case(record(), STRUCK)
    other = evolve(
        first, state=evolve(first.state, started=evolve(first.state.started, batch="CC7P"))
    )
    said = make_forecast([first, other], [CODE, "CC7P"], north, STRUCK)
    one, total = said.batches[0].plants, said.totals[0].plants
    assert total.mean == pytest.approx(2 * one.mean, abs=0.01)
    spread, spread_one = total.high - total.low, one.high - one.low
    assert 2**0.5 * spread_one < spread <= 2 * spread_one


def test_what_two_methods_raise_establishes_as_each_of_them_lets_it(make_case, north) -> None:
    tender = make_case(record(establish=Figure(0.3, 0.5, "memory")), STRUCK)
    sturdy = make_case(record(establish=Figure(0.9, 0.98, "memory")), STRUCK)
    other = evolve(
        sturdy,
        method=evolve(sturdy.method, id="other"),
        state=evolve(sturdy.state, started=evolve(sturdy.state.started, batch="CC7P")),
    )
    said = make_forecast([tender, other], [CODE, "CC7P"], north, STRUCK)
    assert len(said.totals) == 1
    both = sum(batch.free.mean for batch in said.batches)
    assert said.totals[0].free.mean == pytest.approx(both, abs=0.05)


def test_none_dead_is_news_where_nobody_said_so_before(answer) -> None:
    """A tray still alive late holds takers that are slow, once the dead are known to be none."""
    late = after(30)
    unsaid = answer(record(), (late, events.Checked(CODE, rooted=20)), today=late)
    none_dead = answer(record(), (late, events.Checked(CODE, rooted=20, dead=0)), today=late)
    assert none_dead.plants.mean > unsaid.plants.mean + 0.5
