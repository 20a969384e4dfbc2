"""The fan's picture, read back from the SVG and the PDF: places, order, edges, words."""

import datetime as dt
import re
from collections.abc import Callable, Iterator
from io import BytesIO
from pathlib import Path
from xml.etree import ElementTree

import pdfplumber
import pytest
from attrs import evolve

from propagate.errors import Refused
from propagate.names import parse
from propagate.paper.drawing import spread_apart, whole_ticks
from propagate.paper.fanparts import frame_of
from propagate.paper.fans import draw_fan, draw_small, fan_svg, render_fan, small_fan_svg, write_fan
from propagate.paper.printing import pdf_bytes
from propagate.records.answers import QUANTILES, PlantCount, PotOn
from propagate.records.fans import Fan, FanDot, FanSeason, FanStep, FanWeek, FanWindow

STRUCK = dt.date(2026, 11, 12)
SVG = "{http://www.w3.org/2000/svg}"
SIZE = (240.0, 150.0)
NUMBER = r"-?\d+(?:\.\d+)?"


def after(weeks: int) -> dt.date:
    return STRUCK + dt.timedelta(weeks=weeks)


def week(at: int, *plants: int) -> FanWeek:
    return FanWeek(after(at), dict(zip(QUANTILES, plants, strict=True)), plants[3] + 0.1)


@pytest.fixture
def fan() -> Fan:
    """40 struck, 12 found after 16 weeks, 18 to 33 in the end, 27 likely."""
    weeks = [week(16 + n, 12, *(12 + n * rise for rise in (1, 2, 3, 4, 5)), 38) for n in range(5)]
    weeks[0] = week(16, 12, 12, 12, 12, 12, 12, 12)
    weeks += [week(at, 16, 18, 24, 27, 30, 33, 38) for at in range(21, 60)]
    quantiles = dict(zip(QUANTILES, (16, 18, 24, 27, 30, 33, 38), strict=True))
    return Fan(
        batch="M7KD",
        plant=parse("Ribes nigrum 'Alder Black'"),
        title="M7KD, 40 cuttings started 12 Nov 2026",
        as_of=after(22),
        by=None,
        first=STRUCK,
        last=after(59),
        count=40,
        taken="rooted",
        steps=(FanStep(STRUCK, 40, 0, 0), FanStep(after(16), 40, 12, 0)),
        weeks=tuple(weeks),
        dots=(FanDot(after(10), 0, 2, None, 0), FanDot(after(16), 12, 3, None, 12)),
        plants=PlantCount(18, 27, 33, 26.4, 0.8, quantiles),
        windows=(FanWindow("M7KD", "pot on", PotOn(after(50), after(52), after(57))),),
        seasons=(FanSeason(after(50), after(59)),),
        season_words="between leaf fall and bud break (5 Nov to 25 Mar)",
        wanted=25,
    )


def picture(fan: Fan, folders: list[Path]) -> ElementTree.Element:
    return ElementTree.fromstring(fan_svg(fan, folders, width_mm=SIZE[0], height_mm=SIZE[1]))


def paths(svg: ElementTree.Element, what: str) -> list[str]:
    return [path.get("d", "") for path in svg.iter(f"{SVG}path") if path.get("class") == what]


def points(path: str) -> list[tuple[float, float]]:
    """The corners of a path of straight lines."""
    return [(float(x), float(y)) for x, y in re.findall(f"({NUMBER}) ({NUMBER})", path)]


def corners(path: str) -> Iterator[tuple[float, float]]:
    """All corners of a path of M, L, H, V, h, v and Z."""
    x = y = 0.0
    for letter, numbers in re.findall(r"([MLHVhv])([^MLHVhvZ]*)", path):
        values = [float(n) for n in re.findall(NUMBER, numbers)]
        match letter:
            case "M" | "L":
                x, y = values
            case "H":
                x = values[0]
            case "V":
                y = values[0]
            case "h":
                x += values[0]
            case "v":
                y += values[0]
        yield x, y


def words(svg: ElementTree.Element) -> list[str]:
    return ["".join(text.itertext()) for text in svg.iter(f"{SVG}text")]


@pytest.fixture
def svg(fan: Fan, folders: list[Path]) -> ElementTree.Element:
    return picture(fan, folders)


def test_bands_lie_within_each_other_and_around_the_likely_line(svg, fan) -> None:
    def edges(what: str) -> tuple[list[float], list[float]]:
        ys = [y for _, y in points(paths(svg, what)[0])]
        return ys[: len(fan.weeks)], ys[: len(fan.weeks) - 1 : -1]

    bands = [edges(f"band q{share}") for share in ("5", "10", "25")]
    likely = [y for _, y in points(paths(svg, "likely")[0])]
    heights = [band[0] for band in bands] + [likely] + [band[1] for band in reversed(bands)]
    for column in zip(*heights, strict=True):
        assert list(column) == sorted(column)  # y grows downwards: most plants first


def test_the_likely_line_never_falls_and_runs_with_time(svg) -> None:
    line = points(paths(svg, "likely")[0])
    assert [x for x, _ in line] == sorted(x for x, _ in line)
    assert [y for _, y in line] == sorted((y for _, y in line), reverse=True)


def test_heights_are_in_proportion_to_plants_and_days(svg, fan) -> None:
    """40 started and 12 found fix the scale; 27 likely in the end must lie on it."""
    ceiling = points(paths(svg, "started")[0])[0][1]
    dots = [
        (float(dot.get("cx", "")), float(dot.get("cy", ""))) for dot in svg.iter(f"{SVG}circle")
    ]
    (early, zero), (late, twelve) = dots
    plant_mm = (zero - ceiling) / 40
    assert twelve == pytest.approx(zero - 12 * plant_mm, abs=0.01)
    line = points(paths(svg, "likely")[0])
    assert line[-1][1] == pytest.approx(zero - 27 * plant_mm, abs=0.01)
    assert line[0] == pytest.approx((late, twelve), abs=0.01)  # it starts in the dot
    week_mm = (late - early) / 6
    assert line[-1][0] == pytest.approx(early + (59 - 10) * week_mm, abs=0.01)
    (today,) = paths(svg, "today")
    assert points(today)[0][0] == pytest.approx(late + 6 * week_mm, abs=0.01)


def test_dots_carry_their_counts(svg) -> None:
    assert {"0 rooted, 2 dead", "12 rooted, 3 dead"} <= set(words(svg))


def test_a_sample_is_an_open_dot_and_says_so(fan, folders) -> None:
    sampled = evolve(fan, dots=(FanDot(after(16), 3, 0, 10, 12.0),))
    svg = picture(sampled, folders)
    (dot,) = svg.iter(f"{SVG}circle")
    assert (dot.get("class"), dot.get("fill")) == ("sample", "white")
    assert "sample: 3 of 10 rooted" in words(svg)


def test_the_figures_beside_the_end_are_the_forecasts(svg, fan) -> None:
    said = words(svg)
    for share, odds in {
        0.05: "1 in 20: fewer",
        0.1: "1 in 10: fewer",
        0.25: "1 in 4: fewer",
        0.5: "likely",
        0.75: "1 in 4: more",
        0.9: "1 in 10: more",
        0.95: "1 in 20: more",
    }.items():
        assert said[said.index(odds) - 1] == str(fan.plants.quantiles[share])
    assert "27 plants likely in the end (18 to 33, 8 times in 10)" in said


def test_a_sure_number_is_said_once(fan, folders) -> None:
    plants = PlantCount(30, 30, 30, 30, 0.8, dict.fromkeys(QUANTILES, 30))
    said = words(picture(evolve(fan, plants=plants), folders))
    assert said[said.index("for sure") - 1] == "30"
    assert "30 plants in the end" in said
    assert not any("1 in" in text for text in said)


def test_lines_are_named_where_they_are(svg) -> None:
    said = words(svg)
    for text in (
        "40 started",
        "25 wanted",
        "as of 15 Apr 2027",
        "Ribes nigrum ‘Alder Black’",
        "season: between leaf fall and bud break (5 Nov to 25 Mar)",
        "pot on 28 Oct – 11 Nov – 16 Dec 2027",
    ):
        assert text in said


def test_the_axis_of_plants_has_whole_numbers_and_that_of_days_months_and_years(svg) -> None:
    said = words(svg)
    assert [text for text in said if text.isdigit()][:5] == ["0", "10", "20", "30", "40"]
    assert {"2026", "2027", "Jan"} <= set(said)


MANY = PlantCount(
    61000, 72000, 80000, 71000.0, 0.8, dict(zip(QUANTILES, range(60000, 81000, 3000), strict=True))
)


def variations(fan: Fan) -> dict[str, Fan]:
    crowd = tuple(FanDot(after(16) + dt.timedelta(days=n), 12, n, None, 12) for n in range(6))
    long_name = parse("Ribes nigrum 'The Longest Name That Anybody Ever Gave To A Currant Bush'")
    return {
        "usual": fan,
        "day at the start": evolve(fan, as_of=STRUCK),
        "day at the end": evolve(fan, as_of=fan.last),
        "day outside": evolve(fan, as_of=after(500)),
        "more wanted than started": evolve(fan, wanted=77),
        "crowded": evolve(fan, dots=crowd),
        "long name": evolve(fan, plant=long_name),
        "eight batches": evolve(fan, batch="", windows=fan.windows * 8),
        "three batches": evolve(fan, batch="", windows=fan.windows * 3),
        "many plants": evolve(fan, steps=(FanStep(STRUCK, 12000, 0, 0),), count=12000),
        "many come": evolve(fan, count=99999, plants=MANY, steps=(FanStep(STRUCK, 99999, 0, 0),)),
        "by a day": evolve(fan, by=fan.last),
        "potted": evolve(fan, steps=(*fan.steps, FanStep(after(58), 40, 12, 9))),
        "short": evolve(fan, first=after(15), last=after(17), weeks=fan.weeks[:2], dots=()),
    }


@pytest.mark.parametrize("size", [(240.0, 150.0), (273.0, 185.0), (150.0, 110.0)])
def test_nothing_lies_outside_the_page(fan, size) -> None:
    for name, each in variations(fan).items():
        drawing = draw_fan(each, *size)
        for shape in drawing.shapes:
            for x, y in corners(shape.path):
                assert 0 <= x <= size[0], (name, shape)
                assert 0 <= y <= size[1], (name, shape)
        for text in drawing.texts:
            box = text.box
            assert box.x_mm >= -0.01, (name, text)
            assert box.x_mm + box.width_mm <= size[0] + 0.01, (name, text)
            assert box.y_mm >= 0, (name, text)
            assert box.y_mm + box.height_mm <= size[1], (name, text)


def test_words_do_not_stand_on_each_other(fan) -> None:
    for name, each in variations(fan).items():
        texts = draw_fan(each, 273, 185).texts
        for at, text in enumerate(texts):
            for other in texts[:at]:
                assert text.box.overlap_mm2(other.box) < 0.5, (name, text, other)


@pytest.mark.parametrize("potted_at", [17, 21, 22])
def test_what_was_potted_is_told_clear_of_the_line_of_today(fan, potted_at) -> None:
    """Long ago, last week, and today, as the fan is drawn."""
    potted = evolve(fan, steps=(*fan.steps, FanStep(after(potted_at), 40, 12, 9)))
    drawing = draw_fan(potted, 273, 185)
    (words,) = (text for text in drawing.texts if text.runs[0].text == "9 potted on")
    (line,) = (shape.path for shape in drawing.shapes if shape.what == "today")
    today = points(line)[0][0]
    assert not words.box.x_mm < today < words.box.x_mm + words.box.width_mm


def test_the_longest_name_is_told_whole(fan, folders) -> None:
    name = "Ribes nigrum 'The Longest Name That Anybody Ever Gave To A Currant Bush Or A Rose'"
    svg = picture(evolve(fan, plant=parse(name)), folders)
    assert "Bush Or A Rose’" in " ".join(words(svg))


def test_the_small_one_keeps_within_its_corner_of_a_sheet(fan, folders) -> None:
    drawing = draw_small(fan, 60, 12)
    for shape in drawing.shapes:
        for x, y in corners(shape.path):
            assert 0 <= x <= 60
            assert 0 <= y <= 12
    for text in drawing.texts:
        assert text.box.x_mm + text.box.width_mm <= 60
    svg = ElementTree.fromstring(small_fan_svg(fan, folders))
    assert (svg.get("width"), svg.get("height")) == ("60mm", "12mm")
    assert words(svg) == ["27", "18–33"]


@pytest.mark.parametrize(("paper", "size"), [("a4", (841.9, 595.3)), ("letter", (792, 612))])
def test_a_page_holds_it_with_its_text_to_be_searched(fan, folders, paper, size) -> None:
    with pdfplumber.open(BytesIO(pdf_bytes(render_fan(fan, folders, paper)))) as pdf:
        (page,) = pdf.pages
        assert (page.width, page.height) == pytest.approx(size, abs=0.1)
        text = page.extract_text().replace(" ", "")
        marks = [*page.chars, *page.curves, *page.lines]
        assert min(mark["x0"] for mark in marks) > 20  # a margin of 12 mm is 34 points
        assert max(mark["x1"] for mark in marks) < size[0] - 20
        assert max(mark["bottom"] for mark in marks) < size[1] - 20
    for said in ("Alder Black", "40 started", "12 rooted, 3 dead", "27 plants likely"):
        assert said.replace(" ", "") in text


def test_the_picture_needs_nothing_around_it(fan, folders) -> None:
    svg = fan_svg(fan, folders)
    assert "href" not in svg
    assert "url(" not in svg
    assert re.findall('https?://[^"]*', svg) == ["http://www.w3.org/2000/svg"]


def test_names_are_escaped(fan, folders) -> None:
    svg = picture(evolve(fan, title="<b>&"), folders)
    assert "<b>&" in words(svg)


@pytest.fixture
def written(fan, folders, tmp_path) -> Callable[[str], bytes]:
    def to(name: str) -> bytes:
        assert write_fan(fan, folders, tmp_path / name).path == tmp_path / name
        return (tmp_path / name).read_bytes()

    return to


def test_it_is_written_as_the_ending_asks(written) -> None:
    assert written("fan.svg").startswith(b"<svg")
    assert written("fan.pdf").startswith(b"%PDF")
    assert b"<svg" in written("fan.html")
    header, first, *rest = written("fan.csv").decode("utf-8-sig").splitlines()
    assert header == '"day","q05","q10","q25","q50","q75","q90","q95","mean"'
    assert first == '"2027-03-04",12,12,12,12,12,12,12,12.1'
    assert len(rest) == 43


def test_another_ending_or_paper_is_refused(fan, folders, tmp_path) -> None:
    with pytest.raises(Refused, match=r"\.svg, \.pdf, \.html or \.csv"):
        write_fan(fan, folders, tmp_path / "fan.png")
    with pytest.raises(Refused, match="a4 or letter"):
        render_fan(fan, folders, "a5")


@pytest.mark.parametrize(
    ("most", "ticks"),
    [
        (1, [0, 1]),
        (6, [0, 1, 2, 3, 4, 5, 6]),
        (40, [0, 10, 20, 30, 40]),
        (300, [0, 50, 100, 150, 200, 250, 300]),
        (12240, [0, 5000, 10000]),
    ],
)
def test_ticks_are_numbers_that_people_count_in(most, ticks) -> None:
    assert whole_ticks(most) == ticks


def test_places_are_spread_apart_in_order_and_within_their_span() -> None:
    assert spread_apart([1, 2, 9], 3, (0, 20)) == [1, 4, 9]
    assert spread_apart([18, 19, 20], 3, (0, 20)) == [14, 17, 20]


def test_days_outside_a_frame_stand_at_its_edges(fan) -> None:
    frame = frame_of(fan, (10, 110), (5, 105))
    assert frame.x_mm(after(-9)) == 10
    assert frame.x_mm(after(900)) == 110
    assert frame.y_mm(-1) == 105
    assert frame.y_mm(1e9) == 5
