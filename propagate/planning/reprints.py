"""Which labels no longer say what is true, or soon cannot be read."""

import datetime as dt

from attrs import frozen

from propagate.days import written
from propagate.lasting import Life, life_of, months_said
from propagate.ledger import IN_TRAY, BatchState
from propagate.records.answers import PotOn
from propagate.records.events import LabelsPrinted
from propagate.records.families import Doubt
from propagate.units import DAYS_PER_YEAR
from propagate.worded import worded


@frozen
class Reprint:
    """A label to print anew: from which day, and why."""

    date: dt.date
    why: str


def reprint(state: BatchState, window: PotOn | None, today: dt.date) -> Reprint | None:
    """What makes the labels of a batch void, the soonest first; None while they are good.

    A wrong name, a part that left or a new suspicion counts at once. So does a pot-on date that
    has moved out of the span that the label says, as long as plants wait for it in the tray.
    Fading counts from the day that the print is no longer sure to last.
    """
    if state.printed is None or not state.living:
        return None
    on, event = state.printed
    if state.needs_reprint:
        return Reprint(today, _why_untrue(state))
    said = _window(event, state.code)
    if window and said and state.total(*IN_TRAY) and not said[0] <= window.likely <= said[2]:
        moved = worded(
            "its pot-on date has moved: it says {said}, now it is {now}",
            said=written(said[1]),
            now=written(window.likely),
        )
        return Reprint(today, moved)
    return _faded(on, event)


def _why_untrue(state: BatchState) -> str:
    if state.renamed_seq > state.printed_seq:
        return worded("its name is now {name}", name=state.name)
    if state.parted_seq > state.printed_seq:
        return worded("there are {count} in it now", count=state.count)
    if not state.doubts:
        return worded("nothing is suspected of it any more")
    return doubt_said(state.doubts[-1])


def doubt_said(doubt: Doubt) -> str:
    """What is suspected, in a few words: suspect: galls (jet-bush)."""
    return worded(
        "{doubt}: {why} ({subject})",
        doubt=worded("name in doubt") if doubt.about == "name" else worded("suspect"),
        why=doubt.why,
        subject=doubt.subject,
    )


def _window(event: LabelsPrinted, code: str) -> tuple[dt.date, dt.date, dt.date] | None:
    at = event.batches.index(code)
    if at >= len(event.windows) or not event.windows[at]:
        return None
    early, likely, late = map(dt.date.fromisoformat, event.windows[at].split("/"))
    return early, likely, late


def window_text(early: dt.date | None, likely: dt.date | None, late: dt.date | None) -> str:
    """The dates a label says, as the entry of its printing keeps them."""
    if not (early and likely and late):
        return ""
    return "/".join(day.isoformat() for day in (early, likely, late))


def _faded(on: dt.date, event: LabelsPrinted) -> Reprint | None:
    life = life_of(event.material, event.printing)
    if life is None:
        return None
    how = " on ".join(word for word in (event.printing, event.material) if word)
    lasts = worded(
        "printed {day}; {how} lasts {months} outdoors",
        day=written(on),
        how=how,
        months=months_said(life.months),
    )
    return Reprint(fades_on(on, life), lasts)


def fades_on(on: dt.date, life: Life) -> dt.date:
    """The day until which a label printed `on` is sure to be read."""
    return on + dt.timedelta(days=round(life.months[0] * DAYS_PER_YEAR / 12))
