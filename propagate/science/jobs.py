"""Batches made ready for the likelihood, and those alike put together.

Batches alike in size of their grids are reckoned together, whole arrays at a time; those known
in part need tables of their own (`partly`).
"""

from collections.abc import Iterator, Sequence
from functools import cached_property
from itertools import groupby
from typing import Final

from attrs import frozen

from propagate.science.celllaws import CellLaws
from propagate.science.grid import shift_nodes
from propagate.science.hypotheses import fates_of, of_one_fate, single_usage, usages_of
from propagate.science.partly import Parts, parts_of, shifts_in_play
from propagate.science.prior import Prior
from propagate.science.scaling import in_units, unit_of
from propagate.science.sightings import BatchData, Cells, reduce_sightings
from propagate.science.timing import Array

CHUNK_CELLS: Final = 1_000_000
"""Numbers in the largest array of a chunk of batches: 8 MB, about what a cache holds."""

FAR_LARGER: Final = 1.6
"""Trays with so many times more open are not reckoned beside a small one: all are as wide as
the widest."""


@frozen(eq=False)
class Tray:
    """A batch, what is believed of it, and the shares of its failers that may linger."""

    prior: Prior
    batch: BatchData
    lingering: tuple[float, ...] = ()


@frozen(eq=False)
class Job:
    """A tray with its cells, in units where it is very large, and the nodes of its shift.

    Batches scatter around what they share by `own` deviations of a shift. `usages` (usages,
    fates) are the chances of its failers' fates, for each that may be usual with its plant.
    """

    tray: Tray
    exact: Cells
    cells: Cells
    shift: Array
    own: float
    usages: Array

    @cached_property
    def parts(self) -> Parts:
        """The tables of a batch with clues or early removals, on the shifts that matter for it."""
        prior, lingering = self.tray.prior, self.tray.lingering
        shift = shifts_in_play(prior, self.cells, self.shift, lingering, self.own)
        return parts_of(prior, self.cells, shift, lingering)

    @property
    def known_in_part(self) -> bool:
        """Whether the batch needs tables of its own."""
        return bool(self.cells.clues or self.cells.closed or self.cells.removed_before)

    @property
    def alike(self) -> tuple[int, ...]:
        """Batches that agree in this can be reckoned in one array."""
        return len(self.shift), len(self.cells.rooted), *self.usages.shape


@frozen(eq=False)
class Chunk:
    """Batches alike, reckoned in one go: their places among all, and the batches there."""

    at: tuple[int, ...]
    jobs: tuple[Job, ...]

    @cached_property
    def laws(self) -> CellLaws:
        """Their cells, on the nodes of their shift."""
        return CellLaws(
            [job.tray.prior for job in self.jobs],
            [job.cells for job in self.jobs],
            self.jobs[0].shift,
            [job.tray.lingering for job in self.jobs],
        )

    @property
    def most_open(self) -> int:
        """Propagules that wait in the fullest of the trays."""
        return max(job.cells.open for job in self.jobs)


def jobs_for(trays: Sequence[Tray], own: float = 1.0, *, kin: bool = False) -> list[Job]:
    """The trays of a plant by a method made ready.

    They scatter around what they share by `own` deviations. Where several tell of deaths, or
    other plants of the method may (`kin`), they tell each other what is usual. Raises Refused
    for sightings that cannot be: more counted than there are, days in disorder.
    """
    told = [_told(tray) for tray in trays]
    several = kin or sum(cells.tells_of_deaths for _, cells, _ in told) > 1
    return [_job(tray, *each, own, several) for tray, each in zip(trays, told, strict=True)]


def _told(tray: Tray) -> tuple[Cells, Cells, int]:
    """The cells of a tray, the same in units, and how many propagules of such units it holds."""
    exact = cells = reduce_sightings(tray.batch, tray.prior)
    count = tray.batch.count
    if (unit := unit_of(exact, count)) > 1:
        cells = reduce_sightings(in_units(tray.batch, unit), tray.prior)
        count //= unit
    return exact, cells, count


def _job(tray: Tray, exact: Cells, cells: Cells, count: int, own: float, several: bool) -> Job:
    if not cells.tells_of_deaths:  # then all fates of the failers are alike
        tray, usages = Tray(of_one_fate(tray.prior), tray.batch), single_usage(1)
    else:
        shares, lates = fates_of(tray.prior, tray.lingering)
        usages = usages_of(shares, lates) if several else single_usage(shares * lates)
    return Job(tray, exact, cells, shift_nodes(tray.prior, count, own), own, usages)


def chunks_of(jobs: Sequence[Job], early: Sequence[int]) -> list[Chunk]:
    """The batches not known in part, alike ones of rising size put together.

    Those put together also agree in how many nodes they have in common with others (`early`).
    """
    alike = {at: (*job.alike, early[at]) for at, job in enumerate(jobs) if not job.known_in_part}
    ranked = sorted(alike, key=lambda at: (alike[at], jobs[at].cells.open))
    pieces = (
        piece
        for _, those in groupby(ranked, key=alike.__getitem__)
        for piece in _pieces(those, jobs)
    )
    return [Chunk(tuple(piece), tuple(jobs[at] for at in piece)) for piece in pieces]


def _pieces(alike: Iterator[int], jobs: Sequence[Job]) -> list[list[int]]:
    """Batches alike, of rising size, in pieces whose largest array stays small."""
    pieces: list[list[int]] = []
    for at in alike:
        cells = len(jobs[at].shift) * (jobs[at].cells.open + 1)
        full = not pieces or cells * (len(pieces[-1]) + 1) > CHUNK_CELLS
        if full or jobs[at].cells.open > FAR_LARGER * (jobs[pieces[-1][0]].cells.open + 8):
            pieces.append([])
        pieces[-1].append(at)
    return pieces
