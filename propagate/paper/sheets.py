"""The stock sheet: every batch with its count, its forecast and its season."""

from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import Final

from attrs import frozen

from propagate.days import written
from propagate.errors import Refused
from propagate.paper.fitting import Line, words_of, wrap_well
from propagate.paper.lettering import name_runs, window_words
from propagate.paper.printing import Print
from propagate.paper.reconcile import check_totals
from propagate.paper.sheetcsv import CSV_HEADER, csv_rows
from propagate.paper.strips import Scale, Strip, month_marks, strip
from propagate.paper.templates import fill
from propagate.records.prints import Expected, SheetGroup, SheetRow, StockSheet
from propagate.records.rights import FOR_SALE, PROTECTED, sentence
from propagate.records.standing import Standing

NAME_PT: Final = 9.0
STRIP_MM: Final = 55.0

STANDING_COLUMNS: Final = {
    "waiting": "Waiting",
    "rooted": "Rooted",
    "potted": "Potted",
    "hardening": "Hardening",
    "ready": "Ready",
    "planted": "Planted out",
    "given": "Given",
    "lost": "Lost",
}


@frozen
class Paper:
    """A sheet in landscape [mm], and the room it leaves for plant names beside the columns."""

    width_mm: float
    height_mm: float
    name_mm: float


PAPERS: Final = {"a4": Paper(297.0, 210.0, 66.0), "letter": Paper(279.4, 215.9, 48.0)}


@frozen
class Figures:
    """The numbers of one line; `expected` is None where none but the promised are given."""

    started: int
    standing: tuple[int, ...]
    promised: int
    expected: Expected | None


@frozen
class BatchLine:
    """One batch as it stands on the sheet; `over` says why it has no window any more."""

    code: str
    method: str
    details: tuple[str, ...]
    figures: Figures
    window: tuple[str, str, str]
    strip: Strip
    over: str
    miscounted: int


@frozen
class PlantLines:
    """One plant: its name line by line, its cautions, its totals and its batches.

    A plant `alone` in one batch shares a line with it, for their figures are the same.
    """

    name: tuple[Line, ...]
    common: str
    cautions: tuple[str, ...]
    figures: Figures
    batches: tuple[BatchLine, ...]
    protected: bool

    @property
    def alone(self) -> bool:
        """Whether it has one batch only."""
        return len(self.batches) == 1


def render_sheet(sheet: StockSheet, folders: Sequence[Path], *, paper: str = "a4") -> Print:
    """Draw the stock sheet in landscape on A4 or US Letter ("a4", "letter").

    Raises BrokenBook when the totals do not add up, Refused for another paper.
    """
    if paper not in PAPERS:
        raise Refused(f'A stock sheet comes on {" or ".join(PAPERS)} paper, not on "{paper}".')
    check_totals(sheet)
    scale = Scale(sheet.first, sheet.last, STRIP_MM)
    html = fill(
        "sheet.html",
        folders,
        sheet=sheet,
        paper=PAPERS[paper],
        name_pt=NAME_PT,
        as_of=written(sheet.as_of),
        scale=scale,
        months=month_marks(scale),
        today_mm=scale.x_mm(sheet.as_of) if scale.holds(sheet.as_of) else None,
        columns=tuple(STANDING_COLUMNS.values()),
        plants=[_plant_lines(group, scale, PAPERS[paper].name_mm) for group in sheet.groups],
        totals=Figures(sheet.started, _counts(sheet.standing), sheet.promised, None),
        miscounted=sheet.standing.miscounted,
        rights=_rights(sheet),
    )
    return Print(html=html, header=CSV_HEADER, rows=tuple(csv_rows(sheet)))


def _plant_lines(group: SheetGroup, scale: Scale, name_mm: float) -> PlantLines:
    return PlantLines(
        name=tuple(wrap_well(words_of(name_runs(group.name)), name_mm, NAME_PT)),
        common=group.common,
        cautions=tuple(_cautions(group.rows)),
        figures=_figures(group.started, group.standing, group.expected),
        batches=tuple(_batch_line(row, scale) for row in group.rows),
        protected=group.protected,
    )


def _batch_line(row: SheetRow, scale: Scale) -> BatchLine:
    sale = f"{row.for_sale} for sale" if row.for_sale else ""
    details = (written(row.started), row.place, row.trays, sale)
    return BatchLine(
        code=row.code,
        method=row.method,
        details=tuple(detail for detail in details if detail),
        figures=_figures(row.count, row.standing, row.expected),
        window=window_words(row.early, row.likely, row.late),
        strip=strip(scale, row.started, (row.early, row.likely, row.late)),
        over="" if row.in_tray else "finished" if row.finished else "tray empty",
        miscounted=row.standing.miscounted,
    )


def _figures(started: int, standing: Standing, expected: Expected) -> Figures:
    return Figures(started, _counts(standing), expected.promised, expected)


def _counts(standing: Standing) -> tuple[int, ...]:
    return tuple(getattr(standing, key) for key in STANDING_COLUMNS)


def _rights(sheet: StockSheet) -> list[str]:
    """What the sheet says of plants for sale and of protected ones, where it has any."""
    said = [f"For sale: {FOR_SALE}."] if sheet.for_sale else []
    if any(group.protected for group in sheet.groups):
        said.append(f"† {sentence(PROTECTED)}")
    return said


def _cautions(rows: Sequence[SheetRow]) -> Iterable[str]:
    """Each caution once, with the batches it is about unless it is about all."""
    codes: dict[str, list[str]] = {}
    for row in rows:
        for caution in row.cautions:
            codes.setdefault(caution, []).append(row.code)
    for caution, about in codes.items():
        yield caution if len(about) == len(rows) else f"{caution} ({', '.join(about)})"
