"""The way in and small things: pairing, the reader's language, units and name, news, trouble."""

from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import JSONResponse, PlainTextResponse, RedirectResponse, Response

from propagate.errors import PropagateError
from propagate.web.forms import read_form
from propagate.web.keeper import keep_name, name_of
from propagate.web.pairing import COOKIE, KEPT_DAYS
from propagate.web.rendering import page, reader, wants_data
from propagate.web.speech import LOCALES, marked

KEPT_SECONDS = KEPT_DAYS * 24 * 60 * 60


async def pairing(request: Request) -> Response:
    """Ask for the code that the terminal shows; a link from its QR square brings it along."""
    typed = request.query_params.get("code", "")[:20]
    return page(request, "pair.html", typed=typed, trouble="")


async def pair(request: Request) -> Response:
    """Let a browser in when its code is right; only so many attempts a minute."""
    guard = request.app.state.bench.guard
    if guard.paired is None or guard.attempts is None:
        return RedirectResponse("/", 303)
    address = request.client.host if request.client else ""
    if not guard.attempts.may_try(address):
        trouble = "Too many attempts; wait a minute, then try again."
        return page(request, "pair.html", 429, typed="", trouble=trouble)
    try:
        form = await read_form(request)
        name = name_of(form.values.get("name", ""))
    except PropagateError as error:
        return page(request, "pair.html", 422, typed="", trouble=error.said)
    token = guard.paired.pair(form.values.get("code", ""))
    if token is None:
        trouble = "That is not the code; look at the screen where the program was started."
        return page(request, "pair.html", 403, typed="", trouble=trouble)
    answer = RedirectResponse("/", 303)
    answer.set_cookie(COOKIE, token, max_age=KEPT_SECONDS, httponly=True, samesite="lax", path="/")
    if name:
        keep_name(answer, name, KEPT_SECONDS)
    return answer


async def choose(request: Request) -> Response:
    """Keep the reader's language, units and name in cookies of their own."""
    try:
        form = await read_form(request)
        name = name_of(form.values.get("name", ""))
    except PropagateError as error:
        return PlainTextResponse(reader(request).tell(error.said), 422)
    answer = RedirectResponse(_own_path(form.values.get("back", "/")), 303)
    if form.values.get("language") in LOCALES:
        answer.set_cookie(
            "language", form.values["language"], max_age=KEPT_SECONDS, samesite="lax", httponly=True
        )
    if form.values.get("units") in ("metric", "imperial"):
        answer.set_cookie(
            "units", form.values["units"], max_age=KEPT_SECONDS, samesite="lax", httponly=True
        )
    if "name" in form.values:
        keep_name(answer, name, KEPT_SECONDS)
    return answer


def _own_path(typed: str) -> str:
    """A path of these pages, the first page for anything that leads elsewhere."""
    own = typed.startswith("/") and not typed.startswith("//") and "\\" not in typed
    return typed if own and typed.isascii() and typed.isprintable() and len(typed) < 1000 else "/"


async def news(request: Request) -> Response:
    """The number of the latest entry: whether a page that is open still shows the truth."""
    return JSONResponse({"latest": await request.app.state.bench.room.latest()})


async def lost(request: Request, error: Exception) -> Response:
    """An address that leads nowhere."""
    status = error.status_code if isinstance(error, HTTPException) else 404
    if wants_data(request):
        nothing = marked("There is nothing at this address.")
        return JSONResponse({"refused": reader(request).text(nothing)}, status)
    return page(request, "lost.html", status)


async def broken(request: Request, error: Exception) -> Response:
    """The book or the settings cannot be used: one sentence, and the page stays up."""
    said = error.said if isinstance(error, PropagateError) else str(error)
    if wants_data(request):
        return JSONResponse({"refused": reader(request).tell(said), "changes": []}, 503)
    return page(request, "broken.html", 503, trouble=said)
