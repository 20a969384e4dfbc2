"""A season's notebook as CSV: one line an event, read into events ready for the book.

Every line is judged before any is taken; whoever calls gets the events with the line each
came from, or one refusal that lists every bad line with its number and reason.
"""

import csv
import datetime as dt
import io
from collections.abc import Callable, Mapping
from typing import Any

from attrs import Factory, define, frozen

from propagate.csvcells import unguard
from propagate.days import read_day
from propagate.errors import Problem, PropagateError, Refused
from propagate.library import Library
from propagate.names import PlantName
from propagate.records import events

COLUMNS: dict[str, str] = {
    "date": "the day it happened: 2027-03-12 or 12 Mar 2027",
    "what": "start, check, pot-on, harden, ready, plant-out, lose, give, promise, offer, "
    "move, recount, sever, mother, name, suspect or clear",
    "batch": "your own mark for the tray, such as T1, or the batch code if it has one",
    "plant": "for start, mother, name: Latin or common name, with 'Variety'",
    "method": "for start: hardwood-cutting, runner, seed, ... (see: propagate methods)",
    "count": "how many",
    "rooted": "for check: all that stand rooted in the tray",
    "dead": "for check: the dead found this time; 0 when none, empty when nobody looked",
    "sample": "for check: only so many were lifted and put back",
    "place": "for start, move, mother: where it stands",
    "trays": "for start: names of its trays, with ; between",
    "from": "for start, mother, name, suspect, clear: your short name of the mother plant",
    "into": "for pot-on: the container",
    "bed": "for plant-out: the bed",
    "to": "for give, promise: who",
    "cause": "for lose: what happened",
    "account": "for lose, give, plant-out: taken from there (waiting, rooted, potted, ...)",
    "why": "for recount, name, suspect, clear: the reason",
    "note": "for start, mother: anything else",
}

DELIMITERS = ",;\t"  # what spreadsheets put between cells, by language and by choice

MOST_DIGITS = 9  # nobody has a thousand million cuttings; more is a slip or a code


@frozen
class NotedStart:
    """A batch start in a notebook; it gets its code when it is written into the book."""

    plant: PlantName
    method: str
    count: int
    place: str
    stock_plant: str
    trays: tuple[str, ...]
    mark: str
    note: str


@frozen
class Noted:
    """One good line: the day, where it stands, and the event or start that it tells.

    `batch` is the mark or code as written; `make` builds the event once its code is known.
    """

    what: str
    on: dt.date
    where: str
    batch: str
    start: NotedStart | None = None
    make: Callable[[str], events.Event] | None = None


def template() -> str:
    """An empty notebook: the columns, and under them one explaining line to delete."""
    out = io.StringIO()
    writer = csv.writer(out)
    writer.writerow(COLUMNS)
    writer.writerow([f"# {COLUMNS['date']}", *list(COLUMNS.values())[1:]])
    return out.getvalue()


def read_notebook(
    text: str, file_name: str, library: Library, today: dt.date
) -> tuple[list[Noted], list[Problem]]:
    """Good lines and problems of a notebook; lines whose date starts with # are remarks."""
    rows, problems = _rows(text, file_name)
    header = [cell.strip().lower() for cell in rows[0][1]] if rows else []
    problems = problems or _header_problems(header, file_name)
    if problems:
        return [], problems
    noted: list[Noted] = []
    for number, row in rows[1:]:
        where = f"{file_name}, line {number}"
        if not any(cell.strip() for cell in row) or row[0].lstrip().startswith("#"):
            continue
        if len(row) > len(header):
            problems.append(Problem(where, f"{len(row)} cells under {len(header)} columns"))
            continue
        cells = {key: unguard(cell).strip() for key, cell in zip(header, row, strict=False)}
        try:
            noted.append(_Line(cells, where, library, today).read())
        except PropagateError as error:
            problems.append(Problem(where, str(error)))
    return noted, problems


def _rows(text: str, file_name: str) -> tuple[list[tuple[int, list[str]]], list[Problem]]:
    """The rows, each with the line of the file it begins on; a cell may span lines."""
    lines = io.StringIO(text.removeprefix("\ufeff"), newline=None)
    between = max(DELIMITERS, key=text.partition("\n")[0].count)
    reader, rows, begins = csv.reader(lines, delimiter=between), [], 1
    try:
        for row in reader:
            rows.append((begins, row))
            begins = reader.line_num + 1
    except csv.Error as error:
        return [], [Problem(f"{file_name}, line {begins}", f"it cannot be read as CSV: {error}")]
    return rows, []


def _header_problems(header: list[str], file_name: str) -> list[Problem]:
    where = f"{file_name}, line 1"
    unknown = [name for name in header if name not in COLUMNS]
    missing = [name for name in ("date", "what") if name not in header]
    twice = sorted({name for name in header if header.count(name) > 1})
    named = ", ".join(f'"{name}"' for name in unknown)
    return [
        *([Problem(where, f"unknown columns: {named}")] if unknown else []),
        *(Problem(where, f'the column "{name}" is missing') for name in missing),
        *(Problem(where, f'the column "{name}" stands there twice') for name in twice),
    ]


@define
class _Line:
    """The cells of one line, asked for one by one; those nobody asked for are a slip."""

    cells: Mapping[str, str]
    where: str
    library: Library
    today: dt.date
    _asked: set[str] = Factory(set)

    def read(self) -> Noted:
        self._asked = {"date", "what", "batch"}
        what = self.need("what").lower().replace(" ", "-")
        if what not in _READERS:
            raise Refused(f'"{what}" is nothing a notebook knows; write {", ".join(_READERS)}.')
        on = read_day(self.need("date"), self.today)
        told = _READERS[what](self)
        self._refuse_rest(what)
        batch = self.cells.get("batch", "")
        if isinstance(told, NotedStart):
            return Noted(what, on, self.where, batch, start=told)
        return Noted(what, on, self.where, batch, make=told)

    def text(self, key: str) -> str:
        self._asked.add(key)
        return self.cells.get(key, "")

    def need(self, key: str) -> str:
        value = self.text(key)
        if not value:
            raise Refused(f'the cell "{key}" is empty; it says {COLUMNS[key]}.')
        return value

    def number(self, key: str, default: int | None = None) -> int:
        value = self.text(key) if default is not None else self.need(key)
        if not value and default is not None:
            return default
        if not value.isascii() or not value.isdigit() or len(value) > MOST_DIGITS:
            raise Refused(f'{key} is "{value}"; write a whole number, such as 40.')
        return int(value)

    def plant(self) -> PlantName:
        return self.library.resolve(self.need("plant"))

    def _refuse_rest(self, what: str) -> None:
        extra = [key for key, value in self.cells.items() if value and key not in self._asked]
        if extra:
            raise Refused(f'the cell "{extra[0]}" means nothing for {what}; empty it.')


Told = NotedStart | Callable[[str], events.Event]


def _start(line: _Line) -> Told:
    return NotedStart(
        plant=line.plant(),
        method=line.library.method_meant(line.need("method")).id,
        count=line.number("count"),
        place=line.text("place"),
        stock_plant=line.text("from"),
        trays=tuple(t.strip() for t in line.text("trays").split(";") if t.strip()),
        mark=line.need("batch"),
        note=line.text("note"),
    )


def _check(line: _Line) -> Told:
    line.need("batch")
    rooted = line.number("rooted") if line.text("rooted") else None
    sample = line.number("sample") if line.text("sample") else None
    dead = line.number("dead") if line.text("dead") else None
    return lambda code: events.Checked(code, rooted, dead, sample)


def _counted(kind: type, needed: str = "", **columns: str) -> Callable[[_Line], Told]:
    """Read a line of batch, count and some text cells into an event of this kind."""

    def read(line: _Line) -> Told:
        line.need("batch")
        count = line.number("count")
        if needed:
            line.need(needed)
        told: dict[str, Any] = {name: line.text(column) for name, column in columns.items()}
        return lambda code: kind(batch=code, count=count, **told)

    return read


def _move(line: _Line) -> Told:
    line.need("batch")
    place = line.need("place")
    return lambda code: events.Moved(code, place)


def _sever(line: _Line) -> Told:
    line.need("batch")
    return lambda code: events.StepDone(code, "severed")


def _mother(line: _Line) -> Told:
    key, plant = line.need("from"), line.plant()
    place, note = line.text("place"), line.text("note")
    return lambda code: events.StockPlantAdded(key, plant, batch=code, place=place, note=note)


def _name(line: _Line) -> Told:
    mother, plant, why = line.text("from"), line.plant(), line.text("why")
    if bool(mother) == bool(line.text("batch")):
        raise Refused('give either "from", for a mother and all raised from her, or "batch".')
    return lambda code: events.NameSettled(plant, stock_plant=mother, batch=code, why=why)


def _of_kin(kind: Callable[..., events.Event]) -> Callable[[_Line], Told]:
    """Read a line about a mother plant or a batch, and all raised from it."""

    def read(line: _Line) -> Told:
        mother, why = line.text("from"), line.need("why")
        if bool(mother) == bool(line.text("batch")):
            raise Refused('give either "from", for a mother and all raised from her, or "batch".')
        return lambda code: kind(why=why, stock_plant=mother, batch=code)

    return read


_READERS: dict[str, Callable[[_Line], Told]] = {
    "start": _start,
    "check": _check,
    "pot-on": _counted(events.PottedOn, container="into"),
    "harden": _counted(events.HardenedOff),
    "ready": _counted(events.MadeReady),
    "plant-out": _counted(events.PlantedOut, bed="bed", account="account"),
    "lose": _counted(events.Lost, cause="cause", account="account"),
    "give": _counted(events.Given, to="to", account="account"),
    "promise": _counted(events.Promised, needed="to", to="to"),
    "offer": _counted(events.Offered),
    "move": _move,
    "recount": _counted(events.Recounted, needed="why", why="why"),
    "sever": _sever,
    "mother": _mother,
    "name": _name,
    "suspect": _of_kin(events.Suspected),
    "clear": _of_kin(events.Cleared),
}
