import math

import numpy as np
import pytest

from propagate.errors import Refused
from propagate.science.backwards import smallest_start


def _coin(started):
    """Binomial(started, 1/2) by Pascal's triangle."""
    return np.array([math.comb(started, k) for k in range(started + 1)]) / 2.0**started


def test_one_head_with_ninety_per_cent_takes_four_coins():
    """1 - 1/2^3 = 0.875 falls short, 1 - 1/2^4 = 0.9375 does not."""
    assert smallest_start(1, 0.9, _coin) == 4


@pytest.mark.parametrize("wanted", [2, 7, 30])
def test_one_fewer_would_not_do(wanted):
    started = smallest_start(wanted, 0.9, _coin)
    assert _coin(started)[wanted:].sum() >= 0.9
    assert _coin(started - 1)[wanted:].sum() < 0.9


def test_none_wanted_needs_none():
    assert smallest_start(0, 0.9, _coin) == 0


def test_sure_success_needs_as_many_as_wanted():
    assert smallest_start(12, 0.99, lambda n: np.eye(n + 1)[n]) == 12


def test_what_cannot_be_had_is_refused_with_the_limit():
    with pytest.raises(Refused, match="even 50 started"):
        smallest_start(3, 0.9, lambda n: np.eye(n + 1)[0], most=50)


@pytest.mark.parametrize("confidence", [0.0, 1.0, 90])
def test_confidence_is_a_share(confidence):
    with pytest.raises(Refused, match=f"got {confidence:g}"):
        smallest_start(3, confidence, _coin)
