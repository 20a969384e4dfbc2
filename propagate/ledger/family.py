"""Follow plants back to their mother plant and forward to beds and people.

Every walk is a loop over the links that the fold laid, so that a book of any depth is walked
in a time that grows with the family alone. Families have no rings: see `Book`.
"""

import datetime as dt
from collections.abc import Iterable, Iterator

from attrs import evolve

from propagate.errors import NotFound
from propagate.ledger.accounts import Kind
from propagate.ledger.state import BatchState, Book, StockPlantState
from propagate.nearness import folded
from propagate.records.families import (
    Arrival,
    Arrivals,
    Destination,
    Family,
    Gone,
    GoneKind,
    Kin,
    KinKind,
)

GONE_KINDS: dict[Kind, GoneKind] = {Kind.PLANTED: "bed", Kind.GIVEN: "person"}

Node = tuple[KinKind, str]
"""A mother plant or a batch by its key."""


def family(book: Book, kind: KinKind, key: str, as_of: dt.date) -> Family:
    """The family of a mother plant or a batch; raises NotFound when the book has none such."""
    known = book.stock_plants if kind == "mother" else book.batches
    if key not in known:
        raise NotFound(f'There is no {kind} "{key}" in this book.')
    members = tuple(_descent(book, (kind, key)))
    return Family(as_of, line_above(book, kind, key), members, _destinations(members))


def arrivals(book: Book, kind: GoneKind, to: str, as_of: dt.date) -> Arrivals:
    """What a bed or a person got, however its name was spaced or capitalised."""
    found = []
    for state in book.batches.values():
        for gone in gone_from(state):
            if gone.kind == kind and folded(gone.to) == folded(to):
                above = line_above(book, "batch", state.code)
                found.append(Arrival(_batch_kin(state), gone, above))
    found.sort(key=lambda arrival: (arrival.gone.first, arrival.batch.key))
    return Arrivals(as_of, kind, to, tuple(found))


def destinations_of(book: Book) -> list[tuple[GoneKind, str]]:
    """Every bed and person that plants went to, in the order of the book."""
    accounts = (account for state in book.batches.values() for account in state.balances)
    found = (
        (GONE_KINDS[account.kind], account.detail)
        for account in accounts
        if account.kind in GONE_KINDS
    )
    return list(dict.fromkeys(found))


def line_above(book: Book, kind: KinKind, key: str) -> tuple[Kin, ...]:
    """All that a mother or batch came from, the oldest first."""
    line: list[Kin] = []
    node = _parent(book, (kind, key))
    while node:
        line.append(_kin(book, node))
        node = _parent(book, node)
    line.reverse()
    return tuple(evolve(kin, depth=at, parent=at - 1) for at, kin in enumerate(line))


def _parent(book: Book, node: Node) -> Node | None:
    kind, key = node
    if kind == "batch":
        started = book.batches[key].started
        if started.parted_from:
            return ("batch", next(code for code, parts in book.parts.items() if key in parts))
        mother = started.stock_plant
        return ("mother", mother) if mother else None
    batch = book.stock_plants[key].added.batch
    return ("batch", batch) if batch else None


def _descent(book: Book, root: Node) -> Iterator[Kin]:
    """The root and all raised from it, each before its own."""
    waiting: list[tuple[Node, int, int]] = [(root, 0, -1)]
    place = 0
    while waiting:
        node, depth, parent = waiting.pop()
        yield evolve(_kin(book, node), depth=depth, parent=parent)
        waiting += [(child, depth + 1, place) for child in reversed(_children(book, node))]
        place += 1


def _children(book: Book, node: Node) -> list[Node]:
    kind, key = node
    if kind == "batch":
        parts: list[Node] = [("batch", code) for code in book.parts.get(key, ())]
        return [*parts, *(("mother", mother) for mother in book.raised.get(key, ()))]
    return [("batch", batch) for batch in book.taken.get(key, ())]


def _kin(book: Book, node: Node) -> Kin:
    kind, key = node
    return _batch_kin(book.batches[key]) if kind == "batch" else _mother(book.stock_plants[key])


def _mother(state: StockPlantState) -> Kin:
    added = state.added
    return Kin(
        "mother", added.stock_plant, state.name, state.on, place=added.place, doubts=state.doubts
    )


def _batch_kin(state: BatchState) -> Kin:
    return Kin(
        "batch",
        state.code,
        state.name,
        state.on,
        method=state.started.method,
        place=state.place,
        count=state.count,
        living=state.living,
        standing=state.standing,
        gone=gone_from(state),
        promised=tuple((to, n) for to, n in sorted(state.promised.items()) if n),
        doubts=state.doubts,
        reprint=state.needs_reprint,
    )


def gone_from(state: BatchState) -> tuple[Gone, ...]:
    """The beds and people that plants of a batch went to, by the day they went first."""
    gone: dict[tuple[GoneKind, str], Gone] = {}
    for move in state.moves:
        if move.target.kind in GONE_KINDS:
            key = (GONE_KINDS[move.target.kind], move.target.detail)
            before = gone.get(key, Gone(*key, count=0, first=move.on, last=move.on))
            gone[key] = evolve(before, count=before.count + move.count, last=move.on)
    return tuple(gone.values())


def _destinations(members: Iterable[Kin]) -> tuple[Destination, ...]:
    """Beds first, then people, each with all that came there."""
    counts: dict[tuple[GoneKind, str], int] = {}
    batches: dict[tuple[GoneKind, str], list[str]] = {}
    for kin in members:
        for gone in kin.gone:
            key = (gone.kind, gone.to)
            counts[key] = counts.get(key, 0) + gone.count
            batches.setdefault(key, []).append(kin.key)
    return tuple(Destination(*key, counts[key], tuple(batches[key])) for key in sorted(counts))
