"""The book's record of its own forecasts, asked at an open nursery."""

import datetime as dt
import json
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

from propagate.actions.desk import Desk
from propagate.actions.founding import found_nursery
from propagate.actions.keeping import forecasts_to_keep
from propagate.actions.scoring import track_record, track_record_view
from propagate.ledger import fold
from propagate.names import parse
from propagate.records import events
from propagate.records.events import Entry

STRUCK = dt.date(2026, 11, 12)
LOOKED = dt.date(2027, 6, 1)
NOW = dt.datetime(2027, 6, 1, 9, tzinfo=dt.UTC)
BLACK, RED = "M7KD", "CC7P"


class MemoryStore:
    """A journal in memory, so that only the asking is tested here."""

    def __init__(self) -> None:
        self.kept: tuple[Entry, ...] = ()

    def entries(self) -> tuple[Entry, ...]:
        return self.kept

    @contextmanager
    def writing(self) -> Iterator["MemoryStore"]:
        yield self

    def append(self, event, on: dt.date, entered: dt.datetime) -> Entry:
        seq = len(self.kept) + 1
        entry = Entry(seq, f"e{seq}", on, entered, event)
        self.kept = (*self.kept, entry)
        return entry

    def close(self) -> None:
        pass


@pytest.fixture
def desk(tmp_path: Path) -> Iterator[Desk]:
    found_nursery(tmp_path)
    with Desk(tmp_path, LOOKED, NOW) as opened:
        opened.__dict__["store"] = MemoryStore()
        yield opened


@pytest.fixture
def write(desk: Desk) -> Callable[..., None]:
    """Write an event, and beside it the forecasts that are kept with it."""

    def write_one(event, on: dt.date = LOOKED) -> None:
        with desk.store.writing() as writing:
            entry = writing.append(event, on, NOW)
            for given in forecasts_to_keep(desk, fold(writing.entries()), [entry], desk.today):
                writing.append(given, on, NOW)
        desk.forget()

    return write_one


def started(code: str, plant: str = "Ribes nigrum", method: str = "hardwood-cutting"):
    return events.Started(code, parse(plant), method, 40)


@pytest.fixture
def two_batches(write) -> None:
    """The blackcurrants have ended with 31 of 40, of the redcurrants 27 still wait."""
    write(started(BLACK), STRUCK)
    write(started(RED, "Ribes rubrum"), STRUCK)
    write(events.Checked(BLACK, rooted=31, dead=9))
    write(events.Checked(RED, rooted=10, dead=3))


def test_each_start_and_check_keeps_its_forecast_until_nothing_waits(desk, two_batches) -> None:
    kinds = [(type(e.event).__name__, e.event.batch) for e in desk.book.entries]
    assert kinds == [
        ("Started", BLACK),
        ("ForecastGiven", BLACK),
        ("Started", RED),
        ("ForecastGiven", RED),
        ("Checked", BLACK),
        ("Checked", RED),
        ("ForecastGiven", RED),
    ]
    assert desk.book.conflicts == []


def test_the_record_judges_what_has_ended(desk, two_batches) -> None:
    record = track_record(desk)
    (score,) = record.scores
    assert (score.batch, score.outcome, record.open) == (BLACK, 31, 1)
    take = desk.library.record("hardwood-cutting", parse("Ribes nigrum")).record.taking.take
    assert score.by_library == pytest.approx(40 * (take.low + take.high) / 2)


def test_the_record_of_a_plant_or_a_batch(desk, two_batches) -> None:
    assert track_record(desk, ["redcurrant"]).scores == ()
    assert track_record(desk, ["redcurrant"]).open == 1
    assert [score.batch for score in track_record(desk, [BLACK, "blackcurrant"]).scores] == [BLACK]


def test_the_record_as_json(desk, two_batches) -> None:
    view = track_record_view(track_record(desk))
    assert json.loads(json.dumps(view)) == view
    assert [(t["plant"], t["stage"], t["batches"]) for t in view["tallies"]] == [
        (None, "at the start", 1),
        ("Ribes nigrum", "at the start", 1),
    ]
    (score,) = view["scores"]
    assert score["ripe"] == ["2026-11-13", "2027-06-01"]
    assert score["hit"] == (score["low"] <= 31 <= score["high"])
    assert (view["open"], view["set_aside"]) == (1, 0)


def test_a_book_without_kept_forecasts_has_an_empty_record(desk) -> None:
    empty = {"tallies": [], "scores": [], "open": 0, "set_aside": 0}
    assert track_record_view(track_record(desk)) == empty


def test_where_the_book_cannot_answer_the_entry_stands_without_a_forecast(desk, write) -> None:
    write(started(BLACK, method="no-such-method"), STRUCK)
    assert [type(entry.event) for entry in desk.book.entries] == [events.Started]
