"""The section [labels] of the settings: formats, material, and what the printer does."""

import math
from collections.abc import Iterable

from propagate.lasting import MATERIALS, PRINTINGS
from propagate.records.nursery import LabelSettings
from propagate.records.printers import MOST_OFF_MM, MOST_STRETCH, Pair, PrinterFit
from propagate.settings.values import close
from propagate.tables import Table
from propagate.worded import worded

_LENGTHS = ("across_mm", "down_mm")


def read_labels(table: Table) -> LabelSettings:
    """How the nursery prints; the usual when the section is not there."""
    if not table.gives("labels"):
        return LabelSettings()
    inner = table.table("labels")
    sheet = inner.choice("sheet", ("a4", "letter"), "a4")
    labels = LabelSettings(
        format=inner.text("format", f"tray-{sheet}"),
        sheet="letter" if sheet == "letter" else "a4",
        label_url=inner.text("label_url", ""),
        material=_one_of(inner, "material", MATERIALS),
        printing=_one_of(inner, "print", PRINTINGS),
        printer=_read_fit(inner, "printer"),
        roll_printer=_read_fit(inner, "roll_printer"),
    )
    close(table, inner)
    return labels


def _one_of(table: Table, key: str, known: Iterable[str]) -> str:
    """One of the known words, empty when none is given."""
    return table.choice(key, ("", *known), "")


def _read_fit(table: Table, key: str) -> PrinterFit:
    if not table.gives(key):
        return PrinterFit()
    inner = table.table(key)
    pairs: dict[str, Pair] = {}
    for name in ("left_mm", "top_mm", *_LENGTHS):
        pair = _planned_and_measured(inner, name)
        if pair:
            pairs[name] = pair
    fit = PrinterFit(**pairs)
    for name, stretch in zip(_LENGTHS, fit.scale, strict=True):
        if abs(stretch - 1) > MOST_STRETCH:
            inner.complain(
                worded("{stretch:.2f} times as large is no printer's doing", stretch=stretch), name
            )
    for name, off_mm in zip(("left_mm", "top_mm"), fit.offset_mm, strict=True):
        if abs(off_mm) > MOST_OFF_MM:
            inner.complain(worded("{off:.1f} mm off is no printer's doing", off=off_mm), name)
    clean = inner.clean
    close(table, inner)
    return fit if clean else PrinterFit()


def _planned_and_measured(table: Table, key: str) -> Pair | None:
    given = table.values.get(key)
    if not table.gives(key):
        return None
    numbers = isinstance(given, list) and len(given) == 2
    if numbers and all(_is_length(one) for one in given or ()):
        return float(given[0]), float(given[1])  # type: ignore[index]
    table.complain(
        worded("two lengths are wanted, planned and measured, not {given!r}", given=given), key
    )
    return None


def _is_length(value: object) -> bool:
    number = isinstance(value, int | float) and not isinstance(value, bool)
    return number and math.isfinite(float(value)) and float(value) > 0  # type: ignore[arg-type]
