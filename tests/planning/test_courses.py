"""The course of a batch: its tray, its pots, gone; and into what it is potted."""

import datetime as dt

import numpy as np
import pytest

from propagate.planning.courses import Containers, Course, course_of
from propagate.planning.forecasting import pot_on_windows
from propagate.planning.groups import make_groups
from propagate.records import events
from propagate.records.methods import Figure, MethodRecord, Season, Stage

STRUCK = dt.date(2026, 6, 1)
CODE = "M7KD"
DAYS = [STRUCK + dt.timedelta(days=n) for n in range(0, 366, 3)]


def record(gate: str = "any", *, pots: bool = True) -> MethodRecord:
    taking = Stage("rooting", "take", Figure(4, 6, "memory"), Figure(0.6, 0.8, "memory"))
    pot = Stage("establishing", "establish", Figure(8, 10, "memory"), gate=gate)
    legs = (taking, pot) if pots else (taking,)
    return MethodRecord("way", None, legs, Season(("dormant",), (6,)))


@pytest.fixture
def course(make_case, north):
    def of(its_record: MethodRecord, *happened, today: dt.date = STRUCK) -> Course:
        groups = make_groups([make_case(its_record, STRUCK, *happened)], north)
        ((_, window),) = pot_on_windows(groups, north, today)
        return course_of(groups[0], 0, window, north, today, DAYS)

    return of


def test_a_batch_is_never_in_two_phases_at_once(course) -> None:
    made = course(record())
    both = made.waiting + made.potted
    assert both.max() <= 1 + 1e-12
    assert made.waiting[0] == 1
    assert both[-1] == 0
    assert (np.diff(made.waiting) <= 1e-12).all()


def test_pots_wait_for_the_season_in_which_they_may_go_out(course, north) -> None:
    """Established in September, hardy only between leaf fall and bud break: out on 5 November."""
    made = course(record("dormant"))
    before = DAYS.index(max(day for day in DAYS if day < dt.date(2026, 11, 5)))
    assert made.potted[before] == pytest.approx(1)
    assert made.potted[before + 1] == 0


def test_what_needs_no_pot_is_never_in_one(course) -> None:
    made = course(record(pots=False))
    assert made.potted.max() == 0


def test_an_empty_tray_does_not_stand(course) -> None:
    gone = (dt.date(2026, 7, 6), events.PottedOn(CODE, 40, "big pot"))
    made = course(record(), gone, today=dt.date(2026, 7, 8))
    assert made.waiting.max() == 0
    assert made.potted_by(dt.date(2027, 1, 1)) == 0
    assert made.still_potted[0] == 1
    assert made.still_potted[-1] == 0


def test_a_window_gone_by_is_potted_on_tomorrow(course) -> None:
    late = dt.date(2027, 3, 1)
    made = course(record(), today=late)
    assert made.pot_on == (late + dt.timedelta(days=1),) * 10
    assert (made.potted_by(late), made.potted_by(late + dt.timedelta(days=1))) == (0, 1)


def test_a_container_is_the_batchs_own_else_that_of_its_kind(make_case) -> None:
    potted = (dt.date(2026, 7, 6), events.PottedOn(CODE, 10, "small pot"))
    later = (dt.date(2026, 8, 6), events.PottedOn(CODE, 10, "big pot"))
    own, fresh = make_case(record(), STRUCK, potted, later), make_case(record(), STRUCK)
    assert Containers([own, fresh]).of(own) == "big pot"
    assert Containers([own]).of(fresh) == "big pot"
    assert Containers([fresh]).of(fresh) == ""
