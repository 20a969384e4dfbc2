"""A forecast is written with the entry that it follows, and goes with it."""

import datetime as dt
from collections.abc import Iterator
from pathlib import Path

import pytest

from propagate.actions.desk import Desk
from propagate.actions.founding import found_nursery
from propagate.actions.recording import BatchPlan, record, start_batch
from propagate.actions.takingback import undo
from propagate.actions.telling import history
from propagate.names import parse
from propagate.records import events
from propagate.records.given import ForecastGiven
from propagate.store import SqliteBook

TODAY = dt.date(2027, 6, 1)
NOW = dt.datetime(2027, 6, 1, 9, tzinfo=dt.UTC)


@pytest.fixture
def desk(tmp_path: Path) -> Iterator[Desk]:
    found_nursery(tmp_path)
    with Desk(tmp_path, TODAY, NOW) as opened:
        yield opened


def started(desk: Desk) -> str:
    plan = BatchPlan(parse("Ribes nigrum"), "hardwood-cutting", 40, dt.date(2026, 11, 12))
    return start_batch(desk, plan).code


def test_a_start_has_its_forecast_written_beside_it(desk) -> None:
    code = started(desk)
    cause, kept = desk.book.entries
    assert isinstance(kept.event, ForecastGiven)
    assert (kept.event.batch, kept.event.after, kept.on) == (code, cause.id, TODAY)


def test_a_kept_forecast_comes_back_from_the_disk_as_it_was(desk) -> None:
    started(desk)
    with SqliteBook(desk.store.path) as again:
        assert again.entries() == desk.book.entries


def test_an_undo_takes_the_entry_back_and_not_its_forecast(desk) -> None:
    code = started(desk)
    record(desk, events.Checked(code, rooted=12, dead=2), foretell=True)
    undone, _ = undo(desk)
    assert isinstance(undone.event, events.Checked)
    assert desk.book.batch(code).total("waiting") == 40
    undone, _ = undo(desk)
    assert isinstance(undone.event, events.Started)
    assert desk.book.batches == {}


def test_the_book_says_what_it_foretold_in_its_history(desk) -> None:
    code = started(desk)
    kept = desk.book.entries[-1].event
    said = history(desk, code)[-1].said
    assert said == f"foretell {kept.likely} plants ({kept.low} to {kept.high})"
