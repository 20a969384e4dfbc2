"""Pages from templates: everything that comes from people is escaped, nothing comes from outside.

Templates are read from the package alone, by names that stand in the code; the style and the
script are two files held in memory, each under an address that changes with its content.
"""

import hashlib
from functools import cache, partial
from pathlib import Path
from typing import Any, Final
from urllib.parse import urlsplit

from jinja2 import Environment, FileSystemLoader, StrictUndefined
from markupsafe import Markup, escape
from starlette.requests import Request
from starlette.responses import HTMLResponse, Response

from propagate.names import PlantName
from propagate.web.keeper import keeper
from propagate.web.speech import Speech, speech_for

HERE: Final = Path(__file__).parent
KINDS: Final = {"bench.css": "text/css", "bench.js": "text/javascript", "mark.svg": "image/svg+xml"}
YEAR_SECONDS: Final = 31_536_000


@cache
def asset(name: str) -> tuple[bytes, str]:
    """A file of the page's own and the stamp of its content; `name` is a key of KINDS."""
    content = (HERE / "static" / name).read_bytes()
    return content, hashlib.sha256(content).hexdigest()[:12]


def asset_address(name: str) -> str:
    """Where the page finds one of its files."""
    return f"/static/{asset(name)[1]}/{name}"


async def serve_asset(request: Request) -> Response:
    """One of the page's own files, to be kept by the browser as long as its stamp is asked for."""
    name = request.path_params["name"]
    if name not in KINDS:
        return Response(status_code=404)
    content, stamp = asset(name)
    kept = stamp == request.path_params["stamp"]
    headers = {"Cache-Control": f"max-age={YEAR_SECONDS}, immutable" if kept else "no-cache"}
    return Response(content, media_type=KINDS[name], headers=headers)


@cache
def environment() -> Environment:
    """The templates of the pages."""
    made = Environment(
        loader=FileSystemLoader(HERE / "templates"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    made.filters.update(plant=plant_markup)
    made.globals.update(asset=asset_address)
    return made


def plant_markup(name: PlantName) -> Markup:
    """A plant's name as the codes of nomenclature set it: Latin in italics, the rest upright."""
    return Markup("").join(
        Markup('<i lang="la">{}</i>').format(span.text)
        if span.style == "italic"
        else Markup('<span class="trade">{}</span>').format(span.text)
        if span.style == "small-caps"
        else escape(span.text)
        for span in name.spans()
    )


def page(request: Request, template: str, status: int = 200, **values: Any) -> Response:
    """Fill a template for the reader of this request."""
    speech = reader(request)
    html = (
        environment()
        .get_template(template)
        .render(
            speech=speech,
            _=speech.text,
            ngettext=speech.counted,
            tell=partial(tell_markup, speech),
            request=request,
            keeper=keeper(request),
            nursery_name=request.app.state.bench.name,
            here=request.url.path,
            back=back_address(request),
            **values,
        )
    )
    return HTMLResponse(html, status, {"Vary": "Accept-Language, Cookie"})


def back_address(request: Request) -> str:
    """The page that a reader looks at: where a small form of its foot leads back to.

    What answers a form has no address of its own; then it is the page that the form stood on.
    """
    address = str(request.url)
    if request.method == "POST":
        address = request.headers.get("referer", "/")
    try:
        parts = urlsplit(address)
    except ValueError:  # no browser of ours sends such a thing
        return "/"
    return f"{parts.path}?{parts.query}" if parts.query else parts.path


def tell_markup(speech: Speech, said: str) -> Markup:
    """A sentence from below the pages; what the language does not have is marked as English."""
    if speech.knows(said):
        return escape(speech.tell(said))
    return Markup('<span lang="en">{}</span>').format(speech.tell(said))


def reader(request: Request) -> Speech:
    """How to speak to whoever asks."""
    return speech_for(request.cookies, request.headers.get("accept-language", ""))


def wants_data(request: Request) -> bool:
    """Whether the script asks, to be answered in JSON, and not a person."""
    return "application/json" in request.headers.get("accept", "")
