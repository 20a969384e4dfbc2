"""A finished print in memory, and its way to a PDF, HTML or CSV file."""

from pathlib import Path
from typing import Any, Final

from attrs import frozen

from propagate.errors import MissingTool, Refused
from propagate.paper.csvfiles import Cell, csv_bytes
from propagate.paper.files import replace_file

NEEDS_PANGO: Final = (
    "PDF needs the Pango library: apt install libpango-1.0-0 libpangoft2-1.0-0 (or your"
    " system's), then run this again; wrote {name} instead, print it from a browser at 100 %"
)


@frozen
class Print:
    """A self-contained page in HTML, and the same figures as a table where there is one.

    `exact_size` asks the viewer to print it unscaled, as labels need.
    """

    html: str
    header: tuple[str, ...] = ()
    rows: tuple[tuple[Cell, ...], ...] = ()
    exact_size: bool = False


@frozen
class Written:
    """The file that was written, and one line to tell the grower when it is not the one asked."""

    path: Path
    notice: str = ""


def write(printed: Print, path: Path) -> Written:
    """Write a print to `path`, in the form that its suffix names: .pdf, .html or .csv.

    Without the libraries that draw a PDF, a print-ready HTML file is written in its place and
    the notice says so. Raises Refused for another suffix, or when the file cannot be written.
    """
    suffix = path.suffix.lower()
    if suffix == ".html":
        return Written(replace_file(path, printed.html.encode()))
    if suffix == ".csv" and printed.header:
        return Written(replace_file(path, csv_bytes(printed.header, printed.rows)))
    if suffix != ".pdf":
        known = ".pdf, .html or .csv" if printed.header else ".pdf or .html"
        raise Refused(f'"{path.name}" should end in {known}.')
    try:
        content = pdf_bytes(printed)
    except MissingTool:
        instead = replace_file(path.with_suffix(".html"), printed.html.encode())
        return Written(instead, NEEDS_PANGO.format(name=instead.name))
    return Written(replace_file(path, content))


def pdf_bytes(printed: Print) -> bytes:
    """Draw the PDF; the same print gives the same bytes. Raises MissingTool without Pango."""
    finisher = _ask_for_exact_size if printed.exact_size else None
    content: bytes = _laid_out(printed).write_pdf(finisher=finisher)
    return content


def page_count(printed: Print) -> int | None:
    """How many pages a print takes; None where that cannot be known without Pango."""
    try:
        return len(_laid_out(printed).pages)
    except MissingTool:
        return None


def _laid_out(printed: Print) -> Any:
    """The print as a WeasyPrint document; raises MissingTool where it cannot load."""
    try:
        import weasyprint
    except (ImportError, OSError) as fault:  # OSError: the Python part is there, Pango is not
        raise MissingTool(str(fault)) from fault

    # A print is self-contained; whatever points outside it, file or address, is not followed.
    nothing = weasyprint.urls.URLFetcher(allowed_protocols=())
    return weasyprint.HTML(string=printed.html, url_fetcher=nothing).render()


def _ask_for_exact_size(_: Any, pdf: Any) -> None:
    """Set the viewer's print dialogue to 100 % (PDF 1.7, ISO 32000-1 table 150, PrintScaling)."""
    import pydyf

    pdf.catalog["ViewerPreferences"] = pydyf.Dictionary({"PrintScaling": "/None"})
