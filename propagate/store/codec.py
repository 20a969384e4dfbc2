"""Events to and from JSON text. The kind of an event in the book is its class's name."""

import datetime as dt
import json
from functools import cache
from typing import Any, get_args

from attrs import Attribute, fields, fields_dict

from propagate.errors import BrokenBook, Refused
from propagate.names import PlantName, parse
from propagate.records.events import Event

KINDS: dict[str, type[Any]] = {kind.__name__: kind for kind in get_args(Event)}
_TYPES: dict[Any, type | tuple[type, ...]] = {
    str: str,
    int: int,
    float: (int, float),
    int | None: (int, type(None)),
    tuple[str, ...]: tuple,
    tuple[int, ...]: tuple,
}
"""The types that fields of events have, and what JSON gives for them."""


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
        known = fields_dict(KINDS[kind])
        told = {name: _value(known[name], value) for name, value in json.loads(body).items()}
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


def _value(field: "Attribute[Any]", value: Any) -> Any:
    """A JSON value as the field of an event has it; raises TypeError for another type."""
    if field.type is PlantName:
        return _parsed(value)
    if field.type is dt.date:
        return dt.date.fromisoformat(value)
    if isinstance(value, list):
        value = tuple(value)
    if not isinstance(value, _TYPES[field.type]) or isinstance(value, bool):
        raise TypeError(f"{field.name} is {value!r}")
    return value


@cache
def _parsed(text: str) -> PlantName:
    return parse(text)
