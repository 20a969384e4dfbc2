"""Forecasts to write into the book beside the entry that they follow."""

import datetime as dt
from collections.abc import Iterable

from propagate.actions.desk import Desk
from propagate.errors import PropagateError
from propagate.ledger import Book
from propagate.planning import keeping
from propagate.records.events import Entry
from propagate.records.given import ForecastGiven


def forecasts_to_keep(
    desk: Desk, book: Book, entries: Iterable[Entry], today: dt.date
) -> list[ForecastGiven]:
    """The forecasts to keep with `entries`, which `book` holds already, as of a day.

    Where the book cannot answer (a method that the library has lost, settings that cannot be
    read) there is none: what a grower saw is taken all the same.
    """
    try:
        return list(keeping.forecasts_to_keep(book, entries, desk.library, desk.nursery, today))
    except PropagateError:
        return []
