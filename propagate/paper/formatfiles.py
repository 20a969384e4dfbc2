"""Read label formats from TOML: whole ones, and those that only say how they differ."""

import difflib
import math
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any, Final, get_args

import tomli
from attrs import NOTHING, fields, frozen

from propagate.errors import NotFound, Problem, Refused, refuse_all
from propagate.paper.formats import (
    BOX_NAMES,
    PAGE_IS_LABEL,
    PAPERS,
    ROUNDING_MM,
    Box,
    Grid,
    LabelFormat,
    LabelSize,
    Mark,
    MarkKind,
    Page,
)
from propagate.paper.reshaping import over

_MUST_HAVE: Final = ("heading", "code")
_SECTIONS: Final = {"grid": Grid, "label": LabelSize}
_KNOWN: Final = (
    "like", "title", "template", "page", "read_at_m", "outline", "marks", "grid", "label", "boxes",
)  # fmt: skip
_HOLE_MARGIN_MM: Final = 0.5


@frozen
class Rack:
    """All formats of some folders; where two folders hold one name, the last folder wins."""

    files: dict[str, tuple[Path, ...]]

    @property
    def names(self) -> list[str]:
        """Their names in alphabetical order."""
        return sorted(self.files)


def rack(folders: Sequence[Path]) -> Rack:
    """The formats that the folders hold, unread."""
    files: dict[str, tuple[Path, ...]] = {}
    for folder in folders:
        for path in sorted(folder.glob("*.toml")):
            files[path.stem] = (*files.get(path.stem, ()), path)
    return Rack(files)


def format_names(folders: Sequence[Path]) -> list[str]:
    """Names of all formats that the folders hold, in alphabetical order."""
    return rack(folders).names


def read_format(name: str, folders: Sequence[Path]) -> LabelFormat:
    """Read one format.

    Raises NotFound for an unknown name, Refused for a file that does not describe labels that
    fit their sheet.
    """
    known = rack(folders)
    if name not in known.files:
        raise NotFound(
            f'There is no label format "{name}"; propagate labels --formats lists them.',
            difflib.get_close_matches(name, known.names),
        )
    path = known.files[name][-1]
    lead = f"{path} does not describe a label format:"
    table = _whole(name, known, len(known.files[name]) - 1, ())
    refuse_all(list(_key_problems(table)), lead)
    label_format = _built(name, table)
    refuse_all(_fit_problems(label_format), lead)
    return label_format


def read_rack(folders: Sequence[Path]) -> list[LabelFormat]:
    """Every format of some folders, by name; raises what `read_format` does."""
    return [read_format(name, folders) for name in format_names(folders)]


def _whole(name: str, known: Rack, at: int, seen: tuple[Path, ...]) -> dict[str, Any]:
    """The table of a format laid over the one that it is like, and so on down."""
    path = known.files[name][at]
    if path in seen:
        raise Refused(f"{path} is like itself, by way of {seen[-1]}.")
    table = _read(path)
    base = table.pop("like", None)
    if base is None:
        return table
    # A nursery's own format may be like the shipped one of the same name.
    below = at - 1 if base == name else len(known.files.get(base, ())) - 1
    if not isinstance(base, str) or below < 0:
        raise NotFound(
            f'{path} is like "{base}", which is no label format.',
            difflib.get_close_matches(str(base), known.names),
        )
    return over(_whole(base, known, below, (*seen, path)), table)


def _read(path: Path) -> dict[str, Any]:
    try:
        table = tomli.loads(path.read_text(encoding="utf-8"))
    except (OSError, ValueError) as fault:
        raise Refused(f"{path} cannot be read as a label format: {fault}.") from fault
    wrong = [
        Problem(key, f"a table is wanted, not {table[key]!r}")
        for key in ("grid", "label", "boxes")
        if key in table and not isinstance(table[key], dict)
    ]
    refuse_all(wrong, f"{path} does not describe a label format:")
    return table


def _built(name: str, table: dict[str, Any]) -> LabelFormat:
    label = LabelSize(**table["label"])
    return LabelFormat(
        name=name,
        title=table["title"],
        template=table["template"],
        page=_page(table["page"], label),
        grid=Grid(**table.get("grid", {})),
        label=label,
        boxes={key: Box(**table["boxes"][key]) for key in BOX_NAMES if key in table["boxes"]},
        marks=tuple(Mark(**mark) for mark in table.get("marks", ())),
        outline=tuple((float(x), float(y)) for x, y in table.get("outline", ())),
        read_at_m=float(table.get("read_at_m", 0.6)),
    )


def _page(page: Any, label: LabelSize) -> Page:
    if page == PAGE_IS_LABEL:
        return Page(label.width_mm, label.height_mm)
    return PAPERS[page] if isinstance(page, str) else Page(**page)


def _key_problems(table: dict[str, Any]) -> Iterator[Problem]:
    """Unknown and missing keys, and values of the wrong kind, in the whole table."""
    for key in sorted(table.keys() - set(_KNOWN)):
        yield Problem(key, f"this key is not known; known are {', '.join(_KNOWN)}")
    for key, what in (("template", "the file name of a template"), ("title", "a few words")):
        if not isinstance(table.get(key), str):
            yield Problem(key, f"{what} is needed")
    reason = _value_fault(float, table.get("read_at_m", 1.0))
    if reason or not table.get("read_at_m", 1.0):
        yield Problem("read_at_m", f"a distance in metres is wanted, not {table['read_at_m']!r}")
    yield from _page_problems(table.get("page"))
    if "label" not in table:
        yield Problem("label", "this section is missing")
    for key, kind in _SECTIONS.items():
        if key in table:
            yield from _section_problems(key, kind, table[key])
    yield from _box_problems(table.get("boxes", {}))
    yield from _drawing_problems(table)


def _page_problems(page: Any) -> Iterator[Problem]:
    if isinstance(page, dict):
        yield from _section_problems("page", Page, page)
    elif page not in (*PAPERS, PAGE_IS_LABEL):
        known = f'"{", ".join([*PAPERS, PAGE_IS_LABEL])}", or a table with width_mm and height_mm'
        yield Problem("page", f"it is one of {known}")


def _box_problems(boxes: dict[str, Any]) -> Iterator[Problem]:
    for name in sorted(boxes.keys() - set(BOX_NAMES)):
        yield Problem(f"boxes.{name}", f"a label has no such box; it has {', '.join(BOX_NAMES)}")
    for name in BOX_NAMES:
        box = boxes.get(name)
        if isinstance(box, dict):
            yield from _section_problems(f"boxes.{name}", Box, box)
        elif box is not None or name in _MUST_HAVE:
            yield Problem(f"boxes.{name}", "this section is missing")


def _drawing_problems(table: dict[str, Any]) -> Iterator[Problem]:
    outline, marks = table.get("outline", []), table.get("marks", [])
    good = isinstance(outline, list) and all(
        isinstance(point, list)
        and len(point) == 2
        and not any(_value_fault(float, v) for v in point)
        for point in outline
    )
    if not good or len(outline) in (1, 2):
        yield Problem("outline", "a list of three or more [x, y] is wanted")
    if not isinstance(marks, list):
        yield Problem("marks", "write each mark as [[marks]]")
        return
    for number, mark in enumerate(marks, 1):
        if isinstance(mark, dict):
            yield from _section_problems(f"marks {number}", Mark, mark)
        else:
            yield Problem("marks", "write each mark as [[marks]]")


def _section_problems(where: str, kind: Any, section: dict[str, Any]) -> Iterator[Problem]:
    known = {one.name: one for one in fields(kind)}
    for key in sorted(section.keys() - known.keys()):
        yield Problem(f"{where}.{key}", f"this key is not known; known are {', '.join(known)}")
    for key, one in known.items():
        if key in section:
            reason = _value_fault(one.type, section[key])
            if reason:
                yield Problem(f"{where}.{key}", f"{reason}, not {section[key]!r}")
        elif one.default is NOTHING:
            yield Problem(f"{where}.{key}", "this key is missing")


def _value_fault(kind: Any, value: object) -> str:
    if kind is bool:
        return "" if isinstance(value, bool) else "this is true or false"
    if kind == MarkKind:
        return "" if value in get_args(MarkKind) else f"this is {' or '.join(get_args(MarkKind))}"
    if isinstance(value, bool) or not isinstance(value, int | float) or not math.isfinite(value):
        return "this is a number"
    if value < 0:
        return "this cannot be negative"
    if kind is int and (not isinstance(value, int) or value < 1):
        return "this is a whole number from 1"
    return ""


def _fit_problems(label_format: LabelFormat) -> Iterator[Problem]:
    """Why the geometry cannot be printed: labels over the edge, boxes over each other."""
    page, grid, label = label_format.page, label_format.grid, label_format.label
    across_mm, down_mm = label_format.pitch_mm
    axes = (
        ("columns", label.width_mm, page.width_mm, grid.left_mm, grid.columns, across_mm),
        ("rows", label.height_mm, page.height_mm, grid.top_mm, grid.rows, down_mm),
    )
    for count_key, label_mm, page_mm, start_mm, count, pitch_mm in axes:
        end_mm = start_mm + (count - 1) * pitch_mm + label_mm
        if end_mm > page_mm + ROUNDING_MM:
            reason = f"{count} labels end at {end_mm:.2f} mm, the page is {page_mm:.2f} mm"
            yield Problem(f"grid.{count_key}", reason)
    for x, y in label_format.outline:
        if x > label.width_mm + ROUNDING_MM or y > label.height_mm + ROUNDING_MM:
            yield Problem("outline", f"[{x:g}, {y:g}] lies outside the label")
    yield from _box_fit_problems(label, label_format.boxes)
    yield from _mark_fit_problems(label_format)


def _box_fit_problems(label: LabelSize, boxes: dict[str, Box]) -> Iterator[Problem]:
    edge = label.padding_mm - ROUNDING_MM
    taken = dict(boxes)
    if label.mirrored:
        taken |= {f"{name} of the other face": _turned(box, label) for name, box in boxes.items()}
    names = list(taken)
    for name, box in boxes.items():
        foot_mm = label.height_mm - max(label.padding_mm, label.buried_mm) + ROUNDING_MM
        inside = box.left_mm >= edge and box.top_mm >= edge
        inside = inside and box.right_mm <= label.width_mm - edge and box.foot_mm <= foot_mm
        if not inside:
            yield Problem(f"boxes.{name}", "the box leaves the part of the label kept for print")
        if box.min_pt > box.max_pt or box.min_pt <= 0:
            yield Problem(f"boxes.{name}.min_pt", "it lies above 0 and not above max_pt")
        others = [*names[: names.index(name)], *names[len(boxes) :]]
        for other in others:
            if box.overlaps(taken[other]):
                yield Problem(f"boxes.{name}", f"the box lies over the box {other}")


def _turned(box: Box, label: LabelSize) -> Box:
    left, top = label.width_mm - box.right_mm, label.height_mm - box.foot_mm
    return Box(left, top, box.width_mm, box.height_mm)


def _mark_fit_problems(label_format: LabelFormat) -> Iterator[Problem]:
    """A hole or slit through print would take a letter with it."""
    for number, mark in enumerate(label_format.marks, 1):
        area = mark.box
        if area.right_mm > label_format.label.width_mm or area.foot_mm > (
            label_format.label.height_mm
        ):
            yield Problem(f"marks {number}", f"the {mark.kind} lies outside the label")
        kept = Box(
            area.left_mm - _HOLE_MARGIN_MM,
            area.top_mm - _HOLE_MARGIN_MM,
            area.width_mm + 2 * _HOLE_MARGIN_MM,
            area.height_mm + 2 * _HOLE_MARGIN_MM,
        )
        for name, box in label_format.boxes.items():
            if kept.overlaps(box):
                yield Problem(f"marks {number}", f"the {mark.kind} lies on the box {name}")
