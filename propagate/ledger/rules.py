"""What each event does to its batch: the moves it causes, or the reason it cannot be so."""

import datetime as dt
from collections import Counter
from collections.abc import Callable, Sequence
from typing import Any

from propagate.errors import Refused
from propagate.ledger.accounts import GROWN, IN_TRAY, LIVING, Account, Kind, Look, Move
from propagate.ledger.state import BatchState
from propagate.records import events
from propagate.worded import in_a_row, worded

WAITING = Account(Kind.WAITING)
ROOTED = Account(Kind.ROOTED)
LOST = Account(Kind.LOST)


class Posting:
    """One entry being posted to its batch: knows the entry's id and day, makes the moves."""

    def __init__(self, state: BatchState, entry_id: str, on: dt.date) -> None:
        self.state, self.entry_id, self.on = state, entry_id, on

    def enter(self, account: Account, count: int) -> None:
        """Bring propagules into the batch; fewer than none where they are another's."""
        self._move(None, account, count)

    def draw(
        self, kinds: Sequence[Kind], target: Account, count: int, advice: str = ""
    ) -> dict[Kind, int]:
        """Move `count` plants to `target`, emptying the kinds in order; say what came whence.

        Raises Refused when they do not hold enough; `advice` is what a grower can do then.
        """
        held = self.state.total(*kinds)
        if count > held:
            raise Refused(_too_few(self.state, kinds, count, advice))
        drawn: dict[Kind, int] = {}
        for account in self._accounts(kinds):
            taken = min(count, self.state.balances[account])
            if taken:
                self._move(account, target, taken)
                drawn[account.kind] = drawn.get(account.kind, 0) + taken
                count -= taken
        return drawn

    def look(self, **evidence: Any) -> None:
        """Keep what the waiting ones told, for the forecast."""
        self.state.looks.append(Look(self.on, **evidence))

    def _accounts(self, kinds: Sequence[Kind]) -> list[Account]:
        held = (account for account in self.state.balances if account.kind in kinds)
        return sorted(held, key=lambda account: (kinds.index(account.kind), account.detail))

    def _move(self, source: Account | None, target: Account, count: int) -> None:
        if source is not None:
            self.state.balances[source] -= count
        self.state.balances[target] += count
        self.state.moves.append(Move(self.entry_id, self.on, source, target, count))


def _too_few(state: BatchState, kinds: Sequence[Kind], count: int, advice: str) -> str:
    known = [kind for kind in kinds if state.total(kind)] or kinds
    where: str = worded(known[0])
    for kind in known[1:]:
        where = worded("{some} or {last}", some=where, last=worded(kind))
    held = worded("{count} {account}", count=state.total(*kinds), account=where)
    rest = [
        worded("{count} {account}", count=n, account=worded(kind))
        for kind in LIVING
        if kind not in kinds and (n := state.total(kind))
    ]
    if rest:
        held = worded(
            "{held}; it also has {rest}{advice}", held=held, rest=in_a_row(rest), advice=advice
        )
    return worded(
        "{count} is more than batch {code} has: {held}. If the book is wrong, {recount}.",
        count=count,
        code=state.code,
        held=held,
        recount=_recount_advice(state),
    )


def _recount_advice(state: BatchState) -> str:
    return worded("record: recount {code} NUMBER_ALIVE --why REASON", code=state.code)


def _start(post: Posting, event: events.Started) -> None:
    if not event.parted_from:  # else they come from there, by the entry that parts them
        post.enter(WAITING, event.count)
    if event.place:
        post.state.places.append((post.on, event.place))


def _check(post: Posting, event: events.Checked) -> None:
    if event.sample is not None:
        _check_sample(post, event)
    elif event.rooted is None:
        drawn = post.draw(IN_TRAY, LOST, event.dead or 0)
        post.look(dead=drawn.get(Kind.WAITING, 0))
    else:
        _check_all(post, event.rooted, event.dead or 0, sought=event.dead is not None)
    post.state.last_check = post.on


def _check_all(post: Posting, rooted: int, dead: int, *, sought: bool) -> None:
    """Every propagule in the tray was looked at: `rooted` stand rooted, `dead` came out."""
    state = post.state
    known, waiting = state.total(Kind.ROOTED), state.total(Kind.WAITING)
    if rooted + dead > known + waiting:
        raise Refused(
            worded(
                "{rooted} rooted and {dead} dead make {both}, but only {tray} stand in the tray "
                "of {code} ({waiting} waiting, {known} rooted). If the tray was miscounted, "
                "{recount}.",
                rooted=rooted,
                dead=dead,
                both=rooted + dead,
                tray=known + waiting,
                code=state.code,
                waiting=waiting,
                known=known,
                recount=_recount_advice(state),
            )
        )
    rooted_dead = max(0, known - rooted)
    if rooted_dead > dead:
        raise Refused(
            worded(
                "{known} of {code} were found rooted already, so {rooted} cannot be right with "
                "{dead} dead: give all that stand rooted in the tray now, or record a loss.",
                known=known,
                code=state.code,
                rooted=rooted,
                dead=dead,
            )
        )
    newly = max(0, rooted - known)
    post.draw([Kind.ROOTED], LOST, rooted_dead)
    post.draw([Kind.WAITING], ROOTED, newly)
    post.draw([Kind.WAITING], LOST, dead - rooted_dead)
    post.look(rooted=newly, dead=dead - rooted_dead, sought=sought)


def _check_sample(post: Posting, event: events.Checked) -> None:
    state, sample, rooted = post.state, event.sample or 0, event.rooted or 0
    dead, sought = event.dead or 0, event.dead is not None
    tray = state.total(*IN_TRAY)
    if sample > tray:
        raise Refused(
            worded(
                "A sample of {sample} is more than the {tray} that stand in the tray of {code}.",
                sample=sample,
                tray=tray,
                code=state.code,
            )
        )
    if rooted + dead > sample:
        raise Refused(
            worded(
                "{rooted} rooted and {dead} dead are more than the {sample} that were lifted.",
                rooted=rooted,
                dead=dead,
                sample=sample,
            )
        )
    known, waiting = state.total(Kind.ROOTED), state.total(Kind.WAITING)
    if event.rooted is not None and sample - rooted - dead > waiting:
        raise Refused(
            worded(
                "{count} of the {sample} that were lifted would not be rooted, but only {waiting} "
                "of {code} still wait: look again, or say how many were dead.",
                count=sample - rooted - dead,
                sample=sample,
                waiting=waiting,
                code=state.code,
            )
        )
    post.look(rooted=event.rooted, dead=dead, sought=sought, sample=sample, known_rooted=known)
    post.draw(IN_TRAY, LOST, dead)


def _pot_on(post: Posting, event: events.PottedOn) -> None:
    drawn = post.draw((Kind.ROOTED, Kind.WAITING), Account(Kind.POTTED), event.count)
    if unchecked := drawn.get(Kind.WAITING, 0):
        post.look(taken=unchecked)
    post.state.containers.append((post.on, event.container))


def _harden(post: Posting, event: events.HardenedOff) -> None:
    post.draw([Kind.POTTED], Account(Kind.HARDENING), event.count)


def _make_ready(post: Posting, event: events.MadeReady) -> None:
    post.draw((Kind.HARDENING, Kind.POTTED), Account(Kind.READY), event.count)


def _leave(post: Posting, kinds: Sequence[Kind], target: Account, count: int, named: str) -> None:
    """Plants go out of the tray or the nursery, from `named` when the grower named an account."""
    if named:
        drawn = post.draw([_kind(named)], target, count)
    else:
        drawn = post.draw(kinds, target, count, worded(" (--from waiting takes from there)"))
    if waiting := drawn.get(Kind.WAITING, 0):
        post.look(gone=waiting)


def _kind(named: str) -> Kind:
    try:
        kind = Kind(named)
    except ValueError:
        kind = Kind.LOST
    if kind not in LIVING:
        raise Refused(f'"{named}" is not an account to take from; use {", ".join(LIVING)}.')
    return kind


def _plant_out(post: Posting, event: events.PlantedOut) -> None:
    _leave(post, GROWN, Account(Kind.PLANTED, event.bed), event.count, event.account)


def _give(post: Posting, event: events.Given) -> None:
    _leave(post, GROWN, Account(Kind.GIVEN, event.to), event.count, event.account)
    redeemed = min(event.count, post.state.promised[event.to])
    post.state.promised -= Counter({event.to: event.count})  # never goes below zero
    post.state.offered = max(0, post.state.offered - (event.count - redeemed))


def _lose(post: Posting, event: events.Lost) -> None:
    _leave(post, LIVING, Account(Kind.LOST, event.cause), event.count, event.account)


def _promise(post: Posting, event: events.Promised) -> None:
    free = _unspoken(post.state)
    if event.count > free:
        raise Refused(
            worded(
                "Only {free} of {code} are neither gone nor promised; {count} cannot be promised.",
                free=free,
                code=post.state.code,
                count=event.count,
            )
        )
    post.state.promised[event.to] += event.count


def _offer(post: Posting, event: events.Offered) -> None:
    free = _unspoken(post.state)
    if event.count > free:
        raise Refused(
            f"Only {free} of {post.state.code} are neither gone nor promised; "
            f"{event.count} cannot be for sale."
        )
    post.state.offered = event.count


def _unspoken(state: BatchState) -> int:
    """Plants here that are promised to nobody."""
    return max(0, state.living - state.promised.total())


def _move(post: Posting, event: events.Moved) -> None:
    if event.place:
        post.state.places.append((post.on, event.place))
    post.state.moved_into = event.trays or post.state.moved_into


def _recount(post: Posting, event: events.Recounted) -> None:
    """The living are `count`: too many in the book never existed, too few were there all along."""
    more = event.count - post.state.living
    target = WAITING if post.state.total(Kind.WAITING) else _fullest(post.state)
    if more < 0:
        post.draw(LIVING, Account(Kind.MISCOUNTED), -more)
        return
    back = min(more, post.state.total(Kind.MISCOUNTED))
    post.draw([Kind.MISCOUNTED], target, back)
    if more > back:
        post.enter(target, more - back)


def _fullest(state: BatchState) -> Account:
    living = [(n, a) for a, n in state.balances.items() if a.kind in LIVING and n]
    return max(living, key=lambda pair: pair[0])[1] if living else WAITING


def _step(post: Posting, event: events.StepDone) -> None:
    post.state.steps[event.step] = post.on


RULES: dict[type, Callable[[Posting, Any], None]] = {
    events.Started: _start,
    events.Checked: _check,
    events.PottedOn: _pot_on,
    events.HardenedOff: _harden,
    events.MadeReady: _make_ready,
    events.PlantedOut: _plant_out,
    events.Given: _give,
    events.Lost: _lose,
    events.Promised: _promise,
    events.Offered: _offer,
    events.Moved: _move,
    events.Recounted: _recount,
    events.StepDone: _step,
}
"""The events that concern one batch, each with its rule."""


def part(whole: BatchState, own: BatchState, entry: events.Entry, count: int) -> None:
    """Let some that wait in a batch be a batch of their own; none comes or goes.

    Raises Refused, both unchanged, where the other was not started for that, or takes all.
    """
    waiting = whole.total(Kind.WAITING)
    if own.started.parted_from != events.id_end(whole.entry_id):
        raise Refused(f"{own.code} was not parted from {whole.code}.")
    if count >= waiting:
        raise Refused(
            worded(
                "{count} of {code} cannot be a batch of their own: {waiting} wait in it, and "
                "some must stay.",
                count=count,
                code=whole.code,
                waiting=waiting,
            )
        )
    for state, came in ((whole, -count), (own, count)):
        Posting(state, entry.id, entry.on).enter(WAITING, came)
        state.last_on = entry.on
    whole.parted_seq = entry.seq


LOCAL = frozenset(RULES) - {events.Started}
"""Those of them that need the batch to be there, and read nothing of another."""


def post(state: BatchState, entry: events.Entry) -> None:
    """Apply one entry to its batch; raises Refused when it cannot be so."""
    RULES[type(entry.event)](Posting(state, entry.id, entry.on), entry.event)
    state.last_on = entry.on
