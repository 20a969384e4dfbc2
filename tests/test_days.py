"""Days as people type them: every form, and no guess where two days could be meant."""

import datetime as dt
from contextlib import suppress

import pytest
from hypothesis import given
from hypothesis import strategies as st

from propagate.days import read_day, read_day_ahead, written, written_short
from propagate.errors import PropagateError, Refused

TODAY = dt.date(2027, 3, 10)
days = st.dates(dt.date(1000, 1, 1), dt.date(9999, 12, 31))


@pytest.mark.parametrize(
    "text",
    [
        "2027-03-12",
        "2027-3-12",
        "2027/03/12",
        "2027.3.12",
        "2027 03 12",
        "12 Mar 2027",
        "12 mar 2027",
        "12 MARCH 2027",
        " 12   March  2027 ",
        "12. March 2027",
        "12-Mar-2027",
        "12-Mar-27",
        "12 Mar 27",
        "12th of March 2027",
        "Mar 12 2027",
        "March 12, 2027",
        "Fri 12 Mar 2027",
    ],
)
def test_one_day_in_the_forms_people_type(text: str) -> None:
    assert read_day(text, TODAY) == dt.date(2027, 3, 12)


@pytest.mark.parametrize("text", ["13/3/2027", "3/13/2027", "13.03.2027", "13-3-2027"])
def test_numbers_that_can_be_only_one_day_are_taken(text: str) -> None:
    assert read_day(text, TODAY) == dt.date(2027, 3, 13)


def test_the_fifth_of_the_fifth_is_the_same_day_either_way() -> None:
    assert read_day("5/05/2027", TODAY) == dt.date(2027, 5, 5)


@pytest.mark.parametrize(
    ("text", "way_out"),
    [
        ("3/12/2027", "write 3 Dec 2027 or 12 Mar 2027"),
        ("12.03.2027", "write 12 Mar 2027 or 3 Dec 2027"),
        ("1-2-2027", "write 1 Feb 2027 or 2 Jan 2027"),
        ("03/12/27", "write 3 Dec 2027 or 12 Mar 2027"),
        ("3/2", "write 3 Feb or 2 Mar"),
        ("3.2.", "write 3 Feb or 2 Mar"),
        ("13/3/27", "write the year in full"),
        ("27-03-13", "write the year in full"),
    ],
)
def test_numbers_that_could_be_two_days_are_refused_with_the_way_out(
    text: str, way_out: str
) -> None:
    with pytest.raises(Refused) as caught:
        read_day(text, TODAY)
    assert str(caught.value) == f'"{text}" could be two different days; {way_out}.'


@pytest.mark.parametrize(
    ("text", "day"),
    [
        ("today", dt.date(2027, 3, 10)),  # a Wednesday
        ("Yesterday", dt.date(2027, 3, 9)),
        ("tomorrow", dt.date(2027, 3, 11)),
        ("3 days ago", dt.date(2027, 3, 7)),
        ("a week ago", dt.date(2027, 3, 3)),
        ("2 weeks ago", dt.date(2027, 2, 24)),
        ("Two weeks ago", dt.date(2027, 2, 24)),
        ("a fortnight ago", dt.date(2027, 2, 24)),
        ("twenty-one days ago", dt.date(2027, 2, 17)),
        ("Tuesday", dt.date(2027, 3, 9)),
        ("on Thursday", dt.date(2027, 3, 4)),
        ("last  Tuesday", dt.date(2027, 3, 9)),
        ("wed", dt.date(2027, 3, 10)),
        ("last Wednesday", dt.date(2027, 3, 3)),
        ("25/12", dt.date(2026, 12, 25)),
    ],
)
def test_days_as_they_are_said(text: str, day: dt.date) -> None:
    assert read_day(text, TODAY) == day


@pytest.mark.parametrize(
    ("text", "day"),
    [
        ("tomorrow", dt.date(2027, 3, 11)),
        ("Friday", dt.date(2027, 3, 12)),
        ("Wednesday", dt.date(2027, 3, 10)),
        ("Tuesday", dt.date(2027, 3, 16)),
        ("last Tuesday", dt.date(2027, 3, 9)),
        ("25/12", dt.date(2027, 12, 25)),
    ],
)
def test_a_day_to_come_as_it_is_said(text: str, day: dt.date) -> None:
    assert read_day_ahead(text, TODAY) == day


@pytest.mark.parametrize(
    "text",
    [
        "",
        "soon",
        "March",
        "March 2027",
        "12",
        "12 2027",
        "Fri 12 2027",
        "32/1",
        "0/5",
        "next week",
        "last year",
        "2027",
        "12:30",
        "10:30 Mar",
        "12 Mar 2027 10:30",
        "12 Mar 2027 EST",
        "20270312",
        "120327",
        "2027-02-30",
        "31 Feb",
        "0 Mar 2027",
        "2027-13-01",
        "32/13/2027",
        "12 Marble 2027",
    ],
)
def test_what_is_no_day_is_refused_with_what_to_write(text: str) -> None:
    with pytest.raises(Refused) as caught:
        read_day(text, TODAY)
    assert str(caught.value) == (
        f'"{text}" is not a day; write 2027-03-12 or 12 Mar 2027 (year-month-day or words).'
    )


def test_today_and_yesterday() -> None:
    assert read_day("Today", TODAY) == TODAY
    assert read_day("yesterday", TODAY) == dt.date(2027, 3, 9)


@pytest.mark.parametrize(
    ("text", "day"),
    [
        ("10 March", dt.date(2027, 3, 10)),
        ("9 Mar", dt.date(2027, 3, 9)),
        ("12-Mar", dt.date(2026, 3, 12)),
        ("Mar 12", dt.date(2026, 3, 12)),
        ("31 Dec", dt.date(2026, 12, 31)),
    ],
)
def test_a_day_without_a_year_is_the_latest_that_has_come(text: str, day: dt.date) -> None:
    assert read_day(text, TODAY) == day


@pytest.mark.parametrize(
    ("today", "year"),
    [
        (dt.date(2027, 3, 10), 2024),
        (dt.date(2028, 2, 28), 2024),
        (dt.date(2028, 2, 29), 2028),
        (dt.date(2103, 6, 1), 2096),
    ],
)
def test_29_february_without_a_year_is_the_latest_there_was(today: dt.date, year: int) -> None:
    assert read_day("29 Feb", today) == dt.date(year, 2, 29)


def test_29_february_is_a_day_of_leap_years_only() -> None:
    assert read_day("2028-02-29", TODAY) == dt.date(2028, 2, 29)
    for text in ("2027-02-29", "29 Feb 2027"):
        with pytest.raises(Refused):
            read_day(text, TODAY)


def test_paper_shows_the_month_in_letters() -> None:
    assert written(dt.date(2027, 3, 2)) == "2 Mar 2027"
    assert written_short(dt.date(2027, 3, 2)) == "2 Mar"


@given(days)
def test_what_paper_shows_reads_back(day: dt.date) -> None:
    assert read_day(written(day), TODAY) == day


@given(days)
def test_iso_reads_back(day: dt.date) -> None:
    assert read_day(day.isoformat(), TODAY) == day


@given(st.dates(dt.date(1900, 1, 1), dt.date(2150, 1, 1)), st.integers(0, 364))
def test_a_day_of_the_past_year_needs_no_year(today: dt.date, days_ago: int) -> None:
    day = today - dt.timedelta(days=days_ago)
    assert read_day(written_short(day), today) == day


@given(st.text(st.sampled_from("0123456789 -/.,:'MarchFebTz+³٣"), max_size=16) | st.text())
def test_any_text_is_a_day_or_refused(text: str) -> None:
    with suppress(PropagateError):
        assert isinstance(read_day(text, TODAY), dt.date)
