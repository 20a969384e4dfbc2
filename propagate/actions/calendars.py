"""Jobs that are due as a calendar file (iCalendar, RFC 5545, with the names of RFC 7986).

A file written again updates the calendar that it is taken into. A job keeps its UID as long
as it is the same job of the same batch. What the older file says of it is read first: a job
that says the same keeps its revision, one that moved or changed gets the next, and one that
is done or no longer so is cancelled, for a calendar keeps what a later file merely leaves out.
"""

import datetime as dt
import uuid
from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

from attrs import frozen

from propagate.actions.answering import due
from propagate.actions.desk import Desk
from propagate.days import written
from propagate.paper.files import replace_file
from propagate.records.answers import DueTask
from propagate.records.events import Started
from propagate.records.plans import Plan

if TYPE_CHECKING:
    from icalendar import Alarm, Calendar, Event

NAMESPACE: Final = uuid.UUID("6f1b7c4e-58c0-5d5e-9c6a-0d3c6f0f9b57")
PRODID: Final = "-//propagate//EN"
ALARM_HOUR: Final = 8
KEEP_CANCELLED: Final = dt.timedelta(days=90)
"""For so long a cancelled job stays in the file, for whoever takes it in only now and then."""


@frozen
class Told:
    """One job as a calendar file says it; `revised` is when it last changed."""

    uid: str
    day: dt.date
    summary: str
    description: str
    location: str
    sequence: int
    revised: dt.datetime
    cancelled: bool = False

    @property
    def said(self) -> tuple[dt.date, str, str, str, bool]:
        """What a reader sees of it; the same again is no new revision."""
        return self.day, self.summary, self.description, self.location, self.cancelled


def write_calendar(desk: Desk, tasks: Sequence[DueTask], path: Path) -> None:
    """Write each job as an all-day event with an alarm that morning.

    Where an older file of this nursery stands at `path`, its jobs are brought up to date.
    Raises Refused when the file cannot be written.
    """
    before = _read(desk, path)
    events = revise(_jobs(desk, tasks), before, _still_due(desk, before), desk.now, _least(desk))
    _write(desk, events, path)


def write_plan_calendar(desk: Desk, plan: Plan, path: Path) -> None:
    """Write the starts of a plan as all-day events with an alarm that morning.

    A start keeps its UID while it is for the same beds by the same method, so that a later
    plan moves it; one that is planned no longer is cancelled. Raises Refused when the file
    cannot be written.
    """
    jobs = []
    for line in plan.lines:
        why = " ".join((f"At the latest on {written(line.last_start)}.", *line.why))
        action = f"start {line.count} by {line.method_name}"
        task = DueTask(line.start, line.gap.beds, line.plant, action, why, line.place)
        said = f"{_calendar_uid(desk)} {line.plant} {line.method} {line.gap.beds} {line.gap.by}"
        jobs.append(_job(task, str(uuid.uuid5(NAMESPACE, said)), desk.now))
    _write(desk, revise(jobs, _read(desk, path), {}, desk.now, _least(desk)), path)


def _write(desk: Desk, events: Iterable[Told], path: Path) -> None:
    replace_file(path, _calendar(desk, events).to_ical())


def revise(
    jobs: Iterable[Told],
    before: Mapping[str, Told],
    still_due: Mapping[str, Told],
    now: dt.datetime,
    least: int,
) -> list[Told]:
    """Bring the jobs of an older file up to date; the new ones first, then what else it held.

    `still_due` are all jobs by UID, those beyond the weeks asked for too: they are not done,
    so they stay. `least` is the lowest revision of a job that is new or changed.
    """
    from attrs import evolve

    events = {job.uid: job for job in jobs}
    for uid, old in before.items():
        if uid in still_due:
            events.setdefault(uid, still_due[uid])
        elif not old.cancelled or now - old.revised < KEEP_CANCELLED:
            events[uid] = evolve(old, cancelled=True)
    revised = []
    for uid, event in events.items():
        earlier = before.get(uid)
        if earlier and earlier.said == event.said:
            revised.append(earlier)
        else:
            sequence = max(least, earlier.sequence + 1) if earlier else least
            revised.append(evolve(event, sequence=sequence, revised=now))
    return revised


def _least(desk: Desk) -> int:
    """A revision that no older file of this book has passed: the number of its entries.

    So a job told in one file and changed in another comes with a higher number there.
    """
    return len(desk.book.entries)


def _still_due(desk: Desk, before: Mapping[str, Told]) -> dict[str, Told]:
    """Every job by its UID, where there is an older file to compare with."""
    return {job.uid: job for job in _jobs(desk, due(desk))} if before else {}


def _jobs(desk: Desk, tasks: Sequence[DueTask]) -> list[Told]:
    return [_job(task, uid, desk.now) for task, uid in zip(tasks, _uids(desk, tasks), strict=True)]


def _uids(desk: Desk, tasks: Sequence[DueTask]) -> list[str]:
    """A name for each job that no other job has, in this nursery or any other.

    It is made from the entry that started the batch, the job and its lot; where these are
    still alike, they are numbered.
    """
    starts = {e.event.batch: e.id for e in desk.book.entries if isinstance(e.event, Started)}
    met: Counter[tuple[str, str, str]] = Counter()
    uids = []
    for task in tasks:
        key = task.batch, task.action, task.lot
        met[key] += 1
        said = f"{starts[task.batch]} {task.action} {task.lot} {met[key]}"
        uids.append(str(uuid.uuid5(NAMESPACE, said)))
    return uids


def _job(task: DueTask, uid: str, now: dt.datetime) -> Told:
    return Told(
        uid=uid,
        day=task.date,
        summary=f"{task.action}: {task.plant} ({task.batch})",
        description=task.why,
        location=task.place,
        sequence=0,
        revised=now.replace(microsecond=0),  # a file holds whole seconds
    )


def _calendar(desk: Desk, events: Iterable[Told]) -> "Calendar":
    from icalendar import Calendar

    calendar = Calendar()
    calendar.add("prodid", PRODID)
    calendar.add("version", "2.0")
    calendar.add("uid", _calendar_uid(desk))
    calendar.add("name", desk.nursery.name)
    calendar.add("x-wr-calname", desk.nursery.name)  # many programs know only this name
    for event in events:
        calendar.add_component(_event(event))
    return calendar


def _calendar_uid(desk: Desk) -> str:
    """The name of this nursery's calendar, from the first entry of its book."""
    first = desk.book.entries[0].id if desk.book.entries else "empty"
    return str(uuid.uuid5(NAMESPACE, first))


def _event(told: Told) -> "Event":
    from icalendar import Event

    event = Event()
    event.add("uid", told.uid)
    event.add("sequence", told.sequence)
    # In a file that is no message (no METHOD) the stamp is that of the last revision, too.
    event.add("dtstamp", told.revised)
    event.add("last-modified", told.revised)
    event.add("dtstart", told.day)
    event.add("dtend", told.day + dt.timedelta(days=1))  # the end is exclusive
    event.add("summary", told.summary)
    event.add("description", told.description)
    if told.location:
        event.add("location", told.location)
    event.add("status", "CANCELLED" if told.cancelled else "CONFIRMED")
    event.add("transp", "TRANSPARENT")  # a job to do keeps nobody from another appointment
    if not told.cancelled:
        event.add_component(_alarm(told.summary))
    return event


def _alarm(summary: str) -> "Alarm":
    from icalendar import Alarm

    alarm = Alarm()
    alarm.add("action", "DISPLAY")
    alarm.add("description", summary)
    alarm.add("trigger", dt.timedelta(hours=ALARM_HOUR))
    return alarm


def _read(desk: Desk, path: Path) -> dict[str, Told]:
    """The jobs in an older file of this nursery, by UID; none where there is no such file."""
    from icalendar import Calendar

    try:
        calendar = Calendar.from_ical(path.read_bytes())
        if calendar.get("prodid") != PRODID or calendar.get("uid") != _calendar_uid(desk):
            return {}
        found = [_told(event) for event in calendar.walk("VEVENT")]
    except (OSError, ValueError, KeyError, AttributeError, TypeError):
        return {}  # no file, or one of another make: it is replaced as any other would be
    return {told.uid: told for told in found}


def _told(event: Any) -> Told:
    return Told(
        uid=str(event["uid"]),
        day=event["dtstart"].dt,
        summary=str(event["summary"]),
        description=str(event["description"]),
        location=str(event.get("location", "")),
        sequence=int(event["sequence"]),
        revised=event["last-modified"].dt,
        cancelled=event.get("status") == "CANCELLED",
    )
