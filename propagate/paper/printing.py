"""A finished print in memory, and its way to a PDF, HTML or CSV file."""

from collections.abc import Callable
from pathlib import Path
from typing import Any, Final

from attrs import field, frozen

from propagate.errors import MissingTool, Refused
from propagate.paper.csvfiles import Cell, csv_bytes
from propagate.paper.drawn import DrawnSheets
from propagate.paper.files import replace_file

NEEDS_PANGO: Final = (
    "PDF needs the Pango library: apt install libpango-1.0-0 libpangoft2-1.0-0 (or your"
    " system's), then run this again; wrote {name} instead, print it from a browser at 100 %"
)
NEEDS_FONT: Final = (
    'No font here has "{letters}"; install one that covers every script'
    " (apt install fonts-droid-fallback), then print again"
)
ARCHIVE_VARIANT: Final = "pdf/a-2u"
"""ISO 19005-2, level U: all that is shown can be kept and read back as text."""

ARCHIVE_ENDING: Final = ".archive.pdf"


@frozen
class Print:
    """A self-contained page in HTML, and the same figures as a table where there is one.

    `exact_size` asks the viewer to print it unscaled, as labels need. `drawing` holds the same
    page already laid out, to be drawn as it is. `remarks` are told once it is written.
    """

    _page: str | Callable[[], str] = field(alias="html")
    header: tuple[str, ...] = ()
    rows: tuple[tuple[Cell, ...], ...] = ()
    exact_size: bool = False
    drawing: DrawnSheets | None = None
    remarks: tuple[str, ...] = ()

    @property
    def html(self) -> str:
        """The page as HTML, made when it is asked for."""
        return self._page if isinstance(self._page, str) else self._page()

    def lines(self) -> list[dict[str, Cell]]:
        """The table as programs read it: for each line its cells by the heads of the columns."""
        return [dict(zip(self.header, row, strict=True)) for row in self.rows]


@frozen
class Written:
    """The file that was written, and one line to tell the grower when it is not the one asked."""

    path: Path
    notice: str = ""


Draw = Callable[[Path], Written]
"""Draws what was asked of the book into a file. It is slow and needs no book, so that whoever
holds the book may go on meanwhile."""


def write(printed: Print, path: Path, *, archive: bool = False) -> Written:
    """Write a print to `path`, in the form that its suffix names: .pdf, .html or .csv.

    With `archive`, or a name that ends in .archive.pdf, a PDF is of the kind made to be kept
    (PDF/A). Without the libraries that draw a PDF, a print-ready HTML file is written in its
    place and the notice says so. Raises Refused for another suffix, or when the file cannot
    be written.
    """
    suffix = path.suffix.lower()
    if suffix == ".html":
        return _told(replace_file(path, printed.html.encode()), printed.remarks)
    if suffix == ".csv" and printed.header:
        return Written(replace_file(path, csv_bytes(printed.header, printed.rows)))
    if suffix != ".pdf":
        known = ".pdf, .html or .csv" if printed.header else ".pdf or .html"
        raise Refused(f'"{path.name}" should end in {known}.')
    archive = archive or path.name.lower().endswith(ARCHIVE_ENDING)
    try:
        content, missing = _drawn_pdf(printed, archive=archive)
    except MissingTool:
        instead = replace_file(path.with_suffix(".html"), printed.html.encode())
        return _told(instead, (NEEDS_PANGO.format(name=instead.name), *printed.remarks))
    remarks = (NEEDS_FONT.format(letters=missing),) if missing else ()
    return _told(replace_file(path, content), (*remarks, *printed.remarks))


def _told(path: Path, remarks: tuple[str, ...]) -> Written:
    return Written(path, "\n".join(remarks))


def pdf_bytes(printed: Print, *, archive: bool = False) -> bytes:
    """Draw the PDF; the same print gives the same bytes. Raises MissingTool without Pango."""
    return _drawn_pdf(printed, archive=archive)[0]


def _drawn_pdf(printed: Print, *, archive: bool) -> tuple[bytes, str]:
    """The PDF, and the letters that no font here has."""
    from propagate.paper.pdf import finished, lay_out, missing_letters, uncollected

    finisher = _ask_for_exact_size if printed.exact_size else None
    variant = ARCHIVE_VARIANT if archive else None
    if printed.drawing is not None:
        from propagate.paper.canvas import draw_sheets

        drawn = draw_sheets(printed.drawing, variant=variant, finisher=finisher)
        if drawn is not None:
            return drawn
    html = printed.html
    with uncollected():
        document = lay_out(html)
        content = finished(document, variant, finisher)
    return content, missing_letters(document)


def page_count(printed: Print) -> int | None:
    """How many pages a print takes; None where that cannot be known without Pango."""
    from propagate.paper.pdf import lay_out

    try:
        return len(lay_out(printed.html).pages)
    except MissingTool:
        return None


def _ask_for_exact_size(_: Any, pdf: Any) -> None:
    """Set the viewer's print dialogue to 100 % (PDF 1.7, ISO 32000-1 table 150, PrintScaling)."""
    import pydyf

    wishes = pdf.catalog.get("ViewerPreferences", pydyf.Dictionary())
    wishes["PrintScaling"] = "/None"
    pdf.catalog["ViewerPreferences"] = wishes
