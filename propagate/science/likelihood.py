"""The probability of all that was seen of a batch, for each number of takers and each shift.

A taker roots by the age t with probability F(t; u), u the batch's shift; a failer is dead by
then with probability G(t). With a and b the ages of the last look and of the last look for
dead, one propagule contributes  F(t) - F(a)  when it rooted between two looks,  G(t) - G(b)
when it died,  and while it waits  1 - F(a)  if it is a taker,  1 - G(b)  if not, where G ends
at 1 - h for a share h of failers that linger and never look dead: the mixture cure model
(Boag 1949, Journal of the Royal Statistical Society B 11, 15-53) with interval-censored times.

Those rooted are takers, those dead are not; of the W that wait, j are takers in C(W, j) ways:
P(seen | j, u) = C(W, j) (1 - F(a))^j (1 - G(b))^(W - j) x (cells), given whose j is for all of
them `takers` has the law. Coefficients that depend on neither j nor u are left out. What was
removed before a later look, and clues between looks, need tables of their own (`partly`).
"""

from collections.abc import Sequence
from itertools import pairwise

import numpy as np
from attrs import frozen
from numpy.typing import NDArray

from propagate.science.grid import NOTHING_IN_COMMON, EarlyNodes
from propagate.science.jobs import Chunk, Job, chunks_of
from propagate.science.partly import Parts
from propagate.science.prior import Prior
from propagate.science.sightings import Cells
from propagate.science.timing import TINY, Array, summed_over_shifts


@frozen(eq=False)
class Seen:
    """What the sightings of one batch say, on nodes of its shift and for each number of takers.

    `exact` are the batch's cells, `cells` those reckoned with, in units where the tray is very
    large (see `scaling`). `shift` (shifts,) is in deviations of the prior, `early` what it may
    have in common with other batches. All the rest is for `parts`: one, or one for each
    number of takers among those removed before a later look (`offset`) and each fate of the
    failers. `log_shift` (parts, shifts) is what the cells tell of the shift, `log_summed`
    (earlies, parts, open + 1) the sum over it for each number of takers among those open, and
    `log_fate` (parts, open + 1) what they tell of the failers at best. `usual` (usages, parts,
    open + 1) is what they tell, as a share of that, for each that may be usual with the plant;
    with one usage, it is the same for any. `partly` is there for a batch known in part.
    """

    prior: Prior
    count: int
    exact: Cells
    cells: Cells
    shift: Array
    early: EarlyNodes
    offset: NDArray[np.int_]
    log_shift: Array
    log_summed: Array
    log_fate: Array
    usual: Array
    partly: Parts | None = None

    @property
    def log_days(self) -> Array:
        """Mean of ln(days) of a taker, for each shift."""
        return self.prior.log_days_mean + self.prior.log_days_between * self.shift

    @property
    def nothing(self) -> bool:
        """Whether nobody has looked yet."""
        return not self.cells.rooted and self.partly is None

    def log_takers(self, early_at: NDArray[np.int_], usage_at: NDArray[np.int_]) -> Array:
        """Log of P(seen, part | takers) on nodes of what is shared, (nodes, parts, open + 1)."""
        told = self.log_summed + self.log_fate
        log_usual = np.log(np.maximum(self.usual, TINY))
        if len(log_usual) == 1:
            return np.asarray((told + log_usual)[early_at], dtype=np.float64)
        return np.asarray(told[early_at] + log_usual[usage_at], dtype=np.float64)

    @property
    def takers_told(self) -> Array:
        """Log of P(seen | takers in all), from the known ones on, (usages, earlies, takers)."""
        told = self.log_summed + self.log_fate
        each = told + np.log(np.maximum(self.usual, TINY))[:, None]
        usages, earlies, _, length = each.shape
        out = np.full((usages, earlies, length + int(self.offset.max())), np.log(TINY))
        for part, offset in enumerate(self.offset):
            window = slice(offset, offset + length)
            out[..., window] = np.logaddexp(out[..., window], each[:, :, part])
        return out


def see(jobs: Sequence[Job], early: EarlyNodes = NOTHING_IN_COMMON) -> list[Seen]:
    """What was seen of each batch of a plant by a method, in their order."""
    return see_groups([(jobs, early)])[0]


def see_groups(groups: Sequence[tuple[Sequence[Job], EarlyNodes]]) -> list[list[Seen]]:
    """What was seen of the batches of groups, each with what its batches have in common.

    Batches of all groups are reckoned together, which is quicker than one group by one.
    """
    jobs = [job for group, _ in groups for job in group]
    earlies = [early for group, early in groups for _ in group]
    seen = {at: _partly(job, earlies[at]) for at, job in enumerate(jobs) if job.known_in_part}
    for chunk in chunks_of(jobs, [len(early.at) for early in earlies]):
        found = _plain(chunk, [earlies[at] for at in chunk.at])
        seen.update(zip(chunk.at, found, strict=True))
    ends = np.cumsum([0, *(len(group) for group, _ in groups)]).tolist()
    return [[seen[at] for at in range(*ends_of)] for ends_of in pairwise(ends)]


def _plain(chunk: Chunk, earlies: Sequence[EarlyNodes]) -> list[Seen]:
    """Batches with as many shifts, looks and early nodes, without clues, reckoned in one go."""
    jobs, laws = chunk.jobs, chunk.laws
    log_shift = laws.log_looks()
    log_fate, usual = _given_usage(laws.log_fates(), np.stack([job.usages for job in jobs]))
    if jobs[0].cells.rooted:
        different = {id(early): early for early in earlies}
        own = {at: np.exp(early.log_weights(jobs[0].shift)) for at, early in different.items()}
        weights = np.stack([own[id(early)] for early in earlies])
        summed = summed_over_shifts(weights, log_shift, laws.log_waiting(), chunk.most_open)
    else:
        summed = np.zeros((len(jobs), len(earlies[0].at), chunk.most_open + 1))
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
            log_summed=summed[at, :, None, : job.cells.open + 1],
            log_fate=log_fate[at, :, : job.cells.open + 1],
            usual=usual[at, :, None, : job.cells.open + 1],
        )
        for at, (job, early) in enumerate(zip(jobs, earlies, strict=True))
    ]


def _given_usage(log_fates: Array, usages: Array) -> tuple[Array, Array]:
    """Log of the best of fates (batches, fates, takers), and the mean over them as its share.

    Weighed by (batches, usages, fates); shaped (batches, 1, takers) and (batches, usages, takers).
    """
    best = log_fates.max(axis=1, keepdims=True)
    usual = usages @ np.exp(log_fates - best)
    if usual.shape[1] > 1:
        return best, usual
    return np.asarray(best + np.log(usual), dtype=np.float64), np.ones_like(usual)


def _partly(job: Job, early: EarlyNodes) -> Seen:
    """A batch known in part: its tables summed over the shift."""
    tray, parts = job.tray, job.parts
    log_table = parts.log_table
    top = log_table.max()
    weights = np.exp(early.log_weights(parts.shift))
    summed = np.exp(log_table - top) @ weights.T
    usual = np.repeat(job.usages, len(parts.offset) // job.usages.shape[1], axis=1)
    return Seen(
        prior=tray.prior,
        count=tray.batch.count,
        exact=job.exact,
        cells=job.cells,
        shift=parts.shift,
        early=early,
        offset=parts.offset,
        log_shift=parts.log_shift,
        log_summed=np.moveaxis(np.log(np.maximum(summed, TINY)), 2, 0) + top,
        log_fate=parts.log_fate,
        usual=np.broadcast_to(usual[..., None], (len(usual), *parts.log_fate.shape)),
        partly=parts,
    )
