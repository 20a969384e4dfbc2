"""The laws of the ledger under random journals: late entries, voids, voids of voids, refusals."""

import datetime as dt
from collections import Counter
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from types import SimpleNamespace
from typing import Any

import attrs
from hypothesis import given, note, settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, invariant, rule

from propagate.actions.desk import brought_up
from propagate.actions.recording import record
from propagate.actions.takingback import void
from propagate.errors import PropagateError
from propagate.ledger import Account, BatchState, Book, Kind, fold, voided_ids
from propagate.names import parse
from propagate.records import events
from propagate.records.events import Entry, Event, Hand

FIRST_DAY = dt.date(2027, 3, 1)
DAYS = [FIRST_DAY + dt.timedelta(days=n) for n in range(8)]
LAST_DAY = DAYS[-1]
NOW = dt.datetime(2027, 4, 1, tzinfo=dt.UTC)
CODES = ("A", "B", "C")
MOTHERS = ("Bess", "Tess")
PLANTS = [parse("Ribes nigrum"), parse("Ribes nigrum 'Blacksmith'")]

days = st.sampled_from(DAYS)
codes = st.sampled_from(CODES)
mothers = st.sampled_from(MOTHERS)
plants = st.sampled_from(PLANTS)
few = st.integers(1, 14)
none_or_few = st.integers(0, 14)
accounts = st.sampled_from(["", "", "waiting", "rooted", "potted", "hardening", "ready"])
people = st.sampled_from(["Ann", "Bea"])


def started(**more: st.SearchStrategy[str]) -> st.SearchStrategy[events.Started]:
    """Any start of a batch, with what else is to be said of it."""
    counts = st.integers(5, 20)
    return st.builds(events.Started, codes, plants, st.just("hardwood-cutting"), counts, **more)


starts = started(stock_plant=st.sampled_from(["", "", *MOTHERS]))
batch_events: st.SearchStrategy[Event] = st.one_of(
    st.builds(events.Checked, codes, none_or_few, st.integers(0, 4)),
    st.builds(events.Checked, codes, st.none(), few),
    st.builds(events.Checked, codes, st.integers(0, 4), st.integers(0, 3), few),
    st.builds(events.PottedOn, codes, few),
    st.builds(events.HardenedOff, codes, few),
    st.builds(events.MadeReady, codes, few),
    st.builds(events.PlantedOut, codes, few, st.sampled_from(["", "hedge"]), accounts),
    st.builds(events.Given, codes, few, people, accounts),
    st.builds(events.Promised, codes, few, people),
    st.builds(events.Offered, codes, none_or_few),
    st.builds(events.Lost, codes, few, st.sampled_from(["", "mice"]), accounts),
    st.builds(events.Recounted, codes, st.integers(0, 25), st.just("slip")),
    st.builds(events.Moved, codes, st.sampled_from(["bench", "frame"])),
    st.builds(events.Moved, codes, st.just(""), st.sampled_from([("left", "right"), ("one",)])),
    st.builds(events.StepDone, codes, st.just("severed")),
    st.builds(events.Parted, codes, few, codes),
)
parts = started(parted_from=st.sampled_from(["e1", "e2", "e3"]))
one_start = starts.map(lambda start: (start,))
partings = st.builds(events.Parted, st.just("A"), few, codes)
parted = st.tuples(
    st.just(events.Started("A", PLANTS[0], "runner", 20)),
    st.just(events.Started("B", PLANTS[0], "runner", 5, parted_from="e1")),
    st.builds(events.Parted, st.just("A"), few, st.just("B")),
)
"""A batch and its part, the entries e1 to e3."""
family_events: st.SearchStrategy[Event] = st.one_of(
    parts,
    st.builds(events.StockPlantAdded, mothers, plants, st.sampled_from(["", *CODES])),
    st.builds(events.NameSettled, plants, stock_plant=mothers),
    st.builds(events.NameSettled, plants, batch=codes),
    st.builds(events.Wanted, st.sampled_from(["hedge", "row"]), plants, none_or_few, st.dates()),
    st.builds(events.Suspected, st.just("galls"), mothers),
    st.builds(events.Suspected, st.just("mixed up"), batch=codes, about=st.just("name")),
    st.builds(events.Cleared, st.just("tested"), mothers),
    st.builds(events.Cleared, st.just("tested"), batch=codes),
    st.builds(events.LabelsPrinted, st.lists(codes, min_size=1).map(tuple), st.just("tray-a4")),
)
many = settings(max_examples=400, deadline=None)
any_event = st.one_of(starts, batch_events, batch_events, family_events)


def numbered(lines: Sequence[tuple[dt.date, Event]]) -> tuple[Entry, ...]:
    return tuple(
        Entry(seq, f"e{seq}", on, NOW, event) for seq, (on, event) in enumerate(lines, start=1)
    )


@st.composite
def journals(
    draw: st.DrawFn,
    what: st.SearchStrategy[Event] = any_event,
    first: st.SearchStrategy[tuple[Event, ...]] = one_start,
) -> tuple[Entry, ...]:
    """Entries as nobody checked them: most cannot be so beside the others."""
    lines: list[tuple[dt.date, Event]] = [(FIRST_DAY, event) for event in draw(first)]
    for _ in range(draw(st.integers(0, 14))):
        if draw(st.integers(0, 5)):
            lines.append((draw(days), draw(what)))
        else:
            earlier = draw(st.integers(1, len(lines)))
            lines.append((draw(days), events.Voided(f"e{earlier}")))
    return numbered(lines)


def told(book: Book) -> dict[str, Any]:
    """What the book says of each batch and mother, without the order in which it was written."""
    order = ("entry_seq", "printed_seq", "renamed_seq", "parted_seq", "doubted_seq")
    keep = attrs.filters.exclude(*order)
    batches = {
        code: attrs.asdict(state, recurse=False, filter=keep)
        for code, state in book.batches.items()
    }
    return {**batches, **{f"mother {key}": m for key, m in book.stock_plants.items()}}


def assert_adds_up(state: BatchState) -> None:
    """Nothing is below zero, all that came in stands somewhere, and the moves explain it."""
    assert min(state.balances.values(), default=0) >= 0
    assert state.balances.total() == state.count
    assert all(promised > 0 for promised in state.promised.values())
    assert 0 <= state.for_sale <= max(0, state.living - state.promised.total())
    assert state.for_sale <= state.offered
    in_out: Counter[Account] = Counter()
    for move in state.moves:
        assert move.count > 0 or (move.count < 0 and move.source is None)
        in_out[move.target] += move.count
        if move.source is not None:
            in_out[move.source] -= move.count
    assert in_out == state.balances
    for kind in Kind:
        came = sum(m.count for m in state.explain(kind) if m.target.kind == kind)
        went = sum(m.count for m in state.explain(kind) if m.source and m.source.kind == kind)
        assert came - went == state.total(kind)


# Laws of any journal


@many
@given(journals(), days)
def test_every_batch_adds_up_on_any_day_whatever_was_written(
    entries: tuple[Entry, ...], until: dt.date
) -> None:
    for state in fold(entries, until).batches.values():
        assert_adds_up(state)


@many
@given(journals(st.one_of(batch_events, partings), parted))
def test_parting_makes_and_loses_no_plant_however_it_comes_apart(
    entries: tuple[Entry, ...],
) -> None:
    """Also where its start is missing, voided or brought back without the other half."""
    came: Counter[str] = Counter()
    for state in fold(entries).batches.values():
        for move in state.moves:
            came[move.entry] += move.count if move.source is None else 0
    for entry in entries:
        apart = isinstance(entry.event, events.Started) and entry.event.parted_from
        if apart or isinstance(entry.event, events.Parted):
            assert came[entry.id] == 0


@many
@given(journals())
def test_an_entry_that_cannot_be_so_leaves_no_trace(entries: tuple[Entry, ...]) -> None:
    book = fold(entries)
    refused = {conflict.entry.id for conflict in book.conflicts}
    without = fold([entry for entry in entries if entry.id not in refused])
    assert without.batches == book.batches
    assert without.stock_plants == book.stock_plants


@many
@given(journals(), days)
def test_the_book_of_a_day_is_that_of_the_entries_dated_up_to_it(
    entries: tuple[Entry, ...], until: dt.date
) -> None:
    voided = voided_ids(entries)
    counting = [
        entry
        for entry in entries
        if entry.id not in voided and not isinstance(entry.event, events.Voided)
    ]
    up_to = [entry for entry in counting if entry.on <= until or _always_there(entry.event)]
    assert told(fold(entries, until)) == told(fold(up_to))


def _always_there(event: Event) -> bool:
    return isinstance(event, events.StockPlantAdded) and not event.batch


@many
@given(journals(), st.data())
def test_a_voided_entry_might_as_well_never_have_been_written(
    entries: tuple[Entry, ...], data: st.DataObject
) -> None:
    mistake = data.draw(st.sampled_from(entries))
    void_of_it = Entry(len(entries) + 1, "last", LAST_DAY, NOW, events.Voided(mistake.id))
    without = [entry for entry in entries if entry is not mistake]
    assert told(fold((*entries, void_of_it))) == told(fold(without))


@many
@given(journals(st.one_of(starts, batch_events).filter(lambda e: not _of_mother(e))), st.data())
def test_the_order_of_writing_of_independent_batches_does_not_matter(
    entries: tuple[Entry, ...], data: st.DataObject
) -> None:
    by_id = {entry.id: entry for entry in entries}
    queues: dict[str, list[Entry]] = {code: [] for code in CODES}
    for entry in entries:
        queues[_batch_meant(entry, by_id)].append(entry)
    owners = data.draw(st.permutations([_batch_meant(entry, by_id) for entry in entries]))
    mixed = [attrs.evolve(queues[code].pop(0), seq=seq) for seq, code in enumerate(owners, start=1)]
    assert told(fold(mixed)) == told(fold(entries))


def _of_mother(event: Event) -> bool:
    return isinstance(event, events.Started) and bool(event.stock_plant)


def _batch_meant(entry: Entry, by_id: dict[str, Entry]) -> str:
    event = entry.event
    if isinstance(event, events.Voided):
        return _batch_meant(by_id[event.entry], by_id)
    assert not isinstance(event, events.LabelsPrinted)
    return event.batch


# Laws of an accepted journal, written through the very door the commands use


class MemoryStore:
    """A book in memory: all that is appended while writing is kept, or none of it."""

    def __init__(self) -> None:
        self.kept: tuple[Entry, ...] = ()

    @contextmanager
    def writing(self) -> Iterator["MemoryWriting"]:
        writing = MemoryWriting(self.kept)
        yield writing
        self.kept = writing.entries()


class MemoryWriting:
    def __init__(self, kept: tuple[Entry, ...]) -> None:
        self._entries = kept

    def entries(self, after: int = 0) -> tuple[Entry, ...]:
        return self._entries[after:]

    def last(self) -> tuple[int, str]:
        return (len(self._entries), self._entries[-1].id) if self._entries else (0, "")

    def id_at(self, seq: int) -> str:
        return self._entries[seq - 1].id

    def asked(self, request: str) -> tuple[Entry, ...]:
        return ()

    def append(
        self, event: Event, on: dt.date, entered: dt.datetime, hand: Hand, about: str
    ) -> Entry:
        seq = len(self._entries) + 1
        entry = Entry(seq, f"e{seq}", on, entered, event, hand.by, about=about)
        self._entries = (*self._entries, entry)
        return entry


class AcceptedJournal(RuleBasedStateMachine):
    """Random entries on several batches, each accepted or refused as the commands do it."""

    def __init__(self) -> None:
        super().__init__()
        self.store = MemoryStore()
        self.known: Book | None = None
        self.desk: Any = SimpleNamespace(
            store=self.store,
            today=LAST_DAY,
            now=NOW,
            forget=lambda: None,
            look_again=self.look_again,
            keep=self.keep,
            back_up_if_due=lambda: None,
            hand=lambda request: Hand("Ann", request=request),
        )
        for code in CODES[:2]:
            record(self.desk, events.Started(code, PLANTS[0], "runner", 12), FIRST_DAY)
        own = events.Started(CODES[2], PLANTS[0], "runner", 4, parted_from="e1")
        record(self.desk, own, FIRST_DAY)
        record(self.desk, events.Parted(CODES[0], 4, CODES[2]), FIRST_DAY)

    def look_again(self, reading: Any) -> Book:
        self.known = brought_up(self.known, reading)
        return self.known

    def keep(self, book: Book) -> None:
        self.known = book

    @rule(event=starts, on=days)
    def start(self, event: events.Started, on: dt.date) -> None:
        self._try(event, on)

    @rule(event=batch_events, on=days)
    def do(self, event: Event, on: dt.date) -> None:
        self._try(event, on)

    @rule(event=batch_events)
    def do_today(self, event: Event) -> None:
        self._try(event, LAST_DAY)

    @rule(event=family_events, on=days)
    def tell_of_family(self, event: Event, on: dt.date) -> None:
        self._try(event, on)

    @rule(data=st.data())
    def take_back(self, data: st.DataObject) -> None:
        chosen = data.draw(st.integers(1, len(self.store.kept)))
        before = self.store.kept
        counts = chosen not in {e.seq for e in before if e.id in voided_ids(before)}
        try:
            void(self.desk, chosen, "slip")
        except PropagateError as error:
            note(f"refused: {error}")
            assert self.store.kept == before
        else:
            assert counts
            voids = [entry.event for entry in self.store.kept[len(before) :]]
            gone = {event.entry for event in voids if isinstance(event, events.Voided)}
            assert before[chosen - 1].id in gone  # and the other side of a parting
            without = [entry for entry in before if entry.id not in gone]
            assert told(fold(self.store.kept)) == told(fold(without))

    def _try(self, event: Event, on: dt.date) -> None:
        before = self.store.kept
        try:
            entry = record(self.desk, event, on)
        except PropagateError as error:
            note(f"refused: {error}")
            assert self.store.kept == before
            refused = Entry(len(before) + 1, "refused", on, NOW, event)
            assert fold((*before, refused)).conflicts
        else:
            assert self.store.kept == (*before, entry)

    @invariant()
    def the_book_that_grew_is_the_book_folded_anew(self) -> None:
        anew = fold(self.store.kept)
        assert self.known is not None
        assert self.known.entries == anew.entries
        assert self.known.voided == anew.voided
        assert self.known.batches == anew.batches
        assert self.known.stock_plants == anew.stock_plants
        assert self.known.wants == anew.wants
        assert self.known.conflicts == anew.conflicts

    @invariant()
    def everything_adds_up_on_every_day(self) -> None:
        for until in sorted({entry.on for entry in self.store.kept}):
            book = fold(self.store.kept, until)
            assert not book.conflicts
            for state in book.batches.values():
                assert_adds_up(state)


AcceptedJournal.TestCase.settings = settings(
    max_examples=120, stateful_step_count=25, deadline=None
)
TestAcceptedJournal = AcceptedJournal.TestCase
