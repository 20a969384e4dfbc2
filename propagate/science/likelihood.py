"""The probability of all that was seen of a batch, for each number of takers and each shift.

A taker roots by the age t with probability F(t; u), u the batch's shift; a failer is dead by
then with probability G(t). With a and b the ages of the last look and of the last look for
dead, one propagule contributes  F(t) - F(a)  when it rooted between two looks,  G(t) - G(b)
when it died,  and while it waits  1 - F(a)  if it is a taker,  1 - G(b)  if not, where G ends
at 1 - h for a share h of failers that linger and never look dead: the mixture cure model
(Boag 1949, Journal of the Royal Statistical Society B 11, 15-53) with interval-censored times.

Those rooted are takers, those dead are not; of the W that wait, j are takers in C(W, j) ways:
P(seen | j, u) = C(W, j) (1 - F(a))^j (1 - G(b))^(W - j) x (cells), given whose j is for all of
them `takers` has the law. Coefficients that depend on neither j nor u are left out. Batches
alike in size of their grids are reckoned together, whole arrays at a time (`plain`); what was
removed before a later look, and clues between looks, need tables of their own (`partly`).
"""

from collections.abc import Sequence
from functools import cached_property
from itertools import groupby, pairwise
from typing import Final

import numpy as np
from attrs import frozen
from numpy.typing import NDArray

from propagate.science.celllaws import CellLaws
from propagate.science.grid import NOTHING_IN_COMMON, EarlyNodes, shift_nodes
from propagate.science.hypotheses import lateness, of_one_fate
from propagate.science.partly import Parts, parts_of, shifts_in_play
from propagate.science.prior import Prior
from propagate.science.scaling import in_units, unit_of
from propagate.science.sightings import BatchData, Cells, reduce_sightings
from propagate.science.timing import TINY, Array

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
class Seen:
    """What the sightings of one batch say, on nodes of its shift and for each number of takers.

    `exact` are the batch's cells, `cells` those reckoned with, in units where the tray is very
    large (see `scaling`). `shift` (shifts,) is in deviations of the prior, `early` what it may
    have in common with other batches. All the rest is for `parts`: one, or one for each
    number of takers among those removed before a later look (`offset`) and each fate of the
    failers. `log_shift` (parts, shifts) is what the cells tell of the shift,
    `log_fate` (parts, open + 1) what they tell of the failers for each number of takers among
    those open. `log_takers` (earlies, parts, open + 1) is the sum over the shift. `partly`
    is there for a batch that is known in part.
    """

    prior: Prior
    count: int
    exact: Cells
    cells: Cells
    shift: Array
    early: EarlyNodes
    offset: NDArray[np.int_]
    log_shift: Array
    log_fate: Array
    log_takers: Array
    partly: Parts | None = None

    @property
    def log_days(self) -> Array:
        """Mean of ln(days) of a taker, for each shift."""
        return self.prior.log_days_mean + self.prior.log_days_between * self.shift

    @property
    def nothing(self) -> bool:
        """Whether nobody has looked yet."""
        return not self.cells.rooted and self.partly is None

    @property
    def takers_told(self) -> Array:
        """Log of P(seen | takers in all), from the known ones on, (earlies, takers)."""
        if len(self.offset) == 1 and self.offset[0] == 0:
            return self.log_takers[:, 0]
        earlies, _, length = self.log_takers.shape
        out = np.full((earlies, length + int(self.offset.max())), np.log(TINY))
        for part, offset in enumerate(self.offset):
            window = slice(offset, offset + length)
            out[:, window] = np.logaddexp(out[:, window], self.log_takers[:, part])
        return out


@frozen(eq=False)
class Job:
    """A tray with its cells, in units where it is very large, and the nodes of its shift.

    Batches scatter around what they share by `own` deviations of a shift.
    """

    tray: Tray
    exact: Cells
    cells: Cells
    shift: Array
    own: float

    @cached_property
    def parts(self) -> Parts:
        """The tables of a batch with clues or early removals, on the shifts that matter for it."""
        prior, lingering = self.tray.prior, self.tray.lingering
        shift = shifts_in_play(prior, self.cells, self.shift, lingering, self.own)
        return parts_of(prior, self.cells, shift, lingering)

    @property
    def alike(self) -> tuple[int, int, int]:
        """Batches that agree in this can be reckoned in one array."""
        fates = max(len(self.tray.lingering), 1) * len(lateness(self.tray.prior))
        return len(self.shift), len(self.cells.rooted), fates


def jobs_for(trays: Sequence[Tray], own: float = 1.0) -> list[Job]:
    """The trays made ready; batches scatter around what they share by `own` deviations.

    Raises Refused for sightings that cannot be: more counted than there are, days in disorder.
    """
    return [_job(tray, own) for tray in trays]


def see(jobs: Sequence[Job], early: EarlyNodes = NOTHING_IN_COMMON) -> list[Seen]:
    """What was seen of each batch, in their order."""
    return see_groups([(jobs, early)])[0]


def see_groups(groups: Sequence[tuple[Sequence[Job], EarlyNodes]]) -> list[list[Seen]]:
    """What was seen of the batches of groups, each with what its batches have in common.

    Batches of all groups are reckoned together, which is quicker than one group by one.
    """
    jobs = [job for group, _ in groups for job in group]
    earlies = [early for group, early in groups for _ in group]
    seen: dict[int, Seen] = {}
    plain: list[int] = []
    for at, (job, early) in enumerate(zip(jobs, earlies, strict=True)):
        cells = job.cells
        if cells.clues or cells.closed or cells.removed_before:
            seen[at] = _partly(job, early)
        else:
            plain.append(at)
    alike = {at: (*jobs[at].alike, len(earlies[at].at)) for at in plain}
    plain.sort(key=lambda at: (alike[at], jobs[at].cells.open))
    for _, those in groupby(plain, key=alike.__getitem__):
        for chunk in _chunks(list(those), jobs):
            found = _plain([jobs[at] for at in chunk], [earlies[at] for at in chunk])
            seen.update(zip(chunk, found, strict=True))
    ends = np.cumsum([0, *(len(group) for group, _ in groups)]).tolist()
    return [[seen[at] for at in range(*ends_of)] for ends_of in pairwise(ends)]


def _job(tray: Tray, own: float) -> Job:
    exact = cells = reduce_sightings(tray.batch, tray.prior)
    count = tray.batch.count
    if (unit := unit_of(exact, count)) > 1:
        cells = reduce_sightings(in_units(tray.batch, unit), tray.prior)
        count //= unit
    if not cells.tells_of_deaths:  # then all fates of the failers are alike
        tray = Tray(of_one_fate(tray.prior), tray.batch)
    return Job(tray, exact, cells, shift_nodes(tray.prior, count, own), own)


def _chunks(alike: list[int], jobs: Sequence[Job]) -> list[list[int]]:
    """Batches alike, of rising size, in pieces whose largest array stays small."""
    chunks: list[list[int]] = []
    for at in alike:
        cells = len(jobs[at].shift) * (jobs[at].cells.open + 1)
        full = not chunks or cells * (len(chunks[-1]) + 1) > CHUNK_CELLS
        if full or jobs[at].cells.open > FAR_LARGER * (jobs[chunks[-1][0]].cells.open + 8):
            chunks.append([])
        chunks[-1].append(at)
    return chunks


def _plain(jobs: Sequence[Job], earlies: Sequence[EarlyNodes]) -> list[Seen]:
    """Batches with as many shifts, looks and early nodes, without clues, reckoned in one go."""
    laws = CellLaws(
        [job.tray.prior for job in jobs],
        [job.cells for job in jobs],
        jobs[0].shift,
        [job.tray.lingering for job in jobs],
    )
    log_shift, log_fate = laws.log_looks(), _mixed_over_fates(laws.log_fates())
    if jobs[0].cells.rooted:
        different = {id(early): early for early in earlies}
        own = {at: np.exp(early.log_weights(jobs[0].shift)) for at, early in different.items()}
        weights = np.stack([own[id(early)] for early in earlies])
        summed = _summed(weights, log_shift, laws.log_waiting(), log_fate.shape[1] - 1)
        log_takers = summed + log_fate[:, None, :]
    else:
        log_takers = np.repeat(log_fate[:, None, :], len(earlies[0].at), axis=1)
    return [
        Seen(
            prior=job.tray.prior,
            count=job.tray.batch.count,
            exact=job.exact,
            cells=job.cells,
            shift=job.shift,
            early=early,
            offset=np.zeros(1, dtype=np.int_),
            log_shift=log_shift[at : at + 1],
            log_fate=log_fate[at : at + 1, : job.cells.open + 1],
            log_takers=log_takers[at, :, None, : job.cells.open + 1],
        )
        for at, (job, early) in enumerate(zip(jobs, earlies, strict=True))
    ]


def _partly(job: Job, early: EarlyNodes) -> Seen:
    """A batch known in part: its tables summed over the shift."""
    tray, parts = job.tray, job.parts
    log_table = parts.log_table
    top = log_table.max()
    weights = np.exp(early.log_weights(parts.shift))
    summed = np.exp(log_table - top) @ weights.T
    log_takers = np.moveaxis(np.log(np.maximum(summed, TINY)), 2, 0) + top + parts.log_fate
    return Seen(
        prior=tray.prior,
        count=tray.batch.count,
        exact=job.exact,
        cells=job.cells,
        shift=parts.shift,
        early=early,
        offset=parts.offset,
        log_shift=parts.log_shift,
        log_fate=parts.log_fate,
        log_takers=log_takers,
        partly=parts,
    )


def _summed(weights: Array, log_shift: Array, log_waiting: Array, most: int) -> Array:
    """Log of the sum over shifts of weight x shift x waiting^j, j = 0..most.

    From (batches, earlies, shifts) and (batches, shifts) to (batches, earlies, j). Powers are
    products grown one by one, of numbers scaled to a largest of 1.
    """
    scale = (log_shift + np.log(weights.max(axis=1))).max(axis=1)[:, None, None]
    top = log_waiting.max(axis=1, keepdims=True)
    waiting = np.exp(log_waiting - top)
    powers = np.empty((most + 1, *waiting.shape))
    powers[0] = np.exp(log_shift - scale[:, 0])
    for before, after in pairwise(powers):
        np.multiply(before, waiting, out=after)
    logs = np.log(np.maximum(weights @ powers.transpose(1, 2, 0), TINY))
    return np.asarray(logs + scale + top[:, None] * np.arange(most + 1), dtype=np.float64)


def _mixed_over_fates(log_fates: Array) -> Array:
    """Log of the mean over equally likely fates, from (batches, fates, takers)."""
    if log_fates.shape[1] == 1:
        return log_fates[:, 0]
    most = log_fates.max(axis=1, keepdims=True)
    mixed = np.log(np.exp(log_fates - most).mean(axis=1))
    return np.asarray(mixed + most[:, 0], dtype=np.float64)
