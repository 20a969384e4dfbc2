"""The whole book as open text: JSON Lines, one entry a line, readable without this program.

The first line says what the file is: {"book": "propagation", "lines": 1, "entries": N}.
Each line after it is one entry, in the order of ids, with the keys of `KEYS`: `id` (UUID of
version 7), `on` (the day it happened), `entered` (the moment it was written down, with its
offset from UTC), `by`, `device`, `request`, `about` (left out where empty), `kind` (the kind of
event) and `event` (its fields, those at their default left out). The last line holds the SHA-256
of all lines before it, so that a file cut short or changed is known. Keys are sorted, text is
UTF-8, lines end in a line feed: the same entries always give the same bytes.
"""

import datetime as dt
import hashlib
import json
from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import Any

from propagate.errors import BrokenBook, Refused
from propagate.records.events import Entry
from propagate.store import codec
from propagate.store.backups import put
from propagate.store.journal import ordered

FORMAT = 1
KEYS = ("about", "by", "device", "entered", "event", "id", "kind", "on", "request")
SPARSE = ("about", "by", "device", "request")


def write_lines(entries: Iterable[Entry], path: Path) -> int:
    """Write all entries to a file, whole or not at all; say how many.

    Raises Refused when the file cannot be written.
    """
    if path.is_dir():
        raise Refused(f"{path} is a folder; give the name of a file.")
    partial = path.with_name(path.name + ".partial")
    count = 0
    try:
        with partial.open("w", encoding="utf-8", newline="\n") as file:
            for count, line in enumerate(to_lines(list(entries)), start=-1):  # noqa: B007
                file.write(line)
        put(partial, path)
    except OSError as error:
        partial.unlink(missing_ok=True)
        raise Refused(f"{path} cannot be written: {error.strerror}.") from None
    return count


def to_lines(entries: Iterable[Entry]) -> Iterator[str]:
    """The lines of the file, the first and the last among them."""
    rows = list(ordered(entries))
    digest = hashlib.sha256()
    head = {"book": "propagation", "entries": len(rows), "lines": FORMAT}
    for record in (head, *map(_record, rows)):
        line = _line(record)
        digest.update(line.encode())
        yield line
    yield _line({"sha256": digest.hexdigest()})


def read_lines(path: Path) -> tuple[Entry, ...]:
    """The entries of such a file, in order.

    Raises Refused when it cannot be read, and BrokenBook, naming the line, when it is not whole.
    """
    try:
        lines = path.read_text(encoding="utf-8").splitlines(keepends=True)
    except UnicodeDecodeError:
        raise BrokenBook(f"{path.name} is not UTF-8 text, so it is no exported book.") from None
    except OSError as error:
        raise Refused(f"{path} cannot be read: {error.strerror}.") from None
    return from_lines(lines, path.name)


def from_lines(lines: list[str], name: str) -> tuple[Entry, ...]:
    """The entries of the lines of a file of this name."""
    head = _parsed(lines[0], name, 1) if lines else {}
    if head.get("book") != "propagation":
        raise BrokenBook(f"{name} is no exported book: its first line does not say so.")
    if head.get("lines") != FORMAT:
        raise BrokenBook(f"{name} was exported by a newer program; update the program.")
    *rows, last = lines[1:] or [""]
    digest = hashlib.sha256("".join([lines[0], *rows]).encode()).hexdigest()
    if len(rows) != head.get("entries") or last != _line({"sha256": digest}):
        raise BrokenBook(f"{name} was cut short or changed: its last line does not fit the others.")
    return tuple(
        _entry(seq, _parsed(line, name, seq + 1), name) for seq, line in enumerate(rows, start=1)
    )


def _record(entry: Entry) -> dict[str, Any]:
    told = {key: getattr(entry, key) for key in SPARSE}
    return {
        "id": entry.id,
        "on": entry.on.isoformat(),
        "entered": entry.entered.isoformat(),
        "kind": codec.kind_of(entry.event),
        "event": json.loads(codec.dump(entry.event)),
        **{key: value for key, value in told.items() if value},
    }


def _line(record: dict[str, Any]) -> str:
    # Line separators of other scripts are escaped: a line of the file ends in a line feed only.
    text = json.dumps(record, ensure_ascii=False, sort_keys=True, separators=(",", ":"))
    for sign in "\x85\u2028\u2029\x1c\x1d\x1e\x0b\x0c":
        text = text.replace(sign, f"\\u{ord(sign):04x}")
    return text + "\n"


def _parsed(line: str, name: str, number: int) -> dict[str, Any]:
    try:
        record = json.loads(line)
    except ValueError:
        record = None
    if not isinstance(record, dict):
        raise BrokenBook(f"{name}, line {number} is no line of an exported book.")
    return record


def _entry(seq: int, record: dict[str, Any], name: str) -> Entry:
    try:
        if set(record) - set(KEYS):
            raise ValueError("an unknown key")
        return Entry(
            seq,
            record["id"],
            dt.date.fromisoformat(record["on"]),
            dt.datetime.fromisoformat(record["entered"]),
            codec.load(record["kind"], json.dumps(record["event"])),
            *(str(record.get(key, "")) for key in ("by", "device", "request", "about")),
        )
    except (KeyError, ValueError, TypeError, BrokenBook) as error:
        raise BrokenBook(f"{name}, line {seq + 1} is no entry to be read ({error}).") from None
