"""Very large trays with partial knowledge, reckoned in units of several propagules.

The sums over clues ("at least so many have rooted", samples) grow with the cube of a tray.
Beyond `MOST_ONE_BY_ONE` propagules one unit stands for several. A count is then known to a
unit, a thousandth of the tray, while such batches differ from each other by many hundredths;
the binomial spread of a thousand units, at most 1.6 %, is the error that this adds.
"""

from typing import Final

from attrs import evolve

from propagate.science.sightings import AtLeast, BatchData, Cells, Look, Removal, Sample, Sighting

MOST_ONE_BY_ONE: Final = 1000

MOST_WITH_REMOVALS: Final = 150
"""The same where some were removed before a later look: each number of takers among the
removed needs a table of its own."""


def unit_of(cells: Cells, count: int) -> int:
    """How many propagules one unit stands for: 1 unless a large tray is known only in part."""
    partly_known = bool(cells.clues or cells.closed)
    most = MOST_ONE_BY_ONE if partly_known else max(count, 1)
    if cells.removed_before:
        most = MOST_WITH_REMOVALS
    return -(-count // most)


def in_units(batch: BatchData, unit: int) -> BatchData:
    """The batch in units, every count rounded down, so that no sum comes out too large."""
    count = batch.count // unit
    return BatchData(count, [_scaled(sighting, unit, count) for sighting in batch.sightings])


def _scaled(sighting: Sighting, unit: int, count: int) -> Sighting:
    match sighting:
        case Look():
            return evolve(
                sighting,
                newly_rooted=sighting.newly_rooted // unit,
                newly_dead=sighting.newly_dead // unit,
            )
        case AtLeast():
            return evolve(sighting, rooted=sighting.rooted // unit)
        case Sample():
            return _scaled_sample(sighting, unit, count)
        case Removal():
            return evolve(sighting, count=sighting.count // unit)


def _scaled_sample(sample: Sample, unit: int, count: int) -> Sample:
    """A small sample tells the same of a tray of units; a large one is scaled with it."""
    known = sample.known_in_tray // unit
    if sample.lifted <= count // 10:
        return evolve(sample, known_in_tray=known)
    return evolve(
        sample,
        lifted=sample.lifted // unit,
        rooted=sample.rooted // unit,
        dead=sample.dead // unit,
        known_in_tray=known,
    )
