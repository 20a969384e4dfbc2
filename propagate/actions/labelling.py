"""Which labels are meant, what they say, and what a grower should know of how long they last."""

import datetime as dt
from collections.abc import Sequence
from contextlib import suppress
from pathlib import Path

from attrs import frozen

from propagate.actions.answering import cases_beside, due, forecast
from propagate.actions.desk import Desk
from propagate.actions.meaning import spelled
from propagate.days import written
from propagate.errors import NotFound, PropagateError, Refused
from propagate.lasting import TWO_WINTERS_MONTHS, life_of, months_said
from propagate.paper.drawn import Shift
from propagate.paper.formatfiles import format_names, read_format
from propagate.paper.formats import LabelFormat
from propagate.paper.saying import AnyLabel
from propagate.planning.case import Case
from propagate.planning.labels import (
    bed_label,
    known_beds,
    mother_label,
    pots_of,
    tray_labels,
)
from propagate.planning.reprints import doubt_said, fades_on, window_text
from propagate.records.answers import DueTask
from propagate.records.events import LabelsPrinted
from propagate.records.nursery import Nursery
from propagate.records.printers import PrinterFit
from propagate.records.prints import TrayLabel
from propagate.worded import worded

__all__ = [
    "MOST_COPIES",
    "REPRINT",
    "LabelOrder",
    "fading",
    "format_meant",
    "format_titles",
    "known_beds",
    "living_batches",
    "make_labels",
    "ordered_labels",
    "printing_event",
    "shift_for",
    "shift_of",
    "short_cautions",
    "usual_format",
    "void_labels",
]

REPRINT = "print a new label"

MOST_COPIES = 500
"""Labels of one kind in one print; more is a slip of the pen."""


@frozen
class LabelOrder:
    """Which labels to print: of batches, mother plants and beds, and how many of each.

    A batch gets one for each of its trays, `copies` of them, or with `per_pot` one for each
    plant in a pot; a mother plant or a bed gets one, or `copies`.
    """

    batches: tuple[str, ...] = ()
    mothers: tuple[str, ...] = ()
    beds: tuple[str, ...] = ()
    copies: int | None = None
    per_pot: bool = False


def ordered_labels(desk: Desk, order: LabelOrder) -> list[AnyLabel]:
    """What the labels of an order say.

    Raises NotFound for what the book does not have, Refused for no copies or nothing in pots.
    """
    if order.copies is not None and order.copies < 1:
        raise Refused(f"{order.copies} copies are none; give 1 or more.")
    if order.copies is not None and order.copies > MOST_COPIES:
        raise Refused(f"{order.copies} copies are too many; {MOST_COPIES} is the most at once.")
    labels: list[AnyLabel] = []
    if order.batches:
        labels += make_labels(desk, order.batches, order.copies, per_pot=order.per_pot)
    for _ in range(order.copies or 1):
        labels += [_mother(desk, key) for key in order.mothers]
        labels += [
            bed_label(desk.book, desk.nursery, bed, desk.library.common_name) for bed in order.beds
        ]
    if not labels:
        raise Refused(
            "Say which labels: a batch or several, --mother KEY, --bed BED, --all or --reprint."
        )
    return labels


def short_cautions(desk: Desk, case: Case) -> tuple[str, ...]:
    """What to mind in short: first what is suspected, then what the library says."""
    doubts = dict.fromkeys(doubt_said(doubt) for doubt in case.state.doubts)
    return (*doubts, *desk.library.short_cautions(case.method.id, case.state.name))


def make_labels(
    desk: Desk, batches: Sequence[str], copies: int | None = None, *, per_pot: bool = False
) -> list[TrayLabel]:
    """What the labels of some batches say; raises NotFound for a batch the book does not have."""
    answers = {answer.batch: answer for answer in forecast(desk, batches).batches}
    by_code = {case.state.code: case for case in cases_beside(desk, answers)}
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
                copies=pots_of(case.state) if per_pot else copies,
            )
        )
    return labels


def _mother(desk: Desk, key: str) -> AnyLabel:
    mothers = desk.book.stock_plants
    meant = spelled(key, mothers)
    if meant not in mothers:
        raise NotFound(
            worded('There is no mother plant "{name}" in the book.', name=key), tuple(mothers)[:3]
        )
    state = mothers[meant]
    common = desk.library.common_name(state.name)
    return mother_label(state, desk.nursery, common, desk.library.plant_cautions(state.name))


def format_meant(desk: Desk, name: str) -> str:
    """The format of this name; a kind alone, as "stake", is the one on the nursery's sheet."""
    known = format_names(desk.label_folders)
    on_sheet = f"{name}-{desk.nursery.labels.sheet}"
    return on_sheet if name not in known and on_sheet in known else name


def usual_format(nursery: Nursery, order: LabelOrder) -> str:
    """The format where none is named: beds and mothers have kinds of their own."""
    if order.batches or (order.mothers and order.beds):
        return nursery.labels.format
    return f"{'mother' if order.mothers else 'bed'}-{nursery.labels.sheet}"


def printing_event(
    desk: Desk, labels: Sequence[AnyLabel], format_name: str, copies: int
) -> LabelsPrinted | None:
    """What the book keeps of a printing: none where no batch was among the labels."""
    windows = {
        label.code: window_text(label.early, label.likely, label.late)
        for label in labels
        if isinstance(label, TrayLabel)
    }
    if not windows:
        return None
    said = desk.nursery.labels
    return LabelsPrinted(
        tuple(windows), format_name, copies, tuple(windows.values()), said.material, said.printing
    )


def fading(nursery: Nursery, today: dt.date) -> str:
    """One line on labels that will not last two winters; empty where they do or nobody said."""
    said = nursery.labels
    life = life_of(said.material, said.printing)
    if life is None or life.months[0] >= TWO_WINTERS_MONTHS:
        return ""
    how = " on ".join(word for word in (said.printing, said.material) if word)
    return (
        f"{how} lasts {months_said(life.months)} outdoors ({life.basis}: {life.source});"
        f" due asks for new labels on {written(fades_on(today, life))}"
    )


def shift_for(nursery: Nursery, label_format: LabelFormat) -> Shift:
    """How sheets of a format are drawn so that this nursery's printer puts them right."""
    said = nursery.labels
    return shift_of(said.roll_printer if label_format.is_roll else said.printer)


def shift_of(fit: PrinterFit) -> Shift:
    """The contrary of what a printer does: it prints at offset + scale times where drawn."""
    (across, down), (right_mm, down_mm) = fit.scale, fit.offset_mm
    return Shift(1 / across, 1 / down, -right_mm / across, -down_mm / down)


def void_labels(desk: Desk) -> list[DueTask]:
    """Labels that are out there and no longer good today, each with its reason."""
    return [task for task in due(desk, 0) if task.action == REPRINT]


def format_titles(folders: Sequence[Path]) -> tuple[tuple[str, str], ...]:
    """Each label format that can be read, as its name and what it is."""
    known = []
    for name in format_names(folders):
        with suppress(PropagateError):  # a format of the nursery's own that is not right yet
            known.append((name, read_format(name, folders).title))
    return tuple(known)


def living_batches(desk: Desk) -> tuple[str, ...]:
    """The codes of all batches with plants alive."""
    return tuple(code for code, state in desk.book.batches.items() if state.living)
