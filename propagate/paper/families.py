"""A family on paper: a tree of mother plants and batches, and where their plants went.

family -> rows, each below its parent -> pages of shapes, marks and texts [mm] -> SVG or page
"""

from collections.abc import Iterable, Iterator, Sequence
from pathlib import Path
from typing import Final

from attrs import evolve, frozen

from propagate.days import written
from propagate.errors import Refused
from propagate.paper.csvfiles import Cell
from propagate.paper.drawing import Drawing, Mark, Shape, Text, fitted, plain
from propagate.paper.fitting import Run
from propagate.paper.lettering import name_runs
from propagate.paper.pages import paper_size, picture, render_pages, write_drawn
from propagate.paper.printing import Print, Written, write
from propagate.paper.widths import width_em
from propagate.records.families import Family, Gone, Kin

ROW_MM: Final = 6.6
HEAD_MM: Final = 25.0
FOOT_MM: Final = 9.0
TEXT_MM: Final = 3.1
SMALL_MM: Final = 2.6
LINE_MM: Final = 0.3
STEP_MM: Final = 6.0
WIDEST_TREE_MM: Final = 70.0  # deeper trees take shorter steps, so that words keep their room
COLUMNS: Final = (("here", 45.0), ("in beds", 31.0), ("given", 16.0), ("lost", 2.0))
"""Headings of the figures, and how far their right edge stands from the right margin [mm]."""
FIGURES_MM: Final = 56.0
MOST_ROWS: Final = 3000
"""More rows, some 80 pages, are refused: nobody pins them up, and a table serves better."""

CSV_HEADER: Final = (
    "kind", "key", "plant", "since", "from", "depth", "method", "started", "here", "in_beds",
    "given", "lost", "to", "suspected", "print_label",
)  # fmt: skip


@frozen
class Row:
    """One line of the tree: how deep, below which row, and who or what stands there."""

    depth: int
    parent: int
    kin: Kin | None = None
    gone: Gone | None = None
    named: bool = False
    subject: bool = False


def render_family(family: Family, folders: Sequence[Path], paper: str = "a4") -> Print:
    """Draw a family on as many pages as it takes; the same as a table goes with it.

    Raises Refused for another paper than "a4" or "letter".
    """
    size = paper_size("A family comes", paper)
    drawings, rows = draw_pages(family, *size.room_mm), tuple(csv_rows(family))
    return render_pages(drawings, _title(family), family.as_of, folders, size, CSV_HEADER, rows)


def family_svg(family: Family, folders: Sequence[Path], *, width_mm: float = 186) -> str:
    """The whole tree as one picture, as tall as it needs."""
    rows = rows_of(family)
    height = HEAD_MM + ROW_MM * len(rows) + FOOT_MM
    return picture(_page(family, rows, (0, len(rows)), width_mm, height), folders)


def write_family(family: Family, folders: Sequence[Path], path: Path, paper: str = "a4") -> Written:
    """Write a family as .svg, .pdf, .html or .csv, by the ending of the file's name.

    Raises Refused for another ending, for a tree too large to draw, or when the file cannot
    be written.
    """
    if path.suffix.lower() == ".csv":  # of a tree that is too large to draw, too
        return write(Print("", CSV_HEADER, tuple(csv_rows(family))), path)
    return write_drawn(
        path, lambda: family_svg(family, folders), lambda: render_family(family, folders, paper)
    )


def csv_rows(family: Family) -> Iterator[tuple[Cell, ...]]:
    """A line for every mother plant and batch, and one for each bed or person they went to."""
    for kin in family.members:
        parent = family.members[kin.parent].key if kin.parent >= 0 else ""
        at = kin.standing
        doubts = "; ".join(doubt.why for doubt in kin.doubts)
        figures = (kin.count, kin.living, at.planted, at.given, at.lost)
        yield (
            kin.kind, kin.key, str(kin.name), kin.on.isoformat(), parent, kin.depth, kin.method,
            *(figures if kin.kind == "batch" else ("",) * 5),
            "", doubts, "yes" if kin.reprint else "",
        )  # fmt: skip
        for gone in kin.gone:
            counts = (gone.count, "") if gone.kind == "bed" else ("", gone.count)
            yield (
                gone.kind, "", str(kin.name), gone.first.isoformat(), kin.key, kin.depth + 1,
                "", "", "", *counts, "", gone.to, doubts, "",
            )  # fmt: skip


def rows_of(family: Family) -> list[Row]:
    """The lines of the tree: all above the subject, the subject, and all below it.

    Raises Refused where there are too many to draw.
    """
    rows = [Row(kin.depth, kin.depth - 1, kin) for kin in family.above]
    row_of: dict[int, int] = {-1: len(rows) - 1}
    for at, kin in enumerate(family.members):
        row_of[at] = len(rows)
        parent = row_of[kin.parent]
        rows.append(Row(kin.depth + len(family.above), parent, kin, subject=at == 0))
        rows += [Row(rows[row_of[at]].depth + 1, row_of[at], gone=gone) for gone in kin.gone]
        if len(rows) > MOST_ROWS:
            raise Refused(
                f"{family.subject.key} has a family of {len(family.members)}, too many to draw; "
                "draw a branch of it, or write a .csv."
            )
    return [evolve(row, named=_is_named(row, rows)) for row in rows]


def _is_named(row: Row, rows: Sequence[Row]) -> bool:
    """Whether the plant's name stands there: not where it is the one above."""
    above = rows[row.parent].kin if row.parent >= 0 else None
    return row.kin is not None and (above is None or above.name != row.kin.name)


def draw_pages(family: Family, width_mm: float, height_mm: float) -> list[Drawing]:
    """The tree cut into pages [mm]."""
    rows = rows_of(family)
    fits = int((height_mm - HEAD_MM - FOOT_MM) / ROW_MM)
    return [
        _page(family, rows, (first, min(first + fits, len(rows))), width_mm, height_mm)
        for first in range(0, len(rows), fits)
    ]


@frozen
class Ground:
    """Where the rows of one page stand."""

    first: int
    until: int
    step_mm: float
    width_mm: float

    def x_mm(self, depth: int) -> float:
        """The middle of the sign at a depth."""
        return 2.4 + depth * self.step_mm

    def y_mm(self, row: int) -> float:
        """The middle of a row, also where it stands on another page."""
        return HEAD_MM + (row - self.first + 0.5) * ROW_MM


def _page(
    family: Family, rows: Sequence[Row], span: tuple[int, int], width_mm: float, height_mm: float
) -> Drawing:
    deepest = max(row.depth for row in rows)
    step = min(STEP_MM, WIDEST_TREE_MM / max(1, deepest))
    ground = Ground(*span, step, width_mm)
    shown = list(enumerate(rows))[span[0] : span[1]]
    bottom = HEAD_MM + ROW_MM * (span[1] - span[0])
    shapes = [*_subject_ground(shown, ground), *_branches(rows, ground)]
    texts = [*_heading(family, width_mm), *_column_heads(width_mm)]
    dots: list[Mark] = []
    for at, row in shown:
        shapes += _sign(row, at, ground)
        dots += _dot(row, at, ground)
        texts += _row_texts(row, at, ground)
        shapes += _badges(row, at, ground)
    texts += _foot(family, span, len(rows), (width_mm, max(bottom + FOOT_MM, height_mm)))
    return Drawing(width_mm, height_mm, _title(family), tuple(shapes), tuple(dots), tuple(texts))


def _title(family: Family) -> str:
    return f"{family.subject.key}: where its plants came from and where they went"


def _heading(family: Family, width_mm: float) -> Iterable[Text]:
    subject = family.subject
    name = (Run(f"{subject.key}  ", "bold"), *name_runs(subject.name))
    yield _within(name, (0.0, 7.0), 6.2, width_mm)
    yield fitted(_answer(family), (0, 13.4), 3.4, room_mm=width_mm)


def _answer(family: Family) -> str:
    batches = [kin for kin in family.members if kin.kind == "batch"]
    here = sum(kin.living for kin in batches)
    gone = sum(gone.count for kin in batches for gone in kin.gone)
    words = f"{len(batches)} batches" if len(batches) != 1 else "1 batch"
    doubts = "; ".join(dict.fromkeys(doubt.why for doubt in family.subject.doubts))
    suspected = f"; suspected: {doubts}" if doubts else ""
    return f"{words}, {here} plants here, {gone} planted or given{suspected}"


def _column_heads(width_mm: float) -> Iterable[Text]:
    for words, right in COLUMNS:
        yield plain(words, (width_mm - right, HEAD_MM - 2), SMALL_MM, anchor="end")


def _subject_ground(shown: Iterable[tuple[int, Row]], ground: Ground) -> Iterable[Shape]:
    """A light band behind the one that was asked about."""
    for at, row in shown:
        if row.subject:
            top = ground.y_mm(at) - ROW_MM / 2
            path = f"M0 {top:.3f}H{ground.width_mm:.3f}V{top + ROW_MM:.3f}H0Z"
            yield Shape("subject", path, fill="#e4e4e4")


def _branches(rows: Sequence[Row], ground: Ground) -> Iterable[Shape]:
    """A line down from each parent to its last child, and one across to each child."""
    top, bottom = HEAD_MM, HEAD_MM + ROW_MM * (ground.until - ground.first)
    last_child = {row.parent: at for at, row in enumerate(rows) if row.parent >= 0}
    for parent, last in last_child.items():
        if parent < ground.until and last >= ground.first:
            x = ground.x_mm(rows[parent].depth)
            begin = max(top, ground.y_mm(parent))
            end = min(bottom, ground.y_mm(last))
            yield Shape("branch", f"M{x:.3f} {begin:.3f}V{end:.3f}", line_mm=LINE_MM)
    for at in range(ground.first, ground.until):
        row = rows[at]
        if row.parent >= 0:
            x, y = ground.x_mm(rows[row.parent].depth), ground.y_mm(at)
            path = f"M{x:.3f} {y:.3f}H{ground.x_mm(row.depth):.3f}"
            yield Shape("branch", path, line_mm=LINE_MM)


def _sign(row: Row, at: int, ground: Ground) -> Iterable[Shape]:
    """A tray for a batch, a square of ground for a bed."""
    x, y = ground.x_mm(row.depth), ground.y_mm(at)
    if row.kin is not None and row.kin.kind == "batch":
        path = f"M{x - 2:.3f} {y - 1.1:.3f}H{x + 2:.3f}L{x + 1.4:.3f} {y + 1.2:.3f}H{x - 1.4:.3f}Z"
        yield Shape("batch", path, fill="white", line_mm=0.45)
    elif row.gone is not None and row.gone.kind == "bed":
        path = f"M{x - 1:.3f} {y - 1:.3f}H{x + 1:.3f}V{y + 1:.3f}H{x - 1:.3f}Z"
        yield Shape("bed", path, fill="black")


def _dot(row: Row, at: int, ground: Ground) -> Iterable[Mark]:
    """A filled circle for a mother plant, an open one for a person."""
    x, y = ground.x_mm(row.depth), ground.y_mm(at)
    if row.kin is not None and row.kin.kind == "mother":
        yield Mark("mother", x, y, 1.9)
    elif row.gone is not None and row.gone.kind == "person":
        yield Mark("person", x, y, 1.1, fill="white", stroke="black")


def _row_texts(row: Row, at: int, ground: Ground) -> Iterable[Text]:
    base = ground.y_mm(at) + 0.36 * TEXT_MM
    left = ground.x_mm(row.depth) + 3.2
    room = ground.width_mm - FIGURES_MM - left
    if row.kin is None:
        assert row.gone is not None
        yield _within((Run(_gone(row.gone)),), (left, base), SMALL_MM, room + FIGURES_MM)
        return
    kin = row.kin
    yield _within(tuple(_kin_runs(row, kin)), (left, base), TEXT_MM, room)
    if kin.kind == "batch":
        at_ = kin.standing
        for (_, right), count in zip(
            COLUMNS, (kin.living, at_.planted, at_.given, at_.lost), strict=True
        ):
            words = str(count) if count else "·"
            yield plain(words, (ground.width_mm - right, base), TEXT_MM, anchor="end")


def _kin_runs(row: Row, kin: Kin) -> Iterable[Run]:
    badge = _badge_words(kin)
    yield Run(f"{kin.key}  ", "bold")
    if badge:
        yield Run(f"[{badge}]  ", "bold")
    if row.named:
        yield from name_runs(kin.name)
        yield Run(", ")
    if kin.kind == "mother":
        yield Run(f"mother plant{f', {kin.place}' if kin.place else ''}")
    else:
        yield Run(f"{kin.count} by {kin.method.replace('-', ' ')}, {written(kin.on)}")


def _badge_words(kin: Kin) -> str:
    abouts = {doubt.about for doubt in kin.doubts}
    words = [word for about, word in (("health", "SUSPECT"), ("name", "NAME?")) if about in abouts]
    return ", ".join([*words, *(["NEW LABEL"] if kin.reprint else [])])


def _badges(row: Row, at: int, ground: Ground) -> Iterable[Shape]:
    """A heavy bar at the edge of a suspect's row, to be seen from across the bench."""
    if row.kin is not None and row.kin.doubts:
        y, right = ground.y_mm(at), ground.width_mm
        top, bottom = y - ROW_MM / 2 + 0.6, y + ROW_MM / 2 - 0.6
        path = f"M{right - 0.9:.3f} {top:.3f}H{right:.3f}V{bottom:.3f}H{right - 0.9:.3f}Z"
        yield Shape("suspect", path, fill="black")


def _gone(gone: Gone) -> str:
    days = written(gone.first)
    if gone.last != gone.first:
        days = f"{days} to {written(gone.last)}"
    if gone.kind == "bed":
        return f"{gone.count} planted in {gone.to or 'a bed not named'}, {days}"
    return f"{gone.count} to {gone.to or 'somebody not named'}, {days}"


def _within(runs: tuple[Run, ...], at: tuple[float, float], size_mm: float, room_mm: float) -> Text:
    """A line of runs, made smaller down to two thirds, then cut short with an ellipsis."""
    width = sum(width_em(run.text, bold=run.style == "bold") for run in runs)
    size = max(min(size_mm, room_mm / max(width, 1e-9)), size_mm * 0.67)
    kept: list[Run] = []
    left = room_mm / size
    for run in runs:
        bold = run.style == "bold"
        if width_em(run.text, bold=bold) <= left:
            kept.append(run)
            left -= width_em(run.text, bold=bold)
            continue
        text = run.text
        while text and width_em(f"{text}…", bold=bold) > left:
            text = text[:-1]
        kept.append(evolve(run, text=f"{text}…"))
        break
    return Text(tuple(kept), at[0], at[1], size)


def _foot(
    family: Family, span: tuple[int, int], rows: int, corner: tuple[float, float]
) -> Iterable[Text]:
    width, height = corner
    pages = f"; rows {span[0] + 1} to {span[1]} of {rows}" if span != (0, rows) else ""
    words = (
        "Filled circle: mother plant. Tray: batch. Square: bed. Open circle: person. "
        "Bar at the edge: suspect."
    )
    yield plain(words, (0, height - 1.2), SMALL_MM * 0.92)
    stamp = f"{written(family.as_of)}{pages}"
    yield plain(stamp, (width, height - 1.2), SMALL_MM * 0.92, anchor="end")
