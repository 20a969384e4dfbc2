"""A plan drawn: every line is there, bars run in the order of time, nothing leaves the page."""

import datetime as dt
import re

import pytest
from attrs import evolve

from propagate.errors import Refused
from propagate.names import parse
from propagate.paper.plans import draw_plan, render_plan, write_plan
from propagate.paths import labels_folder
from propagate.records.beds import Want
from propagate.records.plans import Gap, Missing, Plan, PlanLine

FOLDERS = (labels_folder(),)
TODAY, BY = dt.date(2026, 11, 25), dt.date(2027, 9, 30)
NAME = parse("Salvia rosmarinus 'Weir Blue'")
GAP = Gap((Want("herb bank", NAME, 40, BY, 0.9, 2, 18),), 22)
LINE = PlanLine(
    plant=NAME,
    method="softwood-cutting",
    method_name="softwood cutting",
    count=36,
    start=dt.date(2027, 4, 16),
    last_start=dt.date(2027, 6, 25),
    place="greenhouse bench",
    container="9 cm pot",
    mother="weir-rosemary",
    mothers=1.4,
    gap=GAP,
    gives=30,
    chance=0.9,
    pot_on=dt.date(2027, 5, 24),
    ready=dt.date(2027, 7, 19),
    tray_m2=0.1,
    pots_m2=0.3,
    pots_place="greenhouse bench",
    hours=2.0,
    why=("40 are wanted.",),
)


def made(*lines: PlanLine, **more) -> Plan:
    return Plan(TODAY, lines, more.pop("missing", ()), (), 1, (), 2.0, (2.0,), **more)


def lefts(drawing, what: str) -> list[float]:
    paths = [shape.path for shape in drawing.shapes if shape.what == what]
    return [float(re.match(r"M([\d.]+)", path)[1]) for path in paths]


def test_a_line_runs_from_the_tray_to_the_pots_to_the_bed() -> None:
    (drawing,) = draw_plan(made(LINE), "Bench", 270, 180)
    tray, pots, bed = (lefts(drawing, what)[0] for what in ("tray", "pots", "to bed"))
    assert tray < pots < bed
    assert lefts(drawing, "window") == [tray]
    (mark,) = [dot for dot in drawing.dots if dot.what == "by"]
    assert mark.x_mm > bed


def test_every_line_is_drawn_and_no_text_leaves_the_page() -> None:
    lines = [evolve(LINE, count=n, place="the long bench behind the old shed") for n in range(30)]
    drawings = draw_plan(made(*lines), "Bench", 270, 180)
    assert len(drawings) > 1
    said = " ".join(run.text for d in drawings for text in d.texts for run in text.runs)
    assert all(f"{n} " in said for n in range(30))
    for drawing in drawings:
        assert drawing.height_mm <= 180
        for text in drawing.texts:
            assert text.box.x_mm >= -0.01
            assert text.box.x_mm + text.box.width_mm <= drawing.width_mm + 0.01


def test_what_cannot_be_had_is_on_the_page() -> None:
    missing = Missing(GAP, 7, "There is not bench enough.")
    html = render_plan(made(missing=(missing,)), FOLDERS, "Bench", "a4").html
    assert "There is not bench enough." in html


def test_it_is_written_as_svg_pdf_and_csv_and_nothing_else(tmp_path) -> None:
    for name in ("plan.svg", "plan.pdf", "plan.csv"):
        assert write_plan(made(LINE), FOLDERS, tmp_path / name, "Bench").path.stat().st_size
    with pytest.raises(Refused, match="should end in"):
        write_plan(made(LINE), FOLDERS, tmp_path / "plan.txt", "Bench")
