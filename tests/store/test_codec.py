"""Events to JSON and back: every kind, with every field, and what the book must not hold."""

import datetime as dt
import json
from typing import Any, get_args, get_type_hints

import attrs
import pytest
from hypothesis import given
from hypothesis import strategies as st

from propagate.errors import BrokenBook, Refused
from propagate.names import PlantName, parse
from propagate.records.events import Event, Lost, Started
from propagate.store.codec import KINDS, dump, kind_of, load

NAMES = [
    parse(text)
    for text in (
        "Ribes nigrum",
        "Ribes nigrum 'Blacksmith'",
        "× Sorbaronia fallax",
        "Salix alba var. vitellina",
        "Rosa ICEBERG 'Korbin'",
        "Ribes rubrum (variety unknown)",
    )
]
BY_TYPE: dict[Any, st.SearchStrategy[Any]] = {
    str: st.text(),
    int: st.integers(1, 10**9),
    int | None: st.none() | st.integers(1, 10**9),
    float: st.floats(0, 1, exclude_min=True, exclude_max=True),
    dt.date: st.dates(),
    tuple[str, ...]: st.lists(st.text()).map(tuple),
    tuple[int, ...]: st.lists(st.integers(0, 10**9), min_size=7, max_size=7).map(sorted).map(tuple),
    PlantName: st.sampled_from(NAMES),
}


def events_of(kind: type) -> st.SearchStrategy[Event]:
    """Any event of this kind: a fitting value for every field, optional ones sometimes left out."""
    types = get_type_hints(kind)
    given_always = {f.name: BY_TYPE[types[f.name]] for f in attrs.fields(kind)}
    optional = {
        f.name: given_always.pop(f.name)
        for f in attrs.fields(kind)
        if f.default is not attrs.NOTHING
    }
    return st.fixed_dictionaries(given_always, optional=optional).map(lambda said: kind(**said))


@pytest.mark.parametrize("kind", get_args(Event), ids=lambda kind: kind.__name__)
def test_every_event_comes_back_as_it_was(kind: type) -> None:
    @given(events_of(kind))
    def comes_back(event: Event) -> None:
        assert load(kind_of(event), dump(event)) == event

    comes_back()


def test_every_kind_of_event_has_its_own_name() -> None:
    assert list(KINDS.values()) == list(get_args(Event))


def test_a_body_is_one_line_of_plain_json_with_the_name_as_written() -> None:
    event = Started("A", parse("Ribes nigrum 'Blacksmith'"), "runner", 4, note="two\nlines")
    body = dump(event)
    assert "\n" not in body
    assert json.loads(body) == {
        "batch": "A",
        "plant": "Ribes nigrum ‘Blacksmith’",
        "method": "runner",
        "count": 4,
        "note": "two\nlines",
    }


@pytest.mark.parametrize(
    ("kind", "body"),
    [
        ("Eaten", '{"batch": "A", "count": 1}'),
        ("Lost", '{"batch": "A", "count": 1, "colour": "red"}'),
        ("Lost", '{"batch": "A"}'),
        ("Lost", '{"batch": "A", "count": 0}'),
        ("Lost", '{"batch": "A", "count": "many"}'),
        ("Lost", '["A", 1]'),
        ("Lost", "{"),
        ("NameSettled", '{"plant": "???"}'),
    ],
)
def test_what_is_no_event_means_a_broken_book_that_names_the_kind(kind: str, body: str) -> None:
    with pytest.raises(BrokenBook, match=rf"an entry that cannot be read \({kind}\)"):
        load(kind, body)


def test_text_that_no_file_can_hold_is_refused_before_it_is_written() -> None:
    typed_in_another_encoding = b"m\xe4use".decode("utf-8", "surrogateescape")
    with pytest.raises(Refused, match="which is no character"):
        dump(Lost("A", 1, cause=typed_in_another_encoding))
