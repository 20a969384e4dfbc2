import pytest

from propagate.errors import Refused
from propagate.science.prior import prior_from_ranges
from propagate.science.sightings import (
    AtLeast,
    BatchData,
    Look,
    Removal,
    Sample,
    reduce_sightings,
)

PRIOR = prior_from_ranges(6, 10, 0.6, 0.8)


def _reduce(count, *sightings, prior=PRIOR):
    return reduce_sightings(BatchData(count, sightings), prior)


def _all_counted(cells):
    cells_with_count = (*cells.rooted, *cells.dead, *cells.removed, cells.last)
    return sum(cell.count for cell in cells_with_count)


def test_every_propagule_stands_in_one_cell():
    cells = _reduce(
        40,
        Look(40, 10, 3),
        AtLeast(45, 4),
        Removal(46, 2),
        Sample(50, 6, 1),
        Look(60, 5, 1),
        Removal(61, 1),
    )
    assert _all_counted(cells) == 40
    assert cells.known_rooted == 10 + 4 + 5
    assert cells.unresolved == 40 - 13 - 4 - 2 - 6 - 1


def test_interval_runs_from_look_to_look():
    cells = _reduce(40, Look(30, 2), Look(50, 8))
    assert [(cell.from_days, cell.to_days, cell.count) for cell in cells.rooted][1] == (30, 50, 8)


def test_a_look_without_dead_leaves_open_when_they_died():
    """Dead ones may have stood among the waiting until the look that took them out."""
    cells = _reduce(40, Look(30, 2), Look(50, 8, 5))
    assert cells.dead[-1].from_days < 1
    assert cells.last.alive_days == 50


def test_a_look_for_dead_that_found_none_says_so():
    cells = _reduce(40, Look(30, 2, 0, dead_sought=True), Look(50, 8, 5))
    assert cells.dead[-1].from_days == 30


def test_age_counts_after_the_treatments():
    prior = prior_from_ranges(6, 10, 0.6, 0.8, delay_days=90)
    assert _reduce(40, Look(120, 2), prior=prior).last.age_days == 30


def test_a_second_look_on_one_day_leaves_no_empty_interval():
    cells = _reduce(40, Look(30, 2), Look(30, 1), Look(31, 1))
    ages = [cell.to_days for cell in cells.rooted]
    assert ages == [30, 30.5, 31]


def test_clues_close_at_the_next_look():
    cells = _reduce(40, AtLeast(30, 5), AtLeast(35, 6), Look(50, 8))
    assert not cells.clues
    assert [clue.left for clue in cells.closed[0].clues] == [5, 11]
    assert cells.closed[0].rooted == cells.known_rooted == 19


def test_dead_of_a_sample_count_only_when_looked_for():
    assert _reduce(40, Sample(30, 10, 4)).clues[0].dead is None
    assert _reduce(40, Sample(30, 10, 4, dead_sought=True)).clues[0].dead == 0
    assert _reduce(40, Sample(30, 10, 4, 2)).clues[0].dead == 2


@pytest.mark.parametrize(
    ("sightings", "message"),
    [
        ([Look(30, 30, 11)], "41 counted where at most 40"),
        ([Look(30, 30), Look(40, 11)], "day 40: 11 counted where at most 10"),
        ([AtLeast(30, 30), AtLeast(40, 11)], "day 40: 11 counted where at most 10"),
        ([Sample(30, 41, 3)], "41 counted where at most 40"),
        ([Sample(30, 10, 6, 5)], "11 counted where at most 10"),
        ([AtLeast(30, 35), Removal(31, 6)], "6 counted where at most 5"),
        ([Look(30, 3), Look(29, 3)], "day 29 is late"),
    ],
)
def test_counts_that_cannot_be_are_refused(sightings, message):
    with pytest.raises(Refused, match=message):
        _reduce(40, *sightings)


def test_a_sample_may_hold_the_rooted_ones_that_still_stand_in_the_tray():
    assert _reduce(10, Look(30, 8), Sample(40, 10, 9, known_in_tray=8)).unresolved == 2
