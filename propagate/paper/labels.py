"""Labels: from what they say to sheets of them.

label -> words -> lines in boxes -> a drawn label -> its place on a sheet -> a print
"""

from collections.abc import Iterator, Sequence
from itertools import groupby
from pathlib import Path

from attrs import Factory, frozen

from propagate.errors import Refused
from propagate.paper.drawn import (
    Block,
    DrawnLabel,
    DrawnSheets,
    PlacedLabel,
    QrPlace,
    Shift,
    Stroke,
)
from propagate.paper.fitting import LEADING, Line, block_height_mm
from propagate.paper.formatfiles import read_format
from propagate.paper.formats import Box, LabelFormat
from propagate.paper.lettering import Said, letter
from propagate.paper.printing import Print
from propagate.paper.qr import SMALLEST_MODULE_MM, draw_qr, symbol
from propagate.paper.saying import AnyLabel, say
from propagate.paper.templates import fill
from propagate.paths import labels_folder

OWN_TEMPLATE = "label.html"
_CROP_MM = 5.0
_CROP_GAP_MM = 1.0


@frozen
class Finish:
    """How sheets of labels are finished: printed on the back too, with crop marks, shifted."""

    both_sides: bool = False
    crop_marks: bool = False
    shift: Shift = Factory(Shift)


def render_labels(
    labels: Sequence[AnyLabel],
    format_name: str,
    folders: Sequence[Path],
    *,
    start_at: int = 1,
    finish: Finish | None = None,
) -> Print:
    """Set labels in order on sheets of a format.

    `start_at` is the first free place on the first sheet, 1 at the upper left, counted along
    the rows. Raises NotFound for an unknown format; Refused for a faulty one, a place that the
    sheet does not have, no labels at all, or a label that cannot be set.
    """
    label_format = read_format(format_name, folders)
    if not labels:
        raise Refused("There is no label to print.")
    if not 1 <= start_at <= label_format.per_page:
        raise Refused(
            f"A sheet of {format_name} has places 1 to {label_format.per_page}; {start_at} is none."
        )
    said = [say(label) for label in labels]
    drawn = _drawn(said, label_format)
    finish = finish or Finish()
    sheets = DrawnSheets(
        title=_title(said),
        format=label_format,
        sheets=tuple(_sheets(drawn, label_format, start_at - 1, finish.both_sides)),
        crops=tuple(_crops(label_format)) if finish.crop_marks else (),
        shift=finish.shift,
    )
    return Print(
        html=lambda: _html(sheets, folders),
        exact_size=True,
        drawing=sheets if _is_own_drawing(label_format, folders) else None,
        remarks=tuple(_small_names(said, drawn, label_format)),
    )


def _is_own_drawing(label_format: LabelFormat, folders: Sequence[Path]) -> bool:
    """Whether no template or style of the grower's own asks to be laid out."""
    own = (OWN_TEMPLATE, "labelbody.html", "label.css")
    changed = any(
        (folder / name).exists() for folder in folders for name in own if folder != labels_folder()
    )
    return label_format.template == OWN_TEMPLATE and not changed


def _title(said: Sequence[Said]) -> str:
    names = sorted({one.code or one.title for one in said})
    return f"Labels {names[0]}" + (f" to {names[-1]}" if len(names) > 1 else "")


def _drawn(said: Sequence[Said], label_format: LabelFormat) -> list[DrawnLabel]:
    """Every label drawn; copies of one are one."""
    known: dict[Said, DrawnLabel] = {}
    for one in said:
        if one not in known:
            known[one] = draw_label(one, label_format)
    return [known[one] for one in said]


def _small_names(
    said: Sequence[Said], drawn: Sequence[DrawnLabel], label_format: LabelFormat
) -> Iterator[str]:
    """A remark where a name had to become smaller than can be read at the format's distance."""
    small = {
        one.title
        for one, label in zip(said, drawn, strict=True)
        for block in label.blocks[:1]
        if block.size_pt < label_format.legible_pt
    }
    if small:
        names = ", ".join(sorted(small)[:3]) + (" and others" if len(small) > 3 else "")
        yield (
            f"{names}: too long to be read at {label_format.read_at_m:g} m on this label;"
            " a larger format shows all (propagate labels --formats)"
        )


def _html(sheets: DrawnSheets, folders: Sequence[Path]) -> str:
    return fill(
        sheets.format.template,
        folders,
        title=sheets.title,
        format=sheets.format,
        pages=sheets.sheets,
        outline=" ".join(f"{x:g},{y:g}" for x, y in sheets.outline),
        crops=sheets.crops,
        shift=sheets.shift,
        leading=LEADING,
    )


def _sheets(
    drawn: Sequence[DrawnLabel], label_format: LabelFormat, skipped: int, both_sides: bool
) -> Iterator[tuple[PlacedLabel, ...]]:
    places = list(enumerate(drawn, skipped))
    for _, same in groupby(places, lambda place: place[0] // label_format.per_page):
        sheet = [(place % label_format.per_page, label) for place, label in same]
        for back in (False, True) if both_sides else (False,):
            yield tuple(
                PlacedLabel(*label_format.corner_mm(position, back=back), label)
                for position, label in sheet
            )


def draw_label(said: Said, label_format: LabelFormat) -> DrawnLabel:
    """Set one label: every line in its box, the QR square in the middle of its own."""
    if not said.code:
        label_format = label_format.without_code()
    blocks = [
        block
        for name, lines in letter(said, label_format).items()
        for block in _blocks(name, label_format.boxes[name], lines)
    ]
    blocks.sort(key=lambda block: block.name != "heading")  # the name is read first
    ruled = label_format.label.rule_mm > 0 and said.window is not None
    return DrawnLabel(said.title, tuple(blocks), _qr(said, label_format.boxes.get("qr")), ruled)


def _qr(said: Said, box: Box | None) -> QrPlace | None:
    """The QR square in the middle of its box; what only helps is left out where it is too small."""
    if box is None or not (said.qr_text or said.qr_must):
        return None
    side_mm = min(box.width_mm, box.height_mm)
    if not said.qr_must and side_mm / symbol(said.qr_text).side < SMALLEST_MODULE_MM:
        return None
    left_mm = box.left_mm + (box.width_mm - side_mm) / 2
    top_mm = box.top_mm + (box.height_mm - side_mm) / 2
    return QrPlace(draw_qr(said.qr_text, side_mm), said.qr_text, left_mm, top_mm, side_mm)


def _blocks(name: str, box: Box, lines: list[Line]) -> Iterator[Block]:
    """Lines start at the top of their box, or end at its foot; turned ones read downwards."""
    down_mm = box.text_area_mm[1] - block_height_mm(lines) if box.at_foot else 0.0
    for size_pt, same in groupby(lines, lambda line: line.size_pt):
        block = tuple(same)
        left_mm = box.right_mm - down_mm if box.turned else box.left_mm
        top_mm = box.top_mm if box.turned else box.top_mm + down_mm
        room_mm = box.text_area_mm[0]
        yield Block(name, box.turned, box.centred, left_mm, top_mm, room_mm, size_pt, block)
        down_mm += block_height_mm(block)


def _crops(label_format: LabelFormat) -> Iterator[Stroke]:
    """Short lines in the margins of the sheet, at every edge of a label."""
    page, label = label_format.page, label_format.label
    corners = [label_format.corner_mm(at) for at in range(label_format.per_page)]
    across = sorted({x + more for x, _ in corners for more in (0.0, label.width_mm)})
    down = sorted({y + more for _, y in corners for more in (0.0, label.height_mm)})
    for x in across:
        for end, away in ((down[0], -1), (down[-1], 1)):
            yield (x, end + away * _CROP_GAP_MM, x, _ended(end, away, page.height_mm))
    for y in down:
        for end, away in ((across[0], -1), (across[-1], 1)):
            yield (end + away * _CROP_GAP_MM, y, _ended(end, away, page.width_mm), y)


def _ended(edge_mm: float, away: int, page_mm: float) -> float:
    return min(max(edge_mm + away * (_CROP_GAP_MM + _CROP_MM), 0.0), page_mm)
