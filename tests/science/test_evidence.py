"""What batches say together of what they share."""

import numpy as np
import pytest

from propagate.science.evidence import VANISHING, log_evidence
from propagate.science.jobs import Tray, jobs_for
from propagate.science.likelihood import see
from propagate.science.prior import prior_from_ranges
from propagate.science.sightings import BatchData, Look, Removal
from propagate.science.takers import take_laws

PRIOR = prior_from_ranges(6, 10, 0.6, 0.8)
UNSURE = prior_from_ranges(6, 10, 0.4, 0.8, failer_log_between=0.35)
SHARES = (0.1, 0.5, 0.9)


def test_batches_say_together_what_each_says_alone():
    """Also where laws and what was seen lie so far apart that their product would vanish."""
    surely = prior_from_ranges(6.0, 6.1, 0.6, 0.8)
    near = [BatchData(60, [Look(day, 50)]) for day in (40, 55, 70)]
    far = [BatchData(200, [Look(day, 0)]) for day in (300, 400)]
    laws = take_laws(np.linspace(-15, 15, 31), np.array([[4.0], [4000.0]]), 200)
    for prior, batches in ((PRIOR, near), (surely, far)):
        seen = see(jobs_for([Tray(prior, batch) for batch in batches]))
        alone = sum(log_evidence([one], laws, np.ones(1))[0] for one in seen)
        assert log_evidence(seen, laws, np.ones(1))[0] == pytest.approx(alone, rel=1e-12)
    assert alone.min() < 2 * np.log(VANISHING) < 0


def some_looked_at():
    """Four trays that tell of deaths, one of them known in part, and one that does not."""
    told = [
        [Look(45, 12, 9), Look(80, 9, 4)],
        [Look(50, 20, 0, dead_sought=True)],
        [Look(40, 6, 2), Removal(45, 5), Look(60, 8, 6)],
        [Look(70, 18, 14)],
        [Look(60, 20)],
    ]
    return [BatchData(50, sightings) for sightings in told]


def evidence_of(batches):
    seen = see(jobs_for([Tray(UNSURE, batch, SHARES) for batch in batches]))
    laws = take_laws(np.linspace(-2, 2, 9), np.array([[8.0]]), 50)
    return log_evidence(seen, laws, np.ones(1))


def test_the_order_of_batches_is_no_matter():
    """However usual fates are summed out, batch by batch, what all say together is the same."""
    batches = some_looked_at()
    told, usage = evidence_of(batches)
    again, usage_again = evidence_of(batches[::-1])
    assert again - again.max() == pytest.approx(told - told.max(), abs=1e-9)
    assert usage_again == pytest.approx(usage, abs=1e-9)
    assert usage.sum(axis=1) == pytest.approx(1)


def test_trays_of_a_plant_in_which_failers_stand_on_make_the_next_doubtful():
    """Old trays with many neither rooted nor dead: then those waiting elsewhere are no takers."""
    stood = [BatchData(40, [Look(60, 18, 1), Look(300, 4, 1)]) for _ in range(3)]
    died = [BatchData(40, [Look(60, 18, 15), Look(300, 4, 3)]) for _ in range(3)]
    _, standing = evidence_of(stood)
    _, dying = evidence_of(died)
    middle = len(standing) // 2
    assert standing[middle, 4:6].sum() > 0.8  # where nine in ten linger
    assert dying[middle, :2].sum() > 0.8  # where one in ten does
