"""Everything that goes on paper; which labels are out there is remembered."""

import datetime as dt
from collections.abc import Sequence
from pathlib import Path

from attrs import evolve, frozen

from propagate.actions.answering import fan
from propagate.actions.asking import library_at, months_of
from propagate.actions.desk import Desk
from propagate.actions.labelling import (
    LabelOrder,
    fading,
    ordered_labels,
    printing_event,
    shift_for,
    usual_format,
)
from propagate.actions.recording import record
from propagate.actions.sheets import KINDS, Wanted, make_print, print_sheet
from propagate.paper.calibration import render_calibration
from propagate.paper.cards import render_card
from propagate.paper.formatfiles import read_format, read_rack
from propagate.paper.formats import LabelFormat
from propagate.paper.labels import Finish, render_labels
from propagate.paper.printing import Written, write
from propagate.paper.racks import render_rack
from propagate.paths import find_nursery, labels_folder
from propagate.planning.cards import method_card
from propagate.records.beds import BedsAnswer
from propagate.records.families import Family
from propagate.records.methods import MethodRecord
from propagate.records.nursery import LabelSettings, Nursery
from propagate.records.plans import Plan

__all__ = [
    "KINDS",
    "LabelFinish",
    "LabelOrder",
    "Wanted",
    "label_rack",
    "make_print",
    "print_beds",
    "print_calibration",
    "print_card",
    "print_fan",
    "print_labels",
    "print_order",
    "print_plan",
    "print_rack",
    "print_sheet",
]


@frozen
class LabelFinish:
    """How a run of labels is printed: on both sides, with crop marks, as a PDF to be kept."""

    both_sides: bool = False
    crop_marks: bool = False
    archive: bool = False


def print_labels(
    desk: Desk,
    batches: Sequence[str],
    path: Path,
    *,
    format_name: str = "",
    copies: int | None = None,
    start_at: int = 1,
    finish: LabelFinish | None = None,
) -> Written:
    """Write the labels of some batches to a PDF or HTML file, and note it in the book.

    A batch gets one label for each of its trays, or `copies` of them; `start_at` is the first
    free place of a part-used sheet. Nothing is noted when the file cannot be written.
    """
    order = LabelOrder(tuple(batches), copies=copies)
    return print_order(desk, order, path, format_name=format_name, start_at=start_at, finish=finish)


def print_order(
    desk: Desk,
    order: LabelOrder,
    path: Path,
    *,
    format_name: str = "",
    start_at: int = 1,
    finish: LabelFinish | None = None,
) -> Written:
    """Write the labels of batches, mother plants and beds; those of batches are noted."""
    finish = finish or LabelFinish()
    labels = ordered_labels(desk, order)
    chosen = format_name or usual_format(desk.nursery, order)
    label_format = read_format(chosen, desk.label_folders)
    shift = shift_for(desk.nursery, label_format)
    printed = render_labels(
        labels,
        chosen,
        desk.label_folders,
        start_at=start_at,
        finish=Finish(finish.both_sides, finish.crop_marks, shift),
    )
    fades = fading(desk.nursery, desk.today)
    printed = evolve(printed, remarks=(*printed.remarks, fades) if fades else printed.remarks)
    written = write(printed, path, archive=finish.archive)
    event = printing_event(desk, labels, chosen, order.copies or 1)
    if event:
        started = [desk.book.batch(code).on for code in event.batches]  # perhaps a day ahead
        record(desk, event, max([desk.today, *started]))
    return written


def print_calibration(start: Path, path: Path, format_name: str = "") -> Written:
    """Write the sheet that shows what a printer does to a page, for the paper of a format."""
    folders, nursery = _labels_at(start)
    chosen = format_name or (nursery.labels.format if nursery else LabelSettings().format)
    return write(render_calibration(read_format(chosen, folders), folders), path)


def label_rack(start: Path) -> list[LabelFormat]:
    """Every label format that is known where the command was called."""
    return read_rack(_labels_at(start)[0])


def print_rack(start: Path, path: Path) -> Written:
    """Draw every label format with an example on it."""
    folders, nursery = _labels_at(start)
    paper = nursery.labels.sheet if nursery else LabelSettings().sheet
    return write(render_rack(read_rack(folders), folders, paper), path)


def _labels_at(start: Path) -> tuple[tuple[Path, ...], Nursery | None]:
    """The folders of label formats that count in a place, and the nursery there."""
    _, nursery = library_at(start)
    home = find_nursery(start)
    own = home / labels_folder().name if home else None
    return ((labels_folder(), own) if own and own.is_dir() else (labels_folder(),)), nursery


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


def print_plan(desk: Desk, plan: Plan, path: Path) -> Written:
    """Print a plan with its season chart into a .svg, .pdf, .html or .csv file."""
    from propagate.paper.plans import write_plan

    nursery = desk.nursery
    return write_plan(plan, desk.label_folders, path, nursery.name, nursery.labels.sheet)


def print_card(start: Path, record: MethodRecord, path: Path) -> Written:
    """Write a method record as a one-page card; `start` is where to look for a nursery."""
    library, nursery = library_at(start)
    card = method_card(library, record, nursery)
    own = start / labels_folder().name
    folders = (labels_folder(), own) if nursery and own.is_dir() else (labels_folder(),)
    paper = nursery.labels.sheet if nursery else "a4"
    return write(render_card(card, months_of(record, nursery), folders, paper=paper), path)
