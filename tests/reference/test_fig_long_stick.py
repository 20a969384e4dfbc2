"""The long stick of a fig: set in the dormant season, potted on about a year later.

Source of the expectation: common practice with the method. About 45 cm of dormant wood is
stood in sand between November and February and left there about a year, until the next
dormant season; so its day lies 10.5 to 14 months on, and never between bud break and leaf
fall. The south has the same half a year round.
"""

import datetime as dt

import pytest

from propagate.actions.answering import forecast
from propagate.actions.desk import Desk
from propagate.actions.founding import found_nursery
from propagate.actions.recording import Dated, record_all
from propagate.codes import code
from propagate.names import PlantName
from propagate.records import events
from propagate.records.nursery import Nursery

DAYS_PER_MONTH = 365.25 / 12
ABOUT_A_YEAR_DAYS = (10.5 * DAYS_PER_MONTH, 14 * DAYS_PER_MONTH)
NOW = dt.datetime(2026, 1, 1, tzinfo=dt.UTC)


def days_from(first: dt.date) -> list[dt.date]:
    """Every third day of four months, November to February or May to August."""
    return [first + dt.timedelta(days=at) for at in range(0, 120, 3)]


def struck(fig: PlantName, at: int, day: dt.date) -> Dated:
    return Dated(events.Started(code(at), fig, "hardwood-cutting", 20), day)


def dormant(day: dt.date, nursery: Nursery) -> bool:
    """Whether a day lies between the nursery's leaf fall and bud break."""
    here, falls, breaks = (day.month, day.day), nursery.leaf_fall, nursery.bud_break
    return (falls <= here <= breaks) if falls <= breaks else (here >= falls or here <= breaks)


@pytest.mark.parametrize(
    ("hemisphere", "first"), [("north", dt.date(2026, 11, 1)), ("south", dt.date(2026, 5, 1))]
)
def test_a_long_stick_is_potted_on_in_the_next_dormant_season(tmp_path, hemisphere, first) -> None:
    found_nursery(tmp_path, "Test", hemisphere)
    least, most = ABOUT_A_YEAR_DAYS
    with Desk(tmp_path, first, NOW) as desk:
        fig = desk.library.resolve("fig")
        record_all(
            desk, lambda _: [struck(fig, at, day) for at, day in enumerate(days_from(first))]
        )
        answers = forecast(desk).batches
        assert len(answers) == 40
        for answer in answers:
            window = answer.pot_on
            assert least <= (window.likely - answer.started).days <= most, answer
            for day in (window.early, window.likely, window.late):
                assert dormant(day, desk.nursery), answer
