"""The stock sheet as a table: a line for each batch, plant and the whole."""

from collections.abc import Iterator
from typing import Final

from propagate.paper.csvfiles import Cell
from propagate.paper.reconcile import STANDING_KEYS
from propagate.records.prints import Expected, SheetGroup, SheetRow, StockSheet
from propagate.records.standing import Standing

CSV_HEADER: Final = (
    "line", "plant", "common", "batch", "method", "started_on", "place", "trays", "started",
    *STANDING_KEYS,
    "low", "likely", "high", "promised", "free_low", "free_likely", "free_high",
    "pot_on_early", "pot_on_likely", "pot_on_late", "finished", "cautions",
    "for_sale", "protected",
)  # fmt: skip

_NO_BATCH: Final[tuple[Cell, ...]] = ("",) * 5
_NO_WINDOW: Final[tuple[Cell, ...]] = ("",) * 5


def csv_rows(sheet: StockSheet) -> Iterator[tuple[Cell, ...]]:
    """Lines under CSV_HEADER; the column "line" tells batches, plant totals and the whole apart."""
    for group in sheet.groups:
        for row in group.rows:
            yield _batch(group, row)
        yield (
            "plant", str(group.name), group.common, *_NO_BATCH,
            group.started, *_standing(group.standing), *_expected(group.expected), *_NO_WINDOW,
            sum(row.for_sale for row in group.rows), _yes(group.protected),
        )  # fmt: skip
    yield (
        "all", "", "", *_NO_BATCH,
        sheet.started, *_standing(sheet.standing), "", "", "", sheet.promised, "", "", "",
        *_NO_WINDOW, sheet.for_sale, "",
    )  # fmt: skip


def _batch(group: SheetGroup, row: SheetRow) -> tuple[Cell, ...]:
    return (
        "batch", str(group.name), group.common,
        row.code, row.method, row.started.isoformat(), row.place, row.trays,
        row.count, *_standing(row.standing), *_expected(row.expected),
        *(day.isoformat() if row.in_tray else "" for day in (row.early, row.likely, row.late)),
        _yes(row.finished), "; ".join(row.cautions), row.for_sale, _yes(group.protected),
    )  # fmt: skip


def _yes(holds: bool) -> str:
    return "yes" if holds else "no"


def _standing(standing: Standing) -> tuple[int, ...]:
    return tuple(getattr(standing, key) for key in STANDING_KEYS)


def _expected(expected: Expected) -> tuple[int, ...]:
    return (
        expected.low, expected.likely, expected.high, expected.promised,
        expected.free_low, expected.free_likely, expected.free_high,
    )  # fmt: skip
