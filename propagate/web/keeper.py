"""Who writes from this browser: a name given once, kept in a cookie, put beside each entry.

It is no account and proves nothing: two people who trust each other keep one book.
"""

from typing import Final
from urllib.parse import quote, unquote

from starlette.requests import Request
from starlette.responses import Response

from propagate.errors import Refused
from propagate.legible import legible
from propagate.worded import worded

NAME_COOKIE: Final = "keeper"
LONGEST_NAME: Final = 40


def keeper(request: Request) -> str:
    """The name given in this browser, empty where none was, or none that can be read."""
    try:
        return name_of(unquote(request.cookies.get(NAME_COOKIE, ""), errors="strict"))
    except (Refused, UnicodeDecodeError):
        return ""


def name_of(typed: str) -> str:
    """A name as it is kept; raises Refused for one that is too long or cannot be printed."""
    name = legible(typed, worded("Your name"))
    if len(name) > LONGEST_NAME:
        raise Refused(
            worded(
                "{what} has {count} characters; {most} is the most.",
                what=worded("Your name"),
                count=len(name),
                most=LONGEST_NAME,
            )
        )
    return name


def keep_name(answer: Response, name: str, seconds: int) -> None:
    """Let the browser keep a name; an empty one is forgotten."""
    if name:
        answer.set_cookie(
            NAME_COOKIE, quote(name, safe=""), max_age=seconds, samesite="lax", httponly=True
        )
    else:
        answer.delete_cookie(NAME_COOKIE)
