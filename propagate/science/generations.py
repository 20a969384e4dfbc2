"""Plants made now become mothers later: a stage-structured projection, with its whole law.

Each year a mother gives some propagules, of which a share becomes plants; of these a share is
kept as stock and the rest goes out to beds and people. A kept plant is a mother after some
years. Every propagule has its own luck, so this is a branching process in several types: its
means follow a projection matrix (Lefkovitch 1965), its laws follow from composing the
generating functions of one year (Harris 1963), here on the unit circle, and are read off by
the Fourier transform. What is unknown about the take is the same in every year: the laws are
mixed over it.
"""

from collections.abc import Sequence
from typing import Final

import numpy as np
from attrs import field, frozen, validators
from numpy.typing import NDArray

from propagate.science.timing import Array

Complex = NDArray[np.complex128]

MOST_STEPS: Final = 4096
"""A law over more counts than this is read off at every so many of them."""

TAIL_DEVIATIONS: Final = 12.0
"""So many standard deviations above the mean a law is taken to end."""

VANISHING: Final = 9.0
"""A characteristic function is as good as nought beyond so many inverse standard deviations."""

LEAST_SMOOTH: Final = 30.0
"""Laws at least so wide [plants] are smooth enough to be read off at steps."""


@frozen
class Life:
    """How a plant multiplies, year by year.

    A mother gives any number from `yield_low` to `yield_high` of propagules a year, each
    number as likely; she stays one to the next year with the chance `mother_stays`. A plant
    made this year is a mother `after_years` from now, if it lives through each year between
    with the chance `young_lives`.
    """

    yield_low: int = field(validator=validators.ge(0))
    yield_high: int = field(validator=validators.ge(0))
    after_years: int = field(validator=validators.ge(1))
    mother_stays: float = field(validator=[validators.ge(0), validators.le(1)])
    young_lives: float = field(validator=[validators.ge(0), validators.le(1)])

    @property
    def stages(self) -> int:
        """Young plants by their years, mothers, and what went out."""
        return self.after_years + 1

    @property
    def mother(self) -> int:
        """Where mothers stand among the stages; the young stand before them."""
        return self.after_years - 1

    @property
    def out(self) -> int:
        """Where plants stand that went out."""
        return self.after_years

    @property
    def first(self) -> int:
        """Where a plant kept this year stands next year."""
        return 0

    @property
    def yield_mean(self) -> float:
        """Propagules of a mother in a year, on average."""
        return (self.yield_low + self.yield_high) / 2

    @property
    def yield_variance(self) -> float:
        """Their variance: that of a uniform law on whole numbers."""
        return ((self.yield_high - self.yield_low + 1) ** 2 - 1) / 12


@frozen(eq=False)
class CountLaw:
    """The law of a number of plants: `pmf` over multiples of `unit`."""

    pmf: Array
    unit: int

    @property
    def mean(self) -> float:
        """Expected number."""
        return float(self.pmf @ np.arange(len(self.pmf)) * self.unit)

    @property
    def variance(self) -> float:
        """Its variance."""
        at = np.arange(len(self.pmf)) * float(self.unit)
        return float(self.pmf @ (at - self.mean) ** 2)

    def quantile(self, share: float) -> int:
        """Smallest number that is not passed with so much chance."""
        found = int(np.cumsum(self.pmf).searchsorted(share - 1e-12))
        return min(found, len(self.pmf) - 1) * self.unit

    def at_least(self, wanted: int) -> float:
        """P(the number is at least `wanted`)."""
        return float(self.pmf[-(-wanted // self.unit) :].sum())


def mean_matrix(life: Life, take: float, keep: float) -> Array:
    """Mean of each stage next year (rows) from one plant of each stage now (columns).

    `take` is the share of propagules that become plants, `keep` the share of these that are
    kept. The last stage counts all that went out, and stays.
    """
    matrix = np.zeros((life.stages, life.stages))
    for age in range(life.mother):
        matrix[age + 1, age] = life.young_lives
    matrix[life.mother, life.mother] = life.mother_stays
    made = life.yield_mean * take
    matrix[life.first, life.mother] += made * keep
    matrix[life.out, life.mother] = made * (1 - keep)
    matrix[life.out, life.out] = 1.0
    return matrix


def growth(matrix: Array) -> float:
    """The factor by which numbers grow a year in the long run: the dominant eigenvalue."""
    return float(np.abs(np.linalg.eigvals(matrix)).max())


def stock_growth(life: Life, take: float, keep: float = 1.0) -> float:
    """The long-run growth of the stock alone, what went out left aside."""
    return growth(mean_matrix(life, take, keep)[: life.out, : life.out])


def means(life: Life, take: float, keeps: Sequence[float], start: Sequence[float]) -> Array:
    """Mean of each stage at the start and after each year, (years + 1, stages)."""
    rows = [np.array(start, dtype=np.float64)]
    for keep in keeps:
        rows.append(mean_matrix(life, take, keep) @ rows[-1])
    return np.array(rows)


def moments(
    life: Life,
    take: float,
    keeps: Sequence[float],
    start: Sequence[float],
    watch: Sequence[int],
    *,
    of_last: bool = False,
) -> tuple[float, float]:
    """Mean and variance of what stands in the stages `watch` after the years, for one take.

    What went out counts from the first year on, or only that `of_last` year.

    The covariance follows  C' = B C B^T + sum of m_j V_j  with B the mean matrix, m the means
    and V_j the covariance of what one plant of stage j leaves (Harris 1963, II.4).
    """
    m = np.asarray(start, dtype=np.float64)
    cov = np.zeros((life.stages, life.stages))
    for keep in keeps:
        matrix = mean_matrix(life, take, keep)
        matrix[life.out, life.out] = 0.0 if of_last else 1.0
        noise = sum(n * v for n, v in zip(m, _noise(life, take, keep), strict=True))
        m, cov = matrix @ m, matrix @ cov @ matrix.T + noise
    chosen = list(watch)
    return float(m[chosen].sum()), float(cov[np.ix_(chosen, chosen)].sum())


def _noise(life: Life, take: float, keep: float) -> list[Array]:
    """Covariance of what one plant of each stage leaves next year."""
    made = []
    for stage in range(life.stages):
        v = np.zeros((life.stages, life.stages))
        if stage < life.mother:
            v[stage + 1, stage + 1] = life.young_lives * (1 - life.young_lives)
        elif stage == life.mother:
            share = np.zeros(life.stages)
            share[life.first], share[life.out] = take * keep, take * (1 - keep)
            v = life.yield_mean * (np.diag(share) - np.outer(share, share))
            v += life.yield_variance * np.outer(share, share)
            v[stage, stage] += life.mother_stays * (1 - life.mother_stays)
        made.append(v)
    return made


def law(
    life: Life,
    takes: Sequence[float],
    keeps: Sequence[float],
    start: Sequence[int],
    watch: Sequence[int],
    *,
    of_last: bool = False,
) -> CountLaw:
    """The law of the number in the stages `watch` after the years, mixed over equal `takes`.

    What went out counts from the first year on, or only that `of_last` year.
    """
    told = [moments(life, take, keeps, start, watch, of_last=of_last) for take in takes]
    most = max(mean + TAIL_DEVIATIONS * variance**0.5 for mean, variance in told) + 2
    narrowest = min(variance for _, variance in told) ** 0.5
    size = 1 << int(np.ceil(np.log2(most + 1)))
    steps = _steps(size, narrowest)
    z = np.ones((life.stages, steps // 2 + 1), dtype=np.complex128)
    z[list(watch)] = np.exp(2j * np.pi * np.arange(steps // 2 + 1) / size)
    mixed = np.mean([_spectrum(life, take, keeps, start, z, of_last) for take in takes], axis=0)
    pmf = np.maximum(np.fft.irfft(np.conj(mixed), steps), 0.0)
    return CountLaw(np.asarray(pmf / pmf.sum()), size // steps)


def _steps(size: int, deviation: float) -> int:
    """How many counts a law is read off at: all, or as many as its smoothness asks for."""
    if size <= MOST_STEPS or deviation < LEAST_SMOOTH:
        return size
    needed = size * VANISHING / (np.pi * deviation)
    return min(size, max(256, 1 << int(np.ceil(np.log2(needed)))))


def _spectrum(
    life: Life,
    take: float,
    keeps: Sequence[float],
    start: Sequence[int],
    z: Complex,
    of_last: bool,
) -> Complex:
    """Characteristic function of the number watched: one year's generating function, composed."""
    for keep in reversed(keeps):
        z = _one_year(life, take, keep, z)
        if of_last:
            z[life.out] = 1.0
    result = np.ones(z.shape[1], dtype=np.complex128)
    for stage, number in enumerate(start):
        result *= z[stage] ** number
    return result


def _one_year(life: Life, take: float, keep: float, z: Complex) -> Complex:
    """The generating functions of one year, one for a plant of each stage."""
    out = np.empty_like(z)
    for age in range(life.mother):
        out[age] = 1 - life.young_lives + life.young_lives * z[age + 1]
    each = 1 - take + take * (keep * z[life.first] + (1 - keep) * z[life.out])
    stays = 1 - life.mother_stays + life.mother_stays * z[life.mother]
    out[life.mother] = stays * _uniform(each, life.yield_low, life.yield_high)
    out[life.out] = z[life.out]
    return out


def _uniform(w: Complex, low: int, high: int) -> Complex:
    """The mean of w to the powers from low to high, by Horner's scheme."""
    total = np.ones_like(w)
    for _ in range(high - low):
        total = total * w + 1
    return np.asarray(total * w**low / (high - low + 1))
