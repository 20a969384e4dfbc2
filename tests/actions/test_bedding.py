"""Wants said, changed and taken back; beds answered from a whole book."""

import datetime as dt
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from propagate.actions.bedding import beds, plants_measured, room_in, want, wants
from propagate.actions.desk import Desk
from propagate.actions.founding import found_nursery
from propagate.actions.recording import BatchPlan, record, start_batch
from propagate.actions.takingback import undo
from propagate.errors import NotFound, Refused
from propagate.paths import NURSERY_FILE
from propagate.records import events
from propagate.records.events import Wanted

TODAY, SPRING = dt.date(2026, 11, 25), dt.date(2027, 3, 15)
NOW = dt.datetime(2026, 11, 25, 9, tzinfo=dt.UTC)
BEDS = """
[beds."Currant Row"]
plants_wanted = 30
[beds.herbs]
length = "6 m"
width = "1.2 m"
spacing = "40 cm"
plant = "rosemary"
by = "05-01"
"""


@pytest.fixture
def desk(tmp_path: Path) -> Iterator[Desk]:
    settings = found_nursery(tmp_path)
    settings.write_text(settings.read_text(encoding="utf-8") + BEDS, encoding="utf-8")
    assert settings.name == NURSERY_FILE
    with Desk(tmp_path, TODAY, NOW) as opened:
        yield opened


@pytest.fixture
def say(desk: Desk) -> Callable[..., Wanted]:
    def said(bed: str, plant: str, count: int, by: dt.date = SPRING, **more) -> Wanted:
        return want(desk, Wanted(bed, desk.library.resolve(plant), count, by, **more))

    return said


def listed(desk: Desk) -> list[tuple[str, str, int]]:
    return [(w.name, str(w.plant), w.wanted) for w in wants(desk)]


def test_a_bed_of_the_settings_is_a_want_until_the_book_says_otherwise(desk, say) -> None:
    assert listed(desk) == [("herbs", "Salvia rosmarinus", 45)]
    assert wants(desk)[0].by == dt.date(2027, 5, 1)
    say("Herbs", "rosemary", 20)
    assert listed(desk) == [("herbs", "Salvia rosmarinus", 20)]


def test_said_again_it_takes_the_place_of_what_was_said(desk, say) -> None:
    say("currant row", "blackcurrant", 10)
    say("Currant  row", "blackcurrant", 12)
    assert ("Currant Row", "Ribes nigrum", 12) in listed(desk)
    assert len(listed(desk)) == 2


def test_nought_takes_a_want_back_and_undo_brings_it_again(desk, say) -> None:
    say("walk", "fig", 3)
    say("walk", "fig", 0)
    assert ("walk", "Ficus carica", 3) not in listed(desk)
    undo(desk)
    assert ("walk", "Ficus carica", 3) in listed(desk)


def test_what_was_never_wanted_cannot_be_taken_back(desk, say) -> None:
    with pytest.raises(NotFound, match="Nothing is wanted of Ficus carica in walk"):
        say("walk", "fig", 0)


def test_a_day_gone_by_and_a_succession_without_a_step_are_refused(desk, say) -> None:
    with pytest.raises(Refused, match="1 Nov 2026 is before today"):
        say("walk", "fig", 3, dt.date(2026, 11, 1))
    with pytest.raises(Refused, match="needs its step"):
        say("walk", "fig", 3, times=4)


def test_rows_follow_each_other_and_the_first_are_filled_first(desk, say) -> None:
    say("plot", "strawberry", 5, dt.date(2027, 3, 1), every_weeks=2, times=3)
    plan = BatchPlan(desk.library.resolve("strawberry"), "runner", 20, dt.date(2026, 6, 1))
    code = start_batch(desk, plan).code
    record(desk, events.Checked(code, rooted=20, dead=0), dt.date(2026, 7, 1))
    record(desk, events.PlantedOut(code, 7, "plot"), dt.date(2026, 9, 1))
    rows = [w for w in wants(desk) if w.bed == "plot"]
    assert [(w.row, w.by.isoformat(), w.planted) for w in rows] == [
        (1, "2027-03-01", 5),
        (2, "2027-03-15", 2),
        (3, "2027-03-29", 0),
    ]
    say("plot", "strawberry", 5, dt.date(2027, 3, 1), since=dt.date(2027, 1, 1))
    assert next(w for w in wants(desk) if w.bed == "plot").planted == 0


def test_wants_are_served_by_priority_then_by_day(desk, say) -> None:
    say("b", "fig", 1, dt.date(2027, 6, 1), priority=1)
    say("a", "fig", 1, dt.date(2027, 4, 1))
    say("c", "fig", 1, dt.date(2027, 3, 1))
    assert [w.bed for w in wants(desk)] == ["b", "c", "a", "herbs"]


def test_beds_are_answered_with_what_stands_there_and_what_will_come(desk, say) -> None:
    struck = dt.date(2025, 11, 25)
    plan = BatchPlan(desk.library.resolve("blackcurrant"), "hardwood-cutting", 40, struck)
    code = start_batch(desk, plan).code
    record(desk, events.Checked(code, rooted=30, dead=10))
    record(desk, events.PlantedOut(code, 10, "Currant Row"))
    say("currant row", "blackcurrant", 20)
    bed = next(b for b in beds(desk).beds if b.want.bed == "Currant Row")
    assert (bed.want.planted, bed.plants.likely, bed.short) == (10, 20, 0)
    assert bed.filled > 0.9
    assert bed.batches == ((code, 10),)
    (spare,) = beds(desk).spare
    assert spare.plants.high <= 10


def test_a_plant_unknown_in_the_settings_is_named_with_its_bed(desk, tmp_path) -> None:
    path = tmp_path / NURSERY_FILE
    path.write_text(path.read_text(encoding="utf-8").replace('"rosemary"', '"rosmary"'))
    with pytest.raises(Refused, match=r'nursery\.toml, beds, herbs, plant: .*"rosemary"'):
        wants(desk)


def test_a_bed_of_which_nobody_says_what_it_wants_is_named(desk) -> None:
    (unnamed,) = beds(desk).unnamed
    assert (unnamed.bed, unnamed.wanted) == ("Currant Row", 30)


def test_room_is_what_other_kinds_leave(desk, say) -> None:
    say("currant row", "blackcurrant", 10)
    red = desk.library.resolve("redcurrant")
    assert room_in(desk, "currant row", red) == 20
    with pytest.raises(Refused, match='did you mean "herbs"'):
        room_in(desk, "herb", red)


@pytest.mark.parametrize(
    ("given", "count"),
    [
        (("6 m x 1.2 m", "40 cm"), 45),
        (("30 m", "30 cm"), 100),
        (("300 sq ft", "18 in"), 133),
        (("100 sq ft", "12 in", None, True), 115),
        (("10 m x 1 m", "25 cm", "50 cm"), 80),
    ],
)
def test_a_bed_is_measured_as_people_say_it(given, count) -> None:
    assert plants_measured(*given) == count


def test_a_bed_too_small_for_one_plant_is_refused() -> None:
    with pytest.raises(Refused, match="not one plant finds room in 20 cm"):
        plants_measured("20 cm", "40 cm")
