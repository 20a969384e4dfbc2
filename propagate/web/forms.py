"""What a form sent: fields as text, read within limits and never trusted."""

import datetime as dt
import re
import secrets
from typing import Final
from urllib.parse import parse_qsl

from attrs import frozen
from starlette.requests import Request

from propagate.actions.sharing import Seen
from propagate.days import read_day
from propagate.errors import Refused
from propagate.web.deeds import Values
from propagate.worded import worded

MOST_FIELDS: Final = 2_200
FORM: Final = "application/x-www-form-urlencoded"
_KEY: Final = re.compile(r"[A-Za-z0-9_-]{16,64}")
_SEEN: Final = re.compile(r"([0-9]{1,12})(?:-([0-9]{1,9}))?")


@frozen
class Form:
    """The fields of one form; where a name comes twice, `values` has the last, `all` has each."""

    values: Values
    all: tuple[tuple[str, str], ...]

    def many(self, name: str) -> list[str]:
        """Every value that was sent under a name."""
        return [value for key, value in self.all if key == name]

    def request_key(self) -> str:
        """The key under which this form is written once, however often it is sent."""
        key = self.values.get("request", "")
        if not _KEY.fullmatch(key):
            raise Refused(
                worded("This form has lost its key; open the page again and fill it in there.")
            )
        return key

    def seen(self) -> Seen:
        """How far whoever filled in the form had read the book."""
        found = _SEEN.fullmatch(self.values.get("seen", ""))
        if not found:
            raise Refused(
                worded("This form has lost its place in the book; open the page again, please.")
            )
        return Seen(int(found[1]), int(found[2]) if found[2] else None)

    def day(self, name: str, today: dt.date) -> dt.date:
        """The day in a field, today where it was left empty."""
        typed = self.values.get(name, "").strip()[:40]
        return read_day(typed, today) if typed else today


async def read_form(request: Request) -> Form:
    """Read a form; raises Refused for what is no form, or one that cannot be read."""
    if request.headers.get("content-type", "").partition(";")[0].strip().lower() != FORM:
        raise Refused(worded("That is not a form of these pages."))
    body = await request.body()
    try:
        pairs = parse_qsl(
            body.decode("utf-8"),
            keep_blank_values=True,
            max_num_fields=MOST_FIELDS,
            errors="strict",
        )
    except ValueError:
        raise Refused(worded("That form cannot be read; open the page again, please.")) from None
    return Form(dict(pairs), tuple(pairs))


def seen_text(seen: Seen) -> str:
    """How far a page has read, as its forms send it back."""
    return f"{seen.latest}" if seen.of_batch is None else f"{seen.latest}-{seen.of_batch}"


def asked_number(request: Request, name: str, otherwise: int = 0) -> int:
    """A whole number in the address, `otherwise` where there is none that can be read."""
    typed = request.query_params.get(name, "")
    return int(typed) if typed.isascii() and typed.isdigit() and len(typed) < 10 else otherwise


def new_key() -> str:
    """A key for a form that is about to be shown."""
    return secrets.token_urlsafe(18)
