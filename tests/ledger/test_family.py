"""Families: back to the mother plant, forward to beds and people, whatever the depth."""

import datetime as dt
import sys
import time

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from propagate.errors import NotFound
from propagate.ledger import Book, arrivals, family, fold
from propagate.names import parse
from propagate.records import events
from propagate.records.events import Entry, Event
from propagate.records.families import Family, Kin

CURRANT = parse("Ribes nigrum")
DAY = dt.date(2027, 3, 1)
NOW = dt.datetime(2027, 4, 1, tzinfo=dt.UTC)


def journal(*lines: Event, on: dt.date = DAY) -> tuple[Entry, ...]:
    """Entries in this order, all of one day; the id of each is its number, such as "e3"."""
    return tuple(Entry(seq, f"e{seq}", on, NOW, event) for seq, event in enumerate(lines, start=1))


def mother(key: str, batch: str = "") -> Event:
    return events.StockPlantAdded(key, CURRANT, batch)


def start(batch: str, stock_plant: str = "", count: int = 40) -> Event:
    return events.Started(batch, CURRANT, "hardwood-cutting", count, stock_plant=stock_plant)


BOOK = (
    mother("Bess"),
    start("A", "Bess"),
    mother("Tess", "A"),
    start("B", "Tess"),
    start("C"),
    start("D", "Bess"),
    events.PlantedOut("B", 3, "south row", "waiting"),
    events.Given("B", 2, "Hilda", "waiting"),
    events.PlantedOut("B", 4, "south row", "waiting"),
    events.Given("C", 1, "Hilda", "waiting"),
    events.Given("A", 5, "hilda", "waiting"),
)


def keys(kin: tuple[Kin, ...]) -> list[str]:
    return [each.key for each in kin]


def of(book: Book, key: str) -> Family:
    return family(book, "mother" if key in book.stock_plants else "batch", key, DAY)


def test_a_family_runs_from_the_oldest_known_to_the_youngest() -> None:
    book = fold(journal(*BOOK))
    assert keys(of(book, "Bess").members) == ["Bess", "A", "Tess", "B", "D"]
    assert [kin.depth for kin in of(book, "Bess").members] == [0, 1, 2, 3, 1]
    assert [kin.parent for kin in of(book, "Bess").members] == [-1, 0, 1, 2, 0]
    assert keys(of(book, "B").above) == ["Bess", "A", "Tess"]
    assert keys(of(book, "Tess").members) == ["Tess", "B"]
    assert keys(of(book, "C").members) == ["C"]
    assert of(book, "C").above == ()


def test_destinations_add_up_over_the_family() -> None:
    found = {
        (d.kind, d.to): (d.count, d.batches) for d in of(fold(journal(*BOOK)), "A").destinations
    }
    assert found == {
        ("bed", "south row"): (7, ("B",)),
        ("person", "Hilda"): (2, ("B",)),
        ("person", "hilda"): (5, ("A",)),
    }


def test_a_person_is_traced_back_to_every_mother_however_the_name_was_typed() -> None:
    got = arrivals(fold(journal(*BOOK)), "person", "HILDA", DAY)
    assert [(a.batch.key, a.gone.count, keys(a.above)) for a in got.arrivals] == [
        ("A", 5, ["Bess"]),
        ("B", 2, ["Bess", "A", "Tess"]),
        ("C", 1, []),
    ]
    assert got.count == 8
    assert arrivals(fold(journal(*BOOK)), "bed", "Hilda", DAY).arrivals == ()


def test_a_stranger_has_no_family() -> None:
    with pytest.raises(NotFound, match='no mother "Zoe"'):
        family(fold(journal(*BOOK)), "mother", "Zoe", DAY)


# Suspicions


def suspected(*more: Event) -> dict[str, list[str]]:
    book = fold(journal(*BOOK, *more))
    assert not book.conflicts
    states = {**book.batches, **book.stock_plants}
    return {key: [d.why for d in state.doubts] for key, state in states.items() if state.doubts}


GALLS = events.Suspected("galls", stock_plant="Bess")


def test_what_is_suspected_of_a_mother_holds_for_all_raised_from_her() -> None:
    everywhere = {key: ["galls"] for key in ("A", "Tess", "B", "D", "Bess")}
    assert suspected(GALLS) == everywhere
    assert suspected(GALLS, start("E", "Tess")) == {**everywhere, "E": ["galls"]}
    assert suspected(GALLS, mother("Jess", "B")) == {**everywhere, "Jess": ["galls"]}


def test_what_is_suspected_of_a_batch_leaves_its_mother_and_sisters_alone() -> None:
    mixed = events.Suspected("mixed up", batch="A", about="name")
    assert suspected(mixed) == {key: ["mixed up"] for key in ("A", "Tess", "B")}


def test_clearing_lifts_what_the_subject_carries_and_no_more() -> None:
    own = events.Suspected("mildew", batch="B")
    cleared = events.Cleared("tested", stock_plant="Tess")
    assert suspected(GALLS, own, cleared) == {
        "Bess": ["galls"],
        "A": ["galls"],
        "D": ["galls"],
        "B": ["mildew"],
    }


def test_nothing_is_cleared_that_was_not_suspected() -> None:
    book = fold(journal(*BOOK, events.Cleared("tested", stock_plant="Bess")))
    assert [c.what for c in book.conflicts] == ["Nothing is suspected of Bess on 1 Mar 2027."]


def test_a_suspicion_taken_back_is_gone() -> None:
    assert suspected(GALLS, events.Voided(f"e{len(BOOK) + 1}")) == {}


PRINTED = events.LabelsPrinted(("A", "C"), "tray-a4")


@pytest.mark.parametrize(
    ("more", "anew"),
    [
        ((PRINTED,), set()),
        ((PRINTED, GALLS), {"A"}),
        ((GALLS, PRINTED), set()),
        ((GALLS, PRINTED, events.Cleared("tested", batch="A")), {"A"}),
        ((PRINTED, GALLS, events.Cleared("tested", batch="A")), set()),
        ((GALLS, PRINTED, events.Voided(f"e{len(BOOK) + 1}")), {"A"}),
        ((PRINTED, GALLS, PRINTED), set()),
    ],
)
def test_labels_that_are_out_there_need_a_reprint(more: tuple[Event, ...], anew: set[str]) -> None:
    book = fold(journal(*BOOK, *more))
    assert {code for code, state in book.batches.items() if state.needs_reprint} == anew


# Laws


@st.composite
def forests(draw: st.DrawFn) -> tuple[Event, ...]:
    """Mothers and batches in any order, as nobody checked them: rings are tried too."""
    names = st.sampled_from("ABCDEF")
    mothers, batches = names.map(str.lower), names
    lines = draw(
        st.lists(
            st.one_of(
                st.builds(mother, mothers, st.one_of(st.just(""), batches)),
                st.builds(start, batches, st.one_of(st.just(""), mothers)),
                st.builds(lambda key: events.Suspected("galls", stock_plant=key), mothers),
            ),
            max_size=14,
        )
    )
    return tuple(lines)


@settings(max_examples=150, deadline=None)
@given(forests())
def test_no_journal_makes_a_ring_and_every_walk_ends(lines: tuple[Event, ...]) -> None:
    book = fold(journal(*lines))
    for key in [*book.batches, *book.stock_plants]:
        found = of(book, key)
        everyone = [*keys(found.above), *keys(found.members)]
        assert len(set(everyone)) == len(everyone), "somebody is their own forebear"
        if found.subject.doubts:
            assert all(kin.doubts for kin in found.members)


def generations(deep: int, wide: int) -> Book:
    """`deep` generations of `wide` batches of 50, each with a mother raised from the one before."""
    lines: list[Event] = [mother("m0 0")]
    for depth in range(deep):
        for at in range(wide):
            lines.append(start(f"b{depth} {at}", f"m{depth} {at if depth else 0}", 50))
            lines.append(mother(f"m{depth + 1} {at}", f"b{depth} {at}"))
    return fold(journal(*lines))


def test_twenty_generations_and_a_hundred_thousand_plants_are_traced_to_the_last() -> None:
    book = generations(20, 100)
    found = of(book, "m0 0")
    batches = [kin for kin in found.members if kin.kind == "batch"]
    assert sum(kin.living for kin in batches) == 100_000
    assert max(kin.depth for kin in found.members) == 40
    assert len(of(book, "b19 99").above) == 39


def test_a_line_deeper_than_the_interpreters_stack_is_walked() -> None:
    deep = sys.getrecursionlimit() + 200
    book = generations(deep, 1)
    assert len(of(book, "m0 0").members) == 2 * deep + 1
    assert len(of(book, f"m{deep} 0").above) == 2 * deep


def test_time_grows_with_the_family_and_not_with_its_square() -> None:
    def seconds(wide: int) -> float:
        book, taken = generations(20, wide), []
        for _ in range(3):
            began = time.perf_counter()
            of(book, "m0 0")
            taken.append(time.perf_counter() - began)
        return min(taken)

    # Eight times the family in far less than 64 times the time, as a square would take.
    assert seconds(80) < 25 * max(seconds(10), 1e-3)
