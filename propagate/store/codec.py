"""Events to and from JSON text. The kind of an event in the book is its class's name."""

import json
from functools import cache
from typing import Any, get_args

from cattrs import Converter

from propagate.errors import BrokenBook, Refused
from propagate.names import PlantName, parse
from propagate.records.events import Event

KINDS: dict[str, type] = {kind.__name__: kind for kind in get_args(Event)}


def kind_of(event: Event) -> str:
    """The kind under which an event is stored."""
    return type(event).__name__


def dump(event: Event) -> str:
    """The event's fields as one line of JSON; what is at its default is left out.

    Raises Refused for text that no file can hold: bytes typed in another encoding.
    """
    body = json.dumps(_converter().unstructure(event), ensure_ascii=False, sort_keys=True)
    try:
        body.encode("utf-8")
    except UnicodeEncodeError as error:
        bad = ascii(error.object[error.start : error.end])
        raise Refused(f"The text holds {bad}, which is no character; type it again.") from None
    return body


def load(kind: str, body: str) -> Event:
    """The event of a stored kind and body; raises BrokenBook when it cannot be one."""
    try:
        event: Event = _converter().structure(json.loads(body), KINDS[kind])
    except Exception as error:
        raise BrokenBook(f"The book holds an entry that cannot be read ({kind}).") from error
    return event


@cache
def _converter() -> Converter:
    converter = Converter(omit_if_default=True, forbid_extra_keys=True, detailed_validation=False)
    converter.register_unstructure_hook(PlantName, str)
    converter.register_structure_hook(PlantName, _read_name)
    return converter


@cache
def _parsed(text: str) -> PlantName:
    return parse(text)


def _read_name(text: Any, _: type) -> PlantName:
    return _parsed(text)
