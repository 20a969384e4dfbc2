"""What looks like a slip in something just written, none of it a reason to refuse."""

import datetime as dt
from collections.abc import Iterable

from propagate.actions.desk import Desk
from propagate.actions.meaning import known_words
from propagate.actions.recording import BatchPlan
from propagate.days import written, written_month
from propagate.nearness import nearest
from propagate.planning.reprints import doubt_said
from propagate.planning.seasons import local_months
from propagate.records import events
from propagate.records.events import Event
from propagate.spans import time_words
from propagate.units import DAYS_PER_WEEK
from propagate.worded import in_a_row, worded, worded_count, wording

UNDO = wording("If that is a slip: propagate undo.")

SOONEST = 0.25
"""Before this share of the record's shortest weeks hardly one has rooted (judgement)."""

LIKE_A_SLIP = 0.8
"""Two names so alike (0 to 1) are one of them mistyped, more often than not (judgement)."""


def start_remarks(desk: Desk, typed: str, plan: BatchPlan) -> Iterable[str]:
    """What may be wrong with a batch that was just started; `typed` is the plant as given."""
    from propagate.names import remarks

    if typed.casefold().startswith(plan.plant.genus.casefold()):  # not a common name
        yield from remarks(typed[:1].upper() + typed[1:])  # small letters are how people type
    yield from _day(plan.on, desk.today)
    yield from _season(desk, plan)
    yield from _too_cold(desk, plan)
    yield from _mother(desk, plan)
    yield from _mark(desk, plan)
    yield from _settings_word(desk, "place", plan.place)


def event_remarks(desk: Desk, event: Event, on: dt.date) -> Iterable[str]:
    """What may be wrong with an event that was just written."""
    yield from _day(on, desk.today)
    yield from _suspect(desk, event)
    yield from _soon(desk, event, on)
    yield from _nothing_to_sever(desk, event)
    yield from _more_than_started(desk, event)
    yield from _promised(desk, event)
    for key in known_words(desk):
        yield from _settings_word(desk, key, getattr(event, key, ""))


def _day(on: dt.date, today: dt.date) -> Iterable[str]:
    if on > today:
        yield worded("{day} has not come yet. {undo}", day=written(on), undo=worded(UNDO))


def _suspect(desk: Desk, event: Event) -> Iterable[str]:
    """Plants going out of a batch of which something is suspected."""
    if isinstance(event, events.Given | events.PlantedOut | events.Promised):
        for doubt in desk.book.batch(event.batch).doubts:
            yield worded(
                "{code} is {doubt}. Should any of it leave the bench?",
                code=event.batch,
                doubt=doubt_said(doubt),
            )


def _soon(desk: Desk, event: Event, on: dt.date) -> Iterable[str]:
    """Roots found long before any could be there: the tray is older than the book says."""
    if not isinstance(event, events.Checked) or not event.rooted:
        return
    started = desk.book.batch(event.batch)
    record = desk.library.record(started.started.method, started.name).record
    days = (on - started.on).days
    if days < SOONEST * record.taking.weeks.soonest * DAYS_PER_WEEK:
        yield worded_count(
            "{count} day after the start is very soon. {undo}",
            "{count} days after the start is very soon. {undo}",
            days,
            undo=worded(UNDO),
        )


def _nothing_to_sever(desk: Desk, event: Event) -> Iterable[str]:
    """A batch cut from its mother that never hung on one."""
    if isinstance(event, events.StepDone) and event.step == "severed":
        method = desk.library.method(desk.book.batch(event.batch).started.method)
        if not method.sever:
            yield worded(
                "by {method} there is nothing to sever. {undo}",
                method=worded(method.name),
                undo=worded(UNDO),
            )


def _more_than_started(desk: Desk, event: Event) -> Iterable[str]:
    """A recount that finds plants which nobody ever put into the tray."""
    if isinstance(event, events.Recounted):
        last = desk.book.batch(event.batch).moves[-1]
        if last.source is None:
            yield worded_count(
                "that is {count} more than was ever there. {undo}",
                "that is {count} more than were ever there. {undo}",
                last.count,
                undo=worded(UNDO),
            )


def _promised(desk: Desk, event: Event) -> Iterable[str]:
    """Plants gone that somebody was promised."""
    if isinstance(event, events.Given | events.PlantedOut | events.Lost):
        state = desk.book.batch(event.batch)
        if state.promised.total() > state.living:
            yield worded(
                "{promised} are promised to {people}, and {left} are left.",
                promised=state.promised.total(),
                people=in_a_row(sorted(state.promised)),
                left=state.living,
            )


def _season(desk: Desk, plan: BatchPlan) -> Iterable[str]:
    season = desk.library.record(plan.method, plan.plant).record.season
    months = local_months(season.months, desk.nursery)
    if plan.on.month not in months:
        yield worded(
            "{day} is outside the usual season for this ({months}).",
            day=written(plan.on),
            months=in_a_row([written_month(month) for month in months]),
        )


def _too_cold(desk: Desk, plan: BatchPlan) -> Iterable[str]:
    """A batch put into a fridge that asks for warmth first, or for no cold at all."""
    place = desk.nursery.places.get(plan.place)
    if place is None or not place.cold:
        return
    record = desk.library.record(plan.method, plan.plant).record
    first = record.treatments[0] if record.treatments else record.taking
    if first.role == "treat" and first.name != "cold":
        yield worded(
            "before its cold this wants {time} of warmth; if it has not had them, "
            "move it from {place}.",
            time=time_words(first.weeks.low, first.weeks.high),
            place=plan.place,
        )
    elif first.clock == "warmth":
        yield worded("this needs no cold and will not grow in {place}; move it.", place=plan.place)


def _mother(desk: Desk, plan: BatchPlan) -> Iterable[str]:
    key = plan.stock_plant
    if not key:
        return
    near = nearest(key, [k for k in desk.book.stock_plants if k != key], 1, LIKE_A_SLIP)
    if near:
        yield worded('there is a mother plant "{name}" too; was that the one?', name=near[0])
    for doubt in desk.book.stock_plants[key].doubts:
        yield worded("the mother plant is {doubt}; so is this batch now.", doubt=doubt_said(doubt))
    name = desk.book.stock_plants[key].name
    if name.species_name != plan.plant.species_name:
        yield worded(
            'the mother plant "{key}" is {name}, not {plant}. If that is a slip: undo.',
            key=key,
            name=name,
            plant=plan.plant,
        )


def _mark(desk: Desk, plan: BatchPlan) -> Iterable[str]:
    batches = desk.book.batches.items()
    same = [code for code, state in batches if plan.mark and state.started.mark == plan.mark]
    if len(same) > 1:
        yield worded(
            'the mark "{mark}" now means {codes}; give the code from now on.',
            mark=plan.mark,
            codes=" and ".join(same),
        )


def _settings_word(desk: Desk, key: str, word: str) -> Iterable[str]:
    return new_name(key, word, known_words(desk)[key])


def new_name(key: str, word: str, known: Iterable[str]) -> Iterable[str]:
    """A place, bed or pot that was not known before, where one much like it was."""
    known = list(known)
    if not word or word in known:
        return
    letters = _without_digits(word)
    near = [one for one in nearest(word, known) if _without_digits(one) != letters]
    if near:
        yield worded(
            'there was no {key} "{word}" so far, but one called "{near}". {undo}',
            key=worded(key),
            word=word,
            near=near[0],
            undo=worded(UNDO),
        )


def _without_digits(name: str) -> str:
    """What two names share that are told apart by their numbers: bed 1, bed 2."""
    return "".join(sign for sign in name if not sign.isdigit())
