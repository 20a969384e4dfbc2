"""From a form to entries in the book: once, beside figures that are still so, or refused."""

from collections.abc import Sequence

from attrs import frozen

from propagate.actions.desk import Desk
from propagate.actions.meaning import as_known, spelled
from propagate.actions.parting import parting
from propagate.actions.recording import BatchPlan, Dated, record_all, start_batch
from propagate.actions.remarks import event_remarks, start_remarks
from propagate.actions.sharing import refuse_outdated, seen_of
from propagate.actions.takingback import take_back
from propagate.actions.telling import entry_said
from propagate.errors import NotFound, Refused
from propagate.ledger import Book
from propagate.records import events
from propagate.web.deeds import Deed, count_of, needed, whole, words
from propagate.web.forms import Form, seen_text
from propagate.web.speech import marked
from propagate.worded import worded


@frozen
class Done:
    """What was written: which tray, which entry, in which words, and what may be a slip."""

    code: str
    seq: int
    said: str
    seen: str
    remarks: tuple[str, ...] = ()


def write_deed(desk: Desk, code: str, deed: Deed, form: Form) -> Done:
    """Write what was done at a tray.

    Raises Outdated when somebody else wrote about it since the form was shown, and Refused
    when it cannot be so; the book is as it was then.
    """
    event = as_known(desk, deed.make(code, form.values))
    on, seen = form.day("on", desk.today), form.seen()

    def planned(book: Book) -> Sequence[Dated]:
        refuse_outdated(book, code, seen)
        move = Dated(event, on)
        return parting(book, move, count, desk.hand().device) if deed.parts else [move]

    count = count_of(form.values) if deed.parts else 0
    foretell = deed.parts or isinstance(event, events.Checked)
    entry = record_all(desk, planned, foretell=foretell, request=form.request_key())[-1]
    remarks = tuple(event_remarks(desk, entry.event, entry.on))
    return Done(code, entry.seq, entry_said(entry), seen_text(seen_of(desk.book, code)), remarks)


def read_plan(desk: Desk, form: Form) -> BatchPlan:
    """The batch that a form asks to start; raises Refused or NotFound for what is not known."""
    values = form.values
    method = desk.library.method(words(values, "method"))
    return BatchPlan(
        plant=desk.library.resolve(needed(values, "plant", marked("The plant"))),
        method=method.id,
        count=whole(values, "count", "How many"),
        on=form.day("on", desk.today),
        place=spelled(words(values, "place"), desk.nursery.places),
        stock_plant=words(values, "mother"),
        mark=words(values, "mark"),
        note=words(values, "note"),
    )


def write_start(desk: Desk, form: Form) -> Done:
    """Start the batch of a form."""
    plan = read_plan(desk, form)
    state = start_batch(desk, plan, request=form.request_key())
    entry = next(e for e in desk.book.entries if e.seq == state.entry_seq)
    remarks = tuple(start_remarks(desk, form.values.get("plant", ""), plan))
    seen = seen_text(seen_of(desk.book, state.code))
    return Done(state.code, entry.seq, entry_said(entry), seen, remarks)


def write_undo(desk: Desk, seq: int, form: Form) -> Done:
    """Take an entry back; raises NotFound when there is none that counts."""
    entry = take_back(desk, seq, request=form.request_key())
    codes = _codes(entry.event)
    if not codes:
        raise NotFound(
            worded(
                "Entry {number} is about no tray; take it back with: propagate void {number}.",
                number=seq,
            )
        )
    return Done(codes[0], entry.seq, entry_said(entry), seen_text(seen_of(desk.book, codes[0])))


def _codes(event: events.Event) -> tuple[str, ...]:
    from propagate.ledger import batch_codes

    return batch_codes(event)


def refuse_unknown(deed: Deed | None) -> Deed:
    """The deed, or a refusal where an address names none."""
    if deed is None:
        raise Refused(worded("There is nothing of that name to be done at a tray."))
    return deed
