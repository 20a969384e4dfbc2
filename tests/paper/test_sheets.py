"""The stock sheet: the same figures on paper, on the screen and in the table."""

import csv
import io
from html.parser import HTMLParser

import pdfplumber
import pytest
from attrs import evolve

from propagate.errors import BrokenBook, Refused
from propagate.paper.csvfiles import csv_bytes
from propagate.paper.printing import pdf_bytes, write
from propagate.paper.sheets import STANDING_COLUMNS, render_sheet
from propagate.units import mm_from_points

# Hand sums of the sheet in conftest, in the order of its columns: started, waiting, rooted,
# potted, hardening, ready, planted, given, lost.
ALL = [133, 49, 12, 13, 13, 22, 5, 6, 11]
BLACKCURRANT = [103, 32, 12, 13, 0, 22, 5, 6, 11]
FIG = [30, 17, 0, 0, 13, 0, 0, 0, 0]
COLUMNS = ["started", *STANDING_COLUMNS]


class TableReader(HTMLParser):
    """Cells of the first table as text, row by row."""

    def __init__(self):
        super().__init__()
        self.rows, self._in_cell = [], False

    def handle_starttag(self, tag, attrs):
        if tag == "tr":
            self.rows.append([])
        if tag == "td":
            self.rows[-1].append("")
        self._in_cell = tag == "td" or (self._in_cell and tag not in ("tr", "table"))

    def handle_endtag(self, tag):
        self._in_cell = self._in_cell and tag != "td"

    def handle_data(self, data):
        if self._in_cell:
            self.rows[-1][-1] += data


def html_rows(printed):
    reader = TableReader()
    reader.feed(printed.html)
    return [[" ".join(cell.split()) for cell in row] for row in reader.rows if row]


def figures(cells):
    return [0 if cell == "·" else int(cell) for cell in cells]


def csv_lines(printed):
    text = csv_bytes(printed.header, printed.rows).decode("utf-8-sig")
    return list(csv.DictReader(io.StringIO(text, newline="")))


def pdf_text(printed):
    with pdfplumber.open(io.BytesIO(pdf_bytes(printed))) as pdf:
        return [page.extract_text() for page in pdf.pages]


def test_totals_are_the_same_in_html_csv_and_pdf(make_sheet, folders):
    printed = render_sheet(make_sheet(), folders)
    rows = {row[0].split("=")[0].strip(): row for row in html_rows(printed)}
    lines = csv_lines(printed)
    text = pdf_text(printed)[0]
    for name, html_name, expected in (
        ("all", "All plants", ALL),
        ("Ribes nigrum ‘Alder Black’", "Ribes nigrum ‘Alder Black’ Blackcurrant", BLACKCURRANT),
        ("Ficus carica", "Ficus carica", FIG),
    ):
        assert figures(rows[html_name][1:10]) == expected
        (line,) = [
            one for one in lines if name in (one["line"], one["plant"] * (one["line"] == "plant"))
        ]
        assert [int(line[key]) for key in COLUMNS] == expected
        shown = " ".join(str(number) if number else "·" for number in expected)
        assert shown in text


def test_every_batch_has_its_figures_everywhere(make_sheet, folders):
    printed = render_sheet(make_sheet(), folders)
    (line,) = [one for one in csv_lines(printed) if one["batch"] == "CC7P"]
    assert [int(line[key]) for key in COLUMNS] == [63, 21, 0, 0, 0, 22, 5, 6, 7]
    assert (line["miscounted"], line["low"], line["free_high"]) == ("2", "35", "36")
    (row,) = [one for one in html_rows(printed) if one[0] == "CC7P*"]
    assert figures(row[2:11]) == [63, 21, 0, 0, 0, 22, 5, 6, 7]
    assert row[11:14] == ["35 – 41 – 47", "·", "24 – 30 – 36"]
    assert "35 – 41 – 47 · 24 – 30 – 36" in pdf_text(printed)[0]


def test_the_sheet_names_miscounts_cautions_window_and_chance(make_sheet, folders):
    text = " ".join(pdf_text(render_sheet(make_sheet(), folders))[0].split())
    for part in (
        "Alderbrook Hedge & Orchard Group",
        "Stock sheet, 3 Feb 2027",
        "CC7P 2; together 2",
        "Care: Sap: cover skin",
        "10 Mar – 28 Mar – 20 Apr 2027",
        "a chance of 80 %",
        "Page 1 of 1",
    ):
        assert part in text


def test_a_caution_about_some_batches_names_them(make_sheet, folders):
    sheet = make_sheet()
    group = sheet.groups[0]
    rows = (evolve(group.rows[0], cautions=("Thorns: wear gloves",)), group.rows[1])
    printed = render_sheet(
        evolve(sheet, groups=(evolve(group, rows=rows), sheet.groups[1])), folders
    )
    assert "Care: Thorns: wear gloves (M7KD)" in printed.html


def test_a_finished_batch_shows_no_window(make_sheet, folders):
    sheet = make_sheet()
    group = sheet.groups[1]
    done = evolve(group, rows=(evolve(group.rows[0], finished=True),))
    printed = render_sheet(evolve(sheet, groups=(sheet.groups[0], done)), folders)
    (row,) = [one for one in html_rows(printed) if one[0] == "WDWT"]
    assert row[14] == "finished"


def test_text_that_looks_like_a_formula_is_guarded_in_the_table(make_sheet, folders):
    content = csv_bytes(*(lambda p: (p.header, p.rows))(render_sheet(make_sheet(), folders)))
    assert b'"\'=Fig"' in content
    assert b'"=Fig"' not in content


def test_the_strip_marks_today_and_the_window(make_sheet, folders):
    """3 Feb 2027 is 155 of the 364 days after 1 Sep 2026: 23.4203 mm of 55."""
    html = render_sheet(make_sheet(), folders).html
    assert html.count("M23.4203 0V3.6") == 3
    # 10 Mar 2027 is day 190, 20 Apr 2027 day 231: 28.7088 mm and 34.9038 mm.
    assert html.count("M28.7088 1.8H34.9038") == 3


# Landscape: ISO 216 A4 297 x 210 mm, US Letter 279.4 x 215.9 mm.
@pytest.mark.parametrize(("paper", "size"), [("a4", (297, 210)), ("letter", (279.4, 215.9))])
def test_the_page_has_the_size_of_the_paper(make_sheet, folders, paper, size):
    with pdfplumber.open(
        io.BytesIO(pdf_bytes(render_sheet(make_sheet(), folders, paper=paper)))
    ) as pdf:
        page = pdf.pages[0]
        in_mm = (mm_from_points(page.width), mm_from_points(page.height))
        edges = [mm_from_points(char["x1"]) for char in page.chars]
    assert in_mm == pytest.approx(size, abs=0.01)
    assert max(edges) <= size[0] - 10 + 0.1  # the margin stays free


def test_headings_and_page_numbers_repeat_on_every_page(make_sheet, folders):
    sheet = make_sheet()
    group = sheet.groups[1]
    many = evolve(
        sheet,
        groups=(sheet.groups[0], *[group] * 12),
        started=103 + 12 * 30,
        standing=evolve(sheet.standing, waiting=32 + 12 * 17, hardening=12 * 13),
    )
    pages = pdf_text(render_sheet(many, folders))
    assert len(pages) > 1
    for number, text in enumerate(pages, 1):
        assert "Method, start, place" in text
        assert f"Page {number} of {len(pages)}" in text


def test_an_empty_nursery_still_has_a_sheet(make_sheet, folders):
    sheet = make_sheet()
    nothing = type(sheet.standing)()
    printed = render_sheet(evolve(sheet, groups=(), started=0, standing=nothing), folders)
    assert "All plants" in printed.html


def test_totals_that_do_not_add_up_are_not_printed(make_sheet, folders):
    with pytest.raises(BrokenBook):
        render_sheet(make_sheet(started=1), folders)


def test_another_paper_is_refused(make_sheet, folders):
    with pytest.raises(Refused, match="a4 or letter"):
        render_sheet(make_sheet(), folders, paper="a3")


def test_the_sheet_goes_to_three_kinds_of_file(make_sheet, folders, tmp_path):
    printed = render_sheet(make_sheet(), folders)
    for suffix in ("pdf", "html", "csv"):
        assert write(printed, tmp_path / f"a.{suffix}").path.stat().st_size > 500


def test_the_pdf_bears_the_date_of_the_sheet_and_no_other(make_sheet, folders):
    content = pdf_bytes(render_sheet(make_sheet(), folders))
    with pdfplumber.open(io.BytesIO(content)) as pdf:
        dates = [value for key, value in pdf.metadata.items() if key.endswith("Date")]
        title = pdf.metadata["Title"]
    assert dates == ["D:20270203"]
    assert title == "Stock sheet, Alderbrook Hedge & Orchard Group, 3 Feb 2027"
    assert content == pdf_bytes(render_sheet(make_sheet(), folders))
