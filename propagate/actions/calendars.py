"""Jobs that are due as a calendar file (iCalendar, RFC 5545)."""

import datetime as dt
import uuid
from collections import Counter
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from propagate.actions.desk import Desk
from propagate.errors import Refused
from propagate.records.answers import DueTask
from propagate.records.events import Started

if TYPE_CHECKING:
    from icalendar import Event

NAMESPACE = uuid.UUID("6f1b7c4e-58c0-5d5e-9c6a-0d3c6f0f9b57")
ALARM_HOUR = 8


def write_calendar(desk: Desk, tasks: Sequence[DueTask], path: Path) -> None:
    """Write each job as an all-day event with an alarm that morning.

    A job keeps its UID when its day moves, so that importing the file again updates it.
    Raises Refused when the file cannot be written.
    """
    from icalendar import Calendar

    calendar = Calendar()
    calendar.add("prodid", "-//propagate//EN")
    calendar.add("version", "2.0")
    calendar.add("x-wr-calname", desk.nursery.name)
    for task, uid in zip(tasks, _uids(desk, tasks), strict=True):
        calendar.add_component(_event(task, uid, desk.now))
    try:
        path.write_bytes(calendar.to_ical())
    except OSError as error:
        raise Refused(f"{path} cannot be written: {error.strerror}.") from None


def _uids(desk: Desk, tasks: Sequence[DueTask]) -> list[str]:
    """A name for each job that no other job has, in this nursery or any other.

    It is made from the entry that started the batch and from the job; where a batch has one
    job several times, such as two lots to plant out, they are numbered.
    """
    starts = {e.event.batch: e.id for e in desk.book.entries if isinstance(e.event, Started)}
    met: Counter[tuple[str, str]] = Counter()
    uids = []
    for task in tasks:
        met[task.batch, task.action] += 1
        said = f"{starts[task.batch]} {task.action} {met[task.batch, task.action]}"
        uids.append(str(uuid.uuid5(NAMESPACE, said)))
    return uids


def _event(task: DueTask, uid: str, now: dt.datetime) -> "Event":
    from icalendar import Alarm, Event

    summary = f"{task.action}: {task.plant} ({task.batch})"
    event = Event()
    event.add("uid", uid)
    event.add("dtstamp", now)
    event.add("dtstart", task.date)
    event.add("dtend", task.date + dt.timedelta(days=1))  # the end is exclusive
    event.add("summary", summary)
    event.add("description", task.why)
    if task.place:
        event.add("location", task.place)
    alarm = Alarm()
    alarm.add("action", "DISPLAY")
    alarm.add("description", summary)
    alarm.add("trigger", dt.timedelta(hours=ALARM_HOUR))
    event.add_component(alarm)
    return event
