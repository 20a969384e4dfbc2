"""What a start costs: hands, mother plants, and the risk of what is little known.

The figures here are of memory, to be overridden in nursery.toml under [plan]; they choose
between methods and tell how many hours a plan is, no more. What a mother gives in a year stands
in the method's record with its basis.
"""

from typing import Final

from propagate.records.methods import MethodRecord
from propagate.records.nursery import Nursery

START_MINUTES: Final[dict[str, float]] = {
    "seed": 0.3,
    "hardwood-cutting": 1.0,
    "semi-ripe-cutting": 1.5,
    "softwood-cutting": 1.5,
    "leaf-bud-cutting": 1.5,
    "root-cutting": 1.5,
    "runner": 1.5,
    "offset": 3.0,
    "division": 4.0,
    "tip-layering": 4.0,
    "simple-layering": 6.0,
    "mound-layering": 3.0,
    "air-layering": 12.0,
}
"""Minutes to take, trim and set one propagule (memory)."""

OTHER_START_MINUTES: Final = 2.0
POT_MINUTES: Final = 1.5
"""Minutes to lift and pot one plant (memory)."""

BATCH_MINUTES: Final = 20.0
"""Minutes to set up for a batch, label it and clear away (memory)."""

CHECK_MINUTES: Final = 5.0
"""Minutes to look into a tray (memory)."""

RISK: Final = {"species": 1.0, "genus": 1.2, "method": 1.5}
"""What work counts for by how near the record is: the less is known, the more may go wrong."""

LATE_WEEKS: Final = 4
LATE: Final = 0.1
"""A start in the last weeks before it is too late counts a tenth more for each of them, for
there is no second try."""

HOLD_MINUTES: Final = 0.05
"""Minutes to water and weed one plant in its pot for a week that it waits for its bed (memory):
so a start is not made sooner than it helps."""

M2_WEEK_MINUTES: Final = 1.0
"""What a square metre of bench for a week counts for, beside hands: it decides between equals."""


def per_mother(record: MethodRecord, method: str, nursery: Nursery) -> float | None:
    """Propagules that one mother gives when she is used: the settings' figure, or the record's.

    The record says in its method's file what its figure rests on. None where nothing is known
    and for seed, which is bought or gathered: no mother limits it.
    """
    if method in nursery.plan.per_mother:
        return nursery.plan.per_mother[method]
    usual = record.mothers.a_year if record.mothers else None
    given = record.per_mother or usual
    return sum(given) / 2 if given and method != "seed" else None


def start_minutes(method: str, nursery: Nursery) -> float:
    """Minutes to set one propagule."""
    usual = START_MINUTES.get(method, OTHER_START_MINUTES)
    return nursery.plan.minutes.get(method, usual)


def standing_minutes(days: int, nursery: Nursery) -> float:
    """Minutes for a batch whatever its size: to set it up, and to look at it as it stands."""
    return BATCH_MINUTES + CHECK_MINUTES * max(1, days // (7 * nursery.check_every_weeks))
