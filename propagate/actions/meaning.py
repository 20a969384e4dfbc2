"""What a grower means by a word: which batch, mother or place, however it was typed."""

from collections.abc import Iterable, Sequence
from typing import Any

from attrs import evolve

from propagate.actions.coding import batch_code
from propagate.actions.desk import Desk
from propagate.codes import valid
from propagate.errors import NotFound, PropagateError, Refused
from propagate.ledger import BatchState, Kind, destinations_of
from propagate.names import PlantName
from propagate.nearness import folded, nearest
from propagate.records import events
from propagate.worded import worded, wording

LONGEST_CODE = 6
"""What is longer was hardly read off a label as a code, so that nothing is said of its letters."""


def batch_meant(desk: Desk, text: str) -> str:
    """The code of the one batch that a code, a mark or a tray's name means, in any case.

    Raises NotFound with the nearest names, and Refused where several batches may be meant.
    """
    found = _named(desk, text)
    if len(found) == 1:
        return found[0]
    if found:
        raise Refused(
            worded(
                '"{text}" may mean batch {codes}; give the code.',
                text=text,
                codes=" or ".join(found),
            )
        )
    plants = _of_plant(desk, text)
    if plants:
        raise Refused(
            worded(
                '"{text}" is a plant; give the batch it is about: {codes}.',
                text=text,
                codes=" or ".join(plants),
            )
        )
    raise _unknown(desk, text)


def batches_meant(desk: Desk, text: str) -> list[str]:
    """The codes of all batches that a code, a mark, a tray's name or a plant means."""
    found = _named(desk, text) or _of_plant(desk, text)
    if not found:
        raise _unknown(desk, text)
    return found


def subject_meant(desk: Desk, text: str) -> str:
    """The short name of a mother plant, or else the code of a batch."""
    mothers = _alike(text, desk.book.stock_plants)
    return mothers[0] if len(mothers) == 1 else batch_meant(desk, text)


def traceable_meant(desk: Desk, text: str, kind: str = "") -> tuple[str, str]:
    """What can be traced under a name: ("mother", "batch", "bed" or "person", its name).

    `kind` tells which is meant where several are called so. Raises NotFound with the nearest
    names, and Refused where the name alone does not tell.
    """
    gone = destinations_of(desk.book)
    found = [
        *(("mother", key) for key in _alike(text, desk.book.stock_plants)),
        *(("batch", code) for code in _named(desk, text)),
        *(("bed", to) for to in _alike(text, [to for k, to in gone if k == "bed"])[:1]),
        *(("person", to) for to in _alike(text, [to for k, to in gone if k == "person"])[:1]),
    ]
    found = [each for each in found if kind in ("", each[0])]
    if len(found) == 1:
        return found[0]
    if len({which for which, _ in found}) > 1:
        kinds = " or ".join(f"the {which} {name}" for which, name in found)
        raise Refused(f'"{text}" may mean {kinds}; say which with --kind.')
    if found:
        named = " or ".join(name for _, name in found)
        raise Refused(f'"{text}" may mean {named}; give the one it is about.')
    if not kind and (plants := _of_plant(desk, text)):
        raise Refused(f'"{text}" is a plant; give the batch it is about: {" or ".join(plants)}.')
    by_fold = {folded(to): to for _, to in gone if to}
    near = nearest(folded(text), by_fold, likeness=0.7)
    names = list(dict.fromkeys([*_near(desk, text), *(by_fold[name] for name in near)]))
    sought = kind or "mother plant, batch, bed or person"
    raise NotFound(f'There is no {sought} "{text}" in this book.', names[:3])


def as_known(desk: Desk, event: events.Event) -> events.Event:
    """The event with places, beds, pots and accounts as the settings and the ledger spell them."""
    changes: dict[str, Any] = {
        key: spelled(getattr(event, key), known)
        for key, known in known_words(desk).items()
        if getattr(event, key, "")
    }
    if named := getattr(event, "account", ""):
        changes["account"] = _account(desk, getattr(event, "batch", ""), named)
    if to := getattr(event, "to", ""):
        changes["to"] = spelled(to, _people(desk))
    return evolve(event, **changes)


def _people(desk: Desk) -> list[str]:
    """Everybody who was given or promised plants, as they are spelled in the book."""
    given = [to for kind, to in destinations_of(desk.book) if kind == "person"]
    promised = (to for state in desk.book.batches.values() for to in state.promised)
    return list(dict.fromkeys([*given, *promised]))


def known_words(desk: Desk) -> dict[str, Sequence[str]]:
    """What the settings name, and the beds something is wanted in, under the keys of events."""
    nursery = desk.nursery
    wanted = (state.said.bed for state in desk.book.wants.values())
    return {
        "place": list(nursery.places),
        "bed": list(dict.fromkeys([*nursery.beds, *wanted])),
        "container": list(nursery.containers),
    }


def spelled(text: str, known: Iterable[str]) -> str:
    """A word as it is known, where only its case and spaces differ; otherwise as it is."""
    alike = _alike(text, known)
    return alike[0] if len(alike) == 1 else text


def _alike(text: str, known: Iterable[str]) -> list[str]:
    """The known words that are exactly this one, else those that are so but for the case."""
    words = list(known)
    return [w for w in words if w == text] or [w for w in words if folded(w) == folded(text)]


def _named(desk: Desk, text: str) -> list[str]:
    """The batches of this code, mark or tray; of these the living ones, where there are any."""
    batches = desk.book.batches
    marks = {state.started.mark for state in batches.values()} - {""}
    if text in marks or valid(text):
        try:
            return [batch_code(desk.book, text)]
        except NotFound:
            pass  # a code that fits no batch here; it may still be the name of a tray
    marked = _alike(text, marks)
    trays = set(_alike(text, {tray for s in batches.values() for tray in s.trays}))
    holding = [s for s in batches.values() if s.started.mark in marked or trays & {*s.trays}]
    return [state.code for state in [s for s in holding if s.living] or holding]


def _of_plant(desk: Desk, text: str) -> list[str]:
    """The batches of a plant; those of a species, without its cultivar, are all of its own."""
    try:
        name = desk.library.resolve(text)
    except PropagateError:
        return []
    return [code for code, state in desk.book.batches.items() if _is_of(state, name)]


def _is_of(state: BatchState, name: PlantName) -> bool:
    if not name.species:
        return state.name.genus == name.genus
    return state.name == name or (
        not name.is_cultivar and state.name.species_name == name.species_name
    )


def _unknown(desk: Desk, text: str) -> PropagateError:
    """Why nothing in the book is called so, with the nearest names that are in it."""
    if known := _known_otherwise(desk, text):
        return known
    near = _near(desk, text)
    try:
        plant = desk.library.resolve(text)
        return NotFound(worded("There is no batch of {plant} in this book.", plant=plant))
    except NotFound as no_plant:
        others = [*near, *no_plant.near]
    except PropagateError:
        others = near
    if _may_be_code(desk, text, near):
        try:
            batch_code(desk.book, text)
        except PropagateError as no_batch:
            return NotFound(no_batch.said, near)
    nearest_names = list(dict.fromkeys(others))[:3]
    return NotFound(
        worded('There is no batch, tray or plant "{text}" in this book.', text=text), nearest_names
    )


def _known_otherwise(desk: Desk, text: str) -> PropagateError | None:
    """What a name means that is in the book, but is no batch: a mother plant, a bed, a person."""
    gone = destinations_of(desk.book)
    for what, names in (
        (wording("a mother plant"), list(desk.book.stock_plants)),
        (wording("a bed"), [to for kind, to in gone if kind == "bed" and to]),
        (wording("a person"), [to for kind, to in gone if kind == "person" and to]),
    ):
        if alike := _alike(text, names):
            typed = f'"{alike[0]}"' if " " in alike[0] else alike[0]
            how = worded("; see: propagate trace {name}", name=typed)
            return NotFound(
                worded(
                    '"{name}" is {what}, no batch{how}.', name=alike[0], what=worded(what), how=how
                )
            )
    return None


def _may_be_code(desk: Desk, text: str, near: Sequence[str]) -> bool:
    """Whether it is worth saying what is wrong with it as a code read off a label."""
    if near:
        return near[0] in desk.book.batches
    return len(folded(text)) <= LONGEST_CODE


def _near(desk: Desk, text: str) -> list[str]:
    book = desk.book
    named = (word for s in book.batches.values() for word in (s.started.mark, *s.trays))
    by_fold = {folded(name): name for name in [*book.batches, *named, *book.stock_plants] if name}
    return [by_fold[name] for name in nearest(folded(text), by_fold, likeness=0.7)]


def _account(desk: Desk, code: str, named: str) -> str:
    """The ledger's name of an account that may be given in the method's own words."""
    method = desk.library.method(desk.book.batch(code).started.method)
    own = {folded(method.waiting): Kind.WAITING, folded(method.taken): Kind.ROOTED}
    return str(own.get(folded(named), named.strip().lower()))
