"""Every format of the rack, read back from the PDF: each letter and square within 0.2 mm of plan.

The longest real names go on it, in Latin with accents, Greek, Cyrillic and Japanese. What is
planned is worked out here from the format's file alone, not from what the drawing code did.
"""

import io

import pdfplumber
import pypdfium2
import pytest
import zxingcpp
from PIL import ImageFilter

from propagate.paper.formatfiles import format_names, read_format
from propagate.paper.formats import legible_pt
from propagate.paper.labels import render_labels
from propagate.paper.printing import pdf_bytes
from propagate.paths import labels_folder
from propagate.units import mm_from_points

FORMATS = format_names([labels_folder()])
# Those for Letter but for the small label and the stake differ in the page alone.
KINDS = [name for name in FORMATS if not name.endswith("-letter") or name == "small-letter"]
SQUARED = [name for name in KINDS if "qr" in read_format(name, [labels_folder()]).boxes]
"""The narrowest strip has no room for a square."""
PLACE_MM = 0.2
# A glyph box as a PDF reader gives it is a little taller than the line it is set in.
GLYPH_MM = 0.6
# Long names that are met, with varieties near the 30 characters that the code of nomenclature
# allows since 1996 (ICNCP); the varieties are invented.
NAMES = [
    "Metasequoia glyptostroboides 'Öreglund Żółć of Mill Meadows'",
    "Rhododendron catawbiense × Rhododendron ponticum 'Très Long Été'",
    "Laurus nobilis 'Δάφνη η ευγενής του κήπου'",
    "Acer platanoides 'Клён Щедрый Южный'",
    "Acer palmatum '極楽鳥の長い名前の楓'",
]


def read_pages(content):
    """Size, letters and squares of each page [mm]; type sizes in points."""
    with pdfplumber.open(io.BytesIO(content)) as pdf:
        return [
            (_size(page), [_letter(c) for c in page.chars], _squares(page)) for page in pdf.pages
        ]


def _size(page):
    return mm_from_points(page.width), mm_from_points(page.height)


def _letter(char):
    edges = {key: mm_from_points(char[key]) for key in ("x0", "x1", "top", "bottom")}
    size = char["size"] if char["upright"] else char["x1"] - char["x0"]
    return edges | {"text": char["text"], "pt": size}


def _squares(page):
    keys = ("x0", "top", "x1", "bottom")
    return [tuple(mm_from_points(rect[key]) for key in keys) for rect in page.rects]


def faces(label_format):
    """Where each box lies on the label, as (name, left, top, right, foot); both faces of a fold."""
    size = label_format.label
    for name, box in label_format.boxes.items():
        yield name, box, box.left_mm, box.top_mm, box.right_mm, box.foot_mm
        if size.mirrored:
            yield (
                name,
                box,
                size.width_mm - box.right_mm,
                size.height_mm - box.foot_mm,
                size.width_mm - box.left_mm,
                size.height_mm - box.top_mm,
            )


def boxes_around(char, corner, label_format):
    left, top = corner
    for name, box, x0, y0, x1, y1 in faces(label_format):
        across, down = (GLYPH_MM, PLACE_MM) if box.turned else (PLACE_MM, GLYPH_MM)
        inside = left + x0 - across <= char["x0"] and char["x1"] <= left + x1 + across
        if inside and top + y0 - down <= char["top"] and char["bottom"] <= top + y1 + down:
            yield name


def planned_corner(label_format, place):
    """From the grid alone: margins, then size and gap for every label before it."""
    grid, size = label_format.grid, label_format.label
    row, column = divmod(place, grid.columns)
    return (
        grid.left_mm + column * (size.width_mm + grid.gap_x_mm),
        grid.top_mm + row * (size.height_mm + grid.gap_y_mm),
    )


def pages_with(label_format, labels):
    """The labels of a print with the page and place each stands on."""
    for at, label in enumerate(labels):
        yield label, *divmod(at, label_format.per_page)


@pytest.mark.parametrize("name", FORMATS)
def test_every_letter_and_every_square_is_where_the_format_plans_it(name, folders, make_label):
    label_format = read_format(name, folders)
    codes = ["M7KD", "CC7P", "WDWT", "JKC3", "4MJP"]
    labels = [
        make_label(code, plant, cautions=("Sap: cover skin",), common="a rather long common name")
        for code, plant in zip(codes, NAMES, strict=True)
    ]
    pages = read_pages(pdf_bytes(render_labels(labels, name, folders)))
    for label, sheet, place in pages_with(label_format, labels):
        size, chars, rects = pages[sheet]
        assert size == pytest.approx((label_format.page.width_mm, label_format.page.height_mm))
        corner = planned_corner(label_format, place)
        right, foot = (
            corner[0] + label_format.label.width_mm,
            corner[1] + label_format.label.height_mm,
        )
        here = [
            char
            for char in chars
            if corner[0] <= (char["x0"] + char["x1"]) / 2 <= right
            and corner[1] <= (char["top"] + char["bottom"]) / 2 <= foot
        ]
        astray = [c["text"] for c in here if not list(boxes_around(c, corner, label_format))]
        assert not astray, (label.code, astray)
        soil = foot - max(label_format.label.buried_mm, 0)
        assert max(char["bottom"] for char in here) <= soil + PLACE_MM
        text = "".join(sorted(c["text"] for c in here))
        for letter in set(str(label.name).replace(" ", "")) - set("’‘"):
            assert letter in text or letter.upper() in text
        _assert_square(label_format, corner, rects)


def _assert_square(label_format, corner, rects):
    """A version 1 symbol of 21 modules stands four modules inside the middle of its box."""
    if "qr" not in label_format.boxes:
        return
    box = label_format.boxes["qr"]
    side = min(box.width_mm, box.height_mm)
    left = corner[0] + box.left_mm + (box.width_mm - side) / 2
    top = corner[1] + box.top_mm + (box.height_mm - side) / 2
    inside = [
        rect
        for rect in rects
        if left <= (rect[0] + rect[2]) / 2 <= left + side
        and top <= (rect[1] + rect[3]) / 2 <= top + side
    ]
    module = side / 29
    edges = (
        min(rect[0] for rect in inside) - left,
        min(rect[1] for rect in inside) - top,
        max(rect[2] for rect in inside) - left,
        max(rect[3] for rect in inside) - top,
    )
    planned = (4 * module, 4 * module, 25 * module, 25 * module)
    assert edges == pytest.approx(planned, abs=PLACE_MM)


# The codes and the names that a bench has most of: they are read from where they are meant to be.
@pytest.mark.parametrize("name", KINDS)
def test_a_usual_name_and_the_code_can_be_read_from_where_they_should(name, folders, make_label):
    """Capitals of 1/200 of the distance (FAA, AS 1319); a code at 0.4 m at the least."""
    label_format = read_format(name, folders)
    printed = render_labels([make_label("WWMW", "Ribes nigrum 'Alder Jet'")], name, folders)
    assert printed.remarks == ()
    drawn = printed.drawing.sheets[0][0].drawn
    sizes = {block.name: block.size_pt for block in reversed(drawn.blocks)}
    assert sizes["heading"] >= label_format.legible_pt
    assert sizes["code"] >= legible_pt(0.4)


@pytest.mark.parametrize("name", ["tray-a4", "stake-a4", "strip-18"])
def test_species_and_variety_are_equally_large(name, folders, make_label):
    label = make_label(plant="Zelkova qqqqq 'ßßßßß'", common="", stock_plant="")
    ((_, chars, _),) = read_pages(pdf_bytes(render_labels([label], name, folders)))
    sizes = {c["text"]: c["pt"] for c in chars if c["text"] in "qß"}
    assert sizes["q"] == pytest.approx(sizes["ß"])


@pytest.mark.parametrize("name", SQUARED)
def test_squares_are_read_from_every_format_even_soft_and_pale(name, folders, make_label):
    """Drawn at 300 dots an inch, blurred by half a millimetre, at 15 % of the contrast."""
    label_format = read_format(name, folders)
    content = pdf_bytes(render_labels([make_label()], name, folders))
    page = pypdfium2.PdfDocument(content)[0]
    # The first label alone: most of a sheet is empty here.
    left, top = planned_corner(label_format, 0)
    right = left + label_format.label.width_mm
    foot = top + label_format.label.height_mm
    dots = 300 / 25.4
    sharp = page.render(scale=300 / 72, grayscale=True).to_pil()
    sharp = sharp.crop(tuple(round(edge * dots) for edge in (left, top, right, foot)))
    side = min(label_format.boxes["qr"].width_mm, label_format.boxes["qr"].height_mm)
    blur = ImageFilter.GaussianBlur(0.4 * side / 29 / 25.4 * 300)
    pale = sharp.filter(blur).point(lambda grey: int(150 + 0.15 * grey))
    for image in (sharp, pale):
        found = zxingcpp.read_barcodes(image, formats=zxingcpp.BarcodeFormat.QRCode)
        assert {symbol.text for symbol in found} == {"M7KD"}
