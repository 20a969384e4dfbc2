"""The folded state of a long book, kept beside it so that opening it need not replay it all.

A snapshot is made of the journal and thrown away without loss: it bears the place and id of the
entry it reaches to, a print of the code that folded it, and a checksum of itself. Where any of
these does not fit, the journal is folded anew; what was written after it is added to it. Only a
book without conflicts and without changed codes is kept so.
"""

import datetime as dt
import gc
import json
import types
import zlib
from collections import Counter
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from enum import Enum
from functools import cache
from pathlib import Path
from typing import Any, Union, get_args, get_origin

import attrs

from propagate.ledger import Book
from propagate.names import PlantName, parse
from propagate.records.events import Entry
from propagate.store.asides import put
from propagate.store.interface import Reading

FILE = "book.state"
WORTH_KEEPING = 5_000
"""Entries that must be new since the last snapshot; fewer are folded in a few hundredths of a
second."""

Packed = Any
Pack = Callable[[Any], Packed]


UNKEPT = ("misprints", "conflicts")  # a book that has any is not kept


def load(path: Path, reading: Reading) -> Book | None:
    """The book as of the snapshot; None where there is none that fits this book and program."""
    try:
        head, text = path.read_text(encoding="utf-8").split("\n", 1)
        told = json.loads(head)
        seq, key = int(told["seq"]), str(told["id"])
        if told["code"] != code_print() or told["sum"] != zlib.crc32(text.encode()):
            return None
        if reading.id_at(seq) != key:
            return None
        with _no_sweeping():
            book = unpacked(json.loads(text))
    except (OSError, ValueError, KeyError, TypeError):
        return None
    book.stand_after(seq, key, lambda: _up_to(reading, key))
    return book


def _up_to(reading: Reading, key: str) -> list[Entry]:
    return [entry for entry in reading.entries() if entry.id <= key]


@contextmanager
def _no_sweeping() -> Iterator[None]:
    """No search for garbage while much is made and nothing thrown away: half the time."""
    swept = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if swept:
            gc.enable()


def keep(path: Path, book: Book, known: int) -> bool:
    """Keep the state where enough is new since entry `known`; False where it is not kept."""
    seq, key = book.last
    if seq - known < WORTH_KEEPING or book.conflicts or book.misprints or book.recoded:
        return False
    text = json.dumps(packed(book), ensure_ascii=False, separators=(",", ":"))
    head = {"seq": seq, "id": key, "code": code_print(), "sum": zlib.crc32(text.encode())}
    return put(path, f"{json.dumps(head)}\n{text}")


def packed(book: Book) -> Packed:
    """What the fold came to, without the entries it came from, for JSON."""
    return {field.name: _packer(_type(field))(getattr(book, field.name)) for field in _state()}


def unpacked(told: Packed) -> Book:
    """A book in that state."""
    return Book(**{field.name: _unpacker(_type(field))(told[field.name]) for field in _state()})


@cache
def _state() -> "tuple[attrs.Attribute[Any], ...]":
    """The fields of a book that hold what was folded."""
    public = (field for field in _fields(Book) if not field.name.startswith("_"))
    return tuple(field for field in public if field.name not in UNKEPT)


@cache
def code_print() -> int:
    """A checksum of the code that a state hangs on, so that no other program's is taken."""
    package = Path(__file__).parent.parent
    files = [*sorted((package / "ledger").glob("*.py")), package / "records" / "events.py"]
    total = 0
    for file in [*files, Path(__file__)]:
        total = zlib.crc32(file.read_bytes(), total)
    return total


# Classes to lists of their fields and back, by the types that the fields are declared with


@cache
def _packer(kind: Any) -> Pack:
    origin, inner = get_origin(kind), get_args(kind)
    if kind is dt.date:
        return dt.date.toordinal
    if kind is PlantName:
        return str
    if origin in (Union, types.UnionType):
        pack = _packer(_without_none(inner))
        return lambda value: None if value is None else pack(value)
    if origin in (dict, Counter):
        key, item = _packer(inner[0]), _packer(inner[1] if origin is dict else int)
        return lambda value: [[key(k), item(v)] for k, v in value.items()]
    if origin in (list, frozenset) or (origin is tuple and inner[-1] is ...):
        each = _packer(inner[0])
        return lambda value: [each(v) for v in value]
    if origin is tuple:
        packs = [_packer(part) for part in inner]
        return lambda value: [pack(v) for pack, v in zip(packs, value, strict=True)]
    if attrs.has(kind):
        named = [(field.name, _packer(_type(field))) for field in _fields(kind)]
        return lambda value: [pack(getattr(value, name)) for name, pack in named]
    return _same


@cache
def _unpacker(kind: Any) -> Pack:
    origin, inner = get_origin(kind), get_args(kind)
    if kind is dt.date:
        return dt.date.fromordinal
    if kind is PlantName:
        return _parsed
    if origin in (Union, types.UnionType):
        make = _unpacker(_without_none(inner))
        return lambda value: None if value is None else make(value)
    if origin in (dict, Counter):
        key, item = _unpacker(inner[0]), _unpacker(inner[1] if origin is dict else int)
        return lambda value: origin({key(k): item(v) for k, v in value})
    if origin in (list, frozenset) or (origin is tuple and inner[-1] is ...):
        each = _unpacker(inner[0])
        return origin if each is _same else lambda value: origin([each(v) for v in value])
    if origin is tuple:
        return _unpack_tuple([_unpacker(part) for part in inner])
    if isinstance(kind, type) and issubclass(kind, Enum):
        return {member.value: member for member in kind}.__getitem__  # quicker than calling it
    if attrs.has(kind):
        makes = [_unpacker(_type(field)) for field in _fields(kind)]
        return lambda value: kind(*[make(v) for make, v in zip(makes, value, strict=True)])
    return _same


def _unpack_tuple(makes: list[Pack]) -> Pack:
    if len(makes) == 2:  # places, the bulk of a long book
        one, two = makes
        return lambda value: (one(value[0]), two(value[1]))
    return lambda value: tuple(make(v) for make, v in zip(makes, value, strict=True))


def _fields(kind: Any) -> "tuple[attrs.Attribute[Any], ...]":
    return tuple(field for field in attrs.fields(attrs.resolve_types(kind)) if field.init)


def _type(field: "attrs.Attribute[Any]") -> Any:
    return field.type


def _without_none(inner: tuple[Any, ...]) -> Any:
    (kind,) = (each for each in inner if each is not type(None))
    return kind


def _same(value: Any) -> Any:
    return value


@cache
def _parsed(text: str) -> PlantName:
    return parse(text)
