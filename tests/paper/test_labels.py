"""Labels read back from the PDF: where they lie, what they say, and that nothing sticks out."""

import datetime as dt
import io
import re
import subprocess
import sys

import pdfplumber
import pytest

from propagate.errors import NotFound, Refused
from propagate.names import parse
from propagate.paper.formatfiles import read_format
from propagate.paper.labels import draw_label, render_labels
from propagate.paper.printing import pdf_bytes
from propagate.paper.saying import say
from propagate.records.labels import BedLabel, BedPlants
from propagate.units import mm_from_points

FORMATS = ["tray-a4", "tray-letter", "stake-a4", "stake-letter"]
PLACEMENT_MM = 0.2
# A glyph box as a PDF reader gives it is a little taller than the line it is set in.
GLYPH_MM = 0.6

ODD_NAMES = [
    "Rhododendron catawbiense × Rhododendron ponticum 'Très Long Cultivar Nom'",
    "Metasequoia glyptostroboides ‘Schirrmann’s Nordlicht’",
    "Acer palmatum '極楽鳥の長い名前の楓の園芸品種の名前'",
    "Laurus nobilis 'Δάφνη η ευγενής του Απόλλωνα'",
    "Acer platanoides 'Клён Щедрый Южный Широкий'",
    "Malus domestica 'Ångström Œuvre Żółć Ñandú'",
    "Rosa ICEBERG 'Korbin'",
    "Abies " + "mw" * 95,
    "Abies '" + "極" * 190 + "'",
    "Rhododendron 'Wide Meadow MWMW " + "Mmmmm " * 20 + "End'",
]


def pages_of(printed):
    with pdfplumber.open(io.BytesIO(pdf_bytes(printed))) as pdf:
        return [
            {
                "size": (mm_from_points(page.width), mm_from_points(page.height)),
                "words": [in_mm(word) for word in page.extract_words()],
                "chars": [in_mm(char) for char in page.chars],
                "squares": [in_mm(shape) for shape in page.rects],
            }
            for page in pdf.pages
        ]


def in_mm(thing):
    edges = {key: mm_from_points(thing[key]) for key in ("x0", "x1", "top", "bottom")}
    return edges | {"text": thing.get("text", "")}


def centre(thing):
    return (thing["x0"] + thing["x1"]) / 2, (thing["top"] + thing["bottom"]) / 2


def place_of(thing, label_format):
    """Place on the sheet, counted from 0, that the middle of a thing lies on."""
    grid = label_format.grid
    x, y = centre(thing)
    across, down = label_format.pitch_mm
    column, row = (x - grid.left_mm) // across, (y - grid.top_mm) // down
    return int(row * grid.columns + column)


def holds(box, corner, char, margin_mm):
    left, top = corner[0] + box.left_mm, corner[1] + box.top_mm
    across = margin_mm if box.turned else 0.05
    down = 0.05 if box.turned else margin_mm
    return (
        left - across <= char["x0"]
        and char["x1"] <= left + box.width_mm + across
        and top - down <= char["top"]
        and char["bottom"] <= top + box.height_mm + down
    )


@pytest.mark.parametrize("name", FORMATS)
def test_every_code_stands_in_its_box_on_its_own_label(name, folders, make_label):
    label_format = read_format(name, folders)
    codes = [f"C{number:03d}" for number in range(label_format.per_page)]
    labels = [make_label(code) for code in codes]
    (page,) = pages_of(render_labels(labels, name, folders))
    box = label_format.boxes["code"]
    found = {word["text"]: word for word in page["words"] if word["text"] in codes}
    for place, code in enumerate(codes):
        left, _ = label_format.corner_mm(place)
        planned = left + box.left_mm
        if box.centred:  # on the head of a stake
            middle, planned = centre(found[code])[0], planned + box.width_mm / 2
            assert abs(middle - planned) < PLACEMENT_MM
        else:
            assert abs(found[code]["x0"] - planned) < PLACEMENT_MM
        assert place_of(found[code], label_format) == place


@pytest.mark.parametrize("name", FORMATS)
def test_every_symbol_stands_where_the_format_plans_it(name, folders, make_label):
    """The black part of a version 1 symbol begins four modules inside its box of 29 modules."""
    unruled = make_label(early=None, likely=None, late=None)
    label_format = read_format(name, folders)
    (page,) = pages_of(render_labels([unruled] * label_format.per_page, name, folders))
    box = label_format.boxes["qr"]
    module_mm = box.width_mm / 29
    for place in range(label_format.per_page):
        squares = [one for one in page["squares"] if place_of(one, label_format) == place]
        left, top = label_format.corner_mm(place)
        edges = [
            min(one["x0"] for one in squares) - left - box.left_mm,
            min(one["top"] for one in squares) - top - box.top_mm,
            max(one["x1"] for one in squares) - left - box.left_mm,
        ]
        assert edges == pytest.approx([4 * module_mm, 4 * module_mm, 25 * module_mm], abs=0.2)


@pytest.mark.parametrize("name", ["tray-a4", "stake-letter"])
@pytest.mark.parametrize("plant", ODD_NAMES)
def test_no_letter_leaves_its_box(name, plant, folders, make_label):
    label_format = read_format(name, folders)
    label = make_label(
        plant=plant,
        common="An uncommonly long common name of Wessex and " * 3,
        stock_plant="Lane end by the water trough " * 4,
        tray="W" * 40,
        cautions=("Sap: cover skin",),
    )
    (page,) = pages_of(render_labels([label], name, folders, start_at=2))
    corner = label_format.corner_mm(1)
    for char in page["chars"]:
        inside = [
            key
            for key, box in label_format.boxes.items()
            if key != "qr" and holds(box, corner, char, GLYPH_MM)
        ]
        assert inside, f"{char} stands in no box of the label"


@pytest.mark.parametrize("plant", ODD_NAMES)
@pytest.mark.parametrize("name", FORMATS)
def test_the_whole_name_is_set(name, plant, folders, make_label):
    label = make_label(plant=plant)
    html = render_labels([label], name, folders).html
    blocks = re.findall(r'<div class="box heading[^>]*>(.*?)</div>', html, re.DOTALL)
    text = "".join(re.sub("<[^>]*>", "", "".join(blocks)).split())
    assert text.startswith("".join(str(label.name).split()))


def test_a_tray_label_says_all_that_the_bench_needs(folders, make_label):
    label = make_label(cautions=("Sap: cover skin",))
    (page,) = pages_of(render_labels([label], "tray-a4", folders))
    text = " ".join(word["text"] for word in page["words"])
    for part in (
        "Ribes nigrum ‘Alder Black’",
        "Blackcurrant",
        "M7KD",
        "Hardwood cuttings",
        "40 cuttings · 12 Nov 2026",
        "from Old Row 3",
        "Lift and pot on",
        "10 Mar – 28 Mar – 20 Apr 2027",
        "Tray 1 of 3",
        "Sap: cover skin",
    ):
        assert part in text


def test_a_year_stands_with_the_last_date_that_falls_in_it(folders, make_label):
    label = make_label(early=dt.date(2026, 12, 28), likely=dt.date(2027, 1, 10))
    html = render_labels([label], "tray-a4", folders).html
    assert "28 Dec 2026 – <b>10 Jan</b> – 20 Apr 2027" in html


def test_a_batch_potted_already_has_no_window_and_no_rule(folders, make_label):
    label = make_label(early=None, likely=None, late=None)
    html = render_labels([label], "tray-a4", folders).html
    assert "pot on" not in html
    assert '<div class="rule">' not in html


def test_species_is_italic_and_cultivar_upright_at_the_same_size(folders, make_label):
    html = render_labels([make_label()], "tray-a4", folders).html
    assert "<i>Ribes nigrum</i>\n‘Alder Black’</div>" in html


def test_a_hybrid_sign_is_not_parted_from_the_name_after_it(folders, make_label):
    label = make_label(plant="Rhododendron catawbiense × Rhododendron ponticum 'Long Meadow'")
    html = render_labels([label], "tray-a4", folders).html
    assert "×\u00a0<i>R.\u00a0ponticum</i>" in html


@pytest.mark.parametrize(("count", "start_at", "pages"), [(14, 1, 1), (15, 1, 2), (14, 2, 2)])
def test_labels_run_on_to_the_next_sheet(count, start_at, pages, folders, make_label):
    printed = render_labels([make_label()] * count, "tray-a4", folders, start_at=start_at)
    assert len(pages_of(printed)) == pages


def test_start_at_leaves_the_used_places_free(folders, make_label):
    printed = render_labels([make_label()] * 2, "tray-a4", folders, start_at=5)
    (page,) = pages_of(printed)
    label_format = read_format("tray-a4", folders)
    assert {place_of(square, label_format) for square in page["squares"]} == {4, 5}


# ISO 216 A4 is 210 x 297 mm; US Letter is 8.5 x 11 inches, 215.9 x 279.4 mm.
@pytest.mark.parametrize(
    ("name", "size"), [("tray-a4", (210, 297)), ("stake-letter", (215.9, 279.4))]
)
def test_the_page_has_the_size_of_the_paper(name, size, folders, make_label):
    (page,) = pages_of(render_labels([make_label()], name, folders))
    assert page["size"] == pytest.approx(size, abs=0.01)


def test_the_buried_part_of_a_stake_is_free_of_print(folders, make_label):
    label_format = read_format("stake-a4", folders)
    labels = [make_label(plant=plant) for plant in ODD_NAMES[:8]]
    (page,) = pages_of(render_labels(labels, "stake-a4", folders))
    soil_mm = label_format.grid.top_mm + 140 - 50  # height less the buried part
    assert max(char["bottom"] for char in page["chars"]) < soil_mm
    assert max(square["bottom"] for square in page["squares"]) < soil_mm


def test_a_code_can_be_read_at_arms_length(folders, make_label):
    """Capitals of distance / 200 (FAA rule as cited in human-factors texts): 3.5 mm at 0.7 m.

    DejaVu Sans capitals are 0.729 em high (its OS/2 table).
    """
    with pdfplumber.open(
        io.BytesIO(pdf_bytes(render_labels([make_label("WWMW")], "tray-a4", folders)))
    ) as pdf:
        largest_pt = max(char["size"] for char in pdf.pages[0].chars)
    assert mm_from_points(largest_pt) * 0.729 > 3.5


def test_a_viewer_is_asked_to_print_at_full_size(folders, make_label):
    content = pdf_bytes(render_labels([make_label()], "tray-a4", folders))
    with pdfplumber.open(io.BytesIO(content)) as pdf:
        assert pdf.doc.catalog["ViewerPreferences"]["PrintScaling"].name == "None"
        assert pdf.doc.catalog["Lang"] == b"en"
        assert pdf.metadata["Title"] == "Labels M7KD"


def test_the_same_labels_give_the_same_bytes(folders, make_label):
    twice = [pdf_bytes(render_labels([make_label()], "tray-a4", folders)) for _ in range(2)]
    assert twice[0] == twice[1]


def test_names_from_people_are_text_and_not_markup(folders, make_label):
    html = render_labels([make_label(stock_plant="<b>Row</b> & 3")], "tray-a4", folders).html
    assert "from &lt;b&gt;Row&lt;/b&gt; &amp; 3" in html


def test_line_breaks_in_a_field_do_not_break_the_label(folders, make_label):
    html = render_labels([make_label(stock_plant="Old\nRow\t3")], "tray-a4", folders).html
    assert "from Old Row 3" in html


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"qr_text": "https://bench.example/" + "t" * 400}, "Shorten the link"),
        ({"qr_text": ""}, "QR code"),
        ({"code": "W" * 60}, "does not fit on one line"),
    ],
)
def test_what_cannot_be_set_is_refused(changes, words, folders, make_label):
    with pytest.raises(Refused, match=words):
        render_labels([make_label(**changes)], "stake-a4", folders)


def test_no_labels_and_impossible_places_are_refused(folders, make_label):
    with pytest.raises(Refused, match="no label"):
        render_labels([], "tray-a4", folders)
    for place in (0, 15):
        with pytest.raises(Refused, match="places 1 to 14"):
            render_labels([make_label()], "tray-a4", folders, start_at=place)


def test_an_unknown_format_names_the_nearest(folders, make_label):
    with pytest.raises(NotFound) as caught:
        render_labels([make_label()], "tray-a5", folders)
    assert "tray-a4" in caught.value.near


def test_printing_loads_slow_libraries_only_when_it_draws():
    program = (
        "import sys, propagate.paper.labels, propagate.paper.sheets;"
        "print([m for m in ('weasyprint', 'jinja2', 'zxingcpp', 'pydyf') if m in sys.modules])"
    )
    done = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True)
    assert done.stdout.strip() == "[]"


@pytest.mark.parametrize("name", ["tie-a4", "tray-a4", "small-a4"])
def test_a_bed_has_no_code_so_its_plants_take_the_place_of_one(name, folders):
    plants = BedPlants(parse("Ribes nigrum 'Alder Jet'"), "blackcurrant", 12, dt.date(2027, 3, 9))
    label_format = read_format(name, folders)
    drawn = draw_label(say(BedLabel("south row", (plants,))), label_format)
    (facts,) = [block for block in drawn.blocks if block.name == "facts"]
    assert facts.left_mm == label_format.boxes["code"].left_mm
    words = "".join(run.text for line in facts.lines for run in line.runs)
    assert words.replace("\u00a0", " ") == "12 blackcurrant ‘Alder Jet’ · 9 Mar 2027"


def test_days_say_what_they_are_for_also_where_there_is_no_box_for_it(folders, make_label):
    label_format = read_format("tie-a4", folders)
    drawn = draw_label(say(make_label()), label_format)
    (dates,) = [block for block in drawn.blocks if block.name == "dates"]
    words = "".join(run.text for line in dates.lines for run in line.runs).replace("\u00a0", " ")
    assert words.startswith("Lift and pot on"), words
    assert dates.size_pt >= 0.75 * label_format.boxes["dates"].max_pt


def test_days_are_not_made_small_for_what_they_are_for(folders, make_label):
    label = make_label(early=dt.date(2026, 12, 28), likely=dt.date(2027, 1, 10))
    drawn = draw_label(say(label), read_format("small-a4", folders))
    (dates,) = [block for block in drawn.blocks if block.name == "dates"]
    assert dates.lines[0].runs[0].text.startswith("28")
