"""Sums over moves: how many plants went from some accounts to others."""

import datetime as dt
from collections.abc import Collection, Iterable

from propagate.ledger.accounts import Kind, Move


def moved(moves: Iterable[Move], sources: Collection[Kind], targets: Collection[Kind]) -> int:
    """Plants that went from accounts of one set of kinds to accounts of another."""
    return sum(
        move.count
        for move in moves
        if move.source and move.source.kind in sources and move.target.kind in targets
    )


def net_into(moves: Iterable[Move], kinds: Collection[Kind]) -> int:
    """Plants that came into accounts of these kinds, less those that went out of them."""
    net = 0
    for move in moves:
        came_from_there = move.source is not None and move.source.kind in kinds
        net += move.count * ((move.target.kind in kinds) - came_from_there)
    return net


def standing_since(moves: Iterable[Move], kind: Kind) -> list[tuple[dt.date, int]]:
    """Plants now in accounts of a kind, with the day they came; the first come leave first."""
    stood: list[tuple[dt.date, int]] = []
    for move in sorted(moves, key=lambda move: move.on):
        if move.target.kind == kind and not (move.source and move.source.kind == kind):
            stood.append((move.on, move.count))
        elif move.source and move.source.kind == kind and move.target.kind != kind:
            stood = _without_first(stood, move.count)
    return stood


def _without_first(stood: list[tuple[dt.date, int]], gone: int) -> list[tuple[dt.date, int]]:
    left = []
    for on, count in stood:
        taken = min(count, gone)
        gone -= taken
        if count > taken:
            left.append((on, count - taken))
    return left
