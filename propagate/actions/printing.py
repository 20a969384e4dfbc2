"""Everything that goes on paper; which labels are out there is remembered."""

import datetime as dt
from collections.abc import Sequence
from pathlib import Path

from propagate.actions.answering import cases, fan, forecast
from propagate.actions.asking import library_at, months_of
from propagate.actions.desk import Desk
from propagate.actions.recording import record
from propagate.actions.sheets import KINDS, Wanted, make_print, print_sheet, short_cautions
from propagate.errors import Refused
from propagate.paper.cards import render_card
from propagate.paper.labels import render_labels
from propagate.paper.printing import Written, write
from propagate.paths import labels_folder
from propagate.planning.cards import method_card
from propagate.planning.labels import tray_labels
from propagate.records.beds import BedsAnswer
from propagate.records.events import LabelsPrinted
from propagate.records.families import Family
from propagate.records.methods import MethodRecord
from propagate.records.prints import TrayLabel

__all__ = [
    "KINDS",
    "Wanted",
    "make_labels",
    "make_print",
    "print_beds",
    "print_card",
    "print_fan",
    "print_labels",
    "print_sheet",
]


def print_labels(
    desk: Desk,
    batches: Sequence[str],
    path: Path,
    *,
    format_name: str = "",
    copies: int | None = None,
    start_at: int = 1,
) -> Written:
    """Write the labels of some batches to a PDF or HTML file, and note it in the book.

    A batch gets one label for each of its trays, or `copies` of them. Nothing is noted when
    the file cannot be written.
    """
    if copies is not None and copies < 1:
        raise Refused(f"{copies} copies are none; give 1 or more.")
    labels = make_labels(desk, batches, copies)
    chosen = format_name or desk.nursery.labels.format
    printed = render_labels(labels, chosen, desk.label_folders, start_at=start_at)
    written = write(printed, path)
    codes = tuple(dict.fromkeys(label.code for label in labels))
    record(desk, LabelsPrinted(codes, chosen, copies or 1))
    return written


def make_labels(desk: Desk, batches: Sequence[str], copies: int | None = None) -> list[TrayLabel]:
    """What the labels of some batches say; raises NotFound for a batch the book does not have."""
    answers = {answer.batch: answer for answer in forecast(desk, batches).batches}
    by_code = {case.state.code: case for case in cases(desk)}
    labels: list[TrayLabel] = []
    for code, answer in answers.items():
        case = by_code[code]
        name = case.state.name
        labels.extend(
            tray_labels(
                case,
                answer,
                desk.nursery,
                common=desk.library.common_name(name),
                cautions=short_cautions(desk, case),
                copies=copies,
            )
        )
    return labels


def print_fan(desk: Desk, what: Sequence[str], path: Path, by: dt.date | None = None) -> Written:
    """Draw the plants to come of one batch or plant into a .svg, .pdf, .html or .csv file."""
    from propagate.paper.fans import write_fan

    drawn = fan(desk, what, by)
    return write_fan(drawn, desk.label_folders, path, desk.nursery.labels.sheet)


def print_beds(desk: Desk, answer: BedsAnswer, path: Path) -> Written:
    """Draw the beds and what will come to them into a .svg, .pdf, .html or .csv file."""
    from propagate.paper.bedbars import write_beds

    nursery = desk.nursery
    return write_beds(answer, desk.label_folders, path, nursery.name, nursery.labels.sheet)


def print_family(desk: Desk, family: Family, path: Path) -> Written:
    """Draw a family into a .svg, .pdf or .html file, or write it as a table into a .csv."""
    from propagate.paper.families import write_family

    return write_family(family, desk.label_folders, path, desk.nursery.labels.sheet)


def print_card(start: Path, record: MethodRecord, path: Path) -> Written:
    """Write a method record as a one-page card; `start` is where to look for a nursery."""
    library, nursery = library_at(start)
    card = method_card(library, record, nursery)
    own = start / labels_folder().name
    folders = (labels_folder(), own) if nursery and own.is_dir() else (labels_folder(),)
    paper = nursery.labels.sheet if nursery else "a4"
    return write(render_card(card, months_of(record, nursery), folders, paper=paper), path)
