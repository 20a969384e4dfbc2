"""Label formats: the sheet, the label on it and the boxes on the label, read from TOML."""

import difflib
import math
import tomllib
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any, Final

from attrs import NOTHING, fields, frozen

from propagate.errors import NotFound, Problem, Refused, refuse_all

BOX_NAMES: Final = (
    "heading", "code", "facts", "task", "dates", "qr", "tray", "caution", "nursery",
)  # fmt: skip
_MUST_HAVE: Final = ("heading", "code", "qr")
_ROUNDING_MM: Final = 0.01


@frozen
class Page:
    """The sheet of paper [mm]."""

    width_mm: float
    height_mm: float


@frozen
class Grid:
    """Where the labels lie on the page: first corner and pitch [mm], pitch = label + gap."""

    columns: int
    rows: int
    left_mm: float
    top_mm: float
    pitch_x_mm: float
    pitch_y_mm: float


@frozen
class LabelSize:
    """One label [mm]; `padding_mm` stays white all round.

    `buried_mm` counts from the foot and is kept free of print; of it, `point_mm` is the point
    that a cut line is drawn around, 0 for stock that is cut already. `rule_mm` is the height of
    the hairline above the dates, 0 for none.
    """

    width_mm: float
    height_mm: float
    padding_mm: float
    buried_mm: float = 0.0
    point_mm: float = 0.0
    rule_mm: float = 0.0


@frozen
class Box:
    """A place for one thing on the label [mm from its upper left corner], and type sizes [pt].

    In a turned box the lines run from top to bottom. With `at_foot`, lines that do not fill the
    box stand at its foot, so that neighbours of different size share a base line.
    """

    left_mm: float
    top_mm: float
    width_mm: float
    height_mm: float
    max_pt: float = 10.0
    min_pt: float = 6.0
    turned: bool = False
    at_foot: bool = False

    @property
    def right_mm(self) -> float:
        """Right edge [mm]."""
        return self.left_mm + self.width_mm

    @property
    def foot_mm(self) -> float:
        """Lower edge [mm]."""
        return self.top_mm + self.height_mm

    @property
    def text_area_mm(self) -> tuple[float, float]:
        """Room along the lines and across them [mm]."""
        area = (self.width_mm, self.height_mm)
        return area[::-1] if self.turned else area

    def overlaps(self, other: "Box") -> bool:
        """Whether the two boxes share an area, rounding aside."""
        return (
            min(self.right_mm, other.right_mm) - max(self.left_mm, other.left_mm) > _ROUNDING_MM
            and min(self.foot_mm, other.foot_mm) - max(self.top_mm, other.top_mm) > _ROUNDING_MM
        )


@frozen
class LabelFormat:
    """A whole format: its name, the template that draws it, and the geometry."""

    name: str
    template: str
    page: Page
    grid: Grid
    label: LabelSize
    boxes: dict[str, Box]

    @property
    def per_page(self) -> int:
        """Labels on one sheet."""
        return self.grid.columns * self.grid.rows

    def corner_mm(self, position: int) -> tuple[float, float]:
        """Left and top [mm] of the label at a position counted from 0 along the rows."""
        row, column = divmod(position, self.grid.columns)
        return (
            self.grid.left_mm + column * self.grid.pitch_x_mm,
            self.grid.top_mm + row * self.grid.pitch_y_mm,
        )


def format_names(folders: Sequence[Path]) -> list[str]:
    """Names of all formats that the folders hold, in alphabetical order."""
    return sorted(_format_files(folders))


def read_format(name: str, folders: Sequence[Path]) -> LabelFormat:
    """Read one format; where two folders hold it, the last folder wins.

    Raises NotFound for an unknown name, Refused for a file that does not describe labels that
    fit their sheet.
    """
    files = _format_files(folders)
    if name not in files:
        raise NotFound(
            f'There is no label format "{name}"; there are: {", ".join(sorted(files)) or "none"}.',
            difflib.get_close_matches(name, files),
        )
    path = files[name]
    try:
        table = tomllib.loads(path.read_text(encoding="utf-8"))
    except (OSError, ValueError) as fault:
        raise Refused(f"{path} cannot be read as a label format: {fault}.") from fault
    lead = f"{path} does not describe a label format:"
    problems = list(_key_problems(table))
    refuse_all(problems, lead)
    label_format = LabelFormat(
        name=name,
        template=table["template"],
        page=Page(**table["page"]),
        grid=Grid(**table["grid"]),
        label=LabelSize(**table["label"]),
        boxes={key: Box(**table["boxes"][key]) for key in BOX_NAMES if key in table["boxes"]},
    )
    refuse_all(_fit_problems(label_format), lead)
    return label_format


def _format_files(folders: Sequence[Path]) -> dict[str, Path]:
    return {path.stem: path for folder in folders for path in sorted(folder.glob("*.toml"))}


def _key_problems(table: dict[str, Any]) -> Iterator[Problem]:
    """Unknown and missing keys, and values of the wrong kind, in the whole file."""
    sections = {"page": Page, "grid": Grid, "label": LabelSize, "boxes": None}
    for key in sorted(table.keys() - sections.keys() - {"template"}):
        yield Problem(key, f"this key is not known; known are template, {', '.join(sections)}")
    if not isinstance(table.get("template"), str):
        yield Problem("template", "the file name of a template is needed")
    for key, kind in sections.items():
        section = table.get(key)
        if not isinstance(section, dict):
            yield Problem(key, "this section is missing")
        elif kind is None:
            yield from _box_problems(section)
        else:
            yield from _section_problems(key, kind, section)


def _box_problems(boxes: dict[str, Any]) -> Iterator[Problem]:
    for name in sorted(boxes.keys() - set(BOX_NAMES)):
        yield Problem(f"boxes.{name}", f"a label has no such box; it has {', '.join(BOX_NAMES)}")
    for name in BOX_NAMES:
        box = boxes.get(name)
        if isinstance(box, dict):
            yield from _section_problems(f"boxes.{name}", Box, box)
        elif box is not None or name in _MUST_HAVE:
            yield Problem(f"boxes.{name}", "this section is missing")


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
    if isinstance(value, bool) or not isinstance(value, int | float) or not math.isfinite(value):
        return "this is a number"
    if value < 0:
        return "this cannot be negative"
    if kind is int and (not isinstance(value, int) or value < 1):
        return "this is a whole number from 1"
    return ""


def _fit_problems(label_format: LabelFormat) -> Iterator[Problem]:
    """Why the geometry cannot be printed: labels over the edge or over each other, boxes too."""
    page, grid, label = label_format.page, label_format.grid, label_format.label
    axes = (
        ("columns", "width_mm", "pitch_x_mm", grid.left_mm, grid.columns, grid.pitch_x_mm),
        ("rows", "height_mm", "pitch_y_mm", grid.top_mm, grid.rows, grid.pitch_y_mm),
    )
    for count_key, size_key, pitch_key, start_mm, count, pitch_mm in axes:
        label_mm, page_mm = getattr(label, size_key), getattr(page, size_key)
        end_mm = start_mm + (count - 1) * pitch_mm + label_mm
        if end_mm > page_mm + _ROUNDING_MM:
            reason = f"{count} labels end at {end_mm:.2f} mm, the page is {page_mm:.2f} mm"
            yield Problem(f"grid.{count_key}", reason)
        if count > 1 and pitch_mm < label_mm - _ROUNDING_MM:
            reason = f"{pitch_mm:.2f} mm is less than the label's {label_mm:.2f} mm; labels overlap"
            yield Problem(f"grid.{pitch_key}", reason)
    if label.point_mm > label.buried_mm:
        yield Problem("label.point_mm", "the point is longer than the buried part")
    yield from _box_fit_problems(label, label_format.boxes)


def _box_fit_problems(label: LabelSize, boxes: dict[str, Box]) -> Iterator[Problem]:
    edge = label.padding_mm - _ROUNDING_MM
    for name, box in boxes.items():
        foot_mm = label.height_mm - max(label.padding_mm, label.buried_mm) + _ROUNDING_MM
        inside = box.left_mm >= edge and box.top_mm >= edge
        inside = inside and box.right_mm <= label.width_mm - edge and box.foot_mm <= foot_mm
        if not inside:
            yield Problem(f"boxes.{name}", "the box leaves the part of the label kept for print")
        if box.min_pt > box.max_pt or box.min_pt <= 0:
            yield Problem(f"boxes.{name}.min_pt", "it lies above 0 and not above max_pt")
        for other in BOX_NAMES[: BOX_NAMES.index(name)]:
            if other in boxes and box.overlaps(boxes[other]):
                yield Problem(f"boxes.{name}", f"the box lies over the box {other}")
