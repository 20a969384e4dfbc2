"""The drawn years: bars and words on the page, large numbers told to three figures."""

import datetime as dt

import pytest

from propagate.errors import Refused
from propagate.names import parse
from propagate.paper.years import draw_years, render_years, write_years
from propagate.paths import labels_folder
from propagate.records.answers import PlantCount
from propagate.records.years import StockGoal, YearAhead, YearsAhead

TODAY = dt.date(2026, 11, 20)
FOLDERS = (labels_folder(),)


def answer(*numbers: tuple[int, int, int], goal: StockGoal | None = None) -> YearsAhead:
    years = tuple(
        YearAhead(
            TODAY.replace(year=2026 + at),
            1.0,
            0.0,
            PlantCount(*ends, ends[1], 0.8),
            PlantCount(*ends, ends[1], 0.8),
        )
        for at, ends in enumerate(numbers, start=1)
    )
    keeps = (0.0,) * len(years)
    name = parse("Ribes nigrum 'Alder Jet'")
    return YearsAhead(TODAY, name, "hardwood-cutting", 1, keeps, years, 1.5, ("said",), goal)


def words(made: YearsAhead) -> list[str]:
    return ["".join(run.text for run in text.runs) for text in draw_years(made, 240).texts]


@pytest.mark.parametrize("years", [1, 4, 10])
def test_all_words_stand_on_the_page_and_none_on_another_years(years) -> None:
    drawing = draw_years(answer(*[(1_000_000, 2_000_000, 3_000_000)] * years), 240)
    for text in drawing.texts:
        assert text.box.x_mm >= -0.5
        assert text.box.y_mm + text.box.height_mm <= drawing.height_mm + 0.5
    below = [text.box for text in drawing.texts if 112 < text.y_mm < 132]
    assert sum(a.overlap_mm2(b) for a in below for b in below if a is not b) < 1e-6


def test_a_target_is_marked_and_answered() -> None:
    goal = StockGoal(500, 0.8, 2, (0.0, 0.0), 0.83)
    told = words(answer((10, 20, 30), (400, 600, 800), goal=goal))
    assert "500 wanted" in told
    assert any(line.startswith("500 plants out by 20 Nov 2028, 83 % sure") for line in told)


def test_a_target_out_of_reach_is_said_so() -> None:
    goal = StockGoal(500, 0.8, None, (0.0,) * 10, 0.0)
    assert "500 plants are not reached in 10 years" in words(answer((1, 2, 3), goal=goal))


def test_a_page_for_each_plant() -> None:
    made = render_years([answer((1, 2, 3)), answer((4, 5, 6))], FOLDERS)
    assert made.html.count("<svg") == 2
    assert [row[-2] for row in made.rows] == [2, 5]


def test_two_plants_are_no_single_picture(tmp_path) -> None:
    with pytest.raises(Refused, match="for one plant also"):
        write_years([answer((1, 2, 3))] * 2, FOLDERS, tmp_path / "years.svg")
