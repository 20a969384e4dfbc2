"""The forecasts to keep when a batch starts or its tray is looked through, for judging later."""

import datetime as dt
from collections.abc import Iterable, Iterator

from propagate.ledger import BatchState, Book, Kind
from propagate.library import Library
from propagate.planning.case import Case
from propagate.planning.forecasting import make_forecast
from propagate.records.answers import BatchForecast
from propagate.records.events import Checked, Entry, Event, Parted, Started
from propagate.records.given import LEVELS, ForecastGiven
from propagate.records.nursery import Nursery


def forecasts_to_keep(
    book: Book, entries: Iterable[Entry], library: Library, nursery: Nursery, today: dt.date
) -> Iterator[ForecastGiven]:
    """What the book, `entries` among it, now answers for the batches they start or look through.

    One for each batch, after its last such entry; none where nothing waits any more, for that
    answer foretells nothing.
    """
    causes = {code: entry.id for entry in entries for code in _asking(entry.event)}
    for code, entry_id in causes.items():
        state = book.batches.get(code)
        if state is not None and state.total(Kind.WAITING):
            yield given(_answer(book, state, library, nursery, today), entry_id)


def given(answer: BatchForecast, after: str) -> ForecastGiven:
    """An answer as it is kept, with the id of the entry that it followed."""
    plants, window = answer.plants, answer.pot_on
    return ForecastGiven(
        batch=answer.batch,
        after=after,
        low=plants.low,
        likely=plants.likely,
        high=plants.high,
        chance=plants.chance,
        quantiles=tuple(plants.quantiles[level] for level in LEVELS),
        early=window.early,
        likely_day=window.likely,
        late=window.late,
    )


def _asking(event: Event) -> tuple[str, ...]:
    """The batch for which a forecast given after the event is one to judge the book by."""
    match event:
        case Started(batch=code) | Parted(batch=code):
            return (code,)
        case Checked(batch=code, sample=None) if event.rooted is not None:
            return (code,)
    return ()


def asks(event: Event) -> bool:
    """Whether a forecast is kept after an event of this kind."""
    return bool(_asking(event))


def _answer(
    book: Book, state: BatchState, library: Library, nursery: Nursery, today: dt.date
) -> BatchForecast:
    """The answer for one batch; only batches that it learns from are brought along."""
    method = library.method(state.started.method)
    cases = []
    for other in book.batches.values():
        if other.started.method == state.started.method:
            match = library.record(method.id, other.name)
            cases.append(Case(other, method, match.record, match.said))
    return make_forecast(cases, [state.code], nursery, today).batches[0]
