"""What if: assumptions in a few words that change the inputs of a plan, never the book.

half the bench | bench 60 % | cold frame 2 m2 | 4 hours a week | lose K7M4 | lose 20 of K7M4 |
spring 2 weeks late | autumn 10 days early | cold spring | 15 % slower | 95 % sure |
without seed
"""

import datetime as dt
import re
from collections.abc import Callable, Sequence
from typing import Any, Final

from attrs import evolve, field, frozen

from propagate.actions.desk import Desk
from propagate.actions.meaning import batch_meant
from propagate.errors import Refused
from propagate.ledger import fold
from propagate.nearness import folded, nearest
from propagate.records import events
from propagate.records.events import Entry
from propagate.records.nursery import MonthDay, Nursery

COLD_SPRING_DAYS: Final = 14
COLD_SPRING_SLOWER: Final = 1.15
"""A cold spring: buds and the end of frost a fortnight late, all that is started about a seventh
slower (memory)."""

FORMS: Final = (
    '"half the bench", "cold frame 2 m2", "4 hours a week", "lose BATCH", "lose 20 of BATCH", '
    '"spring 2 weeks late", "cold spring", "15 % slower", "95 % sure" or "without METHOD"'
)


@frozen
class Assumed:
    """A nursery as it might be: its settings, the plants lost, and how a plan is to reckon."""

    nursery: Nursery
    lost: tuple[events.Lost, ...] = ()
    slower: float = 1.0
    chance: float | None = None
    without: frozenset[str] = frozenset()
    said: tuple[str, ...] = field(default=())


Change = Callable[[Assumed, "re.Match[str]", Desk], Assumed]


def assume(desk: Desk, texts: Sequence[str]) -> Assumed:
    """Read assumptions; raises Refused, with the forms there are, for one that is none."""
    assumed = Assumed(desk.nursery)
    for text in texts:
        assumed = evolve(_one(assumed, " ".join(text.split()), desk), said=(*assumed.said, text))
    return assumed


def desk_assumed(desk: Desk, assumed: Assumed) -> Desk:
    """The desk as it would be. It holds its book in memory and nothing is ever written to it."""
    entries = [*desk.book.entries]
    last = max((entry.seq for entry in entries), default=0)
    for more, lost in enumerate(assumed.lost, start=1):
        entries.append(Entry(last + more, f"assumed {more}", desk.today, desk.now, lost))
    might_be = desk.beside(fold(entries))
    might_be.__dict__["nursery"] = assumed.nursery  # it is cached there: every question sees it
    might_be.lasting = {}  # what was learned in the nursery as it is may not hold
    return might_be


def _one(assumed: Assumed, text: str, desk: Desk) -> Assumed:
    for pattern, change in _CHANGES:
        found = re.fullmatch(pattern, text, re.IGNORECASE)
        if found:
            return change(assumed, found, desk)
    raise Refused(f'"{text}" is nothing that can be assumed; write {FORMS}.')


def _bench(assumed: Assumed, found: "re.Match[str]", desk: Desk) -> Assumed:
    said = found.groupdict().get("share")
    share = _number(said) / 100 if said else 0.5
    places = {
        name: evolve(place, size_m2=place.size_m2 * share) if place.size_m2 else place
        for name, place in assumed.nursery.places.items()
    }
    return evolve(assumed, nursery=evolve(assumed.nursery, places=places))


def _place(assumed: Assumed, found: "re.Match[str]", desk: Desk) -> Assumed:
    known = {folded(name): name for name in assumed.nursery.places}
    name = known.get(folded(found["place"]))
    if name is None:
        near = nearest(found["place"], assumed.nursery.places, count=1)
        offer = f'; did you mean "{near[0]}"?' if near else ""
        raise Refused(f'There is no place "{found["place"]}" in the settings{offer}')
    place = evolve(assumed.nursery.places[name], size_m2=_number(found["size"]))
    places = {**assumed.nursery.places, name: place}
    return evolve(assumed, nursery=evolve(assumed.nursery, places=places))


def _hours(assumed: Assumed, found: "re.Match[str]", desk: Desk) -> Assumed:
    plan = evolve(assumed.nursery.plan, hours_per_week=_number(found["hours"]))
    return evolve(assumed, nursery=evolve(assumed.nursery, plan=plan))


def _lose(assumed: Assumed, found: "re.Match[str]", desk: Desk) -> Assumed:
    code = batch_meant(desk, found["batch"])
    living = desk.book.batch(code).living
    count = int(found["count"]) if found["count"] else living
    if not 0 < count <= living:
        raise Refused(f"{code} has {living} plants; {count} of them cannot be lost.")
    return evolve(assumed, lost=(*assumed.lost, events.Lost(code, count, "assumed")))


def _spring(assumed: Assumed, found: "re.Match[str]", desk: Desk) -> Assumed:
    return _moved(assumed, ("bud_break", "last_frost"), _days(found))


def _autumn(assumed: Assumed, found: "re.Match[str]", desk: Desk) -> Assumed:
    return _moved(assumed, ("first_frost", "leaf_fall"), _days(found))


def _cold_spring(assumed: Assumed, found: "re.Match[str]", desk: Desk) -> Assumed:
    late = _moved(assumed, ("bud_break", "last_frost"), COLD_SPRING_DAYS)
    return evolve(late, slower=late.slower * COLD_SPRING_SLOWER)


def _slower(assumed: Assumed, found: "re.Match[str]", desk: Desk) -> Assumed:
    share = _number(found["share"]) / 100
    if found["how"].lower() == "faster" and share >= 1:
        raise Refused(f"{found['share']} % faster leaves no time at all.")
    times = 1 + share if found["how"].lower() == "slower" else 1 - share
    return evolve(assumed, slower=assumed.slower * times)


def _sure(assumed: Assumed, found: "re.Match[str]", desk: Desk) -> Assumed:
    chance = _number(found["share"]) / 100
    if not 0 < chance < 1:
        raise Refused(f"{found['share']} % is no certainty; it lies between 0 and 100.")
    return evolve(assumed, chance=chance)


def _without(assumed: Assumed, found: "re.Match[str]", desk: Desk) -> Assumed:
    method = desk.library.method_meant(found["method"])
    return evolve(assumed, without=assumed.without | {method.id})


def _moved(assumed: Assumed, keys: Sequence[str], days: int) -> Assumed:
    dates: Any = {key: _shifted(getattr(assumed.nursery, key), days) for key in keys}
    return evolve(assumed, nursery=evolve(assumed.nursery, **dates))


def _shifted(day: MonthDay, days: int) -> MonthDay:
    """A day of any year moved by some days; 28 February stands for the 29th."""
    month, date = day
    moved = dt.date(2001, month, min(date, 28) if month == 2 else date) + dt.timedelta(days=days)
    return moved.month, moved.day


def _days(found: "re.Match[str]") -> int:
    days = round(_number(found["number"]) * (7 if found["unit"].lower().startswith("w") else 1))
    return days if found["how"].lower() in ("late", "later") else -days


def _number(text: str) -> float:
    return float(text.replace(",", "."))


_NUMBER = r"\d+(?:[.,]\d+)?"
_SPAN = rf"(?P<number>{_NUMBER})\s*(?P<unit>days?|weeks?)\s+(?P<how>late|later|early|earlier)"
_CHANGES: Final[tuple[tuple[str, Change], ...]] = (
    (r"half (?:of )?the bench", _bench),
    (rf"bench (?P<share>{_NUMBER})\s*%", _bench),
    (rf"spring (?:is |comes )?{_SPAN}", _spring),
    (rf"autumn (?:is |comes )?{_SPAN}", _autumn),
    (r"(?:a )?cold(?:er)? spring", _cold_spring),
    (rf"(?P<hours>{_NUMBER})\s*(?:hours?|h) a week", _hours),
    (r"lose (?:(?P<count>\d+) of )?(?P<batch>.+)", _lose),
    (rf"(?P<share>{_NUMBER})\s*% (?P<how>slower|faster)", _slower),
    (rf"(?P<share>{_NUMBER})\s*% sure", _sure),
    (r"without (?P<method>.+)", _without),
    (rf"(?P<place>.+?)\s*[:=]?\s+(?P<size>{_NUMBER})\s*m(?:2|²)", _place),
)
"""What may be assumed, tried in this order, and what each changes."""
