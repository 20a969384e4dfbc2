"""Beds drawn as bars: every bed is there, nothing leaves the page, the shares are true."""

import csv
import datetime as dt
import re

import pytest
from attrs import evolve

from propagate.errors import Refused
from propagate.names import parse
from propagate.paper.bedbars import draw_beds, render_beds, write_beds
from propagate.paths import labels_folder
from propagate.records.answers import PlantCount
from propagate.records.beds import BedForecast, BedsAnswer, Want

DAY = dt.date(2027, 3, 15)
FOLDERS = (labels_folder(),)


def bed(name: str, wanted: int = 40, planted: int = 10) -> BedForecast:
    want = Want(name, parse("Ribes nigrum 'Alder Jet'"), wanted, DAY, 0.9, 2, planted)
    return BedForecast(want, PlantCount(20, 30, 38, 29.0, 0.8), 0.25, 20, (("M7KD", 20),))


def answer(*beds: BedForecast) -> BedsAnswer:
    return BedsAnswer(dt.date(2026, 11, 25), beds, (), ())


def widths(drawing, what: str) -> list[float]:
    paths = [shape.path for shape in drawing.shapes if shape.what == what]
    return [float(re.match(r"M\S+ \S+h([\d.]+)", path)[1]) for path in paths]


def test_a_bar_shows_its_shares_of_what_is_wanted() -> None:
    (drawing,) = draw_beds(answer(bed("row")), "Bench", 180, 260)
    (full,) = widths(drawing, "wanted")
    assert widths(drawing, "planted") == [pytest.approx(full / 4, abs=0.01)]
    assert widths(drawing, "surely") == [pytest.approx(full / 4, abs=0.01)]
    assert widths(drawing, "likely") == [pytest.approx(full / 4, abs=0.01)]


def test_every_bed_is_drawn_and_no_text_leaves_the_page() -> None:
    beds = [bed(f"the very long name of a bed, number {n}") for n in range(45)]
    drawings = draw_beds(answer(*beds), "Bench", 180, 260)
    assert len(drawings) > 1
    texts = [text for drawing in drawings for text in drawing.texts]
    said = " ".join(run.text for text in texts for run in text.runs)
    assert all(f"number {n}" in said for n in range(45))
    for drawing in drawings:
        assert drawing.height_mm <= 260
        for text in drawing.texts:
            assert text.box.x_mm >= -0.01
            assert text.box.x_mm + text.box.width_mm <= drawing.width_mm + 0.01


@pytest.mark.parametrize(
    ("chance", "said"), [(0.001, "< 1 %"), (0.9, "90 %"), (0.9999, "> 99 %"), (1.0, "100 %")]
)
def test_a_chance_is_never_rounded_to_what_it_is_not(chance: float, said: str) -> None:
    drawings = draw_beds(answer(evolve(bed("row"), filled=chance)), "Bench", 180, 260)
    words = [run.text for one in drawings for text in one.texts for run in text.runs]
    assert f"{said} sure, 90 asked" in words


def test_no_beds_are_said_in_words() -> None:
    assert "Nothing is wanted yet" in render_beds(answer(), FOLDERS, "Bench", "a4").html


def test_the_table_holds_the_same_figures(tmp_path) -> None:
    path = write_beds(answer(bed("row")), FOLDERS, tmp_path / "beds.csv", "Bench").path
    (row,) = csv.DictReader(path.read_text(encoding="utf-8-sig").splitlines())
    assert (row["bed"], row["wanted"], row["likely"], row["short"]) == ("row", "40", "30", "20")


def test_svg_html_and_pdf_are_written_and_other_files_refused(tmp_path) -> None:
    for suffix in ("svg", "html", "pdf"):
        assert (
            write_beds(answer(bed("row")), FOLDERS, tmp_path / f"beds.{suffix}", "Bench")
            .path.stat()
            .st_size
        )
    with pytest.raises(Refused, match="should end in"):
        write_beds(answer(), FOLDERS, tmp_path / "beds.png", "Bench")
