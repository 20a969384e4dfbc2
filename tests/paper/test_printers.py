"""What was measured on the calibration sheet makes labels come out where they are planned."""

import io
import re

import pdfplumber
import pytest

from propagate.actions.labelling import shift_of
from propagate.paper.calibration import plan_for, render_calibration
from propagate.paper.drawn import Shift
from propagate.paper.formatfiles import format_names, read_format
from propagate.paper.labels import Finish, render_labels
from propagate.paper.printing import pdf_bytes
from propagate.records.printers import PrinterFit
from propagate.units import mm_from_points


def lines_of(content):
    with pdfplumber.open(io.BytesIO(content)) as pdf:
        return [
            tuple(mm_from_points(line[key]) for key in ("x0", "top", "x1", "bottom"))
            for line in pdf.pages[0].lines
        ]


def code_at(content, code="M7KD"):
    with pdfplumber.open(io.BytesIO(content)) as pdf:
        word = next(word for word in pdf.pages[0].extract_words() if word["text"] == code)
    return mm_from_points(word["x0"]), mm_from_points(word["top"])


def test_the_rulers_are_as_long_and_the_cross_is_where_they_say(folders):
    label_format = read_format("tray-a4", folders)
    plan = plan_for(label_format)
    found = lines_of(pdf_bytes(render_calibration(label_format, folders)))
    across = (plan.left_mm, plan.top_mm, plan.left_mm + plan.across_mm, plan.top_mm)
    down = (plan.left_mm, plan.top_mm, plan.left_mm, plan.top_mm + plan.down_mm)
    for planned in (across, down):
        assert any(one == pytest.approx(planned, abs=0.05) for one in found)
    assert (plan.across_mm, plan.down_mm) == (170, 250)


def test_every_page_of_the_rack_has_room_for_its_sheet(folders):
    for name in format_names(folders):
        label_format = read_format(name, folders)
        plan = plan_for(label_format)
        assert plan.left_mm + plan.across_mm < label_format.page.width_mm
        assert plan.top_mm + plan.down_mm < label_format.page.height_mm


def test_the_words_on_the_sheet_are_settings_as_they_stand(folders):
    html = render_calibration(read_format("tray-a4", folders), folders).html
    (text,) = re.findall("<pre>(.*?)</pre>", html, re.DOTALL)
    assert text.startswith("[labels.printer]")
    assert "across_mm = [170, 170]" in text


FIT = PrinterFit(left_mm=(20, 21.5), top_mm=(20, 18.8), across_mm=(170, 168.3), down_mm=(250, 251))


def as_printed(fit, x, y):
    """Where a printer of this fit puts a point that is drawn at x, y [mm]."""
    (across, down), (right, lower) = fit.scale, fit.offset_mm
    return right + across * x, lower + down * y


def test_a_fit_is_what_was_measured():
    """Hand sum: the cross drawn at 20 lies at 21.5, and 170 mm further one 168.3 mm from it."""
    assert as_printed(FIT, 20, 20) == pytest.approx((21.5, 18.8))
    assert as_printed(FIT, 190, 270) == pytest.approx((189.8, 269.8))


def test_labels_for_a_measured_printer_come_out_where_they_are_planned(folders, make_label):
    planned = code_at(pdf_bytes(render_labels([make_label()], "tray-a4", folders, start_at=14)))
    finish = Finish(shift=shift_of(FIT))
    printed = render_labels([make_label()], "tray-a4", folders, start_at=14, finish=finish)
    drawn = code_at(pdf_bytes(printed))
    assert drawn != pytest.approx(planned, abs=0.5)
    # The top of a letter scales with it: a tenth of a millimetre is the letter's own.
    assert as_printed(FIT, *drawn) == pytest.approx(planned, abs=0.1)


def test_a_printer_that_was_not_measured_shifts_nothing():
    assert shift_of(PrinterFit()) == Shift()


def test_crop_marks_stand_at_the_edges_of_labels_and_outside_them(folders, make_label):
    finish = Finish(crop_marks=True)
    content = pdf_bytes(render_labels([make_label()], "small-a4", folders, finish=finish))
    label_format = read_format("small-a4", folders)
    corners = [label_format.corner_mm(at) for at in range(label_format.per_page)]
    xs = sorted({x + more for x, _ in corners[:3] for more in (0, label_format.label.width_mm)})
    upright = [line for line in lines_of(content) if abs(line[0] - line[2]) < 0.01]
    assert sorted(line[0] for line in upright)[::2] == pytest.approx(xs, abs=0.01)
    top, foot = min(y for _, y in corners), max(y for _, y in corners) + 33.9
    assert all(line[3] < top or line[1] > foot for line in upright)


def test_the_back_says_the_same_behind_the_front(folders, make_label):
    finish = Finish(both_sides=True)
    content = pdf_bytes(render_labels([make_label()], "small-a4", folders, finish=finish))
    with pdfplumber.open(io.BytesIO(content)) as pdf:
        front, back = pdf.pages
        first, behind = (
            next(word for word in page.extract_words() if word["text"] == "M7KD")
            for page in (front, back)
        )
    label = read_format("small-a4", folders)
    left = mm_from_points(first["x0"]) - label.grid.left_mm
    mirrored = 210 - label.grid.left_mm - label.label.width_mm
    assert mm_from_points(behind["x0"]) == pytest.approx(mirrored + left, abs=0.01)
    assert behind["top"] == pytest.approx(first["top"])
