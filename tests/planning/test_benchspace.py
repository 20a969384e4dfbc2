"""Places over the coming year: trays, then pots, then gone; and a warning where it is too much."""

import datetime as dt

import pytest
from attrs import evolve

from propagate.planning.benchspace import Question, bench_space, room_tasks
from propagate.planning.forecasting import pot_on_windows
from propagate.planning.groups import make_groups
from propagate.records import events
from propagate.records.methods import Figure, MethodRecord, Season, Stage, Stand
from propagate.records.nursery import Container, Place
from propagate.records.space import BenchSpace, PlaceSpace

STRUCK = dt.date(2026, 6, 1)
CODE = "M7KD"
POT_M2, TRAY_M2 = 0.01, 40 * 0.05 * 0.05


@pytest.fixture
def bench(north):
    places = {"bench": Place("bench", size_m2=0.35), "frame": Place("frame")}
    pots = {"9 cm pot": Container("9 cm pot", 0.5, size_cm=(10, 10))}
    return evolve(north, places=places, containers=pots)


def record(take: Figure) -> MethodRecord:
    """Roots in 4 to 6 weeks, then stands in its pot for 8 to 10."""
    taking = Stage("rooting", "take", Figure(4, 6, "memory"), take)
    pot = Stage("establishing", "establish", Figure(8, 10, "memory"), Figure(0.9, 1, "memory"))
    stand = Stand((5, 5), "memory")
    return MethodRecord("way", None, (taking, pot), Season(("dormant",), (6,)), stand=stand)


ALL_TAKE = record(Figure(0.98, 0.999, "memory"))
SOME_TAKE = record(Figure(0.5, 0.8, "memory"))


def asked(nursery, case, today=STRUCK):
    groups = make_groups([case], nursery)
    windows = {c.state.code: w for c, w in pot_on_windows(groups, nursery, today)}
    return groups, Question(nursery, today, windows)


def space(nursery, case, today=STRUCK) -> BenchSpace:
    return bench_space(*asked(nursery, case, today))


def on(place: PlaceSpace, weeks: int) -> float:
    return place.weeks[weeks].expected_m2


def test_a_tray_then_its_pots_then_nothing(bench, make_case) -> None:
    (place,) = space(bench, make_case(ALL_TAKE, STRUCK, place="bench")).places
    assert (place.place, place.size_m2) == ("bench", 0.35)
    assert on(place, 0) == pytest.approx(TRAY_M2)
    assert on(place, 11) == pytest.approx(40 * POT_M2, rel=0.05)
    assert on(place, 40) == 0
    assert [part.batch for part in place.batches] == [CODE]


def test_the_high_figure_lies_above_the_expected_one(bench, make_case) -> None:
    (place,) = space(bench, make_case(SOME_TAKE, STRUCK, place="bench")).places
    week = place.weeks[11]
    assert 0.5 * 40 * POT_M2 < week.expected_m2 < week.high_m2 <= 40 * POT_M2


def test_pots_go_to_the_place_that_the_settings_name(bench, make_case) -> None:
    moved = {**bench.places, "bench": Place("bench", size_m2=0.35, pots_to="frame")}
    tray, pots = space(
        evolve(bench, places=moved), make_case(ALL_TAKE, STRUCK, place="bench")
    ).places
    assert (tray.place, on(tray, 0), on(tray, 11)) == ("bench", pytest.approx(TRAY_M2), 0)
    assert (pots.place, on(pots, 0)) == ("frame", 0)
    assert on(pots, 11) == pytest.approx(40 * POT_M2, rel=0.05)


def test_seed_in_a_bag_in_the_cold_takes_none(bench, make_case) -> None:
    cold = evolve(bench, places={"fridge": Place("fridge", cold=True)})
    answer = space(cold, make_case(ALL_TAKE, STRUCK, place="fridge"))
    assert on(answer.places[0], 0) == 0


def test_what_is_potted_already_stands_until_it_is_established(bench, make_case) -> None:
    potted = (dt.date(2026, 7, 6), events.PottedOn(CODE, 40, "9 cm pot"))
    case = make_case(ALL_TAKE, STRUCK, potted, place="bench")
    (place,) = space(bench, case, dt.date(2026, 7, 8)).places
    assert on(place, 0) == pytest.approx(40 * POT_M2)
    assert on(place, 20) == 0


def test_a_batch_that_stands_nowhere_is_listed_so(bench, make_case) -> None:
    assert space(bench, make_case(ALL_TAKE, STRUCK)).places[0].place == "(no place)"


def test_a_place_that_will_be_too_small_is_a_job_for_the_batch_that_takes_most(
    bench, make_case
) -> None:
    case = make_case(ALL_TAKE, STRUCK, place="bench")
    (task,) = room_tasks(*asked(bench, case))
    assert (task.action, task.batch, task.place) == ("make room", CODE, "bench")
    assert STRUCK + dt.timedelta(weeks=3) < task.date < STRUCK + dt.timedelta(weeks=10)
    assert "0.35 m²" in task.why


def test_no_job_where_there_is_bench_enough(bench, make_case) -> None:
    roomy = evolve(bench, places={"bench": Place("bench", size_m2=0.41)})
    assert room_tasks(*asked(roomy, make_case(ALL_TAKE, STRUCK, place="bench"))) == []
