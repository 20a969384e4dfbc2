"""CSV files after RFC 4180 that spreadsheets read as text and numbers, never as formulas."""

import codecs
import csv
import io
from collections.abc import Iterable, Sequence
from pathlib import Path

from propagate.csvcells import guard, unguard
from propagate.paper.files import replace_file

__all__ = ["Cell", "csv_bytes", "guard", "unguard", "write_rows"]

Cell = str | int | float
"""Numbers stay bare in the file, so that a spreadsheet can add them up; text is quoted."""


def csv_bytes(header: Sequence[str], rows: Iterable[Sequence[Cell]]) -> bytes:
    """The file's content: lines end in CR LF, text is quoted and guarded.

    It begins with a byte order mark: without it common spreadsheets take UTF-8 for an older
    encoding and spoil × and accents in plant names; readers of "utf-8-sig" skip it.
    """
    text = io.StringIO(newline="")
    writer = csv.writer(text, quoting=csv.QUOTE_NONNUMERIC)
    for row in [header, *rows]:
        writer.writerow([guard(cell) if isinstance(cell, str) else cell for cell in row])
    return codecs.BOM_UTF8 + text.getvalue().encode()


def write_rows(path: Path, header: Sequence[str], rows: Iterable[Sequence[Cell]]) -> Path:
    """Write a table as CSV; raises Refused when the file cannot be written."""
    return replace_file(path, csv_bytes(header, rows))
