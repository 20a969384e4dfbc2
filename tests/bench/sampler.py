"""The forecast's pass over many batches beside a compiled sampler: NumPyro's NUTS.

`python -m tests.bench.sampler [BATCHES]`, after `pip install numpyro`; about a minute. Twenty
batches drawn from the model, ten of 40 and ten of 1,000, with one to three looks, are sampled
each by itself: four chains side by side, 500 steps to warm up and 1,000 kept, compiled once
for all of them. Its time is that of walking alone, without the compiling and without counting
plants. First it is said how far the points of both lie apart, of what roots by a day and of
what roots in the end; then come milliseconds of processor time a batch, best of three:

- learned: all that our pass has to say of take and timing, as the sampler's draws have, for
  BATCHES such batches (10,000 of 40 and a twentieth of that of 1,000 unless told), which
  share a mean take by tens, as a book's do; and for the same batches each by itself;
- counted: with the points of what roots in the end.

How many failers linger, and how soon the others die, is told here. Weighed under several fates,
as the program does, the law of 1,000 has heaps apart, and NUTS stays in the one where it began;
the leaping sampler of `tests.bench.exactness` finds them all.
"""

import gc
import importlib.util
import sys
import time
from collections.abc import Callable, Sequence
from typing import Any

import numpy as np
from attrs import evolve

from propagate.science.counts import mean, quantiles
from propagate.science.learning import GroupData, GroupPosterior, learn_many
from propagate.science.sightings import BatchData
from tests.bench.exactness import EVER, LEVELS, drawn, points
from tests.reference.sampler import BY
from tests.reference.sampler import PRIOR as WEIGHED

PRIOR = evolve(WEIGHED, failer_log_between=0.0)
CHAINS, WARM_UP, KEPT = 4, 500, 1000
IN_GROUP = 10
SIZES = (40, 1000)
OF_EACH = 10
LOOKS = 3
LINGERING = 0.5  # of the failers, as they are drawn
Seen = dict[str, Any]
Walk = Callable[[Seen], dict[str, np.ndarray]]


def packed(batch: BatchData) -> Seen:
    """A batch as arrays of one shape, so that one compiled walk serves them all."""
    rows, begin, dead_begin, waiting = [], 1e-9, 1e-9, batch.count
    for look in batch.sightings:
        rows.append((begin, look.day, look.newly_rooted, dead_begin, look.day, look.newly_dead))
        waiting -= look.newly_rooted + look.newly_dead
        begin, dead_begin = look.day, look.day if look.tells_of_deaths else dead_begin
    rows += [(1.0, 2.0, 0, 1.0, 2.0, 0)] * (LOOKS - len(rows))
    names = ("from", "to", "rooted", "dead_from", "dead_to", "dead")
    cells = zip(names, np.array(rows, dtype=np.float64).T, strict=True)
    return {**dict(cells), "last": begin, "alive": dead_begin, "waiting": float(waiting)}


def root_log_odds(day: Any, shift: Any, log: Callable[[Any], Any]) -> Any:
    """Log odds that a taker has rooted by a day."""
    middle = PRIOR.log_days_mean + PRIOR.log_days_between * shift
    return (log(day) - middle) / PRIOR.log_days_scale


def model(seen: Seen) -> None:
    """Takers and failers of one tray, for NumPyro."""
    import jax.numpy as jnp
    import numpyro
    from jax.nn import log_sigmoid, sigmoid
    from numpyro.distributions import Beta, Normal

    def log_between(before: Any, after: Any) -> Any:
        return log_sigmoid(after) + log_sigmoid(-before) + jnp.log(-jnp.expm1(before - after))

    def death(day: Any) -> Any:
        return (jnp.log(day) - PRIOR.failer_log_days_mean) / PRIOR.failer_log_scale

    phi, own = PRIOR.take_precision_shared, PRIOR.take_precision_batch
    shared = numpyro.sample("shared", Beta(PRIOR.take_mean * phi, (1 - PRIOR.take_mean) * phi))
    take = numpyro.sample("take", Beta(shared * own, (1 - shared) * own))
    shift = numpyro.sample("shift", Normal(0, 1))
    log_take, log_fail = jnp.log(take), jnp.log1p(-take)
    before, after = (root_log_odds(seen[at], shift, jnp.log) for at in ("from", "to"))
    rooted = seen["rooted"] * (log_take + log_between(before, after))
    gone = log_between(death(seen["dead_from"]), death(seen["dead_to"]))
    dead = seen["dead"] * (log_fail + gone + jnp.log1p(-LINGERING))
    taker = log_take + log_sigmoid(-root_log_odds(seen["last"], shift, jnp.log))
    alive = LINGERING + (1 - LINGERING) * sigmoid(-death(seen["alive"]))
    failer = log_fail + jnp.log(alive)
    waiting = seen["waiting"] * jnp.logaddexp(taker, failer)
    numpyro.factor("seen", rooted.sum() + dead.sum() + waiting)


def compiled() -> Walk:
    """The chains of one batch as a single compiled function."""
    import jax
    from numpyro.infer.hmc import hmc
    from numpyro.infer.util import initialize_model

    ready = initialize_model(
        jax.random.PRNGKey(0), model, model_args=(packed(BatchData(40)),), dynamic_args=True
    )
    begin, step = hmc(potential_fn_gen=ready.potential_fn, algo="NUTS")
    keys = jax.random.split(jax.random.PRNGKey(1), CHAINS)

    def chain(key: Any, seen: Seen) -> Any:
        def one(state: Any, _: None) -> Any:
            after = step(state, model_args=(seen,))
            return after, after.z

        state = begin(ready.param_info.z, WARM_UP, model_args=(seen,), rng_key=key)
        state, _ = jax.lax.scan(one, state, None, length=WARM_UP)
        return jax.lax.scan(one, state, None, length=KEPT)[1]

    walk = jax.jit(jax.vmap(chain, in_axes=(0, None)))
    return lambda seen: {at: np.asarray(of).ravel() for at, of in walk(keys, seen).items()}


def fates(batch: BatchData, walked: dict[str, np.ndarray]) -> tuple[np.ndarray, np.ndarray]:
    """For each draw how many root by BY, and how many in the end, from take and shift alone."""
    rng = np.random.default_rng(5)
    take, shift = 1 / (1 + np.exp(-walked["take"])), walked["shift"]
    seen = packed(batch)

    def unrooted(day: float) -> np.ndarray:
        return np.asarray(1 / (1 + np.exp(root_log_odds(day, shift, np.log))))

    aged = (np.log(seen["alive"]) - PRIOR.failer_log_days_mean) / PRIOR.failer_log_scale
    failer = (1 - take) * (LINGERING + (1 - LINGERING) / (1 + np.exp(aged)))
    taker, known = take * unrooted(seen["last"]), int(seen["rooted"].sum())
    takers = rng.binomial(int(seen["waiting"]), taker / (taker + failer))
    soon = rng.binomial(takers, 1 - np.minimum(unrooted(BY) / unrooted(seen["last"]), 1))
    return known + soon, known + takers


def compare(walk: Walk) -> dict[int, float]:
    """Print how far the points of the twenty lie apart; the sampler's milliseconds by size."""
    rng, walking_ms = np.random.default_rng(11), {}
    sys.stdout.write("plants  looks  by a day  in the end  sampler's own error   sampler\n")
    for count in SIZES:
        taken = []
        for at in range(OF_EACH):
            batch = drawn(rng, count, 1 + at % LOOKS)
            exact = learn_many([GroupData(PRIOR, [batch], [LINGERING])])[0].batch(0)
            seen = packed(batch)
            spent, walked = best_of_three(lambda seen=seen: walk(seen))
            taken.append(spent)
            away, own = [], []
            pmfs = exact.rooted_by(BY), exact.rooted_by(EVER)
            for pmf, draws in zip(pmfs, fates(batch, walked), strict=True):
                away.append(np.abs(points_of(pmf) - points(draws)).max())
                halves = [points(half) for half in np.array_split(draws, 2)]
                own.append(np.abs(halves[0] - halves[1]).max() / 2)
            sys.stdout.write(
                f"{count:>6}{len(batch.sightings):>7}{away[0]:>10.1f}{away[1]:>12.1f}"
                f"{max(own):>21.1f}{1000 * spent:>7.0f} ms\n"
            )
            sys.stdout.flush()
        walking_ms[count] = 1000 * float(np.mean(taken))
    return walking_ms


def ours(count: int, batches: int, in_group: int) -> tuple[float, float]:
    """Milliseconds a batch of our pass: to learn, and with the points in the end."""
    rng = np.random.default_rng(3)
    drawn_ones = [drawn(rng, count, 1 + at % LOOKS) for at in range(batches)]
    groups = [
        GroupData(PRIOR, drawn_ones[at : at + in_group], [LINGERING])
        for at in range(0, batches, in_group)
    ]
    gc.freeze()  # else the collector would look through the sampler's library as well
    learning, learned = best_of_three(lambda: learn_many(groups))
    counting, _ = best_of_three(lambda: counted(learned))
    return 1000 * learning / batches, 1000 * (learning + counting) / batches


def counted(groups: Sequence[GroupPosterior]) -> list[np.ndarray]:
    """Points of what comes in the end, of each batch."""
    return [points_of(batch.rooted_by(EVER)) for group in groups for batch in group.batches]


def points_of(pmf: np.ndarray) -> np.ndarray:
    """Mean and the points at LEVELS of a law of plants."""
    return np.array([mean(pmf), *quantiles(pmf, LEVELS)])


def best_of_three(deed: Callable[[], Any]) -> tuple[float, Any]:
    """Seconds of processor time of the quickest of three, and what it gave."""
    spent, found = [], None
    for _ in range(3):
        began = time.process_time()
        found = deed()
        spent.append(time.process_time() - began)
    return min(spent), found


def main() -> int:
    """Print how the answers agree, and both times with their ratio."""
    if importlib.util.find_spec("numpyro") is None:
        sys.stderr.write("The compiled sampler is not here: pip install numpyro\n")
        return 2
    batches = int(sys.argv[1]) if len(sys.argv) > 1 else 10_000
    walking_ms = compare(compiled())
    sys.stdout.write("plants  batches   sampler       learned               and counted\n")
    for count, many in zip(SIZES, (batches, batches // 20), strict=True):
        for in_group in (IN_GROUP, 1):
            learned, both = ours(count, many, in_group)
            slow = walking_ms[count]
            sys.stdout.write(
                f"{count:>6}{many:>9}{slow:>7.0f} ms{learned:>9.3f} ms{slow / learned:>6.0f} x"
                f"{both:>11.3f} ms{slow / both:>6.0f} x  {'by tens' if in_group > 1 else 'alone'}\n"
            )
    return 0


if __name__ == "__main__":
    sys.exit(main())
