import datetime as dt

import pytest

from propagate.errors import Refused
from propagate.paper.strips import Scale, month_marks, strip

DAY = dt.date(2027, 1, 1)
YEAR = Scale(DAY, dt.date(2028, 1, 1), 73.0)  # 365 days on 73 mm: five days a millimetre


def test_days_lie_in_proportion():
    assert YEAR.x_mm(DAY + dt.timedelta(days=5)) == pytest.approx(1.0)
    assert YEAR.x_mm(DAY + dt.timedelta(days=100)) == pytest.approx(20.0)


def test_days_outside_stand_at_the_ends():
    assert YEAR.x_mm(dt.date(2026, 5, 1)) == 0.0
    assert YEAR.x_mm(dt.date(2029, 5, 1)) == 73.0


def test_months_carry_their_letter_and_january_the_year():
    marks = month_marks(YEAR)
    assert "".join(mark.letter for mark in marks) == "JFMAMJJASOND"
    assert [mark.year for mark in marks if mark.year] == ["2027"]  # no room for the last January
    assert marks[1].x_mm == pytest.approx(31 / 5)


def test_a_scale_that_begins_inside_a_month_marks_the_next_one():
    marks = month_marks(Scale(dt.date(2027, 3, 15), dt.date(2027, 6, 15), 50))
    assert [mark.letter for mark in marks] == ["A", "M", "J"]


def test_a_crowded_scale_names_only_januaries():
    marks = month_marks(Scale(DAY, dt.date(2031, 1, 1), 60))
    assert "".join(mark.letter for mark in marks) == "JJJJ"


def test_a_strip_marks_start_window_and_likely_day():
    days = [DAY + dt.timedelta(days=days) for days in (10, 50, 75, 125)]
    marks = strip(YEAR, days[0], (days[1], days[2], days[3]))
    assert (marks.start, marks.bar_from, marks.likely, marks.bar_to) == pytest.approx(
        (2.0, 10.0, 15.0, 25.0)
    )


def test_a_start_before_the_scale_has_no_ring_but_a_line_from_the_edge():
    marks = strip(YEAR, dt.date(2026, 6, 1), (DAY, DAY, dt.date(2030, 1, 1)))
    assert marks.start is None
    assert (marks.line_from, marks.bar_to) == (0.0, 73.0)


def test_a_scale_needs_two_days():
    with pytest.raises(Refused, match="season line"):
        Scale(DAY, DAY, 60)
