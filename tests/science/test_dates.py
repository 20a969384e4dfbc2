import datetime as dt

import numpy as np
import pytest

from propagate.science.dates import weighted_quantiles
from propagate.science.seasons import into_season


@pytest.mark.parametrize("step", [0.3, 1.2])
def test_quantiles_of_a_normal_law(step):
    """1.281552 and 1.644854 are the 90 % and 95 % points in any table of the Normal law."""
    nodes = np.arange(-8, 8, step) + 0.17
    found = weighted_quantiles(nodes, np.exp(-(nodes**2) / 2), [0.05, 0.1, 0.5, 0.9])
    assert found == pytest.approx([-1.644854, -1.281552, 0.0, 1.281552], abs=1e-3)


def test_quantiles_of_a_logistic_law_are_its_log_odds():
    nodes = np.arange(-40, 40, 1.0) + 0.4
    density = 1 / (2 + np.exp(nodes) + np.exp(-nodes))
    found = weighted_quantiles(nodes, density, [0.2, 0.5, 0.9])
    assert found == pytest.approx(np.log([0.25, 1.0, 9.0]), abs=3e-3)


def test_scale_of_the_mass_does_not_matter():
    nodes, mass = np.arange(5.0), np.array([1.0, 2.0, 4.0, 2.0, 1.0])
    assert weighted_quantiles(nodes, 7 * mass, [0.5]) == pytest.approx([2.0])


def test_one_node_answers_itself():
    assert weighted_quantiles(np.array([0.3]), np.array([2.0]), [0.1, 0.9]) == pytest.approx(
        [0.3, 0.3]
    )


WINTER = ((11, 15), (3, 10))
SUMMER = ((5, 20), (9, 30))


@pytest.mark.parametrize(
    ("day", "season", "moved"),
    [
        ("2026-12-24", WINTER, "2026-12-24"),
        ("2027-01-05", WINTER, "2027-01-05"),
        ("2026-11-15", WINTER, "2026-11-15"),
        ("2027-03-10", WINTER, "2027-03-10"),
        ("2027-03-11", WINTER, "2027-11-15"),
        ("2026-08-01", WINTER, "2026-11-15"),
        ("2026-07-01", SUMMER, "2026-07-01"),
        ("2026-03-01", SUMMER, "2026-05-20"),
        ("2026-10-01", SUMMER, "2027-05-20"),
    ],
)
def test_a_date_moves_forward_into_the_season(day, season, moved):
    assert into_season(dt.date.fromisoformat(day), *season) == dt.date.fromisoformat(moved)


def test_a_season_from_leap_day_opens_on_the_first_of_march_in_other_years():
    season = ((2, 29), (4, 30))
    assert into_season(dt.date(2027, 1, 5), *season) == dt.date(2027, 3, 1)
    assert into_season(dt.date(2028, 1, 5), *season) == dt.date(2028, 2, 29)
