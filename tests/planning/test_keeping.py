"""Which forecasts are kept with an entry, and that they are the ones that are given."""

import datetime as dt
from collections.abc import Callable

import pytest

from propagate.ledger import Book, fold
from propagate.library import Library
from propagate.names import parse
from propagate.paths import methods_folder
from propagate.planning.case import Case
from propagate.planning.forecasting import make_forecast
from propagate.planning.keeping import forecasts_to_keep
from propagate.records import events
from propagate.records.answers import QUANTILES
from propagate.records.events import Entry, Event
from propagate.records.given import LEVELS, ForecastGiven

LIBRARY = Library([methods_folder()])
STRUCK = dt.date(2026, 11, 12)
NOW = dt.datetime(2026, 11, 12, tzinfo=dt.UTC)
METHOD = "hardwood-cutting"


def entries(*lines: tuple[dt.date, Event]) -> list[Entry]:
    return [Entry(seq, f"e{seq}", on, NOW, event) for seq, (on, event) in enumerate(lines, 1)]


def started(code: str, plant: str = "Ribes nigrum") -> tuple[dt.date, Event]:
    return STRUCK, events.Started(code, parse(plant), METHOD, 40)


def checked(code: str = "A", **seen) -> tuple[dt.date, Event]:
    return dt.date(2027, 6, 1), events.Checked(code, **seen)


@pytest.fixture
def kept(north) -> Callable[..., list[ForecastGiven]]:
    """The forecasts kept with the last entries of a journal, the very last unless told."""

    def of(*lines, new: int = 1) -> list[ForecastGiven]:
        written = entries(*lines)
        book = fold(written)
        assert book.conflicts == []
        return list(forecasts_to_keep(book, written[-new:], LIBRARY, north, written[-1].on))

    return of


def case_of(book: Book, code: str) -> Case:
    state = book.batch(code)
    match = LIBRARY.record(METHOD, state.name)
    return Case(state, LIBRARY.method(METHOD), match.record, match.said)


def test_the_levels_of_kept_quantiles_are_among_those_that_are_answered() -> None:
    assert set(LEVELS) <= set(QUANTILES)


def test_a_start_and_a_full_check_have_a_forecast_kept_that_names_them(kept) -> None:
    (at_start,) = kept(started("A"))
    assert (at_start.batch, at_start.after) == ("A", "e1")
    (after,) = kept(started("A"), checked(rooted=20, dead=5))
    assert (after.batch, after.after) == ("A", "e2")
    assert 20 <= after.low <= after.likely <= after.high <= 35


def test_what_is_kept_is_what_is_answered_with_all_the_book(kept, north) -> None:
    lines = [started("A"), checked("A", rooted=38), started("R", "Ribes rubrum"), started("B")]
    (forecast,) = kept(*lines)
    book = fold(entries(*lines))
    every = [case_of(book, code) for code in book.batches]
    answer = make_forecast(every, ["B"], north, STRUCK).batches[0]
    plants, window = answer.plants, answer.pot_on
    assert (forecast.low, forecast.likely, forecast.high) == (
        plants.low,
        plants.likely,
        plants.high,
    )
    assert forecast.quantiles == tuple(plants.quantiles.values())
    days = (forecast.early, forecast.likely_day, forecast.late)
    assert days == (window.early, window.likely, window.late)


@pytest.mark.parametrize(
    "entry",
    [
        checked(rooted=3, sample=10),
        checked(dead=3),
        checked(rooted=30, dead=10),  # nothing waits any more
        (dt.date(2027, 6, 1), events.PottedOn("A", 12)),
        (dt.date(2027, 6, 1), events.LabelsPrinted(("A",), "tray-a4")),
    ],
)
def test_no_forecast_is_kept_with_what_is_no_full_check_or_leaves_nothing_open(kept, entry) -> None:
    assert kept(started("A"), entry) == []


def test_of_several_entries_of_a_batch_the_last_has_the_forecast(kept) -> None:
    forecasts = kept(started("A"), started("B"), checked("A", rooted=20), new=3)
    assert [(each.batch, each.after) for each in forecasts] == [("A", "e3"), ("B", "e2")]
