"""The stock sheet: the same figures on paper, on the screen and in the table."""

import io

import pdfplumber
import pytest
from attrs import evolve

from propagate.errors import BrokenBook, Refused
from propagate.paper.csvfiles import csv_bytes
from propagate.paper.printing import pdf_bytes, write
from propagate.paper.sheetcsv import CSV_HEADER
from propagate.paper.sheets import STANDING_COLUMNS, render_sheet
from propagate.records.rights import FOR_SALE, PROTECTED, sentence
from propagate.records.standing import Standing
from propagate.units import mm_from_points
from tests.reading import csv_lines, html_rows, pdf_pages

# Hand sums of the sheet in conftest, in the order of its columns: started, waiting, rooted,
# potted, hardening, ready, planted, given, lost.
ALL = [133, 49, 12, 13, 13, 22, 5, 6, 11]
BLACKCURRANT = [103, 32, 12, 13, 0, 22, 5, 6, 11]
FIG = [30, 17, 0, 0, 13, 0, 0, 0, 0]
COLUMNS = ["started", *STANDING_COLUMNS]


def figures(cells):
    return [0 if cell == "·" else int(cell) for cell in cells]


def test_totals_are_the_same_in_html_csv_and_pdf(make_sheet, folders):
    printed = render_sheet(make_sheet(), folders)
    rows = {row[0].split("=")[0].strip(): row for row in html_rows(printed)}
    assert list(rows)[-1] == "All plants"
    lines = csv_lines(printed)
    text = pdf_pages(printed)[0]
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
    assert "35 – 41 – 47 · 24 – 30 – 36" in pdf_pages(printed)[0]


def test_the_sheet_names_miscounts_cautions_window_and_chance(make_sheet, folders):
    text = " ".join(pdf_pages(render_sheet(make_sheet(), folders))[0].split())
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
    (row,) = group.rows
    gone = evolve(row, standing=Standing(given=row.count))
    potted = evolve(row, standing=Standing(potted=row.count))
    for over, said in ((evolve(gone, finished=True), "finished"), (potted, "tray empty")):
        done = evolve(group, rows=(over,), standing=over.standing)
        standing = sheet.groups[0].standing + over.standing
        shown = evolve(sheet, groups=(sheet.groups[0], done), standing=standing)
        printed = render_sheet(shown, folders)
        (cells,) = [one for one in html_rows(printed) if "WDWT" in one[0]]
        assert cells[13].split(" From the start")[0] == said  # then what its picture shows
        (line,) = [one for one in printed.rows if "WDWT" in one and one[0] == "batch"]
        window = slice(CSV_HEADER.index("pot_on_early"), CSV_HEADER.index("finished"))
        assert line[window] == ("", "", "")


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
    pages = pdf_pages(render_sheet(many, folders))
    assert len(pages) > 1
    for number, text in enumerate(pages, 1):
        assert "Plant, method, start, place" in text
        assert f"Page {number} of {len(pages)}" in text


def test_a_plant_that_runs_over_a_page_is_named_on_the_next(make_sheet, folders):
    """Sixty batches of one currant take more than a page; the fig after them is short."""
    sheet = make_sheet()
    black, fig = sheet.groups
    first = black.rows[0]
    expected = evolve(black.expected, promised=60 * first.expected.promised)
    rows = tuple(evolve(first, code=f"B{at:02}") for at in range(60))
    standing = type(sheet.standing)(waiting=660, rooted=720, potted=780, lost=240)
    long = evolve(black, rows=rows, started=2400, standing=standing, expected=expected)
    whole = evolve(sheet, groups=(long, fig), started=2430, standing=standing + fig.standing)
    pages = pdf_pages(render_sheet(whole, folders))
    assert len(pages) > 2
    named = ["Ribes nigrum ‘Alder Black’, continued" in text for text in pages]
    assert named == [False] + [True] * (len(pages) - 1)
    assert "All plants, continued" not in "".join(pages)


def test_an_empty_nursery_still_has_a_sheet(make_sheet, folders):
    sheet = make_sheet()
    nothing = type(sheet.standing)()
    printed = render_sheet(evolve(sheet, groups=(), started=0, standing=nothing), folders)
    assert "All plants" in printed.html


def test_totals_that_do_not_add_up_are_not_printed(make_sheet, folders):
    with pytest.raises(BrokenBook):
        render_sheet(make_sheet(started=1), folders)


def test_a_plant_alone_in_its_batch_shares_a_line_with_it(make_sheet, folders):
    """The fig of the sheet in conftest: 30 started, 17 waiting, 13 hardening."""
    (row,) = [r for r in html_rows(render_sheet(make_sheet(), folders)) if "WDWT" in r[0]]
    assert row[0].startswith("Ficus carica =Fig Care: Sap: cover skin WDWT Hardwood cuttings")
    assert figures(row[1:10]) == FIG
    assert row[10:13] == ["14 – 19 – 24", "5", "9 – 14 – 19"]


def test_promises_are_summed_and_plants_to_come_are_not(make_sheet, folders):
    printed = render_sheet(make_sheet(), folders)
    (row,) = [one for one in html_rows(printed) if one[0] == "All plants"]
    assert row[10:13] == ["", "15", ""]  # 10 currants and 5 figs
    (line,) = [one for one in csv_lines(printed) if one["line"] == "all"]
    assert (line["promised"], line["likely"], line["free_likely"]) == ("15", "", "")


def test_plants_for_sale_and_protected_ones_come_with_who_has_the_say(make_sheet, folders):
    sheet = make_sheet()
    black, fig = sheet.groups
    fig = evolve(fig, rows=(evolve(fig.rows[0], for_sale=9),), protected=True)
    printed = render_sheet(evolve(sheet, groups=(black, fig)), folders)
    text = " ".join(pdf_pages(printed)[0].split())
    for said in (FOR_SALE, sentence(PROTECTED)):
        assert said in text
        assert said not in render_sheet(sheet, folders).html
    assert "Ficus carica†" in text
    assert "9 for sale" in text
    (line,) = [one for one in csv_lines(printed) if one["batch"] == "WDWT"]
    assert (line["for_sale"], line["protected"]) == ("9", "yes")
    assert {one["for_sale"] for one in csv_lines(printed) if one["line"] == "all"} == {"9"}


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
