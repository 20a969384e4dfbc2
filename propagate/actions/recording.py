"""Write events into the book: first see whether they can be so, then write, all or nothing."""

import datetime as dt
from collections.abc import Callable, Iterable, Iterator, Sequence
from typing import Any

from attrs import evolve, fields, frozen

from propagate.actions.coding import batch_code, free_code
from propagate.actions.desk import Desk
from propagate.actions.keeping import forecasts_to_keep
from propagate.actions.startends import StartEnds
from propagate.days import written
from propagate.errors import Problem, Refused, refuse_all
from propagate.ledger import BatchState, Book, Conflict, Undo, about, batch_codes, grown
from propagate.legible import legible, shortened
from propagate.names import PlantName
from propagate.records import events
from propagate.records.events import Entry, Event, id_end
from propagate.store import Writing
from propagate.worded import worded

REFUSAL = "Nothing was taken, because:"
FARTHEST_AHEAD_DAYS = 366

MOST_IN_BATCH = 100_000
"""The forecast of a larger batch would take too long to wait for at a bench."""

MOST_AT_ALL = 1_000_000
MOST_SHOWN = 20


@frozen
class Dated:
    """An event and the day it happened, not yet in the book.

    `where` says which line of a file it comes from, so that a refusal can name it.
    """

    event: Event
    on: dt.date
    where: str = ""


@frozen
class BatchPlan:
    """What a grower says when starting a batch, checked and ready to write."""

    plant: PlantName
    method: str
    count: int
    on: dt.date
    place: str = ""
    stock_plant: str = ""
    trays: tuple[str, ...] = ()
    mark: str = ""
    note: str = ""


def record(
    desk: Desk,
    event: Event,
    on: dt.date | None = None,
    *,
    foretell: bool = False,
    request: str = "",
) -> Entry:
    """Write one event; raises Refused, with the book unchanged, when it cannot be so."""
    dated = [Dated(event, on or desk.today)]
    return record_all(desk, lambda _: dated, foretell=foretell, request=request)[-1]


def record_all(
    desk: Desk,
    plan: Callable[[Book], Sequence[Dated]],
    *,
    foretell: bool = False,
    request: str = "",
) -> tuple[Entry, ...]:
    """Write what `plan` makes of the book as it stands, in one piece.

    The book is held while it is read, planned on, tried and written, so that two people
    writing at once cannot both take the last plant. Raises Refused with the first reason.
    With `foretell` the forecasts that follow from it are kept beside it, to be judged later.
    A `request` is a program's own key for what it asks, such as a UUID: when it came before,
    nothing is written and the entries written then are returned, so asking again is harmless.
    """
    desk.back_up_if_due()
    take_back: Undo | None = None
    try:
        with desk.store.writing() as writing:
            if done := writing.asked(request):
                return done
            book = desk.look_again(writing)
            planned = plan(book)
            for dated in planned:
                refuse_far_days(dated.on, desk.today)
            entries = tuple(append_all(desk, writing, book, planned, request))
            after, fresh, take_back = grown(book, entries)
            refuse_conflicts(fresh, entries, [dated.where for dated in planned])
            kept = foretold(desk, writing, after, entries, desk.today) if foretell else []
    except BaseException:
        if take_back:
            take_back()  # the book in memory; that on disk was not changed
        raise
    desk.keep(grown(after, kept)[0])
    desk.forget()  # others may write; looking costs little
    return entries


def foretold(
    desk: Desk, writing: Writing, after: Book, entries: Sequence[Entry], on: dt.date
) -> list[Entry]:
    """Append the forecasts that are kept beside these entries, as of a day."""
    kept = []
    for given in forecasts_to_keep(desk, after, entries, on):
        meant = about([given.batch], StartEnds(after))
        kept.append(writing.append(given, on, desk.now, desk.hand(), meant))
    return kept


def append_all(
    desk: Desk, writing: Writing, book: Book, planned: Iterable[Dated], request: str
) -> Iterator[Entry]:
    """Append what is planned, each with what its batch codes mean in this book."""
    starts = StartEnds(book)
    for each in planned:
        meant = about(batch_codes(each.event), starts)
        event = _legible(each)
        entry = writing.append(event, each.on, desk.now, desk.hand(request), meant)
        if isinstance(each.event, events.Started):
            starts.setdefault(each.event.batch, id_end(entry.id))
        yield entry


def _legible(dated: Dated) -> Event:
    """The event with its texts cleaned, so that what looks alike is alike.

    Raises Refused, naming the line where there is one, for text that cannot be printed and
    for numbers that no nursery has.
    """
    event = dated.event
    changes: dict[str, Any] = {}
    for name in (field.name for field in fields(type(event))):
        value = getattr(event, name)
        try:
            if isinstance(value, str):
                changes[name] = legible(
                    value, worded("The text of {field}", field=name.replace("_", " "))
                )
            elif isinstance(value, int):
                _refuse_too_many(event, value)
                _refuse_uncounted(event)
            elif isinstance(value, tuple) and all(isinstance(each, str) for each in value):
                changes[name] = tuple(legible(each) for each in value)
        except Refused as refused:
            refuse_all([Problem(dated.where, str(refused))] if dated.where else [], REFUSAL)
            raise
    return evolve(event, **changes)


def _refuse_uncounted(event: Event) -> None:
    """A sample of which nobody says how many were rooted tells nothing, least of all none."""
    if isinstance(event, events.Checked) and event.sample and event.rooted is None:
        raise Refused(
            worded(
                "Say how many of the {sample} that were lifted were rooted; 0 counts too.",
                sample=event.sample,
            )
        )


def _refuse_too_many(event: Event, number: int) -> None:
    whole = isinstance(event, events.Started | events.Recounted)
    most = MOST_IN_BATCH if whole else MOST_AT_ALL
    if number > most:
        said = shortened(str(number))
        if isinstance(event, events.Started):
            raise Refused(
                worded(
                    "{count} is too many: {most} is the most here; start several batches.",
                    count=said,
                    most=most,
                )
            )
        raise Refused(
            worded("{count} is too many: {most} is the most here.", count=said, most=most)
        )


def refuse_conflicts(
    fresh: Sequence[Conflict], entries: Sequence[Entry], wheres: Sequence[str]
) -> None:
    """Refuse when the new entries bring a conflict, their own or with a later-dated one."""
    if not fresh:
        return
    if not any(wheres):
        raise Refused(_with_day(fresh, entries))
    where = {entry.id: text for entry, text in zip(entries, wheres, strict=True)}
    refuse_all(
        [Problem(where.get(c.entry.id, written(c.entry.on)), c.what) for c in fresh[:MOST_SHOWN]],
        REFUSAL,
    )


def _with_day(fresh: Sequence[Conflict], entries: Sequence[Entry]) -> str:
    """The reason, with the day where a later entry in the book is what speaks against it."""
    conflict = fresh[0]
    if any(entry.id == conflict.entry.id for entry in entries):
        return conflict.what
    on = written(conflict.entry.on)
    if any(isinstance(entry.event, events.Voided) for entry in entries):
        return _rests_on_it(fresh)
    return worded(
        "That does not fit with the entry of {day} that is in the book: {what}",
        day=on,
        what=conflict.what,
    )


def _rests_on_it(fresh: Sequence[Conflict]) -> str:
    """Why an entry cannot be taken back yet, and which to take back first."""
    last = max((conflict.entry for conflict in fresh), key=lambda entry: (entry.on, entry.seq))
    on, how = written(last.on), worded("propagate void {number} --why REASON", number=last.seq)
    if len(fresh) == 1:
        return worded(
            "Entry {number} of {day} rests on that one; take it back first: {how}.",
            number=last.seq,
            day=on,
            how=how,
        )
    return worded(
        "{count} later entries rest on that one; take them back first, "
        "beginning with the last, of {day}: {how}.",
        count=len(fresh),
        day=on,
        how=how,
    )


def start_batch(desk: Desk, plan: BatchPlan, *, request: str = "") -> BatchState:
    """Start a batch; a stock plant not yet in the book is added with it."""

    def started(book: Book) -> list[Dated]:
        mothers = set(book.stock_plants)
        return start_events(book, plan, set(book.batches), mothers, desk.hand().device)

    entries = record_all(desk, started, foretell=True, request=request)
    event = entries[-1].event
    assert isinstance(event, events.Started)
    return desk.book.batch(event.batch)


def start_events(
    book: Book, plan: BatchPlan, codes_in_use: set[str], mothers: set[str], device: str = ""
) -> list[Dated]:
    """Make the events that start a batch: its mother when she is new, then the batch."""
    made = []
    plan = evolve(plan, stock_plant=legible(plan.stock_plant))
    if plan.stock_plant and plan.stock_plant not in mothers:
        mother = events.StockPlantAdded(plan.stock_plant, plan.plant)
        made.append(Dated(mother, plan.on))
    started = events.Started(
        batch=free_code(book, codes_in_use, device),
        plant=plan.plant,
        method=plan.method,
        count=plan.count,
        place=plan.place,
        stock_plant=plan.stock_plant,
        trays=plan.trays,
        mark=plan.mark,
        note=plan.note,
    )
    return [*made, Dated(started, plan.on)]


def settle_name(desk: Desk, subject: str, plant: PlantName, why: str = "") -> tuple[str, ...]:
    """Say what a mother plant or a batch really is; return the batches to label anew."""

    def settled(book: Book) -> list[Dated]:
        if subject in book.stock_plants:
            event = events.NameSettled(plant, stock_plant=subject, why=why)
        else:
            event = events.NameSettled(plant, batch=batch_code(book, subject), why=why)
        return [Dated(event, desk.today)]

    record_all(desk, settled)
    return tuple(code for code, state in desk.book.batches.items() if state.needs_reprint)


def suspect(desk: Desk, subject: str, why: str, about: str = "health") -> Entry:
    """Record that a mother plant or a batch may be diseased, or misnamed (`about` is "name")."""
    return _of_kin(desk, lambda **who: events.Suspected(why, about=about, **who), subject)


def clear(desk: Desk, subject: str, why: str) -> Entry:
    """Record that what was suspected of a mother plant or a batch did not come true."""
    return _of_kin(desk, lambda **who: events.Cleared(why, **who), subject)


def _of_kin(desk: Desk, make: Callable[..., Event], subject: str) -> Entry:
    def planned(book: Book) -> list[Dated]:
        if subject in book.stock_plants:
            return [Dated(make(stock_plant=subject), desk.today)]
        return [Dated(make(batch=batch_code(book, subject)), desk.today)]

    return record_all(desk, planned)[-1]


def refuse_far_days(on: dt.date, today: dt.date) -> None:
    """Raise Refused for a day more than a year ahead, which is a slip of the year."""
    if (on - today).days > FARTHEST_AHEAD_DAYS:
        raise Refused(
            worded(
                "{day} is more than a year after today ({today}); is the year right?",
                day=written(on),
                today=written(today),
            )
        )
