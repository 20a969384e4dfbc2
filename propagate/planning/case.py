"""One batch with all that is known for answering about it."""

import datetime as dt

from attrs import frozen

from propagate.ledger import BatchState, Kind
from propagate.records.methods import Method, MethodRecord, Stage
from propagate.records.nursery import Nursery
from propagate.units import DAYS_PER_WEEK


@frozen
class Case:
    """A batch, its method, the record that serves it and the sentence that says which."""

    state: BatchState
    method: Method
    record: MethodRecord
    said: str

    @property
    def accounts(self) -> dict[str, int]:
        """Balances under the method's own words, the waiting account always."""
        words = {Kind.WAITING: self.method.waiting, Kind.ROOTED: self.method.taken}
        named = {words[Kind.WAITING]: 0}
        for account, count in sorted(self.state.balances.items(), key=lambda pair: pair[0]):
            name = words.get(account.kind, str(account))
            if count:
                named[name] = named.get(name, 0) + count
        return named

    def last_into(self, kind: Kind) -> dt.date | None:
        """The last day on which plants came into this kind of account."""
        days = [move.on for move in self.state.moves if move.target.kind == kind]
        return max(days, default=None)


@frozen
class Spell:
    """A treatment of one batch on the calendar; `begun` is False while only planned."""

    stage: Stage
    begins: dt.date
    ends: dt.date
    begun: bool


def spells(case: Case, nursery: Nursery) -> tuple[Spell, ...]:
    """The warm and cold spells of a batch, one after the other from its start.

    A cold spell begins when the batch was moved to a cold place; until then it is planned
    for the end of the spell before. Lengths are the middle of the record's range.
    """
    made: list[Spell] = []
    begins = case.state.on
    for stage in case.record.treatments:
        begun = not made
        if _is_cold(stage):
            moved = _day_in_cold(case.state, nursery, begins if not made else case.state.on)
            begun, begins = moved is not None, moved or begins
        days = round((stage.weeks.low + stage.weeks.high) / 2 * DAYS_PER_WEEK)
        spell = Spell(stage, begins, begins + dt.timedelta(days=days), begun)
        made.append(spell)
        begins = spell.ends
    return tuple(made)


def treated_days(case: Case, nursery: Nursery) -> int:
    """Days from the start until the last treatment ends, 0 without any."""
    made = spells(case, nursery)
    return (made[-1].ends - case.state.on).days if made else 0


def in_cold(state: BatchState, nursery: Nursery) -> bool:
    """Whether the batch stands in a cold place now."""
    place = nursery.places.get(state.place)
    return place is not None and place.cold


def _is_cold(stage: Stage) -> bool:
    return stage.name == "cold"


def _day_in_cold(state: BatchState, nursery: Nursery, since: dt.date) -> dt.date | None:
    """The first day from `since` on that the batch came into a cold place."""
    cold = {name for name, place in nursery.places.items() if place.cold}
    return next((on for on, place in state.places if place in cold and on >= since), None)
