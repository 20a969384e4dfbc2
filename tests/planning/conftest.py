"""Batches made of a few events, with records written out here, for questions to planning."""

import datetime as dt
from collections.abc import Callable

import pytest

from propagate.ledger import fold
from propagate.names import parse
from propagate.planning.case import Case
from propagate.records.events import Entry, Event, Started
from propagate.records.methods import Figure, Gate, Method, MethodRecord, Season, Stage
from propagate.records.nursery import Nursery, Place
from propagate.settings import COMMON_FROSTS

CODE = "M7KD"


def figure(low: float, high: float) -> Figure:
    return Figure(low, high, "memory")


def stage(name: str, role: str, low: float, high: float, gate: Gate = "any", **more) -> Stage:
    """A stage that lasts `low` to `high` weeks."""
    return Stage(name, role, figure(low, high), gate=gate, **more)


def record(*stages: Stage) -> MethodRecord:
    return MethodRecord("way", None, stages, Season(("dormant",), (11, 12)))


def method(general: MethodRecord, *, sever: bool = False) -> Method:
    words = ("way", "way", "A way.", "cutting", "cuttings", "rooting", "rooted", "pot on")
    return Method(*words, ("Do it.",), "sand", general, sever=sever)


@pytest.fixture
def north() -> Nursery:
    places = {"fridge": Place("fridge", (2, 5), cold=True), "bench": Place("bench")}
    return Nursery("Bench", "north", **COMMON_FROSTS["north"], places=places)


@pytest.fixture
def south() -> Nursery:
    return Nursery("Bench", "south", **COMMON_FROSTS["south"])


@pytest.fixture
def make_case() -> Callable[..., Case]:
    """A batch of 40, started on a day, with what happened then as pairs of day and event."""

    def make(
        its_record: MethodRecord,
        on: dt.date,
        *happened: tuple[dt.date, Event],
        place: str = "",
        sever: bool = False,
    ) -> Case:
        started = Started(CODE, parse("Ribes nigrum"), "way", 40, place=place)
        moment = dt.datetime(2026, 1, 1, tzinfo=dt.UTC)
        dated = [(on, started), *happened]
        entries = [Entry(n, str(n), day, moment, e) for n, (day, e) in enumerate(dated, start=1)]
        book = fold(entries)
        assert book.conflicts == []
        return Case(book.batch(CODE), method(its_record, sever=sever), its_record, "A record.")

    return make
