"""What was seen of a batch, and its reduction to interval cells for the likelihood.

Between two looks nothing is known but that a change fell between them, so a batch comes down
to counts in cells: rooted between two ages, died between two ages, still waiting at an age.
What is known only in part, between two looks, is kept as clues (see `clues`).
"""

from collections.abc import Iterable, Sequence
from functools import cached_property

from attrs import evolve, field, frozen, validators

from propagate.errors import Refused
from propagate.science.clues import Clue
from propagate.science.prior import Prior
from propagate.science.timing import SHORTEST_DAYS

START_AGE_DAYS = 1e-9  # stands for the start, of which the law has no logarithm

_not_negative = validators.ge(0)


@frozen
class Look:
    """Every propagule not known to be rooted or dead was examined on `day`.

    `newly_rooted` and `newly_dead` are those found so since the last look; the others were
    seen waiting. A look that reports no dead is taken to say nothing about deaths, for many
    growers leave the dead standing; `dead_sought` = True makes it say that none had died,
    False that dead ones may stand among the waiting although some were found.
    """

    day: float
    newly_rooted: int = field(default=0, validator=_not_negative)
    newly_dead: int = field(default=0, validator=_not_negative)
    dead_sought: bool | None = None

    @property
    def tells_of_deaths(self) -> bool:
        """Whether those seen waiting are known to be alive."""
        return self.newly_dead > 0 if self.dead_sought is None else self.dead_sought


@frozen
class AtLeast:
    """`rooted` more than known so far left the tray on `day`; the rest was not examined."""

    day: float
    rooted: int = field(validator=_not_negative)


@frozen
class Sample:
    """`lifted` were taken at random from the tray, examined and put back.

    `known_in_tray` rooted ones, known from looks, stood among them, so that the sample may
    hold some of them. Dead ones are counted under the same rule as in a Look.
    """

    day: float
    lifted: int = field(validator=_not_negative)
    rooted: int = field(default=0, validator=_not_negative)
    dead: int = field(default=0, validator=_not_negative)
    known_in_tray: int = field(default=0, validator=_not_negative)
    dead_sought: bool | None = None


@frozen
class Removal:
    """`count` not known to be rooted went for a reason that tells nothing (mice, a gift)."""

    day: float
    count: int = field(validator=_not_negative)


Sighting = Look | AtLeast | Sample | Removal


def _kept(sightings: Iterable[Sighting]) -> tuple[Sighting, ...]:
    return tuple(sightings)


@frozen
class BatchData:
    """How many propagules a batch started with, and its sightings in order of time."""

    count: int = field(validator=_not_negative)
    sightings: tuple[Sighting, ...] = field(default=(), converter=_kept)

    @property
    def tells(self) -> bool:
        """Whether anything seen bears on what takes; losses to mice do not."""
        return any(not isinstance(sighting, Removal) for sighting in self.sightings)


@frozen
class Cell:
    """`count` propagules changed, all of the same way, between two ages in days."""

    from_days: float
    to_days: float
    count: int


@frozen
class Waiting:
    """`count` were unrooted at `age_days` and, where looked for, not dead at `alive_days`."""

    age_days: float
    alive_days: float
    count: int

    @property
    def seen(self) -> bool:
        """Whether anybody had looked."""
        return self.age_days > START_AGE_DAYS or self.alive_days > START_AGE_DAYS


@frozen
class ClosedClues:
    """Clues between two looks, the second of which found `rooted` of `unresolved`."""

    from_days: float
    to_days: float
    clues: tuple[Clue, ...]
    unresolved: int
    rooted: int


@frozen
class Cells:
    """A batch as the likelihood needs it.

    `unresolved` are those whose end is open: seen waiting at `last`, with `clues` since;
    `dead_gone` were among them until samples found them dead and they were taken out.
    """

    last: Waiting
    rooted: tuple[Cell, ...] = ()
    dead: tuple[Cell, ...] = ()
    removed: tuple[Waiting, ...] = ()
    closed: tuple[ClosedClues, ...] = ()
    clues: tuple[Clue, ...] = ()
    dead_gone: int = 0

    @property
    def unresolved(self) -> int:
        """Propagules that were neither rooted nor dead at the last look, removals taken off."""
        return self.last.count

    @property
    def removed_since(self) -> int:
        """Removed ones that were seen waiting at the last look as the unresolved were.

        Which of those waiting were removed is chance, so they are undone by lot; where clues
        came between, they are kept apart with those of `removed_before`.
        """
        return 0 if self.clues else sum(gone.count for gone in self.removed if self._as_last(gone))

    @cached_property
    def removed_before(self) -> tuple[Waiting, ...]:
        """The other removed ones that had been seen; the never seen tell nothing."""
        return tuple(
            gone
            for gone in self.removed
            if gone.count and gone.seen and (self.clues or not self._as_last(gone))
        )

    def _as_last(self, gone: Waiting) -> bool:
        return gone.seen and evolve(gone, count=self.last.count) == self.last

    @cached_property
    def open(self) -> int:
        """Propagules seen waiting at the last look: the unresolved and those removed since."""
        return self.unresolved + self.removed_since

    @cached_property
    def told_of(self) -> int:
        """Propagules of which something is known or asked: all but those removed unseen."""
        died = sum(cell.count for cell in self.dead)
        before = sum(gone.count for gone in self.removed_before)
        return self.known_rooted + died + self.dead_gone + before + self.open

    @cached_property
    def known_rooted(self) -> int:
        """Rooted ones counted by looks."""
        return sum(cell.count for cell in self.rooted)

    @property
    def tells_of_deaths(self) -> bool:
        """Whether dead were looked for, in the whole tray or in a sample of it."""
        looks = self.last.alive_days > START_AGE_DAYS or any(cell.count for cell in self.dead)
        return looks or any(clue.dead is not None for clue in self.clues)

    @property
    def surely_rooted(self) -> int:
        """Of the unresolved, those that left the tray rooted since the last look."""
        return max((clue.left for clue in self.clues), default=0)

    @property
    def latest_days(self) -> float:
        """Age at the last sighting of any kind that tells of rooting."""
        return self.clues[-1].age_days if self.clues else self.last.age_days


def reduce_sightings(batch: BatchData, prior: Prior) -> Cells:
    """Cells of a batch; raises Refused for counts that cannot be or days out of order.

    A second look on one day counts as half a day later, so that no interval is empty.
    """
    looks = _looks_at_first(batch.sightings)
    cells, day = _after_looks(batch.count, looks, prior)
    for sighting in batch.sightings[len(looks) :]:
        _refuse_disorder(sighting.day, day)
        day = sighting.day
        earliest = max(cells.last.age_days + SHORTEST_DAYS, cells.latest_days)
        age = max(prior.age_days(day), earliest)
        cells = _after(cells, sighting, age)
    return cells


def _looks_at_first(sightings: Sequence[Sighting]) -> list[Look]:
    looks = []
    for sighting in sightings:
        if not isinstance(sighting, Look):
            break
        looks.append(sighting)
    return looks


def _after_looks(count: int, looks: Sequence[Look], prior: Prior) -> tuple[Cells, float]:
    """Cells of a batch after the looks it began with, and the day of the last; most are such."""
    day, waiting, last, alive = 0.0, count, START_AGE_DAYS, START_AGE_DAYS
    rooted, dead = [], []
    for look in looks:
        _refuse_disorder(look.day, day)
        _refuse_more(look.newly_rooted + look.newly_dead, waiting, look.day)
        day = look.day
        age = max(prior.age_days(day), last + SHORTEST_DAYS)
        rooted.append(Cell(last, age, look.newly_rooted))
        dead.append(Cell(alive, age, look.newly_dead))
        waiting -= look.newly_rooted + look.newly_dead
        last, alive = age, age if look.tells_of_deaths else alive
    return Cells(Waiting(last, alive, waiting), tuple(rooted), tuple(dead)), day


def _refuse_disorder(day: float, before: float) -> None:
    if day < before:
        raise Refused(f"sightings must be in order of time; day {day:g} is late")


def _after(cells: Cells, sighting: Sighting, age: float) -> Cells:
    waiting = cells.unresolved - cells.surely_rooted
    match sighting:
        case Look():
            _refuse_more(sighting.newly_rooted + sighting.newly_dead, waiting, sighting.day)
            return _after_look(cells, sighting, age)
        case AtLeast():
            _refuse_more(sighting.rooted, waiting, sighting.day)
            left = cells.surely_rooted + sighting.rooted
            clue = Clue(age_days=age, left=left)
        case Sample():
            _refuse_more(sighting.lifted, waiting + sighting.known_in_tray, sighting.day)
            _refuse_more(sighting.rooted + sighting.dead, sighting.lifted, sighting.day)
            clue = _sample_clue(sighting, age, cells.surely_rooted)
        case Removal():
            _refuse_more(sighting.count, waiting, sighting.day)
            return _after_removal(cells, sighting)
    return evolve(cells, clues=(*cells.clues, clue))


def _after_removal(cells: Cells, removal: Removal) -> Cells:
    """The dead that samples found go first; why the others went tells nothing."""
    sampled = sum(clue.dead or 0 for clue in cells.clues) - cells.dead_gone
    dead = min(removal.count, sampled)
    gone = evolve(cells.last, count=removal.count - dead)
    return evolve(
        cells,
        last=evolve(cells.last, count=cells.last.count - removal.count),
        removed=(*cells.removed, gone) if gone.count else cells.removed,
        clues=tuple(evolve(clue, gone=clue.gone + dead) for clue in cells.clues),
        dead_gone=cells.dead_gone + dead,
    )


def _after_look(cells: Cells, look: Look, age: float) -> Cells:
    """Every unresolved propagule falls into a cell; clues since the last look close."""
    last, newly = cells.last, cells.surely_rooted + look.newly_rooted
    closed = ClosedClues(last.age_days, age, cells.clues, last.count, newly)
    return Cells(
        last=Waiting(
            age_days=age,
            alive_days=age if look.tells_of_deaths else last.alive_days,
            count=last.count - newly - look.newly_dead,
        ),
        rooted=(*cells.rooted, Cell(last.age_days, age, newly)),
        dead=(*cells.dead, Cell(last.alive_days, age, look.newly_dead + cells.dead_gone)),
        removed=cells.removed,
        closed=(*cells.closed, closed) if cells.clues else cells.closed,
    )


def _sample_clue(sample: Sample, age: float, left: int) -> Clue:
    tells = sample.dead > 0 if sample.dead_sought is None else sample.dead_sought
    return Clue(
        age_days=age,
        left=left,
        lifted=sample.lifted,
        rooted=sample.rooted,
        dead=sample.dead if tells else None,
        known_in_tray=sample.known_in_tray,
    )


def _refuse_more(found: int, possible: int, day: float) -> None:
    if found > possible:
        raise Refused(f"day {day:g}: {found} counted where at most {possible} can be")
