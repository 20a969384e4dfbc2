"""The book told in words: what each entry says, and which plants it moved."""

import datetime as dt
from typing import Any

from attrs import asdict, frozen

from propagate.actions.desk import Desk
from propagate.actions.meaning import batch_meant
from propagate.ledger import Move, batch_codes
from propagate.records import events
from propagate.records.events import Entry
from propagate.records.given import ForecastGiven


@frozen
class HistoryLine:
    """One entry for a reader: its number, day, words, and the moves that followed from it."""

    seq: int
    on: dt.date
    entered: dt.datetime
    batch: str
    said: str
    moves: str
    void: bool
    kind: str

    def view(self) -> dict[str, Any]:
        """As JSON."""
        return {**asdict(self), "on": self.on.isoformat(), "entered": self.entered.isoformat()}


def history(desk: Desk, batch: str | None = None) -> list[HistoryLine]:
    """Every entry, or those of one batch, in the order they happened; void ones marked."""
    book = desk.book
    code = batch_meant(desk, batch) if batch else None
    numbers = {entry.id: entry.seq for entry in book.entries}
    moves: dict[str, list[Move]] = {}
    for state in book.batches.values():
        for move in state.moves:
            moves.setdefault(move.entry, []).append(move)
    chosen = (e for e in book.entries if code is None or _concerns(e, code, book.entries))
    return [
        HistoryLine(
            seq=entry.seq,
            on=entry.on,
            entered=entry.entered,
            batch=" ".join(batch_codes(entry.event)),
            said=_said(entry, numbers),
            moves="; ".join(_moved(move) for move in moves.get(entry.id, ())),
            void=entry.id in book.voided,
            kind=type(entry.event).__name__,
        )
        for entry in sorted(chosen, key=lambda e: (e.on, e.seq))
    ]


def _said(entry: Entry, numbers: dict[str, int]) -> str:
    event = entry.event
    if not isinstance(event, events.Voided):
        return entry_said(entry)
    why = f": {event.why}" if event.why else ""
    return f"take back no {numbers.get(event.entry, 0)}{why}"


def entry_said(entry: Entry) -> str:
    """What an entry says, in a few words."""
    event = entry.event
    match event:
        case events.Started():
            mother = f" from {event.stock_plant}" if event.stock_plant else ""
            return f"start {event.count} of {event.plant} by {event.method}{mother}"
        case events.Checked():
            return _check_said(event)
        case events.Voided():
            return "take back an entry"
        case events.NameSettled() | events.StockPlantAdded() | events.Wanted():
            return _plant_said(event)
        case events.LabelsPrinted():
            return f"print labels ({event.format})"
        case events.Moved():
            return f"move to {event.place}"
        case events.StepDone():
            return event.step
        case ForecastGiven():
            return f"foretell {event.likely} plants ({event.low} to {event.high})"
        case _:
            return _count_said(event)


_VERBS: dict[type, str] = {
    events.PottedOn: "pot on",
    events.HardenedOff: "harden off",
    events.MadeReady: "ready",
    events.PlantedOut: "plant out",
    events.Given: "give",
    events.Promised: "promise",
    events.Lost: "lose",
    events.Recounted: "recount",
}
_DETAILS = {
    "container": " into ",
    "bed": " in ",
    "to": " to ",
    "account": " from the ",
    "cause": ": ",
    "why": ": ",
}


def _count_said(event: Any) -> str:
    details = (
        f"{lead}{getattr(event, name)}"
        for name, lead in _DETAILS.items()
        if getattr(event, name, "")
    )
    return f"{_VERBS[type(event)]} {event.count}{''.join(details)}"


def _plant_said(event: events.NameSettled | events.StockPlantAdded | events.Wanted) -> str:
    """What is said of a kind of plant, a mother or a bed."""
    if isinstance(event, events.StockPlantAdded):
        return f"mother {event.stock_plant}: {event.plant}"
    if isinstance(event, events.NameSettled):
        why = f", {event.why}" if event.why else ""
        return f"name {event.stock_plant or event.batch}: {event.plant}{why}"
    if not event.count:
        return f"no longer want {event.plant} in {event.bed}"
    rows = f", {event.times} times" if event.times > 1 else ""
    return f"want {event.count} of {event.plant} in {event.bed} by {event.by.isoformat()}{rows}"


def _check_said(event: events.Checked) -> str:
    if event.rooted is None and not event.dead:
        return "check: looked, nothing counted"
    counts = [] if event.rooted is None else [f"{event.rooted} rooted"]
    if event.dead is not None:
        counts.append(f"{event.dead} dead" if event.dead else "none dead")
    sample = f" of {event.sample} lifted" if event.sample else ""
    return f"check: {', '.join(counts)}{sample}"


def _moved(move: Move) -> str:
    source = f"{move.source} → " if move.source else ""
    return f"{move.count} {source}{move.target}"


def _concerns(entry: Entry, code: str, entries: tuple[Entry, ...]) -> bool:
    """Whether an entry speaks of the batch, or voids one that does."""
    event = entry.event
    if isinstance(event, events.Voided):
        voided = next((e for e in entries if e.id == event.entry), None)
        return voided is not None and _concerns(voided, code, entries)
    return code in batch_codes(event)
