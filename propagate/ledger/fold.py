"""Fold the journal into the state of the book, in the order things happened.

    entries (as written) -> those that count -> sorted by day -> posted one by one -> Book

An entry that cannot be so leaves no trace in the state and becomes a conflict of the book;
whoever wants to add an entry folds first, and refuses when that brings a conflict.
"""

import datetime as dt
from collections.abc import Callable, Iterable, Mapping, Sequence
from typing import Any

from propagate.days import written
from propagate.errors import NotFound, PropagateError, Refused
from propagate.ledger.recoding import as_called_now
from propagate.ledger.rules import LOCAL, part, post
from propagate.ledger.state import BatchState, Book, Conflict, StockPlantState, WantState
from propagate.nearness import folded
from propagate.records import events
from propagate.records.events import Entry, id_end
from propagate.records.families import Doubt
from propagate.worded import worded

AboutKin = events.NameSettled | events.Suspected | events.Cleared
"""What is said of a mother plant or a batch and holds for all that was raised from it."""


def fold(entries: Sequence[Entry], until: dt.date | None = None) -> Book:
    """The book's state after all entries dated up to `until` (None: all of them)."""
    voided = voided_ids(entries)
    raw = list(entries)
    entries, misprints = as_called_now(raw, voided)
    book = Book(raw, list(entries), voided, misprints)
    counted = (e for e in entries if e.id not in voided)
    for entry in sorted(counted, key=_order):
        if until is not None and _order(entry)[0] > until:
            break
        try:
            post_one(book, entry)
        except PropagateError as error:
            book.conflicts.append(Conflict(entry, error.said))
    return book


def _order(entry: Entry) -> tuple[dt.date, int]:
    """Order by day, then by writing; a mother stood there before anybody wrote her down."""
    event = entry.event
    always = isinstance(event, events.StockPlantAdded) and not event.batch
    return (dt.date.min if always else entry.on, entry.seq)


def voided_ids(entries: Iterable[Entry]) -> frozenset[str]:
    """Ids of the entries that a later entry took back; a void may itself be voided."""
    voided: set[str] = set()
    for entry in sorted(entries, key=lambda e: e.seq, reverse=True):
        if isinstance(entry.event, events.Voided) and entry.id not in voided:
            voided.add(entry.event.entry)
    return frozenset(voided)


def batch_codes(event: events.Event) -> tuple[str, ...]:
    """The batches an event speaks of."""
    if isinstance(event, events.LabelsPrinted):
        return event.batches
    if isinstance(event, events.Parted):
        return event.batch, event.into
    code = getattr(event, "batch", "")
    return (code,) if code else ()


def about(codes: Iterable[str], starts: Mapping[str, str]) -> str:
    """The ends of the ids that started these batches, a dash for a code that nothing started."""
    ends = [starts.get(code, "-") for code in codes]
    return " ".join(ends) if set(ends) - {"-"} else ""


def post_one(book: Book, entry: Entry) -> None:
    """Bring one entry into the state; raises PropagateError, the state unchanged, if it cannot."""
    event = entry.event
    if type(event) in LOCAL:  # nearly all are
        post(_batch(book, event.batch, entry), entry)  # type: ignore[union-attr]
    elif rule := _RULES.get(type(event)):
        rule(book, entry, event)


def _note_labels(book: Book, entry: Entry, event: events.LabelsPrinted) -> None:
    """The latest labels written down are the ones that are out there."""
    for state in [_batch(book, code, entry) for code in event.batches]:
        if entry.seq > state.printed_seq:
            state.printed_seq, state.printed = entry.seq, (entry.on, event)
        if (entry.id, state.code) in book.misprints:
            # A later print, of a higher number, is right again.
            state.renamed_seq = max(state.renamed_seq, entry.seq + 1)


def _batch(book: Book, code: str, entry: Entry) -> BatchState:
    if code in book.batches:
        return book.batches[code]
    for other in book.effective():
        if isinstance(other.event, events.Started) and other.event.batch == code:
            raise Refused(
                worded(
                    "Batch {code} was started on {start}; {day} is before that.",
                    code=code,
                    start=written(other.on),
                    day=written(entry.on),
                )
            )
    raise NotFound(worded("There is no batch {code} in this book.", code=code))


def _add_batch(book: Book, entry: Entry, event: events.Started) -> None:
    if event.batch in book.batches:
        raise Refused(f"Batch {event.batch} is in the book already.")
    if event.stock_plant and event.stock_plant not in book.stock_plants:
        raise NotFound(
            f'There is no mother plant "{event.stock_plant}" in the book on {written(entry.on)}.',
            tuple(book.stock_plants)[:3],
        )
    state = BatchState(event, entry.on, event.plant, entry.seq, entry.id)
    if event.parted_from:
        whole = _parted_from(book, event)
        state.doubts = whole.doubts
        book.parts.setdefault(whole.code, []).append(event.batch)
    elif event.stock_plant:
        state.doubts = book.stock_plants[event.stock_plant].doubts
        book.taken.setdefault(event.stock_plant, []).append(event.batch)
    book.batches[event.batch] = state
    post(state, entry)


def _parted_from(book: Book, event: events.Started) -> BatchState:
    for state in book.batches.values():
        if id_end(state.entry_id) == event.parted_from:
            return state
    raise NotFound(f"The batch that {event.batch} was parted from is not in this book.")


def _add_stock_plant(book: Book, entry: Entry, event: events.StockPlantAdded) -> None:
    if event.stock_plant in book.stock_plants:
        known = book.stock_plants[event.stock_plant].name
        raise Refused(
            f'The mother plant "{event.stock_plant}" is in the book already, as {known}; '
            f"if that is wrong: propagate name {event.stock_plant} PLANT."
        )
    mother = StockPlantState(event, entry.on, event.plant)
    if event.batch:
        mother.doubts = _batch(book, event.batch, entry).doubts
        book.raised.setdefault(event.batch, []).append(event.stock_plant)
    book.stock_plants[event.stock_plant] = mother


def _want(book: Book, entry: Entry, event: events.Wanted) -> None:
    """The latest word on a bed and a plant holds; none wanted takes it off the list."""
    key = folded(event.bed), str(event.plant)
    book.wants.pop(key, None)
    if event.count:
        book.wants[key] = WantState(event, entry.on, entry.id)


def _settle(book: Book, entry: Entry, event: events.NameSettled) -> None:
    _subject(book, entry, event)
    mothers, batches = _kin_of(book, event)
    for mother in mothers:
        mother.name = event.plant
    for state in batches:
        if state.name != event.plant:
            state.name, state.renamed_seq = event.plant, entry.seq


def _subject(book: Book, entry: Entry, event: AboutKin) -> StockPlantState | BatchState:
    """The mother plant or batch that an event is about; raises NotFound when there is none."""
    if event.batch:
        return _batch(book, event.batch, entry)
    if event.stock_plant in book.stock_plants:
        return book.stock_plants[event.stock_plant]
    raise NotFound(
        f'There is no mother plant "{event.stock_plant}" in the book.',
        tuple(book.stock_plants)[:3],
    )


def _doubt(book: Book, entry: Entry, event: events.Suspected | events.Cleared) -> None:
    """What is suspected of one is suspected of all that was raised from it."""
    _subject(book, entry, event)
    if isinstance(event, events.Cleared):
        _clear(book, entry, event)
        return
    subject = event.batch or event.stock_plant
    doubt = Doubt(entry.id, entry.on, subject, event.about, event.why, entry.seq)
    mothers, batches = _kin_of(book, event)
    for mother in mothers:
        mother.doubts = (*mother.doubts, doubt)
    for state in batches:
        state.doubts, state.doubted_seq = (*state.doubts, doubt), entry.seq


def _clear(book: Book, entry: Entry, event: events.Cleared) -> None:
    """The doubts that the subject carries are lifted from it and from all raised from it."""
    lifted = _subject(book, entry, event).doubts
    if not lifted:
        subject = event.batch or event.stock_plant
        raise Refused(f"Nothing is suspected of {subject} on {written(entry.on)}.")
    mothers, batches = _kin_of(book, event)
    for mother in mothers:
        mother.doubts = tuple(doubt for doubt in mother.doubts if doubt not in lifted)
    for state in batches:
        kept = tuple(doubt for doubt in state.doubts if doubt not in lifted)
        if kept != state.doubts:
            # A label printed before the doubt came up is good again.
            told = any(doubt.seq < state.printed_seq for doubt in state.doubts if doubt in lifted)
            last = entry.seq if told else max((doubt.seq for doubt in kept), default=0)
            state.doubts, state.doubted_seq = kept, last


def _kin_of(book: Book, event: AboutKin) -> tuple[list[StockPlantState], list[BatchState]]:
    """The subject and all that was raised from it: what holds for a mother holds for these."""
    key = "" if event.batch else event.stock_plant
    new_mothers = [book.stock_plants[key]] if key in book.stock_plants else []
    new_batches = [book.batches[event.batch]] if event.batch in book.batches else []
    mothers, batches = list(new_mothers), list(new_batches)
    while new_mothers or new_batches:
        raised = [key for state in new_batches for key in book.raised.get(state.code, ())]
        taken = [c for m in new_mothers for c in book.taken.get(m.added.stock_plant, ())]
        parts = [code for state in new_batches for code in book.parts.get(state.code, ())]
        new_mothers = [book.stock_plants[key] for key in raised]
        new_batches = [book.batches[code] for code in (*taken, *parts)]
        mothers += new_mothers
        batches += new_batches
    return mothers, batches


def _take_back(book: Book, entry: Entry, event: events.Voided) -> None:
    """See that there is what is voided; labels printed on its word need a reprint."""
    voided = book.by_id.get(event.entry)
    if voided is None:
        raise NotFound(f"There is no entry {event.entry} to void.")
    if isinstance(voided.event, events.NameSettled | events.Suspected | events.Cleared):
        for state in _kin_of(book, voided.event)[1]:
            if state.printed_seq > voided.seq:
                state.renamed_seq = max(state.renamed_seq, entry.seq)
    if isinstance(voided.event, events.Parted) and voided.event.batch in book.batches:
        whole = book.batches[voided.event.batch]
        if voided.seq < whole.printed_seq < entry.seq:
            whole.parted_seq = entry.seq


def _part(book: Book, entry: Entry, event: events.Parted) -> None:
    part(_batch(book, event.batch, entry), _batch(book, event.into, entry), entry, event.count)


def _pair(book: Book, _: Entry, event: events.Doubted | events.Settled) -> None:
    """Two entries that may tell of one thing; once settled, for good."""
    pair = event.first, event.second
    book.pairs[pair] = book.pairs.get(pair, False) or isinstance(event, events.Settled)


_RULES: dict[type, Callable[[Book, Entry, Any], None]] = {
    events.Started: _add_batch,
    events.Parted: _part,
    events.StockPlantAdded: _add_stock_plant,
    events.NameSettled: _settle,
    events.Wanted: _want,
    events.Suspected: _doubt,
    events.Cleared: _doubt,
    events.LabelsPrinted: _note_labels,
    events.Doubted: _pair,
    events.Settled: _pair,
    events.Voided: _take_back,
}
"""What the events do that concern more than one batch, or none."""
