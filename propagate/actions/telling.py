"""The book told in words: what each entry says, and which plants it moved."""

import datetime as dt
from collections.abc import Iterable
from typing import Any

from attrs import asdict, frozen

from propagate.actions.desk import Desk
from propagate.actions.meaning import batch_meant
from propagate.days import written
from propagate.ledger import Account, Book, Move, batch_codes
from propagate.records import events
from propagate.records.events import Entry
from propagate.records.given import ForecastGiven
from propagate.worded import in_a_row, worded, wording


@frozen
class HistoryLine:
    """One entry for a reader: its number, day, words, and the moves that followed from it.

    `void` says that it counts no more; `void_why` by which entry, and the reason given there.
    `by` and `device` tell who wrote it down and where, as far as that is known.
    """

    seq: int
    id: str
    on: dt.date
    entered: dt.datetime
    batch: str
    said: str
    moves: str
    void: bool
    kind: str
    void_why: str = ""
    by: str = ""
    device: str = ""

    def view(self) -> dict[str, Any]:
        """As JSON."""
        return {**asdict(self), "on": self.on.isoformat(), "entered": self.entered.isoformat()}


def history(desk: Desk, batch: str | None = None) -> list[HistoryLine]:
    """Every entry, or those of one batch, in the order they happened; void ones marked."""
    book = desk.book
    code = batch_meant(desk, batch) if batch else None
    numbers = {entry.id: entry.seq for entry in book.entries}
    concerns = _concerns(book.entries)
    taken_back = _taken_back(book)
    moves: dict[str, list[Move]] = {}
    for state in book.batches.values():
        for move in state.moves:
            moves.setdefault(move.entry, []).append(move)
    chosen = (e for e in book.entries if code is None or code in concerns[e.id])
    return [
        HistoryLine(
            seq=entry.seq,
            id=entry.id,
            on=entry.on,
            entered=entry.entered,
            batch=" ".join(batch_codes(entry.event)),
            said=_said(entry, numbers),
            moves=in_a_row([_moved(move) for move in moves.get(entry.id, ())], "; "),
            void=entry.id in book.voided,
            kind=type(entry.event).__name__,
            void_why=taken_back.get(entry.id, ""),
            by=entry.by,
            device=entry.device,
        )
        for entry in sorted(chosen, key=lambda e: (e.on, e.seq))
    ]


def _taken_back(book: Book) -> dict[str, str]:
    """Of each void entry, which one took it back and why: no 7, counted twice."""
    return {
        entry.event.entry: f"no {entry.seq}" + (f", {entry.event.why}" if entry.event.why else "")
        for entry in book.effective()
        if isinstance(entry.event, events.Voided)
    }


def _said(entry: Entry, numbers: dict[str, int]) -> str:
    event = entry.event
    if not isinstance(event, events.Voided):
        return entry_said(entry)
    said = worded("take back no {number}", number=numbers.get(event.entry, 0))
    return in_a_row([said, worded(event.why)], ": ") if event.why else said


def entry_said(entry: Entry) -> str:
    """What an entry says, in a few words."""
    event = entry.event
    match event:
        case events.Started():
            return _start_said(event)
        case events.Checked():
            return _check_said(event)
        case events.NameSettled() | events.StockPlantAdded() | events.Wanted():
            return _plant_said(event)
        case events.Suspected() | events.Cleared():
            return _doubt_said(event)
        case ForecastGiven() | events.Recoded() | events.Doubted() | events.Settled():
            return _own_said(event)
        case _:
            return _plainly_said(event) or _count_said(event)


def _move_said(moved: events.Moved) -> Iterable[str]:
    if moved.place:
        yield worded("move to {place}", place=moved.place)
    if moved.trays:
        yield worded("now in {trays}", trays=", ".join(moved.trays))


def _plainly_said(event: Any) -> str:
    """What an event without a count says, nothing for the others."""
    match event:
        case events.Voided():
            return worded("take back an entry")
        case events.LabelsPrinted():
            return worded("print labels ({format})", format=event.format)
        case events.Moved():
            return in_a_row([*_move_said(event)], "; ")
        case events.StepDone():
            return worded(event.step)
        case _:
            return ""


def _doubt_said(event: events.Suspected | events.Cleared) -> str:
    who = event.stock_plant or event.batch
    if isinstance(event, events.Cleared):
        return worded("clear {who}: {why}", who=who, why=event.why)
    doubt = worded("name in doubt") if event.about == "name" else worded("suspect")
    return worded("{doubt} {who}: {why}", doubt=doubt, who=who, why=event.why)


def _own_said(
    event: ForecastGiven | events.Recoded | events.Doubted | events.Settled,
) -> str:
    """What the book foretold, or what merging two copies brought and a grower said of it."""
    match event:
        case ForecastGiven():
            return f"foretell {event.likely} plants ({event.low} to {event.high})"
        case events.Recoded():
            return f"new code {event.batch}, as {event.was} was given twice"
        case events.Doubted():
            return "one thing told twice? (see: propagate settle)"
        case _:
            return "it did happen twice"


_VERBS: dict[type, str] = {
    events.Parted: wording("part off {count}"),
    events.PottedOn: wording("pot on {count}"),
    events.HardenedOff: wording("harden off {count}"),
    events.MadeReady: wording("ready {count}"),
    events.PlantedOut: wording("plant out {count}"),
    events.Given: wording("give {count}"),
    events.Promised: wording("promise {count}"),
    events.Offered: wording("for sale: {count}"),
    events.Lost: wording("lose {count}"),
    events.Recounted: wording("recount {count}"),
}
_DETAILS = {
    "into": wording("{said} as batch {detail}"),
    "container": wording("{said} into {detail}"),
    "bed": wording("{said} in {detail}"),
    "to": wording("{said} to {detail}"),
    "account": wording("{said} from the {detail}"),
    "cause": "{said}: {detail}",
    "why": "{said}: {detail}",
}


def _start_said(event: events.Started) -> str:
    said = worded(
        "start {count} of {plant} by {method}",
        count=event.count,
        plant=event.plant,
        method=worded(event.method),
    )
    if not event.stock_plant:
        return said
    return worded("{said} from {mother}", said=said, mother=event.stock_plant)


def _count_said(event: Any) -> str:
    said = worded(_VERBS[type(event)], count=event.count)
    for name, pattern in _DETAILS.items():
        if detail := getattr(event, name, ""):
            known = worded(detail) if name in ("account", "cause") else detail
            said = worded(pattern, said=said, detail=known)
    return said


def _plant_said(event: events.NameSettled | events.StockPlantAdded | events.Wanted) -> str:
    """What is said of a kind of plant, a mother or a bed."""
    if isinstance(event, events.StockPlantAdded):
        raised = f", raised from {event.batch}" if event.batch else ""
        return f"mother {event.stock_plant}: {event.plant}{raised}"
    if isinstance(event, events.NameSettled):
        why = f", {event.why}" if event.why else ""
        return f"name {event.stock_plant or event.batch}: {event.plant}{why}"
    if not event.count:
        return f"no longer want {event.plant} in {event.bed}"
    rows = f", {event.times} times" if event.times > 1 else ""
    return f"want {event.count} of {event.plant} in {event.bed} by {written(event.by)}{rows}"


def _check_said(event: events.Checked) -> str:
    if event.rooted is None and not event.dead:
        return worded("check: looked, nothing counted")
    counts: list[str] = []
    if event.rooted is not None:
        counts.append(worded("{count} rooted", count=event.rooted))
    if event.dead is not None:
        dead = worded("{count} dead", count=event.dead) if event.dead else worded("none dead")
        counts.append(dead)
    said = worded("check: {counts}", counts=in_a_row(counts))
    if not event.sample:
        return said
    return worded("{said} of {sample} lifted", said=said, sample=event.sample)


def _moved(move: Move) -> str:
    target = _account_said(move.target)
    if move.source:
        target = in_a_row([_account_said(move.source), target], " → ")
    return in_a_row([str(move.count).replace("-", "\N{MINUS SIGN}"), target], " ")


def _account_said(account: Account) -> str:
    kind = worded(account.kind)
    return in_a_row([kind, worded(account.detail)], ": ") if account.detail else kind


def _concerns(entries: Iterable[Entry]) -> dict[str, tuple[str, ...]]:
    """The batches that each entry speaks of; a void speaks of those of what it takes back."""
    concerns: dict[str, tuple[str, ...]] = {}
    for entry in sorted(entries, key=lambda e: e.seq):  # what is voided was written before
        event = entry.event
        if isinstance(event, events.Voided):
            concerns[entry.id] = concerns.get(event.entry, ())
        else:
            concerns[entry.id] = batch_codes(event)
    return concerns
