"""The week's jobs, place by place, so that one walk round the nursery does them."""

import datetime as dt
from collections.abc import Sequence

from propagate.planning.benches import Said, in_order, subject_of
from propagate.planning.case import Case
from propagate.planning.typed import typed_for
from propagate.records.answers import DueTask
from propagate.records.nursery import Nursery
from propagate.records.worksheets import Job, JobCard, PlaceJobs


def job_card(
    tasks: Sequence[DueTask],
    cases: Sequence[Case],
    nursery: Nursery,
    said: Said,
    today: dt.date,
    until: dt.date,
) -> JobCard:
    """Every job that falls due up to `until`, late ones among them, in the order of the days."""
    by_code = {case.state.code: case for case in cases}
    jobs: dict[str, list[Job]] = {}
    for task in tasks:
        if task.date <= until:
            job = _job(task, by_code[task.batch], nursery, said, today)
            jobs.setdefault(task.place, []).append(job)
    places = tuple(PlaceJobs(place, tuple(jobs[place])) for place in in_order(jobs, nursery))
    next_on = min((task.date for task in tasks if task.date > until), default=None)
    return JobCard(nursery.name, today, until, places, next_on)


def _job(task: DueTask, case: Case, nursery: Nursery, said: Said, today: dt.date) -> Job:
    return Job(
        subject=subject_of(case, said),
        action=task.action,
        why=task.why,
        date=task.date,
        until=task.until or task.date,
        late=task.is_late(today),
        typed=typed_for(task, case, nursery),
    )
