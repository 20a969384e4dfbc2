"""Are the intervals honest, and how near are they to the best anyone could say?

Growers are drawn whose skill and timing differ from the library's record; each has past
batches and a new one, whose propagules' days are known to this file alone. The forecast is
scored at the start and after checks, beside the *oracle* (the same model told the grower's
own mean take, spread and timing), beside one that is told as well what is usual with the
grower's failers (*all told*), and beside simple rules. Coverage is read from the
randomised probability integral transform, for counts are discrete (Smith 1985, Journal of
Forecasting 4, 283-291); CRPS is the continuous ranked probability score in plants, as a share
of the batch. `python -m tests.bench.calibration` prints the table for 2,000 batches, for 8,000
where the world is the model's own.
"""

import math
import sys
from collections.abc import Callable, Iterator, Sequence

import numpy as np
from attrs import astuple, evolve, frozen
from numpy.typing import NDArray

from propagate.science import pooling
from propagate.science.counts import binomial
from propagate.science.hypotheses import AS_USUAL, fates_of
from propagate.science.jobs import Tray as Told
from propagate.science.jobs import jobs_for
from propagate.science.learning import GroupData, answering, learn
from propagate.science.likelihood import see
from propagate.science.pooling import learn_method
from propagate.science.prior import FAILERS_BETWEEN, Prior, prior_from_ranges
from propagate.science.scores import crps, randomised_pit
from propagate.science.sightings import BatchData, Look
from propagate.science.timing import WITHIN_SHARE, TimeSpread, cdf, from_range
from propagate.units import DAYS_PER_WEEK

Array = NDArray[np.float64]


def library(*ranges: float) -> Prior:
    """A record's law, weeks and takes from low to high, as the program reads it."""
    return prior_from_ranges(*ranges, failer_log_between=FAILERS_BETWEEN)


RECORD = library(6, 12, 0.45, 0.85)
LINGERING = (0.1, 0.5, 0.9)
PAST = 10
SEEDS = (5, 11, 12, 13)


@frozen
class World:
    """How the truth differs from what the model takes for granted."""

    name: str
    library: Prior = RECORD
    lognormal: bool = False
    bad_weeks: bool = False
    within: float = WITHIN_SHARE
    """Share of the variance of ln(days) that lies within a tray."""
    dying: float = 1.0
    """What the usual time of a failer's death is multiplied by."""
    alike: float = AS_USUAL
    """Chance that a grower's tray keeps to what is usual with the failers, where something is."""
    says_none: bool = True
    """Whether a look that finds none dead says so; the model takes silence for not looking."""


WORLDS = (
    World("as the model has it"),
    World("lognormal times", lognormal=True),
    World("trays root in a rush", within=0.25),
    World("trays root straggling", within=0.75),
    World("library takes a third too high", library(6, 12, 0.6, 0.97)),
    World("library weeks a third too long", library(8, 16, 0.45, 0.85)),
    World("failers dead in half the time", dying=0.5),
    World("failers alike in all trays", alike=1.0),
    World("each tray's failers its own", alike=0.0),
    World("a bad week for one batch in five", bad_weeks=True),
    World("dead told only when some are found", says_none=False),
)


@frozen(eq=False)
class Tray:
    """A batch: the day on which each propagule roots or looks dead, never being infinite."""

    rooted_on: Array
    dead_on: Array

    @property
    def count(self) -> int:
        return len(self.rooted_on)

    def rooted(self, day: float) -> int:
        return int((self.rooted_on <= day).sum())

    def dead(self, day: float) -> int:
        return int((self.dead_on <= day).sum())

    def looked_at(self, days: Sequence[float], says_none: bool) -> BatchData:
        """The batch as a grower who counts rooted and dead on these days sees it."""
        rooted = np.diff([0, *(self.rooted(day) for day in days)]).tolist()
        dead = np.diff([0, *(self.dead(day) for day in days)]).tolist()
        sought = True if says_none else None
        return BatchData(
            self.count,
            [Look(*each, dead_sought=sought) for each in zip(days, rooted, dead, strict=True)],
        )


@frozen
class Failers:
    """What is usual with a grower's failers: a share that lingers, or none, and how late others
    die, in ln(days); a tray lies beside that by a deviation of `apart`."""

    shares: tuple[float, ...]
    late: float
    apart: float

    def tray(self, rng: np.random.Generator) -> tuple[float, float]:
        """The share that lingers in a tray, and how late its others die."""
        lingering = float(rng.choice(LINGERING, p=self.shares))
        return lingering, self.late + rng.normal(0, self.apart)


@frozen(eq=False)
class Grower:
    """A grower's own mean take, precision and timing, what is usual, and trays drawn from them."""

    own: Prior
    failers: Failers
    past: list[Tray]
    tray: Tray


def growers(rng: np.random.Generator, world: World, number: int) -> Iterator[Grower]:
    """Growers drawn by the model's own hierarchy around the record RECORD."""
    timed = _timed(world)
    for _ in range(number):
        factor = rng.choice(pooling.FACTORS, p=pooling.FACTOR_WEIGHTS)
        phi = RECORD.take_precision_shared
        mean = rng.beta(RECORD.take_mean * phi, (1 - RECORD.take_mean) * phi)
        common = math.sqrt(pooling.TIMING_SHARE) * timed.log_days_between
        own = evolve(
            RECORD,
            take_mean=float(np.clip(mean, 1e-4, 1 - 1e-4)),
            take_precision_shared=math.inf,
            take_precision_batch=float(
                RECORD.take_precision_batch * factor * pooling.balance(RECORD.take_precision_batch)
            ),
            log_days_mean=RECORD.log_days_mean + rng.normal(0, common),
            log_days_scale=timed.log_days_scale,
            log_days_between=math.sqrt(1 - pooling.TIMING_SHARE) * timed.log_days_between,
        )
        failers = _failers(rng, world)
        *past, tray = [_tray(rng, own, world, failers) for _ in range(PAST + 1)]
        yield Grower(own, failers, past, tray)


def _failers(rng: np.random.Generator, world: World) -> Failers:
    """Half of the variance of the time of death lies with the grower, as far as trays are alike."""
    usual, shares = int(rng.integers(len(LINGERING) + 1)), np.full(len(LINGERING), 1.0)
    if usual < len(LINGERING):
        shares *= 1 - world.alike
        shares[usual] += len(LINGERING) * world.alike
    common = 0.5 if world.alike else 0.0
    late = math.log(world.dying) + rng.normal(0, math.sqrt(common) * FAILERS_BETWEEN)
    return Failers(
        tuple((shares / shares.sum()).tolist()), late, math.sqrt(1 - common) * FAILERS_BETWEEN
    )


def _timed(world: World) -> TimeSpread:
    """The record's time law, its variance split as the world has it."""
    return from_range(6 * DAYS_PER_WEEK, 12 * DAYS_PER_WEEK, world.within)


def _tray(rng: np.random.Generator, own: Prior, world: World, failers: Failers) -> Tray:
    count = int(rng.integers(24, 105))
    a, b = own.take_mean * own.take_precision_batch, (1 - own.take_mean) * own.take_precision_batch
    take = rng.beta(a, b)
    if world.bad_weeks and rng.random() < 0.2:
        take = take / (take + (1 - take) * math.e)  # the odds fall to a third or so
    takers = rng.random(count) < take
    noise = rng.logistic(0, own.log_days_scale, count)
    if world.lognormal:
        noise = rng.normal(0, own.log_days_scale * math.pi / math.sqrt(3), count)
    rooting = np.exp(own.log_days_mean + rng.normal(0, own.log_days_between) + noise)
    lingering, late = failers.tray(rng)
    dead = RECORD.failer_log_days_mean + late + rng.logistic(0, RECORD.failer_log_scale, count)
    dying = np.exp(dead)
    dying[rng.random(count) < lingering] = math.inf
    return Tray(np.where(takers, rooting, math.inf), np.where(takers, math.inf, dying))


@frozen(eq=False)
class Scores:
    """Of one stage: places in the forecast (PIT), and CRPS per propagule of each forecaster."""

    places: Array
    ours: Array
    oracle: Array
    all_told: Array
    rule: Array

    def coverage(self, chance: float) -> float:
        """Share of batches in the central interval of this chance."""
        return float(np.mean(np.abs(self.places - 0.5) < chance / 2))

    def uneven(self) -> float:
        """Greatest distance of the PIT's distribution from the even one, times sqrt(n).

        Kolmogorov's statistic: beyond 1.63 in one of a hundred samples of an even law.
        """
        ranked, n = np.sort(self.places), len(self.places)
        steps = np.arange(n + 1) / n
        return float(max((steps[1:] - ranked).max(), (ranked - steps[:-1]).max()) * math.sqrt(n))


STAGES: dict[str, tuple[int, tuple[float, ...]]] = {
    "start, no past": (0, ()),
    "start, 5 past batches": (5, ()),
    "start, 10 past batches": (10, ()),
    "one check, 10 past": (10, (0.85,)),
    "a later check, 10 past": (10, (1.15,)),
    "three checks, 10 past": (10, (0.85, 1.05, 1.25)),
}
"""Past batches that are known, and when the batch that is foretold was looked at, as shares of
the record's middle time."""


def score(world: World, stage: str, number: int, seed: int = 5) -> Scores:
    """Forecasts by a late day of one batch of each of `number` growers, scored."""
    rng = np.random.default_rng(seed)
    past, checks = STAGES[stage]
    middle = math.exp(RECORD.log_days_mean)
    days = [round(middle * share) for share in checks]
    rows = []
    for grower in growers(rng, world, number):
        ends = [round(middle), round(3 * middle)]
        finished = [tray.looked_at(ends, world.says_none) for tray in grower.past[:past]]
        by = round(middle * rng.uniform(1.5, 2.0))
        happened, seen = grower.tray.rooted(by), grower.tray.looked_at(days, world.says_none)
        ours = _ours(world.library, seen, finished, by)
        oracle = learn(grower.own, [seen], LINGERING).batch(0).rooted_by(by)
        all_told = _all_told(grower, seen, by)
        rule = _rule(world.library, seen, by)
        scores = [crps(pmf, happened) / seen.count for pmf in (ours, oracle, all_told, rule)]
        rows.append([randomised_pit(ours, happened, rng.random()), *scores])
    return Scores(*np.array(rows).T)


def scored(world: World, stage: str, number: int) -> Scores:
    """The same of several draws: one of 2,000 batches strays by a point or two by itself."""
    parts = [score(world, stage, number, seed) for seed in SEEDS[: 4 if world is WORLDS[0] else 1]]
    return Scores(
        *(np.concatenate(of_parts) for of_parts in zip(*map(astuple, parts), strict=True))
    )


def _ours(library: Prior, seen: BatchData, past: list[BatchData], by: float) -> Array:
    group = learn_method({"it": GroupData(library, (seen, *past), LINGERING)})["it"]
    return group.batch(0).rooted_by(by)


def _all_told(grower: Grower, seen: BatchData, by: float) -> Array:
    """What the same model says that knows all that is the grower's own."""
    told = evolve(
        grower.own,
        failer_median_share=grower.own.failer_median_share * math.exp(grower.failers.late),
        failer_log_between=grower.failers.apart,
    )
    (job,) = jobs_for([Told(told, seen, LINGERING)])
    if job.usages.size > 1:
        _, lates = fates_of(told, LINGERING)
        job = evolve(job, usages=np.repeat(grower.failers.shares, lates)[None] / lates)
    looked = see([job])
    nodes = learn(told, [BatchData(1)]).shared
    return answering(looked, nodes, np.ones(1))[0].rooted_by(by)


def _rule(library: Prior, seen: BatchData, by: float) -> Array:
    """At the start binomial (rate x curve); later those counted, and of the living the rate."""
    rate = library.take_mean
    if not seen.sightings:
        return binomial(seen.count, rate * float(cdf(by, library.log_days_mean, _spread(library))))
    rooted = sum(look.newly_rooted for look in seen.sightings if isinstance(look, Look))
    dead = sum(look.newly_dead for look in seen.sightings if isinstance(look, Look))
    out = np.zeros(seen.count + 1)
    out[rooted : seen.count - dead + 1] = binomial(seen.count - rooted - dead, rate)
    return out


def _spread(library: Prior) -> float:
    """Scale of a logistic law as wide as the record over all batches."""
    between = 3 * library.log_days_between**2 / math.pi**2
    return math.sqrt(library.log_days_scale**2 + between)


def table(number: int, say: Callable[[str], object]) -> None:
    """A line for each world and stage."""
    heads = ("50 %", "80 %", "95 %")
    say(
        f"{'':<25}{''.join(f'{head:>7}' for head in heads)}"
        f"{'uneven':>8}{'CRPS':>8}{'oracle':>8}{'told':>8}{'rule':>8}"
    )
    for world in WORLDS:
        say(world.name)
        for stage in STAGES:
            found = scored(world, stage, number)
            covered = "".join(f"{found.coverage(chance):>7.3f}" for chance in (0.5, 0.8, 0.95))
            ours = found.ours.mean()
            say(
                f"  {stage:<23}{covered}{found.uneven():>8.2f}{ours:>8.4f}"
                f"{ours / found.oracle.mean():>8.3f}{ours / found.all_told.mean():>8.3f}"
                f"{ours / found.rule.mean():>8.3f}"
            )


def main() -> None:
    """Print the table: oracle, told and rule are our CRPS as a share of theirs."""
    number = int(sys.argv[1]) if len(sys.argv) > 1 else 2_000
    table(number, lambda line: sys.stdout.write(line + "\n"))


if __name__ == "__main__":
    main()
