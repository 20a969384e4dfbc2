"""Growth of published stage matrices, as their authors give it.

Crouse, Crowder and Caswell 1987, A stage-based population model for loggerhead sea turtles and
implications for conservation, Ecology 68(5):1412-1423, table 4 and the growth below it.
"""

import numpy as np
import pytest

from propagate.science.generations import growth

LOGGERHEADS = np.array(
    [
        [0, 0, 0, 0, 127, 4, 80],
        [0.6747, 0.7370, 0, 0, 0, 0, 0],
        [0, 0.0486, 0.6610, 0, 0, 0, 0],
        [0, 0, 0.0147, 0.6907, 0, 0, 0],
        [0, 0, 0, 0.0518, 0, 0, 0],
        [0, 0, 0, 0, 0.8091, 0, 0],
        [0, 0, 0, 0, 0, 0.8091, 0.8089],
    ]
)


def test_loggerhead_turtles_dwindle_at_the_published_rate() -> None:
    """Lambda 0.9450, a year; to six figures 0.945031 with these entries, by another program."""
    assert growth(LOGGERHEADS) == pytest.approx(0.9450, abs=5e-5)
    assert growth(LOGGERHEADS) == pytest.approx(0.945031, abs=5e-7)


def test_the_growth_is_the_one_that_numbers_settle_to() -> None:
    """Power iteration, which needs no eigenvalues."""
    turtles = np.ones(7)
    for _ in range(400):
        turtles = LOGGERHEADS @ (turtles / turtles.sum())
    assert growth(LOGGERHEADS) == pytest.approx(turtles.sum(), rel=1e-9)
