"""Part a batch in two: some of it goes elsewhere, as a batch with a code and label of its own.

A part is written down as if the grower had started two batches on the day: the old one has so
many fewer from the start, and the new one has stood where the old one stood until now. So
both are forecast as what they are. That is only true while nobody has looked into the tray, for
what was found then was found in both together.
"""

import datetime as dt
from collections.abc import Iterator, Sequence

from attrs import evolve

from propagate.actions.coding import free_code
from propagate.actions.desk import Desk
from propagate.actions.recording import Dated, record_all
from propagate.errors import Refused
from propagate.ledger import BatchState, Book, Kind, Look
from propagate.records import events
from propagate.records.events import id_end
from propagate.worded import worded


def part(
    desk: Desk, moved: events.Moved, count: int, on: dt.date | None = None, *, request: str = ""
) -> str:
    """Move `count` of a batch and no more, into the trays that `moved` names; their new code.

    Raises Refused for all that wait there or more, and where the tray was looked into already.
    """
    move, device = Dated(moved, on or desk.today), desk.hand().device

    def planned(book: Book) -> Sequence[Dated]:
        return parting(book, move, count, device)

    event = record_all(desk, planned, foretell=True, request=request)[-1].event
    assert isinstance(event, events.Parted)
    return event.into


def parting(book: Book, move: Dated, count: int, device: str = "") -> list[Dated]:
    """The events by which `count` of a batch, moved so, become a batch; `Parted` is the last.

    Raises Refused where the tray was looked into already.
    """
    assert isinstance(move.event, events.Moved)
    state = book.batch(move.event.batch)
    if not unseen(state):
        raise Refused(
            worded(
                "{code} cannot be parted any more: it was looked into as one, and nobody wrote "
                "down what of that goes where. It can only move as a whole.",
                code=state.code,
            )
        )
    code = free_code(book, set(book.batches), device)
    return list(_entries(state, code, count, move))


def unseen(state: BatchState) -> bool:
    """Whether nothing is known of a batch but how many of it wait."""
    return state.living == state.total(Kind.WAITING) and not any(map(_tells, state.looks))


def _tells(look: Look) -> bool:
    """Whether more was seen than that some had gone, as to mice."""
    return look.rooted is not None or bool(look.dead or look.sought or look.taken or look.sample)


def _entries(state: BatchState, code: str, count: int, move: Dated) -> Iterator[Dated]:
    """What the new batch lived through until now, its move, and what the old one is left with."""
    moved = move.event
    assert isinstance(moved, events.Moved)
    yield Dated(
        evolve(
            state.started,
            batch=code,
            plant=state.name,
            count=count,
            trays=moved.trays,
            mark="",
            parted_from=id_end(state.entry_id),
        ),
        state.on,
    )
    stood = state.places[1:] if state.started.place else state.places
    yield from (Dated(events.Moved(code, place), on) for on, place in stood)
    yield from (Dated(events.StepDone(code, step), on) for step, on in state.steps.items())
    yield Dated(events.Moved(code, moved.place), move.on)
    left = tuple(tray for tray in state.trays if tray not in moved.trays)
    if left and left != state.trays:
        yield Dated(events.Moved(state.code, "", left), move.on)
    yield Dated(events.Parted(state.code, count, code), state.on)


def parted_said(state: BatchState, part: BatchState) -> str:
    """What parting did, and which labels it asks for."""
    return (
        f"{part.count} of {state.code} went to {part.place} and are batch {part.code} now; "
        "print labels for both."
    )
