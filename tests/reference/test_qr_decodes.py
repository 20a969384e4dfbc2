"""Every printed QR code, read by an independent decoder.

Source: zxing-cpp, a decoder for ISO/IEC 18004 symbols that shares no code with the encoder; the
PDF is drawn by PDFium at 300 dots an inch (laser) and 203 (thermal label printers).
"""

import datetime as dt
import io
from pathlib import Path

import pypdfium2
import pytest
import zxingcpp

from propagate.names import parse
from propagate.paper.labels import render_labels
from propagate.paper.printing import pdf_bytes
from propagate.records.prints import TrayLabel

LABELS_FOLDER = Path(__file__).parents[2] / "labels"
POINTS_PER_INCH = 72
LINK = "HTTPS://BENCH.EXAMPLE/T/"


def label(code: str, qr_text: str) -> TrayLabel:
    return TrayLabel(
        code=code,
        name=parse("Metasequoia glyptostroboides 'North Light'"),
        common="Dawn redwood",
        method="Semi-ripe cuttings",
        started=dt.date(2026, 11, 12),
        count=40,
        propagules="cuttings",
        qr_text=qr_text,
        early=dt.date(2027, 3, 10),
        likely=dt.date(2027, 3, 28),
        late=dt.date(2027, 4, 20),
        cautions=("Sap: cover skin",),
        tray="Tray 1 of 3",
    )


def decoded(pdf: bytes, dots_per_inch: int) -> list[str]:
    found = []
    for page in pypdfium2.PdfDocument(io.BytesIO(pdf)):
        image = page.render(scale=dots_per_inch / POINTS_PER_INCH).to_pil()
        symbols = zxingcpp.read_barcodes(image, formats=zxingcpp.BarcodeFormat.QRCode)
        found += [symbol.text for symbol in symbols]
    return sorted(found)


@pytest.mark.parametrize("format_name", ["tray-a4", "tray-letter", "stake-a4", "stake-letter"])
def test_every_code_on_a_sheet_decodes_to_its_text(format_name):
    texts = [f"M{number:02d}D" for number in range(6)]
    texts += [f"{LINK}{text}" for text in texts] + ["https://bench.example/t/käse?id=M7KD"]
    labels = [label(f"C{number:03d}", text) for number, text in enumerate(texts)]
    pdf = pdf_bytes(render_labels(labels, format_name, [LABELS_FOLDER]))
    for dots_per_inch in (300, 203):
        assert decoded(pdf, dots_per_inch) == sorted(texts)
