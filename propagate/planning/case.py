"""One batch with all that is known for answering about it."""

import datetime as dt
from collections.abc import Callable

from attrs import evolve, frozen

from propagate.ledger import IN_TRAY, Account, BatchState, Kind
from propagate.nearness import folded
from propagate.records.methods import Method, MethodRecord, Stage
from propagate.records.nursery import Nursery

RAISED = (Kind.POTTED, Kind.HARDENING, Kind.READY, Kind.PLANTED, Kind.GIVEN)
"""Where plants are that came to something."""


UP_SHARE = 0.1
"""A record's shortest weeks are those of a tenth; when a tenth is up, they have gone by."""

Chilling = Callable[[Stage, dt.date], tuple[dt.date, dt.date] | None]
"""When a cold spell comes about by itself, where the batch stands, from a day on: its first day
of cold and the day it has had enough; None where not in good time, or not known."""

OUT_OF_THE_COLD = ""
"""The place to which a batch in a fridge will be moved: nobody knows yet which."""


@frozen
class Case:
    """A batch, its method, the record that serves it and the sentence that says which.

    `as_of` is the day it is looked at; `chilling` what its places do for a cold spell, None
    where no temperature is known.
    """

    state: BatchState
    method: Method
    record: MethodRecord
    said: str
    as_of: dt.date = dt.date.min
    chilling: Chilling | None = None

    @property
    def accounts(self) -> dict[str, int]:
        """Balances under the method's own words, in the order a plant passes through them.

        The waiting account is always there, others where not empty.
        """
        words = {Kind.WAITING: self.method.waiting, Kind.ROOTED: self.method.taken}
        named = {words[Kind.WAITING]: 0}
        for account, count in sorted(self.state.balances.items(), key=_in_order):
            name = words.get(account.kind, str(account))
            if count:
                named[name] = named.get(name, 0) + count
        return named

    def last_into(self, kind: Kind) -> dt.date | None:
        """The last day on which plants came into this kind of account."""
        days = [move.on for move in self.state.moves if move.target.kind == kind]
        return max(days, default=None)

    @property
    def last_taken(self) -> dt.date | None:
        """The last day on which plants left the tray for pots, beds or people."""
        days = [
            move.on
            for move in self.state.moves
            if move.source and move.source.kind in IN_TRAY and move.target.kind in RAISED
        ]
        return max(days, default=None)


def _in_order(balance: tuple[Account, int]) -> tuple[int, str]:
    account, _ = balance
    return _PLACES[account.kind], account.detail


_PLACES = {kind: place for place, kind in enumerate(Kind)}


Visit = tuple[dt.date, dt.date | None]
"""The day a batch came into the cold, and the day it left, None while it stands there."""


@frozen
class Spell:
    """A treatment of one batch on the calendar; `begun` is False while only planned.

    `due` is the day it should have begun. `outdoors` says that the weather does it, so that
    nobody need move the batch.
    """

    stage: Stage
    begins: dt.date
    ends: dt.date
    begun: bool
    due: dt.date
    outdoors: bool = False


def spells(case: Case, nursery: Nursery) -> tuple[Spell, ...]:
    """The warm and cold spells of a batch, one after the other from its start.

    A cold spell lasts from the move to a cold place to the move out of it, and at least the
    time that the record gives, the middle of its range. Until the batch is moved, the spell is
    the cold of the place where it stands, if that is enough within good time; else it is
    planned for the end of the spell before, or for today when that day has gone by. Whatever
    is thought of them, spells are over for seed that has come up.
    """
    if not case.record.treatments:
        return ()
    made: list[Spell] = []
    visits = iter(_visits_to_cold(case.state, nursery))
    due = case.state.on
    for stage in case.record.treatments:
        visit = next(visits, None) if stage.name == "cold" else None
        made.append(_spell(case, stage, due, visit, first=not made))
        due = made[-1].ends
    seen_up = _seen_up(case.state)
    if seen_up and seen_up < due:
        soonest = dt.timedelta(weeks=case.record.taking.weeks.soonest)
        over = max(case.state.on, seen_up - soonest)
        return tuple(_over(spell, over) for spell in made)
    return tuple(made)


def _seen_up(state: BatchState) -> dt.date | None:
    """The day on which so many were known to have come up that no treatment can have lacked."""
    share, up = 0.0, 0
    for look in sorted(state.looks, key=lambda look: look.on):
        up += look.taken if look.sample else (look.rooted or 0) + look.taken
        share = max(
            up / max(1, state.count), (look.rooted or 0) / look.sample if look.sample else 0.0
        )
        if share >= UP_SHARE:
            return look.on
    return None


def _over(spell: Spell, by: dt.date) -> Spell:
    """The spell, over by a day; one that nobody gave was the weather's."""
    if spell.ends <= by:
        return spell
    return evolve(
        spell,
        begins=min(spell.begins, by),
        ends=by,
        begun=True,
        outdoors=spell.outdoors or not spell.begun,
    )


def _spell(case: Case, stage: Stage, due: dt.date, visit: Visit | None, *, first: bool) -> Spell:
    lasts = dt.timedelta(days=stage.middle_days)
    if visit:
        begins, left = visit
        return Spell(stage, begins, max(begins + lasts, left or begins), True, due)
    if stage.name != "cold":
        return Spell(stage, due, due + lasts, first, due)
    chilled = case.chilling(stage, due) if case.chilling else None
    if chilled:
        begins, ends = chilled
        return Spell(stage, begins, ends, begins <= case.as_of, due, outdoors=True)
    begins = max(due, case.as_of)
    return Spell(stage, begins, begins + lasts, False, due)


def stood_since(state: BatchState, day: dt.date) -> list[str]:
    """The places where a batch stood on a day and later."""
    before = [place for on, place in state.places if on <= day]
    return [*before[-1:], *(place for on, place in state.places if on > day)]


def stays(case: Case, nursery: Nursery, start: dt.date) -> tuple[tuple[dt.date, str], ...]:
    """Where a batch stood and will stand when its taking stage begins on `start`.

    What is in a fridge then comes out of it at once, or today: nothing grows on in there.
    """
    places = tuple(case.state.places)
    if in_cold(case.state, nursery):
        return (*places, (max(start, case.as_of), OUT_OF_THE_COLD))
    return places


def treated_days(case: Case, nursery: Nursery) -> int:
    """Days from the start until the last treatment ends, 0 without any."""
    made = spells(case, nursery)
    return (made[-1].ends - case.state.on).days if made else 0


def in_cold(state: BatchState, nursery: Nursery) -> bool:
    """Whether the batch stands in a cold place now."""
    return folded(state.place) in _cold_places(nursery)


def _visits_to_cold(state: BatchState, nursery: Nursery) -> list[Visit]:
    cold_places = _cold_places(nursery)
    visits: list[Visit] = []
    for on, place in state.places:
        cold = folded(place) in cold_places
        inside = bool(visits) and visits[-1][1] is None
        if cold and not inside:
            visits.append((on, None))
        elif inside and not cold:
            visits[-1] = (visits[-1][0], on)
    return visits


def _cold_places(nursery: Nursery) -> set[str]:
    return {folded(place.name) for place in nursery.places.values() if place.cold}
