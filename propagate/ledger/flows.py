"""Sums over moves: how many plants went from some accounts to others."""

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
