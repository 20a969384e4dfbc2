"""Sheets that are painted, held against the same sheets laid out by the layout engine."""

import io

import pdfplumber
import pytest

from propagate.paper.canvas import draw_sheets
from propagate.paper.labels import render_labels
from propagate.paper.pdf import lay_out
from propagate.paper.printing import pdf_bytes
from propagate.units import mm_from_points

NAMES = [
    "Ribes nigrum 'Alder Jet'",
    "Rosa ICEBERG 'Korbin'",
    "Rhododendron catawbiense × Rhododendron ponticum 'Long Meadow'",
    "Laurus nobilis 'Δάφνη η ευγενής'",
    "Acer platanoides 'Клён Щедрый'",
    "Acer palmatum '極楽鳥の楓'",
]


def letters(content):
    with pdfplumber.open(io.BytesIO(content)) as pdf:
        return sorted(
            (
                char["text"],
                page.page_number,
                mm_from_points(char["x0"]),
                mm_from_points(char["top"]),
                char["size"],
            )
            for page in pdf.pages
            for char in page.chars
            if char["text"].strip()
        )


@pytest.mark.parametrize("name", ["tray-a4", "stake-a4", "fold-a4", "loop-a4"])
def test_letters_stand_where_the_layout_engine_puts_them(name, folders, make_label):
    labels = [make_label(plant=plant, cautions=("Sap: cover skin",)) for plant in NAMES]
    printed = render_labels(labels, name, folders)
    painted = letters(pdf_bytes(printed))
    laid_out = letters(lay_out(printed.html).write_pdf())
    assert [one[:2] for one in painted] == [one[:2] for one in laid_out]
    # The engine lowers a line a little when another font lends it letters, and spaces small
    # capitals on both sides; the plan does neither.
    for letter, page, x, y, size in painted:
        same = [one for one in laid_out if one[:2] == (letter, page)]
        offs = [(abs(one[2] - x), abs(one[3] - y), abs(one[4] - size)) for one in same]
        x_off, y_off, size_off = min(offs, key=sum)
        assert max(x_off, y_off) < 0.35, letter
        assert size_off < 0.1, letter


@pytest.mark.parametrize("words", ["تين", "आम", "q̃", "🌹"])
def test_what_must_be_shaped_is_left_to_the_layout_engine(words, folders, make_label):
    printed = render_labels([make_label(stock_plant=words)], "tray-a4", folders)
    assert printed.drawing is not None
    assert draw_sheets(printed.drawing) is None
    assert pdf_bytes(printed).startswith(b"%PDF-")


def test_a_style_of_ones_own_is_laid_out(folders, make_label, tmp_path):
    (tmp_path / "label.css").write_text("b { font-weight: normal }")
    printed = render_labels([make_label()], "tray-a4", [*folders, tmp_path])
    assert printed.drawing is None
    assert "font-weight: normal" in printed.html
