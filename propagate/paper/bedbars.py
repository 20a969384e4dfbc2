"""Beds as bars, black on white: what stands there, what will come, what is wanted.

answer -> a row a bed -> shapes and texts [mm] -> pages of rows -> SVG, PDF or HTML
"""

from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import Final

from propagate.days import written
from propagate.paper.csvfiles import Cell
from propagate.paper.drawing import Drawing, Shape, Text, fitted, plain
from propagate.paper.lettering import name_runs
from propagate.paper.pages import paper_size, picture, render_pages, write_drawn
from propagate.paper.printing import Print, Written
from propagate.paper.widths import width_em
from propagate.records.beds import BedForecast, BedsAnswer

TITLE: Final = "Will the beds be filled?"

MARGIN_MM: Final = 14.0
HEAD_MM: Final = 20.0
ROW_MM: Final = 15.0
KEY_MM: Final = 9.0  # the key at the foot
DOUBTS_MM: Final = 5.0
NAMES_MM: Final = 62.0  # room for the names of bed and plant
WORDS_MM: Final = 40.0  # room for what is said of it
BAR_MM: Final = 5.0

PLANTED: Final = "black"
SURELY: Final = "#8a8a8a"
LIKELY: Final = "#d9d9d9"

CSV_HEADER: Final = (
    *("bed", "plant", "by", "wanted", "planted", "low", "likely", "high"),
    *("filled", "asked", "short", "batches"),
)


def render_beds(answer: BedsAnswer, folders: Sequence[Path], nursery: str, paper: str) -> Print:
    """All beds on pages upright; the same as a table goes with it. Refused for other paper."""
    size = paper_size("Beds are drawn", paper, margin_mm=MARGIN_MM)
    drawings = draw_beds(answer, nursery, *size.room_mm)
    rows = [_csv_row(bed) for bed in answer.beds]
    return render_pages(drawings, TITLE, answer.as_of, folders, size, CSV_HEADER, rows)


def write_beds(
    answer: BedsAnswer, folders: Sequence[Path], path: Path, nursery: str, paper: str = "a4"
) -> Written:
    """Write the beds as .svg, .pdf, .html or .csv, by the ending of the file's name.

    Raises Refused for another ending, or when the file cannot be written.
    """
    return write_drawn(
        path,
        lambda: picture(draw_beds(answer, nursery, 182.0, None)[0], folders),
        lambda: render_beds(answer, folders, nursery, paper),
    )


def draw_beds(
    answer: BedsAnswer, nursery: str, width_mm: float, room_mm: float | None
) -> list[Drawing]:
    """One drawing a page of `room_mm` height, or one long one where that is None."""
    a_page = len(answer.beds) or 1
    if room_mm is not None:
        a_page = max(1, int((room_mm - HEAD_MM - KEY_MM - DOUBTS_MM) / ROW_MM))
    pages = [answer.beds[at : at + a_page] for at in range(0, len(answer.beds), a_page)] or [()]
    return [_page(answer, nursery, beds, width_mm) for beds in pages]


def _page(
    answer: BedsAnswer, nursery: str, beds: Sequence[BedForecast], width_mm: float
) -> Drawing:
    texts = [
        plain(TITLE, (0, 7), 6.0, bold=True),
        fitted(f"{nursery}, as of {written(answer.as_of)}", (0, 13), 3.6, room_mm=width_mm),
    ]
    shapes: list[Shape] = []
    for at, bed in enumerate(beds):
        more_shapes, more_texts = _row(bed, HEAD_MM + at * ROW_MM, width_mm)
        shapes += more_shapes
        texts += more_texts
    bottom = HEAD_MM + len(beds) * ROW_MM
    key_shapes, key_texts = _key(bottom + 3)
    if answer.doubts:
        codes = ", ".join(code for code, _ in answer.doubts)
        words = f"Suspect, but counted here all the same: {codes}."
        key_texts.append(fitted(words, (0, bottom + KEY_MM + 3), 2.6, room_mm=width_mm))
    if not beds:
        texts.append(plain("Nothing is wanted yet.", (0, HEAD_MM + 3), 4.0))
    return Drawing(
        width_mm=width_mm,
        height_mm=bottom + KEY_MM + (DOUBTS_MM if answer.doubts else 0),
        title=TITLE,
        shapes=(*shapes, *key_shapes) if beds else (),
        dots=(),
        texts=(*texts, *key_texts) if beds else tuple(texts),
    )


def _row(bed: BedForecast, top: float, width_mm: float) -> tuple[list[Shape], list[Text]]:
    """One bed: its names, its bar in shares of what is wanted, its chance in words."""
    want = bed.want
    texts = [fitted(want.name, (0, top + 4), 3.8, room_mm=NAMES_MM - 3, bold=True)]
    runs = tuple(name_runs(want.plant))
    length = sum(width_em(run.text) for run in runs)
    texts.append(Text(runs, 0, top + 8.3, min(3.1, (NAMES_MM - 3) / length)))
    texts.append(plain(f"by {written(want.by)}", (0, top + 11.8), 2.6))
    full_mm = width_mm - NAMES_MM - WORDS_MM - 2
    shapes = list(_bar(bed, (NAMES_MM, top + 2.2), full_mm))
    texts.append(plain(_numbers(bed), (NAMES_MM, top + 11.8), 2.6))
    right = width_mm - WORDS_MM + 3
    texts.append(plain(_verdict(bed), (right, top + 4.4), 3.6, bold=True))
    for line, words in enumerate(_details(bed)):
        texts.append(fitted(words, (right, top + 8.3 + 3.5 * line), 2.6, room_mm=WORDS_MM - 3))
    shapes.append(Shape("row", f"M0 {top - 1.4:.2f}H{width_mm:.2f}", line_mm=0.1))
    return shapes, texts


def _bar(bed: BedForecast, at: tuple[float, float], full_mm: float) -> Iterable[Shape]:
    """Planted black, surely coming dark, likely light, the highest as a line; the want a frame."""
    x, y = at
    want = bed.want.wanted

    def end(count: float) -> float:
        return count / want * full_mm

    likely, low, planted = bed.plants.likely, bed.plants.low, bed.want.planted
    for what, first, last, tint in (
        ("likely", low, likely, LIKELY),
        ("surely", planted, low, SURELY),
        ("planted", 0, planted, PLANTED),
    ):
        if last > first:
            path = _box(x + end(first), y, end(last) - end(first), BAR_MM)
            yield Shape(what, path, fill=tint, line_mm=0.12)
    if bed.plants.high > likely:
        middle = y + BAR_MM / 2
        high = x + end(bed.plants.high)
        whisker = f"M{x + end(likely):.3f} {middle:.3f}H{high:.3f}m0 -1v2"
        yield Shape("high", whisker, line_mm=0.25)
    yield Shape("wanted", _box(x, y - 0.8, full_mm, BAR_MM + 1.6), line_mm=0.5)


def _box(x: float, y: float, width: float, height: float) -> str:
    return f"M{x:.3f} {y:.3f}h{width:.3f}v{height:.3f}h{-width:.3f}Z"


def _numbers(bed: BedForecast) -> str:
    count = bed.plants
    likely = f"{count.likely} likely ({count.low} to {count.high})"
    said = likely if count.low != count.high else f"{count.likely}"
    planted = f"; {bed.want.planted} planted" if bed.want.planted else ""
    return f"{said} of {bed.want.wanted}{planted}"


def _verdict(bed: BedForecast) -> str:
    if not bed.want.open:
        return "filled"
    return f"{bed.short} short" if bed.short else "will be filled"


def _details(bed: BedForecast) -> Iterable[str]:
    if bed.want.open:
        yield f"{_percent(bed.filled)} sure, {bed.want.chance * 100:.0f} asked"
    if bed.batches:
        yield "from " + ", ".join(f"{code} {count}" for code, count in bed.batches)


def _percent(chance: float) -> str:
    """A chance in whole hundredths, never rounded to a certainty that it is not."""
    if chance >= 0.995:
        return "> 99 %" if chance < 1 - 1e-9 else "100 %"
    return f"{chance * 100:.0f} %" if chance >= 0.005 else "< 1 %"


def _key(top: float) -> tuple[list[Shape], list[Text]]:
    """What the tints mean."""
    shapes, texts = [], []
    x = 0.0
    for words, tint in (
        ("planted", PLANTED),
        ("nearly sure to come", SURELY),
        ("likely", LIKELY),
        ("wanted: the thick frame", "none"),
    ):
        shapes.append(
            Shape("key", _box(x, top, 5, 3), fill=tint, line_mm=0.12 if tint != "none" else 0.5)
        )
        texts.append(plain(words, (x + 6.2, top + 2.5), 2.6))
        x += 10.5 + width_em(words) * 2.6
    return shapes, texts


def _csv_row(bed: BedForecast) -> tuple[Cell, ...]:
    want, count = bed.want, bed.plants
    return (
        want.name,
        str(want.plant),
        want.by.isoformat(),
        want.wanted,
        want.planted,
        count.low,
        count.likely,
        count.high,
        round(bed.filled, 4),
        want.chance,
        bed.short,
        " ".join(f"{code}:{number}" for code, number in bed.batches),
    )
