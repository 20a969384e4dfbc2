"""The drawn bench: everything on the page, the bars as high as they should be."""

import datetime as dt
import re

import pytest

from propagate.errors import Refused
from propagate.names import parse
from propagate.paper.benches import bench_svg, draw_bench, render_bench, write_bench
from propagate.paths import labels_folder
from propagate.records.space import BatchSpace, BenchSpace, PlaceSpace, SpaceWeek

TODAY = dt.date(2026, 11, 20)
FOLDERS = (labels_folder(),)


def place(name: str, size: float | None, expected: float, high: float) -> PlaceSpace:
    weeks = tuple(
        SpaceWeek(TODAY + dt.timedelta(weeks=n), expected, high, None if size is None else 0.1)
        for n in range(53)
    )
    part = BatchSpace("M7KD", parse("Ribes nigrum"), expected, expected)
    return PlaceSpace(name, size, weeks, (part,))


def answer(*places: PlaceSpace) -> BenchSpace:
    return BenchSpace(TODAY, places)


def test_the_fill_is_as_high_as_what_is_expected() -> None:
    """Half of the bench: the fill's top lies half way between the floor and the broken line."""
    drawing = draw_bench(answer(place("frame", 4.0, 2.0, 3.0)), 240)
    paths = {shape.what: shape.path for shape in drawing.shapes}
    fill, size, floor = (_first_y(paths[what]) for what in ("taken", "size", "floor"))
    assert floor - fill == pytest.approx((floor - size) / 2, abs=0.01)


def _first_y(path: str) -> float:
    return float(re.findall(r"-?[\d.]+", path)[1])


def test_all_words_stand_on_the_page() -> None:
    drawing = draw_bench(answer(*(place(f"place {n}", 4.0, 5.0, 6.0) for n in range(4))), 273)
    for text in drawing.texts:
        assert text.box.x_mm >= -0.5
        assert text.box.x_mm + text.box.width_mm <= 273.5
        assert text.box.y_mm + text.box.height_mm <= drawing.height_mm + 0.5
    assert drawing.height_mm <= 186


def test_five_places_take_two_pages() -> None:
    made = render_bench(answer(*(place(f"place {n}", None, 1, 2) for n in range(5))), FOLDERS)
    assert made.html.count("<svg") == 2
    assert len(made.rows) == 5 * 53


def test_a_name_is_no_markup() -> None:
    assert "<b>" not in bench_svg(answer(place("<b>frame</b>", 4, 1, 2)), FOLDERS)


def test_nothing_is_not_drawn(tmp_path) -> None:
    with pytest.raises(Refused, match="nothing to draw"):
        write_bench(answer(), FOLDERS, tmp_path / "bench.pdf")
