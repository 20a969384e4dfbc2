"""Everything that can be printed: labels, the stock sheet, cards and fans."""

import datetime as dt
from collections.abc import Callable, Sequence
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Final

from attrs import frozen
from starlette.requests import Request
from starlette.responses import Response

from propagate.actions.answering import cases as all_cases
from propagate.actions.desk import Desk
from propagate.actions.printing import print_card, print_fan, print_labels
from propagate.actions.sharing import last_seq
from propagate.actions.sheets import Wanted, print_sheet
from propagate.errors import NotFound, PropagateError, Refused
from propagate.names import PlantName
from propagate.paper.printing import Written
from propagate.web.deeds import whole
from propagate.web.forms import Form, read_form
from propagate.web.pages.library import card_view
from propagate.web.rendering import page
from propagate.web.speech import marked

MEDIA: Final = {
    ".pdf": "application/pdf",
    ".html": "text/html",
    ".csv": "text/csv",
    ".svg": "image/svg+xml",
}
MOST_TRAYS: Final = 400

SHEETS: Final = {
    "jobs": (marked("Job card"), marked("This week's jobs, place by place.")),
    "checks": (marked("Check cards"), marked("Boxes to fill in with wet hands.")),
    "stock": (marked("Stock sheet"), marked("Everything that stands in the nursery.")),
    "beds": (marked("Planting list"), marked("What stands in the beds, and what can go there.")),
    "customer": (marked("To give or sell"), marked("What is free, now and soon.")),
    "mothers": (marked("Mother plants"), marked("The register, with what was taken from each.")),
    "origins": (marked("Origins"), marked("Where each batch came from and where it went.")),
}
"""The sheets that can be printed, each with its name and what it is for."""


@frozen
class TrayRow:
    """One tray to choose for printing."""

    code: str
    name: PlantName
    place: str
    started: dt.date
    labelled: bool


@frozen
class Choice:
    """What the print page offers."""

    trays: tuple[TrayRow, ...]
    formats: tuple[str, ...]
    usual: str
    more: int
    seen: int


def choice_of(desk: Desk) -> Choice:
    """The living batches, those without a label first, and the formats of labels."""
    living = [case.state for case in all_cases(desk) if case.state.living]
    living.sort(key=lambda s: (bool(s.printed_seq) and not s.needs_reprint, -s.entry_seq))
    rows = [
        TrayRow(s.code, s.name, s.place, s.on, bool(s.printed_seq) and not s.needs_reprint)
        for s in living[:MOST_TRAYS]
    ]
    formats = {path.stem for folder in desk.label_folders for path in folder.glob("*.toml")}
    return Choice(
        trays=tuple(rows),
        formats=tuple(sorted(formats)),
        usual=desk.nursery.labels.format,
        more=len(living) - len(rows),
        seen=last_seq(desk.book),
    )


async def prints(request: Request) -> Response:
    """Choose what to print."""
    return await _print_page(request)


async def _print_page(request: Request, trouble: str = "", status: int = 200) -> Response:
    choice = await request.app.state.bench.room.ask(choice_of)
    chosen = set(request.query_params.getlist("tray")[:MOST_TRAYS])
    return page(
        request,
        "print.html",
        status,
        choice=choice,
        chosen=chosen,
        trouble=trouble,
        sheets=SHEETS,
    )


async def labels(request: Request) -> Response:
    """The labels of the chosen trays, as a PDF to print at 100 %."""
    try:
        form = await read_form(request)
        return await _printed(request, "labels", ".pdf", lambda desk, at: _labels(desk, form, at))
    except PropagateError as error:
        return await _print_page(request, str(error), 422)


def _labels(desk: Desk, form: Form, path: Path) -> Written:
    trays = form.many("tray")
    if not trays:
        raise Refused("Choose at least one tray to print labels for.")
    copies = whole(form.values, "copies", "Copies", empty=0)
    chosen = form.values.get("format", "")
    if chosen and chosen not in choice_of(desk).formats:
        raise NotFound("There is no label format of that name.")
    return print_labels(
        desk,
        trays,
        path,
        format_name=chosen,
        copies=min(copies, 100) or None,
        start_at=whole(form.values, "start_at", "First free place", empty=1),
    )


async def sheet(request: Request) -> Response:
    """A sheet of the kind in the address as .pdf, .html or .csv, of one place where asked."""
    kind, suffix = request.path_params["kind"], f".{request.path_params['suffix']}"
    if kind not in SHEETS:
        return Response("There is no print of that kind.", 404, media_type="text/plain")
    wanted = Wanted(place=request.query_params.get("place", "")[:200])

    def drawn(desk: Desk, path: Path) -> Written:
        return print_sheet(desk, path, kind, wanted)

    return await _get_print(request, kind, suffix, (".pdf", ".html", ".csv"), drawn)


async def fan_print(request: Request) -> Response:
    """The fan of one batch as .pdf, .svg or .csv."""
    code, suffix = request.path_params["code"][:40], f".{request.path_params['suffix']}"
    known = (".pdf", ".svg", ".csv")
    return await _get_print(
        request, "fan", suffix, known, lambda desk, path: print_fan(desk, [code], path)
    )


async def card_print(request: Request) -> Response:
    """One method record as a card to pin above the bench."""
    method, plant = request.path_params["method"][:60], request.path_params.get("plant", "")[:200]

    def drawn(desk: Desk, path: Path) -> Written:
        view = card_view(desk, method, plant, "metric")
        return print_card(desk.folder, view.record, path)

    return await _get_print(request, "card", ".pdf", (".pdf",), drawn)


async def _get_print(
    request: Request,
    name: str,
    suffix: str,
    known: Sequence[str],
    draw: Callable[[Desk, Path], Written],
) -> Response:
    if suffix not in known:
        return Response("There is no print of that kind.", 404, media_type="text/plain")
    try:
        return await _printed(request, name, suffix, draw)
    except PropagateError as error:
        latest = await request.app.state.bench.room.latest()
        status = 404 if isinstance(error, NotFound) else 422
        return page(request, "find.html", status, typed="", trouble=str(error), seen=latest)


async def _printed(
    request: Request, name: str, suffix: str, draw: Callable[[Desk, Path], Written]
) -> Response:
    """The print as a file for the browser; HTML in its place where PDFs cannot be drawn."""

    def drawn(desk: Desk) -> tuple[bytes, str]:
        with TemporaryDirectory() as scratch:
            made = draw(desk, Path(scratch) / f"{name}{suffix}")
            return made.path.read_bytes(), made.path.name

    content, called = await request.app.state.bench.room.ask(drawn)
    kind = "." + called.rsplit(".", 1)[1]
    headers = {"Content-Disposition": f'inline; filename="{called}"'}
    if kind in (".html", ".svg"):
        # A print carries its own style; it still may load nothing and run nothing.
        headers["Content-Security-Policy"] = (
            "default-src 'none'; style-src 'unsafe-inline'; img-src data:; sandbox"
        )
    return Response(content, media_type=MEDIA[kind], headers=headers)
