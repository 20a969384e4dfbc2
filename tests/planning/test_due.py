"""Which jobs follow from the state of a batch, on which day, and for which reason."""

import datetime as dt

import pytest
from attrs import evolve

from propagate.names import parse
from propagate.planning.due import due_tasks
from propagate.records import events
from propagate.records.answers import DueTask, PotOn
from propagate.records.methods import Figure, Gate, MethodRecord, Season, Stage

CODE = "M7KD"
STRUCK = dt.date(2026, 8, 10)


def after(weeks: int, days: int = 0) -> dt.date:
    return STRUCK + dt.timedelta(weeks=weeks, days=days)


WINDOW = PotOn(after(9), after(10), after(12), "when 80 % of those that take are rooted")


def stage(name: str, role: str, low: float, high: float, gate: Gate = "any") -> Stage:
    return Stage(name, role, Figure(low, high, "memory"), gate=gate)


def record(*stages: Stage) -> MethodRecord:
    return MethodRecord("way", None, stages, Season(("firm growth",), (8,)))


ROOTING = stage("rooting", "take", 4, 12)
HARDY = record(ROOTING, stage("establishing", "establish", 6, 10))
TENDER = record(ROOTING, stage("establishing", "establish", 6, 10, "frost-free"))
HAWTHORN = record(stage("warm", "treat", 8, 8), stage("cold", "treat", 20, 20), ROOTING)


@pytest.fixture
def jobs(make_case, north):
    """The jobs of one batch as of a day, by their name; the name of two is a failure."""

    def of(its_record: MethodRecord, today: dt.date, *happened, **more) -> dict[str, DueTask]:
        window = more.pop("window", WINDOW)
        case = make_case(its_record, STRUCK, *happened, **more)
        tasks = due_tasks([(case, window)], north, today)
        assert len({task.action for task in tasks}) == len(tasks)
        return {task.action: task for task in tasks}

    return of


def checked(day: dt.date, rooted: int | None = None, dead: int = 0):
    return day, events.Checked(CODE, rooted=rooted, dead=dead)


def test_a_new_batch_is_looked_at_when_the_first_may_be_rooted(jobs) -> None:
    tasks = jobs(HARDY, STRUCK)
    assert tasks["check"].date == after(4)
    assert tasks["check"].why == "the first may be rooted (4 to 12 weeks)"
    assert tasks["pot on"].date == WINDOW.likely
    assert WINDOW.why in tasks["pot on"].why


def test_a_batch_booked_for_tomorrow_is_looked_at_like_any_other(jobs) -> None:
    assert jobs(HARDY, STRUCK - dt.timedelta(days=1))["check"].date == after(4)


def test_the_next_look_is_so_many_weeks_after_the_last(jobs) -> None:
    task = jobs(HARDY, after(4), checked(after(3), rooted=4))["check"]
    assert task.date == after(3 + 4)  # the settings say every 4 weeks
    assert task.why == "36 still rooting, last look 31 Aug 2026"


def test_a_tray_known_to_be_rooted_is_not_looked_at_again(jobs) -> None:
    assert "check" in jobs(HARDY, after(4), checked(after(3), rooted=31))
    assert "check" not in jobs(HARDY, after(4), checked(after(3), rooted=32))  # 80 % of 40


def test_no_look_is_asked_for_just_before_potting_on(jobs) -> None:
    assert "check" not in jobs(HARDY, after(6), checked(after(5), rooted=20))


def test_an_empty_tray_wants_nothing(jobs) -> None:
    assert jobs(HARDY, after(10), (after(10), events.Lost(CODE, 40, "mice"))) == {}


def test_rooted_ones_are_counted_in_the_reason(jobs) -> None:
    task = jobs(HARDY, after(9), checked(after(9), rooted=30))["pot on"]
    assert (task.date, task.why) == (WINDOW.likely, "30 rooted; 12 Oct 2026 to 2 Nov 2026")
    day = evolve(WINDOW, early=WINDOW.likely, late=WINDOW.likely)
    task = jobs(HARDY, after(9), checked(after(9), rooted=2), window=day)["pot on"]
    assert task.why == "2 rooted"
    winter = record(stage("rooting", "take", 4, 12, "dormant"))
    task = jobs(winter, after(9), checked(after(9), rooted=2), window=day)["pot on"]
    assert task.why == "2 rooted; between leaf fall and bud break (5 Nov to 25 Mar)"


def test_what_is_left_is_due_from_the_day_the_others_went(jobs) -> None:
    happened = [checked(after(11), rooted=30), (after(11), events.PottedOn(CODE, 20))]
    task = jobs(HARDY, after(11), *happened)["pot on"]
    assert (task.date, task.why) == (after(11), "10 rooted left, the others went on 26 Oct 2026")


def test_the_rest_of_a_lifted_row_is_lifted_not_potted(jobs) -> None:
    happened = [checked(after(11), rooted=30), (after(11), events.PlantedOut(CODE, 20, "row"))]
    tasks = jobs(HARDY, after(11), *happened)
    assert "lift the rest" in tasks
    assert "pot on" not in tasks


def test_a_tray_with_stragglers_long_after_the_others_wants_a_decision(jobs) -> None:
    happened = [checked(after(10), rooted=30), (after(10), events.PottedOn(CODE, 30))]
    assert "empty the tray" not in jobs(HARDY, after(12 + 4, -1), *happened)
    tasks = jobs(HARDY, after(12 + 4), *happened)
    assert tasks["empty the tray"].date == after(12 + 4)
    assert tasks["empty the tray"].why.startswith("10 still rooting")
    assert "check" not in tasks
    assert "pot on" not in tasks


def test_a_tray_in_the_cool_is_first_looked_at_when_its_warmth_says(jobs) -> None:
    cool = PotOn(after(30), after(33), after(36), "when up", first=after(22))
    task = jobs(HARDY, after(5), window=cool)["check"]
    assert (task.date, task.why) == (after(22), "the first may be rooted (4 to 12 weeks)")
    warm = evolve(HARDY, stages=(evolve(HARDY.taking, temp_c=(18.0, 25.0)), *HARDY.stages[1:]))
    told = jobs(warm, after(5), window=cool)["check"].why
    assert told == "the first may be rooted (4 to 12 weeks at 18 to 25 °C)"


def test_a_layer_is_severed_three_weeks_before_it_is_lifted(jobs) -> None:
    later = PotOn(after(40), after(44), after(50), "when rooted")
    task = jobs(HARDY, STRUCK, sever=True, window=later)["sever"]
    assert task.date == after(44 - 3)
    assert "sever" not in jobs(HARDY, STRUCK, sever=False, window=later)


def test_a_quick_layer_is_severed_in_the_last_quarter_of_its_time(jobs) -> None:
    task = jobs(HARDY, STRUCK, sever=True)["sever"]
    assert task.date == WINDOW.likely - dt.timedelta(days=70 // 4)


def test_a_severed_layer_is_not_severed_again(jobs) -> None:
    assert "sever" not in jobs(
        HARDY, STRUCK, (after(2), events.StepDone(CODE, "severed")), sever=True
    )


def test_hardy_plants_go_out_once_established(jobs) -> None:
    task = jobs(HARDY, after(10), (after(10), events.PottedOn(CODE, 40)))["plant out"]
    assert task.date == after(10 + 8)  # the middle of 6 to 10 weeks
    assert task.why == "potted 19 Oct 2026, established after 6 to 10 weeks"


def test_tender_plants_wait_for_the_last_frost_and_are_hardened_off_before(jobs, north) -> None:
    tasks = jobs(TENDER, after(10), (after(10), events.PottedOn(CODE, 40)))
    last_frost = dt.date(2027, *north.last_frost)
    assert tasks["harden off"].date == last_frost - dt.timedelta(days=14)
    assert "after the last frost" in tasks["harden off"].why
    assert "plant out" not in tasks


@pytest.mark.parametrize("step", [events.HardenedOff(CODE, 40), events.MadeReady(CODE, 40)])
def test_tender_plants_are_not_sent_out_in_winter_whatever_their_state(jobs, north, step) -> None:
    happened = [(after(10), events.PottedOn(CODE, 40)), (dt.date(2027, 1, 10), step)]
    task = jobs(TENDER, dt.date(2027, 1, 11), *happened)["plant out"]
    assert task.date == dt.date(2027, *north.last_frost)


def test_hardened_plants_go_out_after_two_weeks(jobs) -> None:
    happened = [(after(10), events.PottedOn(CODE, 40)), (after(20), events.HardenedOff(CODE, 40))]
    task = jobs(HARDY, after(20), *happened)["plant out"]
    assert (task.date, task.why) == (after(22), "40 hardening off since 28 Dec 2026")


def test_seed_goes_to_the_fridge_at_the_end_of_the_warm_spell(jobs) -> None:
    task = jobs(HAWTHORN, STRUCK)["move to the fridge"]
    assert task.date == after(8)
    assert task.why == f"cold spell of 140 days, until {after(28).day} Feb 2027"


def test_seed_goes_to_warmth_at_the_end_of_the_cold_spell(jobs) -> None:
    in_fridge = (after(10), events.Moved(CODE, "fridge"))
    tasks = jobs(HAWTHORN, after(10), in_fridge)
    assert "move to the fridge" not in tasks
    assert tasks["move to warmth"].date == after(10 + 20)
    out = (after(30), events.Moved(CODE, "bench"))
    assert "move to warmth" not in jobs(HAWTHORN, after(30), in_fridge, out)


def test_seed_in_treatment_is_looked_at_for_mould(jobs) -> None:
    later = PotOn(after(31), after(33), after(36), "when up")
    task = jobs(HAWTHORN, after(1), window=later)["check"]
    assert (task.date, task.why) == (after(4), "still damp? look for mould and early sprouts")


def test_a_settled_name_asks_for_a_new_label_until_it_is_printed(jobs) -> None:
    printed = events.LabelsPrinted((CODE,), "tray-a4")
    named = events.NameSettled(parse("Ribes nigrum 'Alder Jet'"), batch=CODE)
    task = jobs(HARDY, after(3), (after(1), printed), (after(2), named))["print a new label"]
    assert (task.date, str(task.plant)) == (after(3), "Ribes nigrum ‘Alder Jet’")
    again = (after(3), printed)
    assert "print a new label" not in jobs(
        HARDY, after(3), (after(1), printed), (after(2), named), again
    )
    assert "print a new label" not in jobs(HARDY, after(3), (after(2), named))


@pytest.mark.parametrize(
    ("printing", "listed"), [("pigment-inkjet", True), ("resin-transfer", False)]
)
def test_a_label_that_fades_within_a_year_is_a_job(jobs, printing, listed) -> None:
    # Pigment ink is sure for half a year, resin for three (the table in propagate/lasting.py).
    printed = events.LabelsPrinted((CODE,), "tray-a4", printing=printing)
    assert ("print a new label" in jobs(HARDY, after(3), (after(1), printed))) == listed


def test_jobs_come_by_day_and_carry_the_place(make_case, north) -> None:
    case = make_case(HARDY, STRUCK, place="bench")
    tasks = due_tasks([(case, WINDOW)], north, STRUCK)
    assert [task.date for task in tasks] == sorted(task.date for task in tasks)
    assert {task.place for task in tasks} == {"bench"}


def test_an_empty_tray_needs_no_window(jobs) -> None:
    potted = (after(11), events.PottedOn(CODE, 40))
    known = jobs(HARDY, after(12), checked(after(11), 40), potted)
    assert jobs(HARDY, after(12), checked(after(11), 40), potted, window=None) == known
    assert set(known) == {"plant out"}
