"""The bench page as one application: addresses to pages, and the guard around them."""

from typing import Final

from starlette.applications import Starlette
from starlette.middleware.gzip import GZipMiddleware
from starlette.routing import Route
from starlette.types import ASGIApp

from propagate.errors import PropagateError
from propagate.web.bench import Bench
from propagate.web.guarding import Guarded
from propagate.web.pages import door, library, looking, printing, today, tray, trays
from propagate.web.rendering import serve_asset

LEAST_ZIPPED_BYTES: Final = 800

ROUTES: Final = (
    Route("/", today.today),
    Route("/find", today.find_tray),
    Route("/trays", trays.trays),
    Route("/benches", looking.benches),
    Route("/beds", looking.beds),
    Route("/T/{code}", tray.tray),
    Route("/t/{code}", tray.tray),
    Route("/T/{code}/outlook", tray.outlook),
    Route("/T/{code}/family", looking.kin),
    Route("/T/{code}/history", tray.tray_history),
    Route("/T/{code}/fan.{suffix}", printing.fan_of_tray),
    Route("/T/{code}/{deed}", tray.do, methods=["POST"]),
    Route("/undo/{seq:int}", tray.undo, methods=["POST"]),
    Route("/start", library.start),
    Route("/start", library.begin, methods=["POST"]),
    Route("/methods", library.methods),
    Route("/methods/{method}", library.card),
    Route("/methods/{method}/card.pdf", printing.card_of_method),
    Route("/methods/{method}/{plant}", library.card),
    Route("/methods/{method}/{plant}/card.pdf", printing.card_of_method),
    Route("/print", printing.prints),
    Route("/print/labels", printing.labels, methods=["POST"]),
    Route("/print/{kind}.{suffix}", printing.sheet),
    Route("/pair", door.pairing),
    Route("/pair", door.pair, methods=["POST"]),
    Route("/choose", door.choose, methods=["POST"]),
    Route("/news", door.news),
    Route("/static/{stamp}/{name}", serve_asset),
)


def make_app(bench: Bench) -> ASGIApp:
    """The pages of one nursery behind their guard."""
    app = Starlette(
        routes=ROUTES,
        exception_handlers={404: door.lost, 405: door.lost, PropagateError: door.broken},
    )
    app.state.bench = bench
    return Guarded(GZipMiddleware(app, LEAST_ZIPPED_BYTES), bench.guard)
