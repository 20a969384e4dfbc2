"""What would follow from a batch if it were started so; nothing is written."""

from propagate.actions.answering import forecast_batch
from propagate.actions.desk import Desk
from propagate.actions.recording import BatchPlan, refuse_far_days, start_events
from propagate.errors import Refused
from propagate.ledger import fold
from propagate.records import events
from propagate.records.answers import BatchForecast
from propagate.records.events import Entry


def preview_batch(desk: Desk, plan: BatchPlan) -> BatchForecast:
    """The answer that starting the batch would give: its dates, its plants to come.

    Raises Refused, as starting it would, when it cannot be started so.
    """
    refuse_far_days(plan.on, desk.today)
    book = desk.book
    planned = start_events(book, plan, set(book.batches), set(book.stock_plants))
    first = len(book.entries) + 1
    trial = [
        Entry(first + at, f"trial-{at}", dated.on, desk.now, dated.event)
        for at, dated in enumerate(planned)
    ]
    after = fold((*book.entries, *trial))
    for conflict in after.conflicts:
        if conflict.entry in trial:
            raise Refused(conflict.what)
    started = planned[-1].event
    assert isinstance(started, events.Started)
    return forecast_batch(desk.beside(after), started.batch)
