"""The calendar of jobs: taken in again it updates, and what is done goes."""

import datetime as dt
from collections.abc import Iterator
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from icalendar import Calendar

from propagate.actions.answering import due
from propagate.actions.calendars import KEEP_CANCELLED, Told, revise, write_calendar
from propagate.actions.desk import Desk
from propagate.actions.founding import found_nursery
from propagate.actions.recording import BatchPlan, record, start_batch
from propagate.actions.takingback import void
from propagate.names import parse
from propagate.records import events

TODAY = dt.date(2026, 11, 25)
NOW = dt.datetime(2026, 11, 25, 12, tzinfo=dt.UTC)
LATER = NOW + dt.timedelta(hours=1)
NAMES = ("Salvia rosmarinus", "Fragaria × ananassa 'Ærøskøbing Überraschung Sommerfreude'")


@pytest.fixture
def desk(tmp_path: Path) -> Iterator[Desk]:
    found_nursery(tmp_path / "bench", "Bench, shed & frame", "north")
    with Desk(tmp_path / "bench", TODAY, NOW) as opened:
        for at, name in enumerate(NAMES):
            on = TODAY - dt.timedelta(days=100 + at)
            plan = BatchPlan(parse(name), "semi-ripe-cutting", 24, on, place="cold; frame, north")
            start_batch(opened, plan)
        yield opened


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "due.ics"


def written(desk: Desk, path: Path, weeks: int | None = None, now: dt.datetime = NOW) -> dict:
    """Write the calendar and read it back with another program's reader, by UID."""
    desk.now = now
    write_calendar(desk, due(desk, weeks), path)
    calendar = Calendar.from_ical(path.read_bytes())
    return {str(event["uid"]): event for event in calendar.walk("VEVENT")}


def lived(events_by_uid: dict) -> dict:
    return {uid: event for uid, event in events_by_uid.items() if event["status"] != "CANCELLED"}


def test_the_calendar_says_what_is_due_and_reads_back(desk, path) -> None:
    told = sorted(written(desk, path).values(), key=lambda event: event["dtstart"].dt)
    assert len(told) == len(due(desk)) > 1
    for event, task in zip(told, due(desk), strict=True):
        assert event["dtstart"].dt == task.date
        assert event["summary"] == f"{task.action}: {task.plant} ({task.batch})"
        assert event["description"] == task.why
        assert event["location"] == task.place
        (alarm,) = event.walk("VALARM")
        assert alarm["trigger"].dt == dt.timedelta(hours=8)


# RFC 5545, 3.1: lines of at most 75 octets, the break not counted, folded between characters.
def test_long_lines_are_folded_between_characters_and_unfold_to_the_same(desk, path) -> None:
    written(desk, path)
    lines = path.read_bytes().split(b"\r\n")
    assert max(map(len, lines)) <= 75
    assert any(line.startswith(b" ") for line in lines)
    for line in lines:
        line.decode("utf-8")  # no character is cut in two
    unfolded = path.read_bytes().replace(b"\r\n ", b"").decode("utf-8")
    assert "Ærøskøbing Überraschung Sommerfreude" in unfolded
    assert "LOCATION:cold\\; frame\\, north" in unfolded  # 3.3.11: these are escaped


# RFC 5545, 3.6.1 and 3.8.7: what every event must have, and once only.
def test_every_event_has_what_it_must_have(desk, path) -> None:
    for event in written(desk, path).values():
        assert event["dtstamp"].dt == event["last-modified"].dt == NOW
        assert event["dtstart"].params["VALUE"] == "DATE"
        assert event["dtend"].dt - event["dtstart"].dt == dt.timedelta(days=1)
        assert int(event["sequence"]) >= 0
        assert event.errors == []


def test_nothing_new_is_no_new_revision(desk, path) -> None:
    written(desk, path)
    before = path.read_bytes()
    written(desk, path, now=LATER)
    assert path.read_bytes() == before


def test_a_job_that_moves_keeps_its_name_and_gets_the_next_revision(desk, path) -> None:
    before = written(desk, path)
    code = next(iter(desk.book.batches))
    record(desk, events.Checked(code, rooted=6), TODAY)
    after = written(desk, path, now=LATER)
    moved = [uid for uid in before if uid in after and said(before[uid]) != said(after[uid])]
    assert moved
    for uid in moved:
        assert int(after[uid]["sequence"]) > int(before[uid]["sequence"])
        assert after[uid]["dtstamp"].dt == LATER


def test_what_is_done_is_cancelled_once_and_goes_after_a_while(desk, path) -> None:
    before = written(desk, path)
    code = next(iter(desk.book.batches))
    entry = record(desk, events.Lost(code, 24, "frost"), TODAY)
    after = written(desk, path, now=LATER)
    gone = {uid for uid, event in after.items() if event["status"] == "CANCELLED"}
    assert gone == {uid for uid, event in before.items() if code in event["summary"]} != set()
    for uid in gone:
        assert int(after[uid]["sequence"]) > int(before[uid]["sequence"])
        assert not after[uid].walk("VALARM")
    assert set(lived(after)) == set(before) - gone
    assert written(desk, path, now=LATER + dt.timedelta(days=1)).keys() == after.keys()
    void(desk, entry.seq, "it was the other tray")
    back = written(desk, path, now=LATER + dt.timedelta(days=2))
    assert set(lived(back)) >= gone
    record(desk, events.Lost(code, 24, "frost"), TODAY)
    written(desk, path, now=LATER + dt.timedelta(days=3))
    last = written(desk, path, now=LATER + dt.timedelta(days=4) + KEEP_CANCELLED)
    assert not gone & set(last)


def test_fewer_weeks_cancel_nothing_that_is_still_to_do(desk, path) -> None:
    start_batch(desk, BatchPlan(parse("Ficus carica"), "hardwood-cutting", 9, TODAY))
    everything = written(desk, path)
    fewer = written(desk, path, weeks=0, now=LATER)
    assert lived(fewer).keys() == everything.keys()
    alone = written(desk, path.with_name("alone.ics"), weeks=0)
    assert len(alone) < len(everything)


def test_a_revision_in_one_file_is_not_behind_that_of_an_older_one(desk, path) -> None:
    before = written(desk, path)
    code = next(iter(desk.book.batches))
    record(desk, events.Checked(code, rooted=6), TODAY)
    other = written(desk, path.with_name("other.ics"), now=LATER)
    for uid in before.keys() & other.keys():
        assert int(other[uid]["sequence"]) > int(before[uid]["sequence"])


def test_the_file_of_another_nursery_is_replaced_and_nothing_in_it_cancelled(
    desk, path, tmp_path
) -> None:
    written(desk, path)
    found_nursery(tmp_path / "other", "Other", "north")
    with Desk(tmp_path / "other", TODAY, NOW) as other:
        start_batch(other, BatchPlan(parse("Ficus carica"), "hardwood-cutting", 9, TODAY))
        told = written(other, path)
    assert len(told) == len(lived(told)) == len(due(other))


@pytest.mark.parametrize("junk", [b"", b"no calendar", b"BEGIN:VCALENDAR\r\nEND:VCALENDAR\r\n"])
def test_a_file_that_is_no_calendar_is_replaced(desk, path, junk: bytes) -> None:
    path.write_bytes(junk)
    assert len(written(desk, path)) == len(due(desk))


uids = st.sampled_from(["a", "b", "c", "d"])


@st.composite
def told(draw: st.DrawFn) -> dict[str, Told]:
    return {
        uid: Told(
            uid=uid,
            day=TODAY + dt.timedelta(days=draw(st.integers(0, 2))),
            summary=draw(st.sampled_from(["check", "pot on"])),
            description="",
            location="",
            sequence=draw(st.integers(0, 9)),
            revised=NOW - dt.timedelta(days=draw(st.integers(0, 120))),
            cancelled=draw(st.booleans()),
        )
        for uid in draw(st.sets(uids))
    }


@given(told(), told(), st.integers(0, 12), st.sets(uids))
def test_revisions_only_rise_and_only_where_something_changed(now_due, before, least, asked):
    from attrs import evolve

    still_due = {uid: evolve(job, cancelled=False) for uid, job in now_due.items()}
    jobs = [job for uid, job in still_due.items() if uid in asked]
    after = {job.uid: job for job in revise(jobs, before, still_due, NOW, least)}
    for uid, job in after.items():
        old = before.get(uid)
        if old and old.said == job.said:
            assert job == old
        else:
            assert job.sequence >= least
            assert job.sequence > (old.sequence if old else -1)
            assert job.revised == NOW
        assert job.cancelled == (uid not in still_due)
    assert set(after) >= {job.uid for job in jobs} | (set(before) & set(still_due))
    forgotten = set(before) - set(after)
    assert all(before[uid].cancelled and uid not in still_due for uid in forgotten)


def said(event) -> tuple:
    keys = ("summary", "description", "location")
    return (event["dtstart"].dt, *(str(event.get(key, "")) for key in keys))
