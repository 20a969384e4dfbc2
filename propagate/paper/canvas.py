"""Draw sheets of labels straight into a PDF, every line where it was planned.

A label's lines are broken, sized and placed before any page exists, so laying each of its boxes
out again would cost twenty times as much and change nothing. WeasyPrint makes the document:
metadata, fonts, archive variant. The sheets are painted here, in millimetres from the upper left.

    letters -> a specimen page a face -> glyphs -> one content stream a sheet -> tags
"""

import copy
from collections.abc import Callable, Iterator, Mapping
from html import escape
from typing import Any, Final

from propagate.paper.drawn import Block, DrawnLabel, DrawnSheets, PlacedLabel, QrPlace
from propagate.paper.fitting import LEADING, SMALL_CAP, SMALL_CAP_SPACE_EM, Run
from propagate.paper.formats import LabelFormat, Mark
from propagate.paper.glyphs import FACES, Glyph, face_of, glyphs_painted, is_plain
from propagate.paper.pdf import finished, lay_out, missing_letters
from propagate.paper.tagging import Tagged, add_tag_tree
from propagate.paper.templates import plain_number
from propagate.paths import labels_folder
from propagate.units import mm_from_points

BASE_EM: Final = 0.928 + (LEADING - 1.164) / 2
"""From the top of a line to its base line: the ascent of DejaVu Sans and half of what the
leading adds to ascent and descent (its hhea table: 0.928 and 0.236 em)."""

_POINTS_A_MM: Final = 1 / mm_from_points(1)
_CIRCLE: Final = 0.5523  # handle of a quarter circle as a Bezier curve, over the radius
_HAIRLINE_MM: Final = 0.1
_SLIT_MM: Final = 0.3
_RULE_MM: Final = 0.2

GlyphTable = dict[str, dict[str, Glyph]]
"""Face -> letter -> glyph."""


def draw_sheets(
    sheets: DrawnSheets, *, variant: str | None = None, finisher: Callable[..., None] | None = None
) -> tuple[bytes, str] | None:
    """The PDF of some sheets, and the letters no font has; None where text must be shaped.

    Raises MissingTool without Pango.
    """
    letters = _letters(sheets)
    if not all(is_plain(letter) for face in letters.values() for letter in face):
        return None
    document = lay_out(_shell(sheets, letters))
    blank, *specimens = document.pages
    painter = _Painter(sheets, dict(zip(letters, specimens, strict=True)))
    pages = []
    for number in range(len(sheets.sheets)):
        page = copy.copy(blank)
        page.paint = lambda stream, scale=1, number=number: painter.paint(stream, number)
        pages.append(page)
    whole = document.copy(pages)

    def finish(document: Any, pdf: Any) -> None:
        add_tag_tree(pdf, painter.tagged)
        if finisher:
            finisher(document, pdf)

    try:
        content = finished(whole, variant, finish, tagged_by_hand=True)
    except _NeedsShaping:
        return None
    return content, missing_letters(whole)


def _letters(sheets: DrawnSheets) -> dict[str, set[str]]:
    """The letters of every face that is used, a space always among them."""
    used: dict[str, set[str]] = {"upright": {" "}}
    for label in {
        id(place.drawn): place.drawn for sheet in sheets.sheets for place in sheet
    }.values():
        for block in label.blocks:
            for line in block.lines:
                for run in line.runs:
                    used.setdefault(face_of(run.style), set()).update(_plain_spaces(run.text))
    return used


def _plain_spaces(text: str) -> str:
    return text.replace("\u00a0", " ")


def _shell(sheets: DrawnSheets, letters: Mapping[str, set[str]]) -> str:
    """A blank page of the paper's size, then a specimen page a face.

    It is put together here, because a template engine would take a tenth of a label's time.
    """
    page = sheets.format.page
    size = f"{plain_number(page.width_mm)}mm {plain_number(page.height_mm)}mm"
    style = (labels_folder() / "label.css").read_text(encoding="utf-8")
    specimens = (
        f"<section><{FACES[face]}>{escape(''.join(sorted(used)))}</{FACES[face]}></section>"
        for face, used in letters.items()
    )
    return f"""<!DOCTYPE html>
<html lang="en">
<head>
<meta charset="utf-8">
<title>{escape(sheets.title)}</title>
<style>
@page {{ size: {size}; margin: 0 }}
{style}
section {{ break-after: page; white-space: pre; font-size: 10pt; height: 1mm }}
</style>
</head>
<body>
<section></section>
{"".join(specimens)}
</body>
</html>
"""


class _NeedsShaping(Exception):
    """A letter has no glyph of its own after all."""


class _Painter:
    """Paints the sheets one by one, and keeps what a tag tree has to know of them."""

    def __init__(self, sheets: DrawnSheets, specimens: dict[str, Any]) -> None:
        self._sheets, self._specimens = sheets, specimens
        self._glyphs: GlyphTable = {}
        self._known: dict[int, tuple[bytes, ...]] = {}
        self.tagged: list[list[Tagged]] = []

    def paint(self, stream: Any, number: int) -> None:
        """Write the content of one sheet."""
        if not self._glyphs:
            self._glyphs = {
                face: glyphs_painted(page, stream) for face, page in self._specimens.items()
            }
        shift = self._sheets.shift
        stream.push_state()
        stream.set_matrix(
            _POINTS_A_MM * shift.scale_x,
            0,
            0,
            _POINTS_A_MM * shift.scale_y,
            _POINTS_A_MM * shift.move_x_mm,
            _POINTS_A_MM * shift.move_y_mm,
        )
        out = stream.stream
        out.append(b"0 g 0 G")
        out.extend(_crops(self._sheets))
        tags: list[Tagged] = []
        for place in self._sheets.sheets[number]:
            out.extend(self._label(place, tags))
        self.tagged.append(tags)
        stream.pop_state()

    def _label(self, place: PlacedLabel, tags: list[Tagged]) -> Iterator[bytes]:
        """The operators of one label; its text and its QR square are tagged, lines are not."""
        label_format, drawn = self._sheets.format, place.drawn
        if id(drawn) not in self._known:
            self._known[id(drawn)] = (
                b"\n".join(_lines_of(label_format, drawn)),
                b"\n".join(self._text(drawn)),
                b"\n".join(_square(drawn.qr)) if drawn.qr else b"",
            )
        strokes, text, square = self._known[id(drawn)]
        yield f"q 1 0 0 1 {place.left_mm:.4f} {place.top_mm:.4f} cm".encode()
        if strokes:
            yield b"/Artifact BMC\n" + strokes + b"\nEMC"
        yield b"/P <</MCID %d>> BDC\nBT\n%b\nET\nEMC" % (len(tags), text)
        tags.append(Tagged("P", drawn.title))
        if drawn.qr:
            yield b"/Figure <</MCID %d>> BDC\n%b\nEMC" % (len(tags), square)
            tags.append(Tagged("Figure", f"QR code: {drawn.qr.text}"))
        if label_format.label.mirrored:
            yield b"/Artifact BMC\nq " + _half_turn(label_format)
            yield b"BT\n" + text + b"\nET\n" + square + b"\nQ EMC"
        yield b"Q"

    def _text(self, drawn: DrawnLabel) -> Iterator[bytes]:
        for block in drawn.blocks:
            size_mm = mm_from_points(block.size_pt)
            for number, line in enumerate(block.lines):
                down_mm = size_mm * (BASE_EM + number * LEADING)
                along_mm = 0.0
                if block.centred:
                    along_mm = (block.room_mm - self._width_em(line.runs) * size_mm) / 2
                yield _text_matrix(block, along_mm, down_mm)
                for run in line.runs:
                    yield from self._run(run, size_mm)

    def _width_em(self, runs: tuple[Run, ...]) -> float:
        return sum(self._run_em(run) for run in runs)

    def _run_em(self, run: Run) -> float:
        glyphs = self._glyphs[face_of(run.style)]
        width = sum(self._glyph(glyphs, letter).width_em for letter in _plain_spaces(run.text))
        if run.style == "small-caps":
            return width * SMALL_CAP + SMALL_CAP_SPACE_EM * SMALL_CAP * len(run.text)
        return width

    def _run(self, run: Run, size_mm: float) -> Iterator[bytes]:
        """Show one run; letters that another font has to lend change the font on the way."""
        small = run.style == "small-caps"
        size_mm *= SMALL_CAP if small else 1
        if small:
            yield f"{size_mm * SMALL_CAP_SPACE_EM:.4f} Tc".encode()
        glyphs = self._glyphs[face_of(run.style)]
        font, codes = "", ""
        for letter in _plain_spaces(run.text):
            glyph = self._glyph(glyphs, letter)
            if glyph.font != font:
                if codes:
                    yield f"<{codes}> Tj".encode()
                font, codes = glyph.font, ""
                yield f"/{font} {size_mm:.4f} Tf".encode()
            codes += glyph.code
        yield f"<{codes}> Tj".encode()
        if small:
            yield b"0 Tc"

    @staticmethod
    def _glyph(glyphs: dict[str, Glyph], letter: str) -> Glyph:
        try:
            return glyphs[letter]
        except KeyError:
            raise _NeedsShaping(letter) from None


def _text_matrix(block: Block, along_mm: float, down_mm: float) -> bytes:
    """Where a line begins; the page counts downwards, so letters are stood upright again."""
    if block.turned:
        return f"0 1 1 0 {block.left_mm - down_mm:.4f} {block.top_mm + along_mm:.4f} Tm".encode()
    return f"1 0 0 -1 {block.left_mm + along_mm:.4f} {block.top_mm + down_mm:.4f} Tm".encode()


def _square(qr: QrPlace) -> Iterator[bytes]:
    """All black of a symbol as one path, so that no hairline shows between its rows."""
    module_mm = qr.side_mm / qr.drawing.side
    yield f"q {module_mm:.6f} 0 0 {module_mm:.6f} {qr.left_mm:.4f} {qr.top_mm:.4f} cm".encode()
    yield b"\n".join(b"%d %d %d 1 re" % dash for dash in qr.drawing.dashes)
    yield b"f Q"


def _half_turn(label_format: LabelFormat) -> bytes:
    label = label_format.label
    return f"-1 0 0 -1 {label.width_mm:.4f} {label.height_mm:.4f} cm".encode()


def _lines_of(label_format: LabelFormat, drawn: DrawnLabel) -> Iterator[bytes]:
    """The outline to cut along, the marks, and the rule above the dates."""
    if label_format.outline:
        (x, y), *others = label_format.outline
        corners = " ".join(f"{x:.4f} {y:.4f} l" for x, y in others)
        yield f"{_HAIRLINE_MM} w {x:.4f} {y:.4f} m {corners} h S".encode()
    for mark in label_format.marks:
        yield from _mark(mark)
    if drawn.ruled:
        edge = label_format.boxes["heading"].left_mm
        y = label_format.label.rule_mm + _RULE_MM / 2
        end = label_format.label.width_mm - edge
        yield f"{_RULE_MM} w {edge:.4f} {y:.4f} m {end:.4f} {y:.4f} l S".encode()


def _mark(mark: Mark) -> Iterator[bytes]:
    if mark.kind == "hole":
        yield _circle(mark.x_mm, mark.y_mm, mark.size_mm / 2).encode()
        return
    line = f"{mark.x_mm:.4f} {mark.y_mm:.4f} m {mark.to_x_mm:.4f} {mark.to_y_mm:.4f} l S"
    if mark.kind == "fold":
        yield f"{_HAIRLINE_MM} w [2 1.5] 0 d {line} [] 0 d".encode()
    else:
        yield f"{_SLIT_MM} w {line}".encode()


def _circle(x: float, y: float, r: float) -> str:
    h = r * _CIRCLE
    quarters = (
        (x + r, y + h, x + h, y + r, x, y + r),
        (x - h, y + r, x - r, y + h, x - r, y),
        (x - r, y - h, x - h, y - r, x, y - r),
        (x + h, y - r, x + r, y - h, x + r, y),
    )
    curves = " ".join(" ".join(f"{v:.4f}" for v in quarter) + " c" for quarter in quarters)
    return f"{_HAIRLINE_MM} w {x + r:.4f} {y:.4f} m {curves} S"


def _crops(sheets: DrawnSheets) -> Iterator[bytes]:
    if sheets.crops:
        strokes = " ".join(
            f"{x:.4f} {y:.4f} m {to_x:.4f} {to_y:.4f} l S" for x, y, to_x, to_y in sheets.crops
        )
        yield f"/Artifact BMC {_HAIRLINE_MM} w {strokes} EMC".encode()
