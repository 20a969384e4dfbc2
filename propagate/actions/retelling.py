"""A season written down afterwards, with what the book would have foretold on its days.

Entry after entry goes in by its day, and each forecast is made from what stands before it, so
that it knows no more than the grower did. Judged later, it counts like any other; that it was
made afterwards is to be seen from the moment it was entered.
"""

import datetime as dt
from collections.abc import Callable, Sequence
from itertools import groupby

from propagate.actions.desk import Desk
from propagate.actions.recording import (
    Dated,
    append_all,
    foretold,
    refuse_conflicts,
    refuse_far_days,
)
from propagate.ledger import Book, Undo, batch_codes, grown
from propagate.planning.keeping import asks
from propagate.records.events import Entry, Started

MOST_FORETOLD = 150
"""The last so many starts and checks of a notebook are foretold: more would take minutes."""


def record_as_it_went(desk: Desk, plan: Callable[[Book], Sequence[Dated]]) -> tuple[Entry, ...]:
    """Write what `plan` makes of the book, day by day and in one piece.

    Forecasts are kept only for days on which nothing later stood in the book. Raises Refused
    with the book unchanged, as `record_all` does.
    """
    desk.back_up_if_due()
    undos: list[Undo] = []
    try:
        with desk.store.writing() as writing:
            book = desk.look_again(writing)
            planned = _by_day(plan(book))
            for dated in planned:
                refuse_far_days(dated.on, desk.today)
            from_day = _first_foretold(book, planned)
            known = {conflict.entry.id for conflict in book.conflicts}
            entries: list[Entry] = []
            for on, day in groupby(planned, key=lambda dated: dated.on):
                fresh = tuple(append_all(desk, writing, book, list(day), ""))
                book, _, undo = grown(book, fresh)
                undos.append(undo)
                entries += fresh
                if from_day <= on <= desk.today:
                    kept = foretold(desk, writing, book, fresh, on)
                    book, _, undo = grown(book, kept)
                    undos.append(undo)
            # Told at the end: a mother may be added by a line below her batch's.
            brought = [each for each in book.conflicts if each.entry.id not in known]
            refuse_conflicts(brought, entries, [dated.where for dated in planned])
    except BaseException:
        for undo in reversed(undos):
            undo()
        raise
    desk.keep(book)
    desk.forget()
    return tuple(entries)


def _by_day(planned: Sequence[Dated]) -> list[Dated]:
    """In the order of their days, but nothing before the start of the batch it speaks of."""
    begun = {dated.event.batch: dated.on for dated in planned if isinstance(dated.event, Started)}

    def written(dated: Dated) -> dt.date:
        starts = (begun.get(code, dated.on) for code in batch_codes(dated.event))
        return max([dated.on, *starts])

    return sorted(planned, key=written)


def _first_foretold(book: Book, planned: Sequence[Dated]) -> dt.date:
    """The first day on which forecasts are kept."""
    asking = [dated.on for dated in planned if asks(dated.event)]
    enough = asking[-MOST_FORETOLD] if len(asking) > MOST_FORETOLD else dt.date.min
    return max([enough, *(entry.on for entry in book.effective())])
