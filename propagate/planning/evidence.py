"""What was seen of a batch, from the ledger's looks to the science's sightings."""

from collections.abc import Iterable

from propagate.ledger import BatchState, Kind, Look, moved
from propagate.planning.clocks import StageClock
from propagate.science.sightings import AtLeast, BatchData, Removal, Sample, Sighting
from propagate.science.sightings import Look as FullLook


def batch_data(state: BatchState, clock: StageClock) -> BatchData:
    """What was seen of a batch, as the science takes it: days on its clock, and counts."""
    looks = sorted(state.looks, key=lambda look: look.on)
    told = [s for look in looks for s in _sightings(look, clock.day(look.on))]
    return BatchData(state.count - _recounted_out(state), told)


def _recounted_out(state: BatchState) -> int:
    """Propagules that never existed, or that a recount found elsewhere than in the tray."""
    outside = sum(
        move.count
        for move in state.moves
        if move.source is None and move.target.kind is not Kind.WAITING
    )
    tray, never = (Kind.WAITING,), (Kind.MISCOUNTED,)
    return outside + moved(state.moves, tray, never) - moved(state.moves, never, tray)


def _sightings(look: Look, day: float) -> Iterable[Sighting]:
    """One look of the ledger; the dead found when nobody counted roots tell nothing here."""
    if look.sample is not None and look.rooted is not None:
        yield Sample(
            day,
            lifted=look.sample,
            rooted=look.rooted,
            dead=look.dead,
            known_in_tray=look.known_rooted,
            dead_sought=look.sought or None,
        )
        if look.dead:
            yield Removal(day, look.dead)
    elif look.rooted is not None:
        yield FullLook(day, look.rooted, look.dead, dead_sought=look.sought or None)
    elif look.taken:
        yield AtLeast(day, look.taken)
    elif look.gone or look.dead:
        yield Removal(day, look.gone or look.dead)
