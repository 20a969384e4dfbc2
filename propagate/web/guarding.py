"""Who may come in and what leaves: checks before a page is made, and headers on each answer.

    host -> size and time of the body -> origin of a form -> paired or not -> the page -> headers

A name that is not ours in Host would be somebody's trick to reach this machine through the
browser (DNS rebinding); a form from another origin likewise (cross-site request forgery).
"""

import asyncio
from collections.abc import Collection
from http.cookies import CookieError, SimpleCookie
from typing import Final

from attrs import define, field
from starlette.datastructures import Headers, MutableHeaders
from starlette.exceptions import HTTPException
from starlette.responses import PlainTextResponse, RedirectResponse
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from propagate.web.pairing import COOKIE, Attempts, Paired

MOST_BODY_BYTES: Final = 64 * 1024
BODY_SECONDS: Final = 10.0
OPEN_PATHS: Final = ("/pair", "/static/", "/choose")
"""What a browser sees before it is paired: the way in, how that looks, and in which language."""

TOO_MUCH: Final = "That is too much for a form."
CLOSE: Final = {"Connection": "close"}
SAFE_METHODS: Final = ("GET", "HEAD")
POLICY: Final = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; connect-src 'self'; "
    "form-action 'self'; base-uri 'none'; frame-ancestors 'none'; manifest-src 'self'"
)
HEADERS: Final = {
    "Content-Security-Policy": POLICY,
    "X-Content-Type-Options": "nosniff",
    "Referrer-Policy": "same-origin",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Permissions-Policy": "camera=(), geolocation=(), microphone=(), payment=()",
    "Cache-Control": "no-store",
}


@define(eq=False)
class Guard:
    """What is let in: the hosts that are ours, and, on a network, the paired browsers.

    `paired` None lets in whoever reaches the loopback address, which is this machine alone.
    """

    hosts: Collection[str]
    paired: Paired | None = None
    attempts: Attempts | None = None
    body_seconds: float = field(default=BODY_SECONDS)

    def admits(self, headers: Headers) -> bool:
        """Whether the browser was paired, or need not be."""
        return self.paired is None or self.paired.knows(_token(headers))


class Guarded:
    """The pages behind their guard, as an ASGI application."""

    def __init__(self, app: ASGIApp, guard: Guard) -> None:
        self._app, self._guard = app, guard

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer one request."""
        if scope["type"] != "http":
            await self._app(scope, receive, send)
            return
        refusal = self._refusal(scope, Headers(scope=scope))
        if refusal is not None:
            await refusal(scope, receive, _with_headers(send))
            return
        body = Body(receive, self._guard.body_seconds)
        await self._app(scope, body, _with_headers(send))

    def _refusal(self, scope: Scope, headers: Headers) -> ASGIApp | None:
        """The answer to what is not let in, None where it is."""
        if headers.getlist("host") not in [[host] for host in self._guard.hosts]:
            return PlainTextResponse("These pages are not at that address.", 421)
        if scope["method"] not in (*SAFE_METHODS, "POST"):
            return PlainTextResponse("Pages are read and forms are sent; nothing else.", 405)
        if scope["method"] == "POST" and not _from_here(headers):
            return PlainTextResponse("That form does not come from these pages.", 403)
        if _announced_bytes(headers) > MOST_BODY_BYTES:
            return PlainTextResponse(TOO_MUCH, 413, CLOSE)
        if not self._guard.admits(headers) and not scope["path"].startswith(OPEN_PATHS):
            if scope["method"] in SAFE_METHODS and "text/html" in headers.get("accept", ""):
                return RedirectResponse("/pair", 303)
            return PlainTextResponse("Pair this browser first, at /pair.", 401)
        return None


class Body:
    """The body of one request, counted and timed as it comes."""

    def __init__(self, receive: Receive, seconds: float) -> None:
        self._receive, self._seconds = receive, seconds
        self._bytes, self._done = 0, False
        self._until = asyncio.get_running_loop().time() + seconds

    async def __call__(self) -> Message:
        """The next piece of it."""
        if self._done:  # what follows is only the news that the browser has gone
            return await self._receive()
        left = self._until - asyncio.get_running_loop().time()
        try:
            message = await asyncio.wait_for(self._receive(), max(left, 0.001))
        except TimeoutError:
            raise HTTPException(408, "The form came too slowly; send it again.", CLOSE) from None
        self._bytes += len(message.get("body", b""))
        self._done = not message.get("more_body", False)
        if self._bytes > MOST_BODY_BYTES:
            raise HTTPException(413, TOO_MUCH, CLOSE)
        return message


def _with_headers(send: Send) -> Send:
    """Put the headers on each answer that a page did not choose itself."""

    async def sending(message: Message) -> None:
        if message["type"] == "http.response.start":
            headers = MutableHeaders(scope=message)
            for name, value in HEADERS.items():
                headers.setdefault(name, value)
        await send(message)

    return sending


def _from_here(headers: Headers) -> bool:
    """Whether a form was sent by one of our own pages.

    Browsers say where a form comes from in Origin; where that is missing, Sec-Fetch-Site must
    say that it is ours (W3C Fetch Metadata).
    """
    origin = headers.get("origin")
    if origin is not None:
        return origin == f"http://{headers['host']}"
    return headers.get("sec-fetch-site") == "same-origin"


def _announced_bytes(headers: Headers) -> int:
    length = headers.get("content-length", "0")
    return int(length) if length.isascii() and length.isdigit() and len(length) < 16 else 10**16


def _token(headers: Headers) -> str:
    try:
        cookie = SimpleCookie(headers.get("cookie", "")).get(COOKIE)
    except CookieError:
        return ""
    return cookie.value if cookie else ""
