"""Tray labels and stake tags: from records to a sheet of labels."""

from collections.abc import Iterator, Sequence
from itertools import groupby
from pathlib import Path

from attrs import frozen

from propagate.errors import Refused
from propagate.paper.fitting import LEADING, Line, block_height_mm
from propagate.paper.formats import Box, LabelFormat, read_format
from propagate.paper.lettering import letter
from propagate.paper.printing import Print
from propagate.paper.qr import QrDrawing, draw_qr
from propagate.paper.templates import fill
from propagate.records.prints import TrayLabel


@frozen
class Block:
    """Lines of one box that share a type size [pt]; left and top [mm] are where they begin."""

    name: str
    turned: bool
    left_mm: float
    top_mm: float
    size_pt: float
    lines: tuple[Line, ...]


@frozen
class DrawnLabel:
    """One label ready for the template, its corner [mm] on the page."""

    left_mm: float
    top_mm: float
    blocks: tuple[Block, ...]
    qr: QrDrawing
    ruled: bool


def render_labels(
    labels: Sequence[TrayLabel], format_name: str, folders: Sequence[Path], *, start_at: int = 1
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
    codes = sorted({label.code for label in labels})
    title = f"Labels {codes[0]}" + (f" to {codes[-1]}" if len(codes) > 1 else "")
    html = fill(
        label_format.template,
        folders,
        title=title,
        format=label_format,
        pages=_pages(labels, label_format, start_at - 1),
        outline=_outline(label_format),
        leading=LEADING,
    )
    return Print(html=html, exact_size=True)


def _pages(
    labels: Sequence[TrayLabel], label_format: LabelFormat, skipped: int
) -> list[list[DrawnLabel]]:
    pages: list[list[DrawnLabel]] = []
    for place, label in enumerate(labels, skipped):
        page, position = divmod(place, label_format.per_page)
        if page == len(pages):
            pages.append([])
        pages[page].append(_draw(label, label_format, position))
    return pages


def _draw(label: TrayLabel, label_format: LabelFormat, position: int) -> DrawnLabel:
    left_mm, top_mm = label_format.corner_mm(position)
    qr_box = label_format.boxes["qr"]
    blocks = [
        block
        for name, lines in letter(label, label_format).items()
        for block in _blocks(name, label_format.boxes[name], lines)
    ]
    qr = draw_qr(label.qr_text, min(qr_box.width_mm, qr_box.height_mm))
    ruled = label_format.label.rule_mm > 0 and label.likely is not None
    return DrawnLabel(left_mm, top_mm, tuple(blocks), qr, ruled)


def _blocks(name: str, box: Box, lines: list[Line]) -> Iterator[Block]:
    """Lines start at the top of their box, or end at its foot; turned ones read downwards."""
    down_mm = box.text_area_mm[1] - block_height_mm(lines) if box.at_foot else 0.0
    for size_pt, same in groupby(lines, lambda line: line.size_pt):
        block = tuple(same)
        left_mm = box.right_mm - down_mm if box.turned else box.left_mm
        top_mm = box.top_mm if box.turned else box.top_mm + down_mm
        yield Block(name, box.turned, left_mm, top_mm, size_pt, block)
        down_mm += block_height_mm(block)


def _outline(label_format: LabelFormat) -> str:
    """Path of the cut line round one pointed label [mm], empty for stock that is cut already."""
    label = label_format.label
    if not label.point_mm:
        return ""
    shoulder_mm = label.height_mm - label.point_mm
    return (
        f"M0 0H{label.width_mm:g}V{shoulder_mm:g}L{label.width_mm / 2:g} {label.height_mm:g}"
        f"L0 {shoulder_mm:g}Z"
    )
