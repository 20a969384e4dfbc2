"""An independent sampler of the forecast's model: emcee, an ensemble MCMC.

It knows no grid and no beta-binomial law: it walks over the shared take, every batch's take
and shift, with laws from scipy; then each draw fates the waiting propagules one by one. What is
usual with the plant's failers is summed over for all its batches together.
Its moves are those of differential evolution: ter Braak 2006, Statistics and Computing 16,
239-249, now and then with a whole leap.
"""

import emcee
import numpy as np
from scipy import stats
from scipy.special import expit, logsumexp

from propagate.science.prior import prior_from_ranges

PRIOR = prior_from_ranges(6, 12, 0.5, 0.8, failer_log_between=0.3)
LINGERING = (0.1, 0.5, 0.9)
FATES = np.array([(share, late) for share in LINGERING for late in (-0.3, 0.3)])
KEPT = 0.85  # so often a tray keeps to what is usual
BY = 75
MOVES = [(emcee.moves.DEMove(), 0.7), (emcee.moves.DEMove(gamma0=1.0), 0.3)]


def _usages():
    """P(each of FATES | what is usual), rows: a share or none, and sooner or later deaths."""
    rows = []
    for usual in (*LINGERING, None):
        for usual_late in (-0.3, 0.3):
            row = []
            for share, late in FATES:
                by_share = 1 / 3 if usual is None else KEPT * (share == usual) + (1 - KEPT) / 3
                row.append(by_share * (KEPT * (late == usual_late) + (1 - KEPT) / 2))
            rows.append(row)
    return np.array(rows)


USAGES = _usages()


def _rooted(day, shift):
    scale = np.exp(PRIOR.log_days_mean + shift)
    return stats.fisk.cdf(day, 1 / PRIOR.log_days_scale, scale=scale)


def _dead(day, late):
    median = np.exp(PRIOR.log_days_mean + late) * PRIOR.failer_median_share
    return stats.fisk.cdf(day, 1 / PRIOR.failer_log_scale, scale=median)


def _waiting_chances(batch, take, shift, fate):
    """Chance of a taker, and of a failer, to be still waiting and alive at the last look."""
    rooted_by = batch.sightings[-1].day if batch.sightings else 0.0
    told = [look.day for look in batch.sightings if look.tells_of_deaths]
    share, late = fate
    dead = (1 - share) * _dead(told[-1], late) if told else 0.0
    taker = take * (1 - _rooted(rooted_by, shift)) if rooted_by else take
    return taker, (1 - take) * (1 - dead)


def _log_seen(batch, take, shift):
    """Log of P(looks | take, shift, fate of the failers) up to a constant.

    Fates in rows, walkers in columns.
    """
    share, late = FATES.T[:, :, None]
    out, begin, dead_begin, waiting = 0.0, 0.0, 0.0, batch.count
    for look in batch.sightings:
        before = _rooted(begin, shift) if begin else 0.0
        out = out + look.newly_rooted * np.log(take * (_rooted(look.day, shift) - before) + 1e-300)
        if look.newly_dead:
            gained = _dead(look.day, late) - (_dead(dead_begin, late) if dead_begin else 0.0)
            out = out + look.newly_dead * np.log((1 - take) * (1 - share) * gained)
        waiting -= look.newly_rooted + look.newly_dead
        begin = look.day
        dead_begin = look.day if look.tells_of_deaths else dead_begin
    taker, failer = _waiting_chances(batch, take, shift, (share, late))
    return out + waiting * np.log(taker + failer + 1e-300) + np.zeros_like(share)


def _log_target(walkers, batches):
    """Log posterior of (logit shared take, logit takes, shifts / tau), walkers in rows."""
    number = len(batches)
    shared = expit(walkers[:, 0])
    phi, own = PRIOR.take_precision_shared, PRIOR.take_precision_batch
    law = stats.beta.logpdf(shared, PRIOR.take_mean * phi, (1 - PRIOR.take_mean) * phi)
    out = law + np.log(shared * (1 - shared))
    usage = np.zeros((len(USAGES), len(walkers)))
    for at, batch in enumerate(batches):
        take, deviation = expit(walkers[:, 1 + at]), walkers[:, 1 + number + at]
        out += stats.beta.logpdf(take, shared * own, (1 - shared) * own)
        out += np.log(take * (1 - take)) + stats.norm.logpdf(deviation)
        shift = deviation * PRIOR.log_days_between
        usage += _given_usage(_log_seen(batch, take, shift))
    out += logsumexp(usage, axis=0)
    return np.where(np.isfinite(out), out, -np.inf)


def _given_usage(log_seen):
    """Log of P(looks | what is usual), usages in rows, from that for each fate."""
    return logsumexp(np.log(USAGES)[:, :, None] + log_seen, axis=1)


def _one_of(rng, logs):
    """A row for each column, drawn by the weights whose logarithms these are."""
    told = np.cumsum(np.exp(logs - logsumexp(logs, axis=0)), axis=0)
    return (rng.random(logs.shape[1]) > told[:-1]).sum(axis=0)


def _fates(rng, walkers, batches):
    """For each draw of the first batch: how many root by BY, and how many in the end."""
    batch, number = batches[0], len(batches)
    takes = expit(walkers[:, 1 : 1 + number]).T
    shifts = walkers[:, 1 + number :].T * PRIOR.log_days_between
    each = [_log_seen(*one) for one in zip(batches, takes, shifts, strict=True)]
    usage = _one_of(rng, sum(_given_usage(logs) for logs in each))
    fate = FATES[_one_of(rng, np.log(USAGES)[usage].T + each[0])].T
    take, shift = takes[0], shifts[0]
    known = sum(look.newly_rooted for look in batch.sightings)
    waiting = batch.count - known - sum(look.newly_dead for look in batch.sightings)
    taker, failer = _waiting_chances(batch, take, shift, fate)
    takers = rng.binomial(waiting, taker / (taker + failer))
    last = batch.sightings[-1].day if batch.sightings else 0.0
    before = _rooted(last, shift) if last else 0.0
    soon = rng.binomial(takers, (_rooted(BY, shift) - before) / (1 - before))
    return known + soon, known + takers


def sampled(batches, walkers=160, steps=450, discard=250):
    """Draws for the first batch: how many root by BY, and how many in the end.

    Many walkers and few steps, because a step of all costs little more than a step of a few.
    Chains forget in about 18 steps, half as many as the usual stretches take.
    """
    rng = np.random.default_rng(17)
    np.random.seed(17)  # emcee draws from numpy's old global generator
    size = 1 + 2 * len(batches)
    start = np.r_[0.7, [0.7] * len(batches), [0.0] * len(batches)]
    begin = start + 0.3 * rng.standard_normal((walkers, size))
    sampler = emcee.EnsembleSampler(
        walkers, size, _log_target, args=[batches], vectorize=True, moves=MOVES
    )
    sampler.run_mcmc(begin, steps)
    return _fates(rng, sampler.get_chain(discard=discard, flat=True), batches)
