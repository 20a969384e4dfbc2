"""Everything that goes on paper; which labels are out there is remembered."""

import datetime as dt
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from attrs import evolve, frozen

from propagate.actions.answering import fan
from propagate.actions.asking import library_at, months_of
from propagate.actions.desk import Desk
from propagate.actions.labelling import (
    LabelOrder,
    fading,
    format_meant,
    ordered_labels,
    printing_event,
    shift_for,
    usual_format,
)
from propagate.actions.recording import record
from propagate.errors import BrokenBook
from propagate.paper.formatfiles import read_format, read_rack
from propagate.paper.formats import LabelFormat
from propagate.paper.labels import Finish, render_labels
from propagate.paper.printing import Draw, Written, write
from propagate.paper.saying import AnyLabel
from propagate.paths import find_nursery, labels_folder
from propagate.records.events import LabelsPrinted
from propagate.records.methods import MethodRecord
from propagate.records.nursery import LabelSettings, Nursery

if TYPE_CHECKING:
    from propagate.records.beds import BedsAnswer
    from propagate.records.families import Family
    from propagate.records.plans import Plan

__all__ = [
    "Draw",
    "LabelFinish",
    "LabelOrder",
    "LabelRun",
    "card_print",
    "draw_labels",
    "fan_print",
    "label_rack",
    "label_run",
    "note_labels",
    "print_beds",
    "print_calibration",
    "print_card",
    "print_fan",
    "print_labels",
    "print_order",
    "print_plan",
    "print_rack",
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
    """Write the labels of batches, mother plants and beds; those of batches are noted.

    Where the book can only be read, they are printed all the same and the notice says so.
    """
    run = label_run(desk, order, format_name=format_name, start_at=start_at, finish=finish)
    written = draw_labels(run, path)
    try:
        note_labels(desk, run)
    except BrokenBook as fault:
        said = f"The book does not know that these were printed. {fault}"
        return evolve(written, notice=" ".join(filter(None, (written.notice, said))))
    return written


@frozen
class LabelRun:
    """Labels ready to be drawn: what they say and how; `event` is what the book keeps of it.

    `on` is the day of that entry: today, or that of a batch dated ahead.
    """

    labels: tuple[AnyLabel, ...]
    format: str
    folders: tuple[Path, ...]
    start_at: int
    finish: Finish
    archive: bool
    fades: str
    event: LabelsPrinted | None
    on: dt.date


def label_run(
    desk: Desk,
    order: LabelOrder,
    *,
    format_name: str = "",
    start_at: int = 1,
    finish: LabelFinish | None = None,
) -> LabelRun:
    """Ask the book all that an order of labels needs; raises what `ordered_labels` does."""
    finish = finish or LabelFinish()
    labels = ordered_labels(desk, order)
    chosen = format_meant(desk, format_name) or usual_format(desk.nursery, order)
    shift = shift_for(desk.nursery, read_format(chosen, desk.label_folders))
    event = printing_event(desk, labels, chosen, order.copies or 1)
    started = [desk.book.batch(code).on for code in event.batches] if event else []
    return LabelRun(
        labels=tuple(labels),
        format=chosen,
        folders=desk.label_folders,
        start_at=start_at,
        finish=Finish(finish.both_sides, finish.crop_marks, shift),
        archive=finish.archive,
        fades=fading(desk.nursery, desk.today),
        event=event,
        on=max([desk.today, *started]),
    )


def draw_labels(run: LabelRun, path: Path) -> Written:
    """Draw labels into a PDF or HTML file; this is slow and needs no book."""
    printed = render_labels(
        run.labels, run.format, run.folders, start_at=run.start_at, finish=run.finish
    )
    remarks = (*printed.remarks, run.fades) if run.fades else printed.remarks
    return write(evolve(printed, remarks=remarks), path, archive=run.archive)


def note_labels(desk: Desk, run: LabelRun) -> None:
    """Note in the book which labels are out there now."""
    if run.event:
        record(desk, run.event, run.on)


def print_calibration(start: Path, path: Path, format_name: str = "") -> Written:
    """Write the sheet that shows what a printer does to a page, for the paper of a format."""
    from propagate.paper.calibration import render_calibration

    folders, nursery = _labels_at(start)
    chosen = format_name or (nursery.labels.format if nursery else LabelSettings().format)
    return write(render_calibration(read_format(chosen, folders), folders), path)


def label_rack(start: Path) -> list[LabelFormat]:
    """Every label format that is known where the command was called."""
    return read_rack(_labels_at(start)[0])


def print_rack(start: Path, path: Path) -> Written:
    """Draw every label format with an example on it."""
    from propagate.paper.racks import render_rack

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
    return fan_print(desk, what, by)(path)


def fan_print(desk: Desk, what: Sequence[str], by: dt.date | None = None) -> Draw:
    """The same, asked of the book and ready to be drawn."""
    from propagate.paper.fans import write_fan

    drawn, folders, paper = fan(desk, what, by), desk.label_folders, desk.nursery.labels.sheet
    return lambda path: write_fan(drawn, folders, path, paper)


def print_beds(desk: Desk, answer: "BedsAnswer", path: Path) -> Written:
    """Draw the beds and what will come to them into a .svg, .pdf, .html or .csv file."""
    from propagate.paper.bedbars import write_beds

    nursery = desk.nursery
    return write_beds(answer, desk.label_folders, path, nursery.name, nursery.labels.sheet)


def print_family(desk: Desk, family: "Family", path: Path) -> Written:
    """Draw a family into a .svg, .pdf or .html file, or write it as a table into a .csv."""
    from propagate.paper.families import write_family

    return write_family(family, desk.label_folders, path, desk.nursery.labels.sheet)


def print_plan(desk: Desk, plan: "Plan", path: Path) -> Written:
    """Print a plan with its season chart into a .svg, .pdf, .html or .csv file."""
    from propagate.paper.plans import write_plan

    nursery = desk.nursery
    return write_plan(plan, desk.label_folders, path, nursery.name, nursery.labels.sheet)


def print_card(start: Path, record: MethodRecord, path: Path) -> Written:
    """Write a method record as a one-page card; `start` is where to look for a nursery."""
    from propagate.paper.cards import render_card
    from propagate.planning.cards import method_card

    library, nursery = library_at(start)
    card = method_card(library, record, nursery)
    own = start / labels_folder().name
    folders = (labels_folder(), own) if nursery and own.is_dir() else (labels_folder(),)
    paper = nursery.labels.sheet if nursery else "a4"
    return write(render_card(card, months_of(record, nursery), folders, paper=paper), path)


def card_print(desk: Desk, record: MethodRecord) -> Draw:
    """A method record as a card of this nursery, ready to be drawn."""
    from propagate.paper.cards import render_card
    from propagate.planning.cards import method_card

    card = method_card(desk.library, record, desk.nursery)
    months, folders = months_of(record, desk.nursery), desk.label_folders
    paper = desk.nursery.labels.sheet
    return lambda path: write(render_card(card, months, folders, paper=paper), path)
