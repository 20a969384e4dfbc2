"""Jobs that are due as a calendar file (iCalendar, RFC 5545)."""

import datetime as dt
import uuid
from collections.abc import Sequence
from pathlib import Path

from propagate.actions.desk import Desk
from propagate.errors import Refused
from propagate.records.answers import DueTask

NAMESPACE = uuid.UUID("6f1b7c4e-58c0-5d5e-9c6a-0d3c6f0f9b57")
ALARM_HOUR = 8


def write_calendar(desk: Desk, tasks: Sequence[DueTask], path: Path) -> None:
    """Write each job as an all-day event with an alarm that morning.

    A job keeps its UID when its day moves, so that importing the file again updates it.
    """
    from icalendar import Calendar

    calendar = Calendar()
    calendar.add("prodid", "-//propagate//EN")
    calendar.add("version", "2.0")
    calendar.add("x-wr-calname", desk.nursery.name)
    for task in tasks:
        calendar.add_component(_event(task, desk.now))
    try:
        path.write_bytes(calendar.to_ical())
    except OSError as error:
        raise Refused(f"{path} cannot be written: {error.strerror}.") from None


def _event(task: DueTask, now: dt.datetime):  # type: ignore[no-untyped-def]
    from icalendar import Alarm, Event

    event = Event()
    event.add("uid", str(uuid.uuid5(NAMESPACE, f"{task.batch} {task.action}")))
    event.add("dtstamp", now)
    event.add("dtstart", task.date)
    event.add("dtend", task.date + dt.timedelta(days=1))  # the end is exclusive
    event.add("summary", f"{task.action}: {task.plant} ({task.batch})")
    event.add("description", task.why)
    if task.place:
        event.add("location", task.place)
    alarm = Alarm()
    alarm.add("action", "DISPLAY")
    alarm.add("description", f"{task.action}: {task.plant} ({task.batch})")
    alarm.add("trigger", dt.timedelta(hours=ALARM_HOUR))
    event.add_component(alarm)
    return event
