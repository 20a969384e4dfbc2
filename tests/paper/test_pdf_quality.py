"""What a PDF of the program has to be, whatever is on it.

Sources: ISO 32000-1 (14.7 structure, 14.8 tagged PDF, 9.9 embedded fonts), ISO 19005-2 for the
kind made to be kept: identification in the metadata, an output intent, no script, no encryption.
"""

import datetime as dt
import http.server
import io
import re
import threading
from itertools import pairwise

import pdfplumber
import pytest
from pdfminer.pdftypes import resolve1

from propagate.paper.calibration import render_calibration
from propagate.paper.formatfiles import read_format, read_rack
from propagate.paper.labels import render_labels
from propagate.paper.printing import Print, pdf_bytes, write
from propagate.paper.racks import render_rack
from propagate.paper.sheets import render_sheet
from propagate.records.labels import BedLabel, MotherLabel

PRINTS = ["painted labels", "laid-out labels", "stock sheet", "calibration", "rack"]


@pytest.fixture(scope="module")
def kept() -> dict[str, bytes]:
    """PDFs drawn once for all questions about them."""
    return {}


@pytest.fixture
def pdf_of(kept, make_print):
    def made(kind: str) -> bytes:
        if kind not in kept:
            kept[kind] = pdf_bytes(make_print(kind))
        return kept[kind]

    return made


@pytest.fixture
def make_print(folders, make_label, make_sheet):
    def make(kind: str) -> Print:
        match kind:
            case "painted labels":
                return render_labels([make_label()] * 3, "tray-a4", folders)
            case "laid-out labels":
                return render_labels([make_label(stock_plant="تين")], "tray-a4", folders)
            case "stock sheet":
                return render_sheet(make_sheet(), folders)
            case "calibration":
                return render_calibration(read_format("tray-a4", folders), folders)
        return render_rack(read_rack(folders)[:2], folders, "a4")

    return make


def opened(content):
    return pdfplumber.open(io.BytesIO(content))


@pytest.mark.parametrize("kind", PRINTS)
def test_it_has_a_title_a_language_and_a_tag_tree(kind, pdf_of):
    with opened(pdf_of(kind)) as pdf:
        catalog = pdf.doc.catalog
        assert pdf.metadata["Title"]
        assert catalog["Lang"] == b"en"
        assert resolve1(catalog["MarkInfo"])["Marked"]
        tree = resolve1(catalog["StructTreeRoot"])
        (document,) = [resolve1(child) for child in tree["K"]]
        assert document["S"].name == "Document"
        assert document["K"]


@pytest.mark.parametrize("kind", PRINTS)
def test_every_picture_is_told_in_words_and_no_heading_is_skipped(kind, pdf_of):
    """ISO 14289-1 (PDF/UA), 7.3 and 7.4.2."""
    with opened(pdf_of(kind)) as pdf:
        tree = resolve1(pdf.doc.catalog["StructTreeRoot"])
        elements = list(elements_of(tree))
    kinds = [element["S"].name for element in elements]
    assert "Figure" in kinds
    for figure in (e for e in elements if e["S"].name == "Figure"):
        assert len(figure["Alt"]) > 3
    levels = [0, *(int(kind[1]) for kind in kinds if re.fullmatch("H[1-6]", kind))]
    assert all(here <= before + 1 for before, here in pairwise(levels))


def elements_of(tree):
    """The structure elements below a part of the tree, in the order in which they are read."""
    below = resolve1(tree.get("K", []))
    for child in below if isinstance(below, list) else [below]:
        element = resolve1(child)
        if isinstance(element, dict) and "S" in element:
            yield element
            yield from elements_of(element)


@pytest.mark.parametrize("kind", PRINTS)
def test_every_font_is_embedded_and_cut_down_to_what_is_used(kind, pdf_of):
    with opened(pdf_of(kind)) as pdf:
        fonts = [
            resolve1(font)
            for page in pdf.pages
            for font in resolve1(resolve1(page.page_obj.resources)["Font"]).values()
        ]
        assert fonts
        for font in fonts:
            assert re.match(r"[A-Z]{6}\+", font["BaseFont"].name)  # the prefix of a subset
            inner = resolve1(resolve1(font["DescendantFonts"])[0])
            file = resolve1(resolve1(inner["FontDescriptor"])["FontFile2"])
            assert len(file.get_data()) < 60_000  # the whole face has 750 kB
            assert resolve1(font["ToUnicode"])


# The layout engine leaves the file of its colour profile to the garbage collector to close.
@pytest.mark.filterwarnings("ignore::pytest.PytestUnraisableExceptionWarning")
@pytest.mark.parametrize("kind", PRINTS)
def test_an_archive_copy_says_what_it_is_and_carries_its_colours(kind, make_print):
    with opened(pdf_bytes(make_print(kind), archive=True)) as pdf:
        metadata = resolve1(pdf.doc.catalog["Metadata"])
        assert "Filter" not in metadata.attrs  # in plain sight (ISO 32000-1, 14.3.2)
        about = metadata.get_data().decode()
        assert re.search(r'pdfaid:part(="|>)2', about)
        assert re.search(r'pdfaid:conformance(="|>)U', about)
        (intent,) = (resolve1(one) for one in resolve1(pdf.doc.catalog["OutputIntents"]))
        assert intent["S"].name == "GTS_PDFA1"
        assert "JavaScript" not in str(pdf.doc.catalog)
        assert resolve1(pdf.doc.catalog["StructTreeRoot"])


@pytest.mark.filterwarnings("ignore::pytest.PytestUnraisableExceptionWarning")
def test_a_name_that_ends_so_asks_for_an_archive_copy(make_print, tmp_path):
    printed = make_print("painted labels")
    for name, kept in (("kept.archive.pdf", True), ("plain.pdf", False)):
        with opened(write(printed, tmp_path / name).path.read_bytes()) as pdf:
            assert ("OutputIntents" in pdf.doc.catalog) == kept


def test_labels_are_read_in_the_order_a_person_would_and_pictures_have_words(folders, make_label):
    content = pdf_bytes(render_labels([make_label()], "tray-a4", folders))
    with opened(content) as pdf:
        tree = resolve1(pdf.doc.catalog["StructTreeRoot"])
        (document,) = [resolve1(child) for child in tree["K"]]
        pieces = [resolve1(piece) for piece in document["K"]]
        assert [piece["S"].name for piece in pieces] == ["P", "Figure"]
        assert pieces[1]["Alt"] == b"QR code: M7KD"
        text = "".join(char["text"] for char in pdf.pages[0].chars)
        first, then = text.index("Ribes"), text.index("M7KD")
        assert first < then
        # Each marked piece of the page is one of the tree's, by number (14.7.4.4).
        marked = {char["mcid"] for char in pdf.pages[0].chars}
        assert marked == {0}


def test_nothing_is_fetched_while_a_print_is_laid_out():
    asked = []

    class Listening(http.server.BaseHTTPRequestHandler):
        def do_GET(self):
            asked.append(self.path)
            self.send_response(404)
            self.end_headers()

        def log_message(self, *_):
            pass

    server = http.server.HTTPServer(("127.0.0.1", 0), Listening)
    thread = threading.Thread(target=server.serve_forever, daemon=True)
    thread.start()
    try:
        there = f"http://127.0.0.1:{server.server_port}"
        page = (
            f'<html lang="en"><title>x</title><link rel="stylesheet" href="{there}/a.css">'
            f'<style>@import url("{there}/b.css"); p {{ background: url({there}/c.png) }}'
            f"@font-face {{ font-family: x; src: url({there}/d.ttf) }}</style>"
            f'<p style="font-family: x"><img src="{there}/e.png"><img src="data:,x">text'
        )
        assert pdf_bytes(Print(html=page)).startswith(b"%PDF-")
    finally:
        server.shutdown()
        thread.join()
        server.server_close()
    assert asked == []


WORDS = (
    "<script>alert(1)</script>",
    "</div><img src=x>",
    "a & b <i>c</i>",
    "{{ 7 * 7 }}",
    "\\) Tj",
)


@pytest.mark.parametrize("words", WORDS)
def test_words_from_people_stay_words_on_every_kind_of_label(words, folders, make_label):
    from propagate.names import parse

    day = dt.date(2027, 1, 2)
    labels = [
        make_label(stock_plant=words, tray=words, common=words, nursery=words),
        MotherLabel(words, parse("Ficus carica"), words, day, place=words, nursery=words),
        BedLabel(words, (), nursery=words),
    ]
    for label in labels:
        printed = render_labels([label], "mother-a4", folders)
        assert words not in printed.html or "<" not in words
        with opened(pdf_bytes(printed)) as pdf:
            text = "".join(char["text"] for char in pdf.pages[0].chars)
        assert words.split()[0][:6].replace(" ", "") in text.replace(" ", "")


def test_a_letter_that_no_font_has_is_told_in_one_line(folders, make_label, tmp_path):
    # U+2E5D came with Unicode 14, long after the fonts that these tests install.
    printed = render_labels([make_label(stock_plant="\u2e5d Row")], "tray-a4", folders)
    written = write(printed, tmp_path / "a.pdf")
    assert written.notice.count("\n") == 0
    assert "No font here has" in written.notice
