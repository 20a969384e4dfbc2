"""Events to and from JSON text. The kind of an event in the book is its class's name."""

import datetime as dt
import json
from collections.abc import Callable
from functools import cache
from typing import Any, get_args

from attrs import fields

from propagate.errors import BrokenBook, Refused
from propagate.names import PlantName, parse
from propagate.records.events import Event

KINDS: dict[str, type[Any]] = {kind.__name__: kind for kind in get_args(Event)}
Reader = tuple[tuple[type, ...], Callable[[Any], Any] | None]
"""What JSON gives for a field, and what makes the field's own value of it, if anything must."""


def kind_of(event: Event) -> str:
    """The kind under which an event is stored."""
    return type(event).__name__


def dump(event: Event) -> str:
    """The event's fields as one line of JSON; what is at its default is left out.

    Raises Refused for text that no file can hold: bytes typed in another encoding.
    """
    body = json.dumps(_given(event), ensure_ascii=False, sort_keys=True)
    try:
        body.encode("utf-8")
    except UnicodeEncodeError as error:
        bad = ascii(error.object[error.start : error.end])
        raise Refused(f"The text holds {bad}, which is no character; type it again.") from None
    return body


def load(kind: str, body: str) -> Event:
    """The event of a stored kind and body; raises BrokenBook when it cannot be one."""
    try:
        readers, (told, end) = _readers(kind), _scan(body, 0)
        if end != len(body):
            raise ValueError("there is more than one object")
        for name, value in told.items():
            wanted, make = readers[name]
            if type(value) not in wanted:  # exactly: true is no number
                raise TypeError(f"{name} is {value!r}")
            if make is not None:
                told[name] = make(value)
        event: Event = KINDS[kind](**told)
    except Exception as error:
        raise BrokenBook(f"The book holds an entry that cannot be read ({kind}).") from error
    return event


def _given(event: Event) -> dict[str, Any]:
    """The fields of an event that are not at their default, as JSON has them."""
    given = ((field, getattr(event, field.name)) for field in fields(type(event)))
    return {
        field.name: str(value) if isinstance(value, PlantName | dt.date) else value
        for field, value in given
        if value != field.default
    }


@cache
def _readers(kind: str) -> dict[str, Reader]:
    """How each field of a kind of event is read."""
    return {field.name: _READERS[field.type] for field in fields(KINDS[kind])}


@cache
def _parsed(text: str) -> PlantName:
    return parse(text)


_READERS: dict[Any, Reader] = {
    str: ((str,), None),
    int: ((int,), None),
    float: ((int, float), None),
    int | None: ((int, type(None)), None),
    tuple[str, ...]: ((list,), tuple),
    tuple[int, ...]: ((list,), tuple),
    dt.date: ((str,), dt.date.fromisoformat),
    PlantName: ((str,), _parsed),
}
"""The types that fields of events have."""

_scan: Callable[[str, int], tuple[dict[str, Any], int]] = json.JSONDecoder().scan_once  # type: ignore[attr-defined]
