"""The section [beds] of the settings: ground that wants filling, and how it is measured."""

from collections.abc import Callable
from typing import TypeVar

from propagate.errors import Refused
from propagate.lengths import read_area, read_length
from propagate.records.nursery import Bed, MonthDay, Spacing
from propagate.science.spacing import PATTERNS, Pattern, rows_apart_m
from propagate.settings.values import close, month_day, section, whole
from propagate.tables import Table
from propagate.worded import worded

Value = TypeVar("Value")


def read_beds(table: Table) -> list[Bed]:
    """The beds in the order they are written; none when there is no such section."""
    beds = []
    for name, inner in section(table, "beds"):
        beds.append(
            Bed(
                name,
                whole(inner, "plants_wanted"),
                inner.text("note", ""),
                _measured(inner, "length", read_length),
                _measured(inner, "width", read_length),
                _measured(inner, "area", read_area),
                _spacing(inner),
                inner.text("plant", ""),
                _by(inner),
            )
        )
        _refuse_half_measures(inner, beds[-1])
        close(table, inner)
    return beds


def _measured(
    table: Table, key: str, read: Callable[[str], Value], default: Value | None = None
) -> Value | None:
    """What a text says, in the words of its reader; None where it is not given."""
    text = table.text(key, "")
    if not text:
        return default
    try:
        return read(text)
    except Refused as error:
        table.complain(error.said, key)
        return default


def _spacing(table: Table) -> Spacing | None:
    apart_m = _measured(table, "spacing", read_length)
    rows_m = _measured(table, "rows", read_length)
    chosen = table.choice("pattern", PATTERNS, "square")
    pattern: Pattern = "triangle" if chosen == "triangle" else "square"
    if apart_m is None:
        if rows_m is not None:
            table.complain(worded('say how far plants stand apart too: spacing = "40 cm"'), "rows")
        return None
    return Spacing(apart_m, rows_m or rows_apart_m(apart_m, pattern), pattern)


def _by(table: Table) -> MonthDay | None:
    return _measured(table, "by", month_day)


def _refuse_half_measures(table: Table, bed: Bed) -> None:
    """A bed that is measured two ways, or measured without a spacing, says nothing certain."""
    if bed.area_m2 and bed.length_m:
        table.complain(worded("give either an area, or length and width"), "area")
    if bed.width_m and not bed.length_m:
        table.complain(worded('give its length too: length = "6 m"'), "width")
    if (bed.area_m2 or bed.length_m) and not bed.spacing and bed.plants_wanted is None:
        table.complain(worded('say how far plants stand apart: spacing = "40 cm"'))
