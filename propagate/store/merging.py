"""Two books that were used apart become one, the same whichever takes in the other.

    the entries of both -> and of what cannot stand beside each other, marks -> one book

The entries are joined as sets, by id. The marks are entries too, made of the entries alone,
with ids made of theirs: whoever merges makes the same marks, so merging again, or the other
way round, adds nothing.
"""

import datetime as dt
import hashlib
from collections.abc import Collection, Iterable, Iterator, Sequence
from itertools import product

from attrs import evolve

from propagate import codes
from propagate.errors import Refused
from propagate.ledger import voided_ids
from propagate.ledger.recoding import renames_of
from propagate.records import events
from propagate.records.events import Entry, Event, id_end
from propagate.store.ids import following

FAR_APART = dt.timedelta(days=3)
"""Two people who tell of one thing seldom date it further apart (judgement)."""


def joined(ours: Iterable[Entry], theirs: Iterable[Entry]) -> tuple[Entry, ...]:
    """The entries of both books in the order of their ids, numbered anew.

    Raises Refused when the books tell different things under one id.
    """
    every = {entry.id: entry for entry in ours}
    for entry in theirs:
        known = every.setdefault(entry.id, entry)
        if evolve(known, seq=0) != evolve(entry, seq=0):
            raise Refused(
                f"The two books do not say the same in entry {entry.id}; one of them was "
                "changed behind the program's back. Nothing was merged."
            )
    return tuple(evolve(every[key], seq=seq) for seq, key in enumerate(sorted(every), start=1))


def marks(ours: Sequence[Entry], theirs: Sequence[Entry]) -> list[Entry]:
    """The marks that joining two books calls for: batches recoded, entries doubted."""
    every = joined(ours, theirs)
    voided = voided_ids(every)
    here, there = {entry.id for entry in ours}, {entry.id for entry in theirs}
    counting = [entry for entry in every if entry.id not in voided]
    apart = [[entry for entry in counting if entry.id not in known] for known in (there, here)]
    return [*_recodings(every, counting), *_doubts(*apart)]


# One code, two batches


def _recodings(every: Sequence[Entry], counting: Sequence[Entry]) -> Iterator[Entry]:
    """A new code for each batch whose code an earlier entry had claimed."""
    voided = {entry.id for entry in every} - {entry.id for entry in counting}
    renames, spent = renames_of(every, voided), _spent(every)
    claimed: set[str] = set()
    for _, code, start in sorted(_claims(counting, renames)):
        if code in claimed:
            fresh = _free_code(start, spent)
            spent.add(fresh)
            by_id = next(entry for entry in counting if entry.id == start)
            yield _mark(by_id.id, events.Recoded(start, fresh, code), by_id)
        claimed.add(code)


def _claims(counting: Iterable[Entry], renames: dict[str, str]) -> Iterator[tuple[str, str, str]]:
    """(id of the entry that claims a code, the code, id of the start) of every batch."""
    recodings = ((e.id, e.event) for e in counting)
    latest = {(e.start, e.batch): key for key, e in recodings if isinstance(e, events.Recoded)}
    for entry in counting:
        if isinstance(entry.event, events.Started):
            code = renames.get(id_end(entry.id), entry.event.batch)
            yield latest.get((entry.id, code), entry.id), code, entry.id


def _spent(every: Iterable[Entry]) -> set[str]:
    """Every code that was ever given."""
    found: set[str] = set()
    for entry in every:
        if isinstance(entry.event, events.Started | events.Recoded):
            found.add(entry.event.batch)
    return found


def _free_code(start: str, spent: Collection[str]) -> str:
    """A code nobody has: where to look first hangs on the start, so all copies find the same."""
    number = int(id_end(start), 16) % codes.SHORT_CODES
    while (code := codes.code(number)) in spent:
        number += 1
    return code


# One thing, told twice


def _doubts(ours: Sequence[Entry], theirs: Sequence[Entry]) -> Iterator[Entry]:
    """Pairs of entries, made apart, that look like one thing; each entry in one pair only."""
    by_topic: dict[object, tuple[list[Entry], list[Entry]]] = {}
    for side, entries in enumerate((ours, theirs)):
        for entry in entries:
            for topic in _topics(entry):
                by_topic.setdefault(topic, ([], []))[side].append(entry)
    pairs = {
        (min(a.id, b.id), max(a.id, b.id)): max(a, b, key=lambda entry: entry.id)
        for left, right in by_topic.values()
        for a, b in product(left, right)
        if _alike(a, b)
    }
    paired: set[str] = set()
    for (first, second), later in sorted(pairs.items(), key=lambda pair: pair[0]):
        if first not in paired and second not in paired:
            paired |= {first, second}
            yield _mark(second, events.Doubted(first, second), later)


def _topics(entry: Entry) -> Iterator[object]:
    """What two entries must share to be looked at side by side."""
    event = entry.event
    if entry.request:
        yield "request", entry.request
    if isinstance(event, events.Started):
        yield type(event), str(event.plant), event.method
    elif _size(event):
        yield type(event), entry.about or getattr(event, "batch", "")


def _size(event: Event) -> object:
    """The numbers by which one telling is known again; None where twice does no harm."""
    if isinstance(event, events.Checked):
        return (event.rooted, event.dead, event.sample) if event.dead else None
    if isinstance(event, events.Recounted | events.LabelsPrinted):
        return None
    return getattr(event, "count", None)


def _alike(one: Entry, other: Entry) -> bool:
    if one.request and one.request == other.request:
        return type(one.event) is type(other.event)
    if type(one.event) is not type(other.event) or abs(one.on - other.on) > FAR_APART:
        return False
    started = isinstance(one.event, events.Started)
    same_day = one.on == other.on and not started and not _parted(one.event, other.event)
    return same_day or _size(one.event) == _size(other.event)


def _parted(one: Event, other: Event) -> bool:
    """Whether both say whom or which bed plants went to, and not the same."""
    ends = [{getattr(event, "to", ""), getattr(event, "bed", "")} - {""} for event in (one, other)]
    return all(ends) and ends[0] != ends[1]


def _mark(beside: str, event: Event, like: Entry) -> Entry:
    """A mark that stands right after the entry it is about, whoever makes it."""
    digest = hashlib.sha256(f"{type(event).__name__} {event}".encode()).digest()
    key = following(beside, 1 + int.from_bytes(digest[:4], "big"))
    return Entry(0, key, like.on, like.entered, event)
