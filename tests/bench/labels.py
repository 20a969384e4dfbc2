"""A long run of labels beside the same labels from a plain PDF canvas.

Run `python -m tests.bench.labels`. Every label of the run is another plant with another code, so
nothing is saved by copies. The peer is ReportLab's canvas with the same words in the same boxes,
wrapped by its own splitter at fixed sizes, the same faces embedded, each QR square as one path:
once with the usual pure Python encoder, once handed our squares. All run as whole processes,
start-up included, in turn; the best of several counts, for the machine is never quiet. Then
every square of 500 labels is read back at 203 and 300 dots an inch, and once soft and pale.
"""

import datetime as dt
import io
import resource
import subprocess
import sys
import time
from collections.abc import Callable, Sequence
from itertools import groupby
from pathlib import Path

from propagate import codes
from propagate.names import parse
from propagate.paper.formatfiles import read_format
from propagate.paper.labels import render_labels
from propagate.paper.lettering import window_words
from propagate.paper.printing import pdf_bytes
from propagate.paper.qr import QUIET_MODULES, symbol
from propagate.paper.saying import tray_facts
from propagate.paths import labels_folder
from propagate.records.prints import TrayLabel
from propagate.units import mm_from_points

FORMAT = "small-a4"
ROUNDS = 5
GENERA = ("Ribes", "Malus", "Salix", "Ficus", "Corylus", "Crataegus", "Rosa", "Prunus")
EPITHETS = ("nigrum", "domestica", "viminalis", "carica", "avellana", "monogyna", "canina", "avium")
LIMIT_S = 3.5  # for 1,000 labels, start-up included, on the machine this was written on
LIMIT_MB = 300
LIMIT_RATIO = 1.2


def say(text: str) -> None:
    """Tell whoever runs this."""
    sys.stdout.write(f"{text}\n")


def labels(count: int) -> list[TrayLabel]:
    """So many labels, each of another variety and batch."""
    return [
        TrayLabel(
            code=codes.code(at),
            name=parse(f"{GENERA[at % 8]} {EPITHETS[at % 8]} 'Long Meadow {at}'"),
            common="an invented one",
            method="hardwood cutting",
            started=dt.date(2026, 11, 12),
            count=40 + at % 9,
            propagules="cuttings",
            qr_text=codes.code(at),
            stock_plant=f"old row {at % 30}",
            tray=f"tray {at}",
            pot_on_words="lift and pot on",
            early=dt.date(2027, 3, 10),
            likely=dt.date(2027, 3, 28),
            late=dt.date(2027, 4, 20),
        )
        for at in range(count)
    ]


def ours(count: int) -> bytes:
    """The labels by the program."""
    return pdf_bytes(render_labels(labels(count), FORMAT, [labels_folder()]))


def peer(count: int, matrix: Callable[[str], Sequence[Sequence[bool]]]) -> bytes:
    """The same words, squares and places by ReportLab's canvas, wrapped by its own splitter."""
    from reportlab.lib.utils import simpleSplit
    from reportlab.pdfbase import pdfmetrics
    from reportlab.pdfbase.ttfonts import TTFont
    from reportlab.pdfgen.canvas import Canvas

    label_format = read_format(FORMAT, [labels_folder()])
    fonts = Path("/usr/share/fonts/truetype/dejavu")
    for name in ("DejaVuSans", "DejaVuSans-Oblique", "DejaVuSans-Bold"):
        pdfmetrics.registerFont(TTFont(name, fonts / f"{name}.ttf"))
    point = mm_from_points(1)
    height = label_format.page.height_mm / point
    target = io.BytesIO()
    canvas = Canvas(target, (label_format.page.width_mm / point, height), pageCompression=1)
    for at, label in enumerate(labels(count)):
        if at and at % label_format.per_page == 0:
            canvas.showPage()
        left, top = (mm / point for mm in label_format.corner_mm(at % label_format.per_page))
        species, _, variety = str(label.name).partition(" ‘")
        window = window_words(label.early, label.likely, label.late)
        words = (
            ("heading", "DejaVuSans-Oblique", 13.0, [species]),
            ("heading", "DejaVuSans", 13.0, [species, f"‘{variety}", label.common]),
            ("code", "DejaVuSans-Bold", 18.0, [label.code]),
            ("facts", "DejaVuSans", 6.0, tray_facts(label)),
            ("dates", "DejaVuSans", 7.0, [" – ".join(window)]),
            ("tray", "DejaVuSans", 7.0, [label.tray]),
        )
        for name, face, size, phrases in words:
            box = label_format.boxes[name]
            canvas.setFont(face, size)
            y = height - top - box.top_mm / point - size
            for phrase in phrases:
                for line in simpleSplit(phrase, face, size, box.width_mm / point):
                    canvas.drawString(left + box.left_mm / point, y, line)
                    y -= 1.17 * size
        box = label_format.boxes["qr"]
        rows = matrix(label.qr_text)
        module = box.width_mm / (len(rows) + 8) / point
        x0, y0 = left + box.left_mm / point + 4 * module, height - top - box.top_mm / point
        path = canvas.beginPath()
        for y, row in enumerate(rows, 4):
            x = 0
            for black, same in groupby(row):
                length = len(list(same))
                if black:
                    path.rect(x0 + x * module, y0 - (y + 1) * module, length * module, module)
                x += length
        canvas.drawPath(path, stroke=0, fill=1)
    canvas.save()
    return target.getvalue()


def by_segno(text: str) -> Sequence[Sequence[bool]]:
    """The squares of the usual pure Python encoder."""
    import segno

    return segno.make(text, error="m", micro=False).matrix


def by_ours(text: str) -> Sequence[Sequence[bool]]:
    """The squares that our own labels have."""
    drawing = symbol(text)
    side = drawing.side - 2 * QUIET_MODULES
    rows = [[False] * side for _ in range(side)]
    for x, y, length in drawing.dashes:
        first = x - QUIET_MODULES
        rows[y - QUIET_MODULES][first : first + length] = [True] * length
    return rows


def reportlab(count: int) -> bytes:
    """ReportLab with the usual encoder."""
    return peer(count, by_segno)


def reportlab_our_squares(count: int) -> bytes:
    """ReportLab handed the squares that our labels have."""
    return peer(count, by_ours)


MAKERS = {"ours": ours, "reportlab": reportlab, "reportlab-our-squares": reportlab_our_squares}


def timed(maker: str, count: int) -> tuple[float, float]:
    """Wall seconds and peak MB of a whole process that makes the labels."""
    began = time.perf_counter()
    done = subprocess.run(
        [sys.executable, "-m", "tests.bench.labels", maker, str(count)],
        capture_output=True,
        text=True,
        check=True,
    )
    return time.perf_counter() - began, float(done.stdout)


def best(maker: str, count: int, rounds: int = ROUNDS) -> tuple[float, float]:
    """The shortest time of several, and the peak memory."""
    runs = [timed(maker, count) for _ in range(rounds)]
    return min(seconds for seconds, _ in runs), max(mb for _, mb in runs)


def unreadable(count: int) -> dict[str, int]:
    """How many squares of a run are not read back, by how they are looked at."""
    import pypdfium2
    import zxingcpp
    from PIL import Image, ImageFilter

    wanted = {label.qr_text for label in labels(count)}
    found: dict[str, set[str]] = {"203 dpi": set(), "300 dpi": set(), "soft and pale": set()}

    def read(how: str, image: Image.Image) -> None:
        symbols = zxingcpp.read_barcodes(image, formats=zxingcpp.BarcodeFormat.QRCode)
        found[how] |= {symbol.text for symbol in symbols}

    for page in pypdfium2.PdfDocument(ours(count)):
        for dpi in (203, 300):
            image = page.render(scale=dpi / 72).to_pil().convert("L")
            read(f"{dpi} dpi", image)
        # Grey on grey, 15 % of the contrast, and a blur of a third of a module.
        pale = image.filter(ImageFilter.GaussianBlur(2.5)).point(lambda v: int(150 + v * 0.15))
        read("soft and pale", pale)
    return {how: len(wanted - texts) for how, texts in found.items()}


def main() -> None:
    """Time both, show how the time grows, read the squares back, and say what is out of bounds."""
    say(f"{'what':<40}{'seconds':>9}{'MB':>7}")
    found = {maker: best(maker, 1000) for maker in MAKERS}
    for maker, (seconds, mb) in found.items():
        say(f"{f'1,000 labels, {maker}':<40}{seconds:>9.2f}{mb:>7.0f}")
    ours_s, ours_mb = found["ours"]
    ratios = {maker: ours_s / seconds for maker, (seconds, _) in found.items() if maker != "ours"}
    for maker, ratio in ratios.items():
        say(f"ours over {maker}: {ratio:.2f}")
    for count in (1, 500, 2000):
        seconds, mb = best("ours", count, 3)
        say(f"{f'{count:,} labels, ours':<40}{seconds:>9.2f}{mb:>7.0f}")
    missed = unreadable(500)
    say("not read of 500: " + ", ".join(f"{how} {count}" for how, count in missed.items()))
    slow = ours_s > LIMIT_S or ratios["reportlab"] > LIMIT_RATIO or ours_mb > LIMIT_MB
    if slow or any(missed.values()):
        sys.exit("out of bounds")


if __name__ == "__main__":
    if len(sys.argv) == 3:
        MAKERS[sys.argv[1]](int(sys.argv[2]))
        say(f"{resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024}")
    else:
        main()
