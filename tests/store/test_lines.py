"""The book as open text: the same bytes after a round trip, and no half of a book taken."""

import datetime as dt
import json
from collections.abc import Callable
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from propagate.errors import BrokenBook, Refused
from propagate.names import parse
from propagate.records.events import Entry, Lost, Moved, Started, Voided
from propagate.store.ids import entry_id
from propagate.store.lines import from_lines, read_lines, to_lines, write_lines

moments = st.datetimes(dt.datetime(2000, 1, 2), dt.datetime(2100, 1, 1), timezones=st.just(dt.UTC))
words = st.text(max_size=12)
events = st.one_of(
    st.builds(Moved, words, words),
    st.builds(Lost, words, st.integers(1, 99), words),
    st.builds(Started, words, st.just(parse("Ribes nigrum")), words, st.integers(1, 99)),
    st.builds(Voided, words, words),
)


@st.composite
def books(draw: st.DrawFn) -> tuple[Entry, ...]:
    lines = draw(st.lists(st.tuples(moments, st.integers(0, 2**74 - 1), events), max_size=6))
    keyed = {entry_id(at, bits): (at, event) for at, bits, event in lines}
    told = [draw(words) for _ in range(4)]
    return tuple(
        Entry(seq, key, at.date(), at, event, *told)
        for seq, (key, (at, event)) in enumerate(sorted(keyed.items()), start=1)
    )


@given(books())
def test_a_round_trip_gives_the_same_entries_and_the_same_bytes(book: tuple[Entry, ...]) -> None:
    text = "".join(to_lines(book))
    again = from_lines(text.splitlines(keepends=True), "book.jsonl")
    assert again == book
    assert "".join(to_lines(again)) == text
    assert "".join(to_lines(reversed(book))) == text


@pytest.fixture
def book() -> tuple[Entry, ...]:
    at = dt.datetime(2027, 3, 12, 8, 30, tzinfo=dt.UTC)
    lost = Lost("A", 2, "mice")
    return (Entry(1, entry_id(at, 7), at.date(), at, lost, "Ann"),)


def test_a_line_can_be_read_without_this_program(book: tuple[Entry, ...], tmp_path: Path) -> None:
    assert write_lines(book, tmp_path / "book.jsonl") == 1
    head, line, last = (tmp_path / "book.jsonl").read_text(encoding="utf-8").splitlines()
    assert json.loads(head) == {"book": "propagation", "lines": 1, "entries": 1}
    assert json.loads(line) == {
        "id": book[0].id,
        "on": "2027-03-12",
        "entered": "2027-03-12T08:30:00+00:00",
        "by": "Ann",
        "kind": "Lost",
        "event": {"batch": "A", "cause": "mice", "count": 2},
    }
    assert list(json.loads(last)) == ["sha256"]
    assert [path.name for path in tmp_path.iterdir()] == ["book.jsonl"]


SPOILT: dict[str, tuple[Callable[[list[str]], list[str]], str]] = {
    "empty": (lambda lines: [], "its first line does not say so"),
    "something else": (lambda lines: ["date,what\n"], "line 1 is no line of an exported book"),
    "cut short": (lambda lines: lines[:-1], "was cut short or changed"),
    "cut in a line": (lambda lines: [*lines[:-1], lines[-1][:9]], "was cut short or changed"),
    "changed": (lambda ls: [x.replace("mice", "rain") for x in ls], "was cut short or changed"),
    "newer": (lambda ls: [ls[0].replace('"lines":1', '"lines":9'), *ls[1:]], "newer program"),
}


@pytest.mark.parametrize("how", SPOILT)
def test_a_file_that_is_not_whole_is_refused(book: tuple[Entry, ...], how: str) -> None:
    spoil, reason = SPOILT[how]
    with pytest.raises(BrokenBook, match=reason) as caught:
        from_lines(spoil(list(to_lines(book))), "book.jsonl")
    assert str(caught.value).startswith("book.jsonl")


def test_a_file_that_cannot_be_read_or_written_is_told_of(tmp_path: Path) -> None:
    with pytest.raises(Refused, match="cannot be read"):
        read_lines(tmp_path / "none.jsonl")
    with pytest.raises(Refused, match="cannot be written"):
        write_lines((), tmp_path / "no folder" / "book.jsonl")
    (tmp_path / "latin.jsonl").write_bytes(b"m\xe4use")
    with pytest.raises(BrokenBook, match="not UTF-8"):
        read_lines(tmp_path / "latin.jsonl")
