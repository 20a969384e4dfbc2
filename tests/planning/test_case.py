"""A batch with its record: accounts in the method's words, and treatments on the calendar."""

import datetime as dt

import pytest
from attrs import evolve

from propagate.planning.case import OUT_OF_THE_COLD, Case, in_cold, spells, stays, treated_days
from propagate.records import events
from propagate.records.methods import Figure, MethodRecord, Season, Stage
from propagate.records.nursery import Place

CODE = "M7KD"
SOWN = dt.date(2026, 9, 10)


def treatment(name: str, weeks: float) -> Stage:
    return Stage(name, "treat", Figure(weeks, weeks, "memory"))


def seed(*treatments: Stage) -> MethodRecord:
    up = Stage("coming up", "take", Figure(2, 6, "memory"))
    return MethodRecord("way", None, (*treatments, up), Season(("ripe seed",), (9,)))


HAWTHORN = seed(treatment("warm", 8), treatment("cold", 20))
TWICE_COLD = seed(treatment("cold", 10), treatment("warm", 8), treatment("cold", 10))


def moved(place: str, day: dt.date) -> tuple[dt.date, events.Event]:
    return day, events.Moved(CODE, place)


def after(weeks: int, days: int = 0) -> dt.date:
    return SOWN + dt.timedelta(weeks=weeks, days=days)


def test_accounts_are_named_by_the_method_and_come_in_the_order_of_a_plants_way(make_case) -> None:
    case: Case = make_case(
        seed(),
        SOWN,
        (after(1), events.Lost(CODE, 3, "mice")),
        (after(4), events.Checked(CODE, rooted=20, dead=2)),
        (after(5), events.PottedOn(CODE, 12)),
        (after(6), events.Given(CODE, 2, "Ann")),
    )
    assert list(case.accounts.items()) == [
        ("rooting", 15),
        ("rooted", 8),
        ("potted", 10),
        ("given: Ann", 2),
        ("lost", 2),
        ("lost: mice", 3),
    ]


def test_the_waiting_account_is_named_when_it_is_empty(make_case) -> None:
    case = make_case(seed(), SOWN, (after(4), events.PottedOn(CODE, 40)))
    assert case.accounts == {"rooting": 0, "potted": 40}


def test_the_last_day_plants_came_into_an_account_and_left_the_tray(make_case) -> None:
    case: Case = make_case(
        seed(),
        SOWN,
        (after(4), events.PottedOn(CODE, 12)),
        (after(5), events.PottedOn(CODE, 3)),
        (after(6), events.Lost(CODE, 3, "mice")),
        (after(7), events.HardenedOff(CODE, 5)),
    )
    kinds = {move.target.kind for move in case.state.moves}
    potted, hardening = (next(k for k in kinds if k == name) for name in ("potted", "hardening"))
    assert case.last_into(potted) == after(5)
    assert case.last_into(hardening) == after(7)
    assert case.last_taken == after(5)


def test_nothing_was_taken_of_a_batch_just_started(make_case) -> None:
    assert make_case(seed(), SOWN).last_taken is None


def test_without_treatments_the_clock_starts_at_once(make_case, north) -> None:
    case = make_case(seed(), SOWN)
    assert spells(case, north) == ()
    assert treated_days(case, north) == 0


def test_treatments_follow_one_another_until_the_batch_is_moved(make_case, north) -> None:
    warm, cold = spells(make_case(HAWTHORN, SOWN), north)
    assert (warm.begins, warm.ends, warm.begun) == (SOWN, after(8), True)
    assert (cold.begins, cold.ends, cold.begun) == (after(8), after(28), False)


@pytest.mark.parametrize("came", [after(6), after(8), after(11)])
def test_the_cold_spell_counts_from_the_move_to_the_fridge(make_case, north, came) -> None:
    case = make_case(HAWTHORN, SOWN, moved("fridge", came))
    _, cold = spells(case, north)
    assert (cold.begins, cold.begun) == (came, True)
    assert cold.ends == came + dt.timedelta(weeks=20)
    assert treated_days(case, north) == (cold.ends - SOWN).days


def test_seed_left_in_the_fridge_begins_to_grow_when_it_comes_out(make_case, north) -> None:
    came, left = after(8), after(8 + 25)
    case = make_case(HAWTHORN, SOWN, moved("fridge", came), moved("bench", left))
    assert spells(case, north)[-1].ends == left


def test_seed_taken_out_too_soon_is_not_thought_ready_sooner(make_case, north) -> None:
    case = make_case(HAWTHORN, SOWN, moved("fridge", after(8)), moved("bench", after(12)))
    assert spells(case, north)[-1].ends == after(28)


def test_each_cold_spell_has_its_own_stay_in_the_fridge(make_case, north) -> None:
    stays = [moved("fridge", after(1)), moved("bench", after(11)), moved("fridge", after(20))]
    first, warm, second = spells(make_case(TWICE_COLD, SOWN, *stays), north)
    assert (first.begins, first.ends) == (after(1), after(11))
    assert (warm.begins, warm.ends) == (after(11), after(19))
    assert (second.begins, second.begun) == (after(20), True)
    first, _, second = spells(make_case(TWICE_COLD, SOWN, *stays[:1]), north)
    assert (first.begun, second.begun) == (True, False)


def test_a_move_between_two_cold_places_is_one_stay(make_case, north) -> None:
    cellar = evolve(north, places={**north.places, "cellar": Place("cellar", cold=True)})
    case = make_case(HAWTHORN, SOWN, moved("fridge", after(8)), moved("cellar", after(12)))
    assert spells(case, cellar)[-1].begins == after(8)


def test_a_fridge_is_cold_however_it_is_written(make_case, north) -> None:
    case = make_case(HAWTHORN, SOWN, moved("Fridge ", after(8)))
    assert in_cold(case.state, north)
    assert spells(case, north)[-1].begun


def test_a_place_the_settings_do_not_have_is_not_cold(make_case, north) -> None:
    assert not in_cold(make_case(HAWTHORN, SOWN, place="shed").state, north)
    assert not in_cold(make_case(HAWTHORN, SOWN).state, north)


def test_a_move_to_the_fridge_that_is_overdue_puts_the_cold_off(make_case, north) -> None:
    late = evolve(make_case(HAWTHORN, SOWN), as_of=after(12))
    _, cold = spells(late, north)
    assert (cold.due, cold.begins, cold.ends) == (after(8), after(12), after(32))
    assert treated_days(late, north) == 32 * 7


def test_cold_that_the_weather_brings_needs_no_fridge(make_case, north) -> None:
    def winter(stage, start):
        return start + dt.timedelta(weeks=2), start + dt.timedelta(weeks=25)

    outdoors = evolve(make_case(HAWTHORN, SOWN), as_of=after(9), chilling=winter)
    _, cold = spells(outdoors, north)
    assert (cold.begins, cold.ends, cold.begun, cold.outdoors) == (
        after(10),
        after(33),
        False,
        True,
    )
    (begun,) = spells(evolve(outdoors, as_of=after(11)), north)[1:]
    assert begun.begun


def test_cold_that_the_weather_does_not_bring_is_planned_for_the_fridge(make_case, north) -> None:
    indoors = evolve(make_case(HAWTHORN, SOWN), as_of=SOWN, chilling=lambda *_: None)
    _, cold = spells(indoors, north)
    assert (cold.begins, cold.outdoors) == (after(8), False)


def seen(day: dt.date, rooted: int, **more: int) -> tuple[dt.date, events.Event]:
    return day, events.Checked(CODE, rooted=rooted, **more)


def test_seed_that_has_come_up_has_had_its_cold_whatever_the_book_knows_of_it(
    make_case, north
) -> None:
    """It comes up in 2 to 6 weeks, so when a tenth is up its cold ended 2 weeks ago."""
    up = evolve(make_case(HAWTHORN, SOWN, seen(after(20), rooted=10)), as_of=after(20))
    warm, cold = spells(up, north)
    assert (warm.begins, warm.ends) == (SOWN, after(8))
    assert (cold.ends, cold.begun, cold.outdoors) == (after(18), True, True)
    sample = make_case(HAWTHORN, SOWN, seen(after(20), rooted=2, sample=10))
    assert spells(sample, north)[-1].ends == after(18)
    in_fridge = make_case(HAWTHORN, SOWN, moved("fridge", after(8)), seen(after(20), rooted=10))
    cold = spells(in_fridge, north)[-1]
    assert (cold.begins, cold.ends, cold.outdoors) == (after(8), after(18), False)


def test_a_few_early_ones_or_some_up_in_time_say_nothing_of_the_cold(make_case, north) -> None:
    untouched = spells(make_case(HAWTHORN, SOWN), north)
    assert spells(make_case(HAWTHORN, SOWN, seen(after(20), rooted=1)), north) == untouched
    assert spells(make_case(HAWTHORN, SOWN, seen(after(29), rooted=30)), north) == untouched


def test_what_is_in_the_fridge_comes_out_when_it_has_had_enough_or_today(make_case, north) -> None:
    cold = make_case(HAWTHORN, SOWN, moved("fridge", after(8)))
    assert stays(cold, north, after(28))[-1] == (after(28), OUT_OF_THE_COLD)
    late = evolve(cold, as_of=after(40))
    assert stays(late, north, after(28))[-1] == (after(40), OUT_OF_THE_COLD)
    out = make_case(HAWTHORN, SOWN, moved("fridge", after(8)), moved("bench", after(28)))
    assert stays(out, north, after(28))[-1] == (after(28), "bench")
