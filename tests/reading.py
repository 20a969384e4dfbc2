"""Read a print back: the cells of its page, the lines of its table, the words of its PDF."""

import csv
import io
import re
from functools import cache
from html.parser import HTMLParser

import pdfplumber

from propagate.paper.csvfiles import csv_bytes
from propagate.paper.printing import Print, pdf_bytes


class TableReader(HTMLParser):
    """Cells of all tables as text, row by row; lines within a cell are parted by a space."""

    def __init__(self) -> None:
        super().__init__()
        self.rows: list[list[str]] = []
        self._in_cell = False

    def handle_starttag(self, tag, attrs) -> None:
        if tag == "tr":
            self.rows.append([])
        if tag == "td":
            self.rows[-1].append("")
        if tag in ("div", "span") and self._in_cell:
            self.rows[-1][-1] += " "
        self._in_cell = tag == "td" or (self._in_cell and tag not in ("tr", "table"))

    def handle_endtag(self, tag) -> None:
        self._in_cell = self._in_cell and tag != "td"

    def handle_data(self, data) -> None:
        if self._in_cell:
            self.rows[-1][-1] += data


def html_rows(printed: Print) -> list[list[str]]:
    reader = TableReader()
    reader.feed(printed.html)
    return [[" ".join(cell.split()) for cell in row] for row in reader.rows if row]


def csv_lines(printed: Print) -> list[dict[str, str]]:
    text = csv_bytes(printed.header, printed.rows).decode("utf-8-sig")
    return list(csv.DictReader(io.StringIO(text, newline="")))


@cache
def pdf_pages(printed: Print) -> list[str]:
    """What each page of the PDF says; the same print is drawn and read once."""
    with pdfplumber.open(io.BytesIO(pdf_bytes(printed))) as pdf:
        return [page.extract_text() for page in pdf.pages]


def shown(number: str | int) -> str:
    """A number as a table shows it: a dot is quieter than a zero."""
    return "·" if int(number or 0) == 0 else str(number)


# Only an authorised operator may issue what Annex VII of Regulation (EU) 2016/2031 describes: a
# flag, the two words, and a block of the letters A to D. Nothing here may look like one.
WORDS = re.compile(r"plant\W*passport", re.I)
FLAG = re.compile("[\U0001f1e6-\U0001f1ff\U0001f3f3\U0001f3f4]")
BLOCK = re.compile(r"\bA\s*[.:)].*\bB\s*[.:)].*\bC\s*[.:)].*\bD\s*[.:)]", re.S)


def imitates_passport(text: str) -> bool:
    """Whether a text has any of what only an authorised grower may print."""
    return any(sign.search(text) for sign in (WORDS, FLAG, BLOCK))
