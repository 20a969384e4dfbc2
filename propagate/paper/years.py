"""Years ahead on paper and on the web: a bar a year with its spread, black on white."""

from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import Final

from propagate.days import written
from propagate.errors import Refused
from propagate.paper.csvfiles import Cell
from propagate.paper.drawing import Drawing, Shape, Text, fitted, line_path, plain, whole_ticks
from propagate.paper.fitting import fit, words_of
from propagate.paper.lettering import name_runs
from propagate.paper.pages import paper_size, picture, render_pages, write_drawn
from propagate.paper.printing import Print, Written
from propagate.records.years import YearAhead, YearsAhead
from propagate.spans import rounded
from propagate.units import mm_from_points

HEIGHT_MM: Final = 160.0
TOP_MM, BOTTOM_MM, LEFT_MM, END_MM = 28.0, 112.0, 16.0, 6.0
FOOT_MM, FOOT_LINE_MM = 134.0, 4.4
BAR_SHARE: Final = 0.5  # of a year's room
LABEL_MM, SMALL_MM = 3.2, 2.7
NAME_MM, NAME_PT = 9.0, (20.0, 6.0)
GREY: Final = "#9a9a9a"
CSV_HEADER: Final = (
    *("plant", "method", "year", "by", "mothers", "kept"),
    *("made_low", "made_likely", "made_high", "out_low", "out_likely", "out_high"),
)
HOW_TO_READ: Final = (
    "Grey is the likely number of plants out to beds and people so far; the line from its low to"
    " its high number."
)


def write_years(
    answers: Sequence[YearsAhead], folders: Sequence[Path], path: Path, paper: str = "a4"
) -> Written:
    """Write one plant as .svg, or any number of them as .pdf, .html (a page each) or .csv.

    Raises Refused for another ending, for none, or when the file cannot be written.
    """
    if not answers:
        raise Refused("There is no mother plant to draw the years ahead of.")
    if path.suffix.lower() == ".svg" and len(answers) > 1:
        raise Refused(f'"{path.name}" should end in .pdf, .html or .csv, for one plant also .svg.')
    return write_drawn(
        path,
        lambda: years_svg(answers[0], folders),
        lambda: render_years(answers, folders, paper),
    )


def render_years(
    answers: Sequence[YearsAhead], folders: Sequence[Path], paper: str = "a4"
) -> Print:
    """A page in landscape for each plant; the figures as a table go with them."""
    size = paper_size("Years ahead come", paper, lying=True)
    drawings = [draw_years(answer, size.room_mm[0]) for answer in answers]
    rows = [row for answer in answers for row in _csv_rows(answer)]
    title, as_of = drawings[0].title, answers[0].as_of
    return render_pages(drawings, title, as_of, folders, size, CSV_HEADER, rows)


def years_svg(answer: YearsAhead, folders: Sequence[Path], *, width_mm: float = 240) -> str:
    """One plant as a picture that needs nothing around it."""
    return picture(draw_years(answer, width_mm), folders)


def _csv_rows(answer: YearsAhead) -> Iterable[tuple[Cell, ...]]:
    for at, year in enumerate(answer.years, start=1):
        made, out = year.made, year.out
        yield (
            *(str(answer.plant), answer.method, at, year.by.isoformat()),
            *(round(year.mothers, 1), round(year.kept, 1)),
            *(made.low, made.likely, made.high, out.low, out.likely, out.high),
        )


def draw_years(answer: YearsAhead, width_mm: float) -> Drawing:
    """The whole picture [mm]."""
    wanted = answer.goal.wanted if answer.goal else 0
    most = max(wanted, *(year.out.high for year in answer.years), 1) * 1.08
    shapes, texts = list(_ground(most, width_mm)), list(_heading(answer, width_mm))
    texts += _numbers(most)
    room = (width_mm - LEFT_MM - END_MM) / len(answer.years)
    for at, year in enumerate(answer.years):
        middle = LEFT_MM + room * (at + 0.5)
        shapes += _bar(year, middle, room * BAR_SHARE, most)
        texts += _year_words(year, middle, most, room)
    if wanted:
        y = _y_mm(wanted, most)
        edge = line_path([(LEFT_MM, y), (width_mm - END_MM, y)])
        shapes.append(Shape("wanted", edge, line_mm=0.5, dash="2.4 1.4"))
        texts.append(plain(f"{wanted} wanted", (LEFT_MM + 1, y - 1.2), LABEL_MM, bold=True))
    for line, words in enumerate((*answer.said, HOW_TO_READ), start=1):
        base = FOOT_MM + FOOT_LINE_MM * line
        texts.append(fitted(words, (0, base), SMALL_MM, room_mm=width_mm))
    title = f"{answer.plant}: years ahead"
    return Drawing(width_mm, HEIGHT_MM, title, tuple(shapes), (), tuple(texts))


def _y_mm(plants: float, most: float) -> float:
    return BOTTOM_MM - (BOTTOM_MM - TOP_MM) * min(plants / most, 1.0)


def _ground(most: float, width_mm: float) -> Iterable[Shape]:
    right = width_mm - END_MM
    rows = "".join(
        line_path([(LEFT_MM, _y_mm(tick, most)), (right, _y_mm(tick, most))])
        for tick in whole_ticks(most)[1:]
    )
    yield Shape("grid", rows, line_mm=0.1, stroke="#999999")
    floor = line_path([(LEFT_MM, BOTTOM_MM), (right, BOTTOM_MM)])
    yield Shape("floor", floor, line_mm=0.25)


def _numbers(most: float) -> Iterable[Text]:
    for tick in whole_ticks(most):
        at = (LEFT_MM - 1.5, _y_mm(tick, most) + 1.0)
        yield plain(rounded(tick), at, SMALL_MM, anchor="end")


def _bar(year: YearAhead, middle: float, wide: float, most: float) -> Iterable[Shape]:
    left, right = middle - wide / 2, middle + wide / 2
    low, likely, high = (_y_mm(n, most) for n in (year.out.low, year.out.likely, year.out.high))
    corners = [(left, BOTTOM_MM), (left, likely), (right, likely), (right, BOTTOM_MM)]
    yield Shape("likely", f"{line_path(corners)}Z", fill=GREY)
    tick = wide / 8
    spread = line_path([(middle, low), (middle, high)])
    ends = "".join(line_path([(middle - tick, y), (middle + tick, y)]) for y in (low, high))
    yield Shape("spread", spread + ends, line_mm=0.4)


def _year_words(year: YearAhead, middle: float, most: float, room: float) -> Iterable[Text]:
    out = year.out
    height = min(_y_mm(out.likely, most) + 1.2, BOTTOM_MM - 1.2)  # clear of the floor
    beside = (middle + room * BAR_SHARE / 2 + 1.2, height)
    yield plain(rounded(out.likely), beside, 4.2, bold=True)
    below = (
        (written(year.by), True),
        (f"{rounded(out.low)} to {rounded(out.high)} out", False),
        (f"{rounded(year.made.likely)} made, {rounded(year.kept)} kept", False),
        (f"{year.mothers:.1f} mothers", False),
    )
    for line, (words, bold) in enumerate(below):
        size = min(LABEL_MM, fitted(words, (0, 0), LABEL_MM, room_mm=room - 1, bold=bold).size_mm)
        at = (middle, BOTTOM_MM + 5.0 + 4.6 * line)
        yield plain(words, at, size, anchor="middle", bold=bold)


def _heading(answer: YearsAhead, width_mm: float) -> Iterable[Text]:
    words = words_of(name_runs(answer.plant))
    name = fit(words, (width_mm, NAME_MM), NAME_PT) or fit(words, (width_mm, 9e9), NAME_PT)[:3]
    top = NAME_MM - sum(line.height_mm for line in name)
    for line in name:
        top += line.height_mm
        yield Text(line.runs, 0, top - 0.25 * line.height_mm, mm_from_points(line.size_pt))
    mothers = "mother" if answer.mothers == 1 else "mothers"
    title = f"Years ahead by {answer.method}, from {answer.mothers} {mothers}"
    yield fitted(title, (0, 13.6), 3.8, room_mm=width_mm)
    yield fitted(_answer_words(answer), (0, 20.4), 4.2, room_mm=width_mm, bold=True)


def _answer_words(answer: YearsAhead) -> str:
    goal, last = answer.goal, answer.years[-1]
    if goal is None:
        keep = answer.keeps[0] * 100
        return (
            f"{rounded(last.out.likely)} plants likely out by {written(last.by)}"
            f" ({rounded(last.out.low)} to {rounded(last.out.high)}),"
            f" when {keep:.0f} of 100 are kept as mothers"
        )
    if goal.years is None:
        return f"{goal.wanted} plants are not reached in {len(goal.keeps)} years"
    kept = rounded(sum(year.kept for year in answer.years))
    return (
        f"{goal.wanted} plants out by {written(last.by)}, {goal.chance * 100:.0f} % sure,"
        f" with {kept} kept as mothers on the way"
    )
