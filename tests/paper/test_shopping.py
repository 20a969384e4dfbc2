"""The shopping list on paper: one page, boxes, whole amounts to buy, and what to mind."""

import datetime as dt
from io import BytesIO

import pdfplumber

from propagate.paper.printing import pdf_bytes
from propagate.paper.shopping import HEADER, render_shopping
from propagate.paths import labels_folder
from propagate.records.materials import Need, Shopping

ANSWER = Shopping(
    dt.date(2026, 11, 20),
    dt.date(2027, 2, 12),
    (
        Need("9 cm pot", "", 90.4, 109.0, 30.0, "to pot on M7KD", "common practice"),
        Need("potting <compost>", "l", 40.2, 50.6, 0.0, "what pots take", "common practice"),
    ),
    ("Damp it down first.",),
)


def test_what_is_missing_is_bought_in_whole_units() -> None:
    assert [need.to_buy for need in ANSWER.needs] == [79.0, 51.0]


def test_the_list_is_one_page_with_every_need_and_caution() -> None:
    made = render_shopping(ANSWER, "Alderbrook", (labels_folder(),))
    with pdfplumber.open(BytesIO(pdf_bytes(made))) as pdf:
        (page,) = pdf.pages
        text = page.extract_text()
    for words in ("Alderbrook, 20 Nov 2026 to 12 Feb 2027", "79", "51 l", "Damp it down first."):
        assert words in text
    assert "potting <compost>" in text


def test_the_same_as_a_table() -> None:
    made = render_shopping(ANSWER, "Alderbrook", (labels_folder(),))
    assert made.header == HEADER
    assert made.rows[0][:6] == ("9 cm pot", "", 90.4, 109.0, 30.0, 79.0)
