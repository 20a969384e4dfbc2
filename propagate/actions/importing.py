"""Take a notebook into the book: all of it when every line is good, otherwise none of it."""

from contextlib import suppress
from pathlib import Path

from attrs import frozen

from propagate.actions.answering import learn_all
from propagate.actions.coding import batch_code
from propagate.actions.desk import Desk
from propagate.actions.recording import BatchPlan, Dated, start_events
from propagate.actions.retelling import record_as_it_went
from propagate.csvcells import OLD_WESTERN, encoding_of
from propagate.errors import Problem, PropagateError, Refused, refuse_all
from propagate.ledger import Book
from propagate.planning.notebook import Noted, read_notebook, template
from propagate.records.events import StockPlantAdded

REFUSAL = "Nothing was taken, because:"


@frozen
class Imported:
    """How much of a notebook went into the book: batches started, and events in all."""

    batches: int
    events: int


def import_notebook(desk: Desk, path: Path) -> Imported:
    """Read a notebook file and write all its events in one piece.

    What the book would have foretold on the way is kept with them. Raises Refused listing
    every bad line, with the book unchanged.
    """
    noted, problems = read_notebook(_text(desk, path), path.name, desk.library, desk.today)
    refuse_all(problems, REFUSAL)
    record_as_it_went(desk, lambda book: _events(book, noted, desk.hand().device))
    with suppress(PropagateError):  # it is written; what ails the settings the next question says
        learn_all(desk)  # what a long notebook taught is kept for that question
    return Imported(sum(line.start is not None for line in noted), len(noted))


def _text(desk: Desk, path: Path) -> str:
    """The text of a notebook, in whichever encoding a spreadsheet saved it."""
    try:
        content = path.read_bytes()
        encoding = encoding_of(content)
        text = content.decode(encoding)
    except UnicodeDecodeError:
        text = "\0"
    except OSError as error:
        raise Refused(f"{path} cannot be read: {error.strerror}.") from None
    if "\0" in text:
        raise Refused(f"{path.name} is no text that can be read; save it as CSV UTF-8.")
    if encoding == OLD_WESTERN:
        desk.remarks.append(
            f"Note: {path.name} was not saved as UTF-8; look whether accents are right."
        )
    return text


def _events(book: Book, noted: list[Noted], device: str) -> list[Dated]:
    """Give every start its code, then every other line its batch."""
    starts, codes, problems = _starts(book, noted, device)
    others = []
    for line in noted:
        if line.make is None:
            continue
        try:
            code = _code(book, codes, line.batch)
            others.append(Dated(line.make(code), line.on, line.where))
        except PropagateError as error:
            problems.append(Problem(line.where, str(error)))
    refuse_all(problems, REFUSAL)
    return [*starts, *others]


def _starts(
    book: Book, noted: list[Noted], device: str
) -> tuple[list[Dated], dict[str, str], list[Problem]]:
    """The start events, the code given to each mark, and what is wrong with them."""
    events: list[Dated] = []
    codes: dict[str, str] = {}
    problems: list[Problem] = []
    in_book = {s.started.mark: code for code, s in book.batches.items() if s.started.mark}
    mothers = set(book.stock_plants) | _mothers_noted(noted)
    for line in noted:
        if line.start is None:
            continue
        mark = line.start.mark
        if mark in codes or mark in in_book:
            before = f"as batch {in_book.get(mark)} already; was this file taken in before?"
            where = before if mark in in_book else "in a line above."
            problems.append(Problem(line.where, f'"{mark}" was started {where}'))
            continue
        try:
            made = start_events(book, _plan(line), set(codes.values()), mothers, device)
        except PropagateError as error:
            problems.append(Problem(line.where, str(error)))
            continue
        mothers.add(line.start.stock_plant)
        codes[mark] = made[-1].event.batch  # type: ignore[union-attr]
        events.extend(Dated(each.event, each.on, line.where) for each in made)
    return events, codes, problems


def _plan(line: Noted) -> BatchPlan:
    start = line.start
    assert start is not None
    return BatchPlan(
        start.plant,
        start.method,
        start.count,
        line.on,
        place=start.place,
        stock_plant=start.stock_plant,
        trays=start.trays,
        mark=start.mark,
        note=start.note,
    )


def _mothers_noted(noted: list[Noted]) -> set[str]:
    """Mothers that lines of their own add, so that a start does not add them again."""
    made = [line.make("") for line in noted if line.make and line.what == "mother"]
    return {event.stock_plant for event in made if isinstance(event, StockPlantAdded)}


def _code(book: Book, codes: dict[str, str], batch: str) -> str:
    if not batch:
        return ""
    return codes.get(batch) or batch_code(book, batch)


def write_template(path: Path) -> None:
    """Write an empty notebook; raises Refused when there is a file of that name already."""
    if path.exists():
        raise Refused(f"{path} is there already; give another name.")
    try:
        path.write_text(template(), encoding="utf-8")
    except OSError as error:
        raise Refused(f"{path} cannot be written: {error.strerror}.") from None
