"""Numbers to start at known rates, against handbooks' worked examples.

Sources: seeds for so many plants at a germination rate (garden encyclopaedia, 3 plants at 75 %
-> 4 seeds); spot sowing for reforestation (sowing-rate table: 5 seeds a spot where half are
alive, up to 29 where a tenth are); pure live seed (a state highway department's seeding guide:
0.85 x 0.75 = 0.64, 1.56 lb of bulk for each lb); and bulk factors by purity and germination
(Northern Prairie Wildlife Research Center, table 4, in steps of 0.05). All but the spots are
sums of the mean, which a certainty of one half asks for.
"""

import math

import numpy as np
import pytest

from propagate.science.starting import CHANCES, smallest_starts


def fewest(wanted: int, rate: float, certainty: float) -> int:
    """The number to start by the plan's own sum, where the rate is known."""
    law = np.zeros((1, len(CHANCES)))
    law[0, round(rate * (len(CHANCES) - 1))] = 1.0
    (found,) = smallest_starts(law, wanted, certainty, 5000)
    return int(found)


def test_three_plants_at_three_quarters_take_four_seeds() -> None:
    assert fewest(3, 0.75, 0.5) == 4


@pytest.mark.parametrize(("alive", "printed"), [(0.5, 5), (0.1, 29)])
def test_seeds_a_spot_are_those_that_fill_it_nineteen_times_in_twenty(alive, printed) -> None:
    """1 - 0.5^5 = 0.969 and 1 - 0.9^29 = 0.953; one seed fewer falls below 0.95 both times."""
    assert fewest(1, alive, 0.95) == printed


def test_bulk_seed_for_a_hundred_live_ones() -> None:
    """Printed 1.56 lb to the lb, from the rounded 0.64; 1 / 0.6375 = 1.569."""
    assert fewest(100, 0.85 * 0.75, 0.5) == pytest.approx(100 / 0.6375, abs=1)


@pytest.mark.parametrize(
    ("purity", "germination", "printed"),
    [(0.9, 0.9, 1.25), (0.8, 0.7, 1.8), (1.0, 0.5, 2.0), (0.7, 0.6, 2.4), (0.5, 0.5, 4.0)],
)
def test_bulk_factors_are_those_of_the_table(purity, germination, printed) -> None:
    """The table is in steps of 0.05."""
    factor = fewest(1000, purity * germination, 0.5) / 1000
    assert abs(factor - printed) <= 0.05
    assert math.isclose(factor, 1 / (purity * germination), rel_tol=0.003)
