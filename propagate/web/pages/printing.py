"""Everything that can be printed: labels, the stock sheet, cards and fans.

The book is asked by its own thread; what it answered is drawn by another.
"""

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
from propagate.actions.labelling import MOST_COPIES, LabelOrder, format_titles, known_beds
from propagate.actions.printing import (
    Draw,
    LabelRun,
    card_print,
    draw_labels,
    fan_print,
    label_run,
    note_labels,
)
from propagate.actions.sharing import last_seq
from propagate.actions.sheets import Wanted, sheet_print
from propagate.errors import NotFound, PropagateError, Refused
from propagate.names import PlantName
from propagate.web.deeds import whole
from propagate.web.forms import Form, read_form
from propagate.web.keeper import keeper
from propagate.web.pages.library import card_view
from propagate.web.rendering import page
from propagate.web.speech import marked
from propagate.worded import worded

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
    """What the print page offers; `formats` are names and titles of the kinds of label."""

    trays: tuple[TrayRow, ...]
    mothers: tuple[tuple[str, PlantName], ...]
    beds: tuple[tuple[str, None], ...]
    formats: tuple[tuple[str, str], ...]
    more: int
    seen: int


def choice_of(desk: Desk) -> Choice:
    """The living batches, those without a label first, mothers, beds, and kinds of label."""
    living = [case.state for case in all_cases(desk) if case.state.living]
    living.sort(key=lambda s: (bool(s.printed_seq) and not s.needs_reprint, -s.entry_seq))
    rows = [
        TrayRow(s.code, s.name, s.place, s.on, bool(s.printed_seq) and not s.needs_reprint)
        for s in living[:MOST_TRAYS]
    ]
    mothers = sorted(desk.book.stock_plants.items(), key=lambda item: item[0].casefold())
    return Choice(
        trays=tuple(rows),
        mothers=tuple((key, state.name) for key, state in mothers),
        beds=tuple((bed, None) for bed in known_beds(desk.book, desk.nursery)),
        formats=desk.remember("label formats", lambda: format_titles(desk.label_folders)),
        more=len(living) - len(rows),
        seen=last_seq(desk.book),
    )


async def prints(request: Request) -> Response:
    """Choose what to print."""
    return await _print_page(request)


async def _print_page(
    request: Request, form: Form | None = None, trouble: str = "", status: int = 200
) -> Response:
    choice = await request.app.state.bench.room.ask(choice_of)
    asked = form.all if form else request.query_params.multi_items()[:MOST_TRAYS]
    chosen = {kind: {v for key, v in asked if key == kind} for kind in ("tray", "mother", "bed")}
    return page(
        request,
        "print.html",
        status,
        choice=choice,
        chosen=chosen,
        any_chosen=any(chosen.values()),
        typed=form.values if form else {},
        trouble=trouble,
        sheets=SHEETS,
    )


async def labels(request: Request) -> Response:
    """The labels of the chosen trays, mothers and beds, as a PDF to print at 100 %."""
    room, form = request.app.state.bench.room, None
    try:
        given = form = await read_form(request)
        run = await room.ask(lambda desk: _asked_run(desk, given))
        answer = await _drawn(request, "labels", ".pdf", lambda path: draw_labels(run, path))
        await room.write(keeper(request), lambda desk: note_labels(desk, run))
    except PropagateError as error:
        return await _print_page(request, form, error.said, 422)
    return answer


def _asked_run(desk: Desk, form: Form) -> LabelRun:
    order = LabelOrder(
        tuple(form.many("tray")),
        tuple(form.many("mother")),
        tuple(form.many("bed")),
        min(whole(form.values, "copies", marked("Copies"), empty=0), MOST_COPIES) or None,
        per_pot=form.values.get("per_pot") == "yes",
    )
    if not (order.batches or order.mothers or order.beds):
        raise Refused(worded("Choose at least one tray, mother plant or bed to print labels for."))
    chosen = form.values.get("format", "")
    if chosen and chosen not in dict(choice_of(desk).formats):
        raise NotFound(worded("There is no label format of that name."))
    start_at = whole(form.values, "start_at", marked("First free place"), empty=1)
    return label_run(desk, order, format_name=chosen, start_at=start_at)


async def sheet(request: Request) -> Response:
    """A sheet of the kind in the address as .pdf, .html or .csv, of one place where asked."""
    kind, suffix = request.path_params["kind"], f".{request.path_params['suffix']}"
    if kind not in SHEETS:
        return Response("There is no print of that kind.", 404, media_type="text/plain")
    wanted = Wanted(place=request.query_params.get("place", "")[:200])
    return await _get_print(
        request,
        kind,
        suffix,
        (".pdf", ".html", ".csv"),
        lambda desk: sheet_print(desk, kind, wanted),
    )


async def fan_of_tray(request: Request) -> Response:
    """The fan of one batch as .pdf, .svg or .csv."""
    code, suffix = request.path_params["code"][:40], f".{request.path_params['suffix']}"
    known = (".pdf", ".svg", ".csv")
    return await _get_print(request, "fan", suffix, known, lambda desk: fan_print(desk, [code]))


async def card_of_method(request: Request) -> Response:
    """One method record as a card to pin above the bench."""
    method, plant = request.path_params["method"][:60], request.path_params.get("plant", "")[:200]

    def asked(desk: Desk) -> Draw:
        return card_print(desk, card_view(desk, method, plant, "metric").record)

    return await _get_print(request, "card", ".pdf", (".pdf",), asked)


async def _get_print(
    request: Request,
    name: str,
    suffix: str,
    known: Sequence[str],
    asked: Callable[[Desk], Draw],
) -> Response:
    room = request.app.state.bench.room
    if suffix not in known:
        return Response("There is no print of that kind.", 404, media_type="text/plain")
    try:
        return await _drawn(request, name, suffix, await room.ask(asked))
    except PropagateError as error:
        status = 404 if isinstance(error, NotFound) else 422
        if name in SHEETS:
            return await _print_page(request, None, error.said, status)
        latest = await room.latest()
        return page(request, "find.html", status, typed="", trouble=error.said, seen=latest)


async def _drawn(request: Request, name: str, suffix: str, draw: Draw) -> Response:
    """The print as a file for the browser; HTML in its place where PDFs cannot be drawn.

    It is drawn beside the thread that holds the book, so that entries need not wait for it.
    """

    def drawn() -> tuple[bytes, str]:
        with TemporaryDirectory() as scratch:
            made = draw(Path(scratch) / f"{name}{suffix}")
            return made.path.read_bytes(), made.path.name

    content, called = await request.app.state.bench.room.draw(drawn)
    kind = "." + called.rsplit(".", 1)[1]
    headers = {"Content-Disposition": f'inline; filename="{called}"'}
    if kind in (".html", ".svg"):
        # A print carries its own style; it still may load nothing and run nothing.
        headers["Content-Security-Policy"] = (
            "default-src 'none'; style-src 'unsafe-inline'; img-src data:; sandbox"
        )
    return Response(content, media_type=MEDIA[kind], headers=headers)
