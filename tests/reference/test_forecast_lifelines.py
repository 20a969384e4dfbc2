"""The interval-censored likelihood against lifelines, a survival analysis package."""

import itertools
import math
import warnings

import numpy as np
import pytest
from lifelines import LogLogisticFitter, MixtureCureFitter

from propagate.science.partly import parts_of
from propagate.science.prior import Prior
from propagate.science.sightings import BatchData, Cell, Cells, Look, Waiting, reduce_sightings

DAYS = (30, 45, 60, 75, 120)


def _fitted(fitter, newly_rooted, waiting):
    """Fit to as many intervals as propagules; lifelines warns of its own optimiser's steps."""
    lower = np.repeat([0, *DAYS], [*newly_rooted, waiting])
    upper = np.repeat([*DAYS, np.inf], [*newly_rooted, waiting])
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        return fitter.fit_interval_censoring(lower, upper)


def _log_likelihood(cells, prior, take):
    """Log of P(cells) for a known take: the numbers of takers weighed by their binomial law."""
    parts = parts_of(prior, cells, np.zeros(1), ())
    table = parts.log_table[0, :, 0] + parts.log_fate[0]
    takers = cells.known_rooted + np.arange(len(table))
    logs = table + takers * np.log(take) + (cells.told_of - takers) * np.log1p(-take)
    return logs.max() + np.log(np.exp(logs - logs.max()).sum())


def _ours(alpha, beta, take, newly_rooted, waiting):
    prior = Prior(0.5, 9.0, 9.0, math.log(alpha), 1 / beta, 0.0)
    looks = [Look(day, found) for day, found in zip(DAYS, newly_rooted, strict=True)]
    cells = reduce_sightings(BatchData(sum(newly_rooted) + waiting, looks), prior)
    return _log_likelihood(cells, prior, take)


def test_all_takers_have_the_log_logistic_likelihood():
    """LogLogisticFitter.fit_interval_censoring, its own log-likelihood at its own fit."""
    newly = [5, 9, 12, 6, 3]
    fit = _fitted(LogLogisticFitter(), newly, 5)
    ours = _ours(fit.alpha_, fit.beta_, 1 - 1e-12, newly, 5)
    assert ours == pytest.approx(fit.log_likelihood_, abs=1e-6)


ROOTED_ON = np.array([31, 36, 39, 41, 44, 45, 47, 48, 50, 52, 53, 57, 58, 62, 66, 73], float)
WAITING_ON = 150.0
STILL_WAITING = 11


def _cure_fit():
    """Fit to times known to the day; the cured of lifelines are the failers here."""
    times = np.append(ROOTED_ON, np.full(STILL_WAITING, WAITING_ON))
    seen = np.append(np.ones(len(ROOTED_ON)), np.zeros(STILL_WAITING))
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        return MixtureCureFitter(base_fitter=LogLogisticFitter()).fit(times, seen)


def _ours_by_the_day(alpha, beta, cured):
    """Intervals so narrow that they are times; their width is taken off again."""
    width = 1e-3
    prior = Prior(0.5, 9.0, 9.0, math.log(alpha), 1 / beta, 0.0)
    cells = Cells(
        last=Waiting(WAITING_ON, 1e-9, STILL_WAITING),
        rooted=tuple(Cell(day - width / 2, day + width / 2, 1) for day in ROOTED_ON),
    )
    return _log_likelihood(cells, prior, 1 - cured) - len(ROOTED_ON) * math.log(width)


def test_takers_and_failers_have_the_mixture_cure_likelihood():
    """MixtureCureFitter.fit over the log-logistic law, its own log-likelihood at its own fit.

    Its interval-censored form is not used: it counts none of the cured among those still
    waiting at the end.
    """
    fit = _cure_fit()
    assert 0.2 < fit.cured_fraction_ < 0.7  # inside the bounds, so that the next line tells
    ours = _ours_by_the_day(fit.alpha_, fit.beta_, fit.cured_fraction_)
    assert ours == pytest.approx(fit.log_likelihood_, abs=1e-4)


def test_likelihood_is_highest_at_the_fit():
    fit = _cure_fit()
    best = _ours_by_the_day(fit.alpha_, fit.beta_, fit.cured_fraction_)
    for by_alpha, by_beta, by_cured in itertools.product((0.97, 1, 1.03), repeat=3):
        nudged = fit.alpha_ * by_alpha, fit.beta_ * by_beta, fit.cured_fraction_ * by_cured
        assert _ours_by_the_day(*nudged) <= best + 1e-9
