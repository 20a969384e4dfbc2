"""Why a figure is what it is: the entries that made it, one by one, with the running balance."""

from collections.abc import Callable, Collection, Iterable, Iterator, Sequence
from typing import Any

from attrs import frozen

from propagate.actions.desk import Desk
from propagate.actions.meaning import batches_meant
from propagate.actions.telling import HistoryLine, history
from propagate.errors import NotFound, Refused
from propagate.ledger import LIVING, Account, BatchState, Kind
from propagate.nearness import folded, nearest
from propagate.records import events
from propagate.records.given import ForecastGiven

STARTED, HERE, PROMISED = "started", "here", "promised"
FORETOLD = ("plants", "free", "low", "likely", "high", "pot on", "mean")
"""Figures of a forecast, which no list of entries explains."""


@frozen
class Step:
    """One entry's part in a figure: so many more or fewer, and what it came to by then."""

    entry: HistoryLine
    batch: str
    change: int
    balance: int


@frozen
class Figure:
    """A figure of one or several batches, under the name a grower reads, with its steps."""

    name: str
    count: int
    steps: tuple[Step, ...]

    def view(self) -> dict[str, Any]:
        """As JSON."""
        steps = [
            {
                **step.entry.view(),
                "batch": step.batch,
                "change": step.change,
                "balance": step.balance,
            }
            for step in self.steps
        ]
        return {"account": self.name, "count": self.count, "entries": steps}


@frozen
class Explained:
    """Figures with their steps, and the entries that were taken back and so do not count."""

    batches: tuple[str, ...]
    figures: tuple[Figure, ...]
    taken_back: tuple[HistoryLine, ...]

    def view(self) -> dict[str, Any]:
        """As JSON."""
        return {
            "batches": list(self.batches),
            "figures": [figure.view() for figure in self.figures],
            "taken_back": [line.view() for line in self.taken_back],
        }


Change = tuple[str, str, int]
"""The id of an entry, its batch, and by how much it changed the figure."""


def explain(desk: Desk, what: str = "", account: str = "") -> Explained:
    """Explain one account of the batches that `what` means, or all that are not empty.

    `what` is a batch, tray or plant; empty for the whole book. `account` is named as `show`
    or the stock sheet name it, or "started", "here" or "promised". Raises NotFound for an
    account that nothing here is called, and Refused for a figure of a forecast.
    """
    codes = batches_meant(desk, what) if what else list(desk.book.batches)
    states = [desk.book.batch(code) for code in codes]
    lines = {line.id: line for line in history(desk)}
    named = _named(desk, states)
    chosen = [_chosen(desk, named, states, account, what)] if account else _shown(named)
    figures = (_figure(name, named[name], lines) for name in chosen)
    wanted = set(codes)
    taken_back = tuple(
        line
        for line in lines.values()
        if line.void and line.kind not in _MOVE_NOTHING and wanted & {*line.batch.split()}
    )
    return Explained(tuple(codes), tuple(f for f in figures if f.steps or account), taken_back)


_MOVE_NOTHING = {kind.__name__ for kind in (events.Voided, events.LabelsPrinted, ForecastGiven)}

Changes = Callable[[], Iterable[Change]]


def _named(desk: Desk, states: Sequence[BatchState]) -> dict[str, Changes]:
    """Every figure that these batches may have, by its name in the ledger."""
    accounts = sorted({account for state in states for account in state.balances})
    named: dict[str, Changes] = {STARTED: lambda: _entered(states)}
    for kind in Kind:
        of_kind = [account for account in accounts if account.kind == kind]
        named[str(kind)] = _within(states, of_kind)
        for account in of_kind:
            if account.detail:
                named[str(account)] = _within(states, [account])
    named[HERE] = _within(states, [account for account in accounts if account.kind in LIVING])
    named[PROMISED] = lambda: _promises(desk, states)
    return named


def _shown(named: Iterable[str]) -> list[str]:
    """What is explained when nothing is asked: every kind of account once, and promises."""
    return [name for name in named if name not in (STARTED, HERE) and ": " not in name]


def _chosen(
    desk: Desk, named: dict[str, Changes], states: Sequence[BatchState], account: str, what: str
) -> str:
    """The figure that is meant, in any case, by the ledger's word or the method's own."""
    by_fold = {folded(name.partition(": ")[2]): name for name in named if ": " in name}
    for state in states:
        method = desk.library.method(state.started.method)
        by_fold |= {
            folded(method.waiting): str(Kind.WAITING),
            folded(method.taken): str(Kind.ROOTED),
        }
    by_fold |= {folded(name): name for name in named}
    if folded(account) in by_fold:
        return by_fold[folded(account)]
    if account.strip().lower() in FORETOLD:
        about = f" {what}" if what else " BATCH"
        raise Refused(f'"{account}" is a forecast; ask: propagate forecast --why{about}.')
    raise NotFound(
        f'There is no account "{account}" here; there are {", ".join(named)}.',
        nearest(account, named, 1),
    )


def _figure(name: str, changes: Changes, lines: dict[str, HistoryLine]) -> Figure:
    balance, steps = 0, []
    known = ((lines[entry], batch, change) for entry, batch, change in changes())
    for line, batch, change in sorted(known, key=lambda c: (c[0].on, c[0].seq)):
        balance += change
        steps.append(Step(line, batch, change, balance))
    return Figure(name, balance, tuple(steps))


def _within(states: Sequence[BatchState], accounts: Collection[Account]) -> Changes:
    """What each entry brought into these accounts, less what it took out of them."""
    inside = set(accounts)

    def changes() -> Iterator[Change]:
        for state in states:
            net: dict[str, int] = {}
            for move in state.moves:
                change = (move.target in inside) - (move.source in inside)
                if change:
                    net[move.entry] = net.get(move.entry, 0) + change * move.count
            yield from ((entry, state.code, change) for entry, change in net.items())

    return changes


def _entered(states: Sequence[BatchState]) -> Iterator[Change]:
    for state in states:
        for move in state.moves:
            if move.source is None:
                yield move.entry, state.code, move.count


def _promises(desk: Desk, states: Sequence[BatchState]) -> Iterator[Change]:
    """Promises made, and redeemed by gifts to the same people."""
    codes = {state.code for state in states}
    open_: dict[tuple[str, str], int] = {}
    refused = {conflict.entry.id for conflict in desk.book.conflicts}
    entries = (entry for entry in desk.book.effective() if entry.id not in refused)
    for entry in sorted(entries, key=lambda entry: (entry.on, entry.seq)):
        event = entry.event
        if not isinstance(event, events.Promised | events.Given) or event.batch not in codes:
            continue
        key = (event.batch, event.to)
        held = open_.get(key, 0)
        made = isinstance(event, events.Promised)
        change = event.count if made else -min(held, event.count)
        if change:
            open_[key] = held + change
            yield entry.id, event.batch, change
