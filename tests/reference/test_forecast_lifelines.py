"""The interval-censored likelihood against lifelines, a survival analysis package."""

import math
import warnings

import numpy as np
import pytest
from lifelines import LogLogisticFitter, MixtureCureFitter

from propagate.science.likelihood import Lattice, log_likelihood
from propagate.science.prior import Prior
from propagate.science.sightings import BatchData, Look, reduce_sightings

DAYS = (30, 45, 60, 75, 120)


def _fitted(fitter, newly_rooted, waiting):
    """Fit to as many intervals as propagules; lifelines warns of its own optimiser's steps."""
    lower = np.repeat([0, *DAYS], [*newly_rooted, waiting])
    upper = np.repeat([*DAYS, np.inf], [*newly_rooted, waiting])
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        return fitter.fit_interval_censoring(lower, upper)


def _ours(alpha, beta, log_odds, newly_rooted, waiting):
    prior = Prior(0.5, 9.0, 9.0, math.log(alpha), 1 / beta, 0.0)
    looks = [Look(day, found) for day, found in zip(DAYS, newly_rooted, strict=True)]
    cells = reduce_sightings(BatchData(sum(newly_rooted) + waiting, looks), prior)
    lattice = Lattice(prior, np.array([log_odds]), np.zeros(1))
    return log_likelihood(cells, lattice)[0, 0]


def test_all_takers_have_the_log_logistic_likelihood():
    """LogLogisticFitter.fit_interval_censoring, its own log-likelihood at its own fit."""
    newly = [5, 9, 12, 6, 3]
    fit = _fitted(LogLogisticFitter(), newly, 5)
    ours = _ours(fit.alpha_, fit.beta_, 60.0, newly, 5)
    assert ours == pytest.approx(fit.log_likelihood_, abs=1e-6)


def test_takers_and_failers_have_the_mixture_cure_likelihood():
    """MixtureCureFitter over the log-logistic law: lifelines' cured are the failers here."""
    newly = [5, 9, 12, 3, 1]
    fit = _fitted(MixtureCureFitter(base_fitter=LogLogisticFitter()), newly, 25)
    cured = fit.cured_fraction_
    assert 0.2 < cured < 0.7  # the fit lies inside, so that the test tells something
    ours = _ours(fit.alpha_, fit.beta_, math.log((1 - cured) / cured), newly, 25)
    assert ours == pytest.approx(fit.log_likelihood_, abs=1e-6)


def test_likelihood_is_highest_at_the_fit():
    newly = [5, 9, 12, 3, 1]
    fit = _fitted(MixtureCureFitter(base_fitter=LogLogisticFitter()), newly, 25)
    log_odds = math.log((1 - fit.cured_fraction_) / fit.cured_fraction_)
    best = _ours(fit.alpha_, fit.beta_, log_odds, newly, 25)
    for nudged in (
        (fit.alpha_ * 1.02, fit.beta_, log_odds),
        (fit.alpha_ / 1.02, fit.beta_, log_odds),
        (fit.alpha_, fit.beta_ * 1.03, log_odds),
        (fit.alpha_, fit.beta_ / 1.03, log_odds),
        (fit.alpha_, fit.beta_, log_odds + 0.1),
        (fit.alpha_, fit.beta_, log_odds - 0.1),
    ):
        assert _ours(*nudged, newly, 25) < best
