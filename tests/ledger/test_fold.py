"""What the fold makes of mothers, names and voids, as short journals of March 2027."""

import datetime as dt

import pytest
from attrs import evolve

from propagate.ledger import Book, fold
from propagate.names import parse
from propagate.records.events import (
    Entry,
    Event,
    LabelsPrinted,
    NameSettled,
    Parted,
    PottedOn,
    Recoded,
    Started,
    StockPlantAdded,
    Voided,
)

CURRANT = parse("Ribes nigrum")
SETTLED = parse("Ribes nigrum 'Blacksmith'")


def journal(*lines: tuple[int, Event]) -> tuple[Entry, ...]:
    """Lines in the order written; the id of each is its number, such as "e3"."""
    return tuple(
        Entry(seq, f"e{seq}", day(of_march), dt.datetime(2027, 4, 1, tzinfo=dt.UTC), event)
        for seq, (of_march, event) in enumerate(lines, start=1)
    )


def day(of_march: int) -> dt.date:
    return dt.date(2027, 3, of_march)


def start(batch: str = "A", stock_plant: str = "") -> Started:
    return Started(batch, CURRANT, "hardwood-cutting", 40, stock_plant=stock_plant)


# Mothers and names


def family(*more: tuple[int, Event]) -> Book:
    """Batch A from Bess; mother Tess raised from A; batch B from Tess; C is no kin."""
    return fold(
        journal(
            (1, StockPlantAdded("Bess", CURRANT)),
            (1, start(stock_plant="Bess")),
            (3, StockPlantAdded("Tess", CURRANT, batch="A")),
            (4, start(batch="B", stock_plant="Tess")),
            (4, start(batch="C")),
            (5, LabelsPrinted(("A", "C"), "tray-a4")),
            *more,
        )
    )


def names(book: Book) -> dict[str, str]:
    assert not book.conflicts
    return {
        **{code: str(state.name) for code, state in book.batches.items()},
        **{key: str(mother.name) for key, mother in book.stock_plants.items()},
    }


def test_naming_a_mother_names_all_that_was_raised_from_her() -> None:
    named = names(family((9, NameSettled(SETTLED, stock_plant="Bess"))))
    assert {key for key, name in named.items() if name == str(SETTLED)} == {
        "A",
        "B",
        "Bess",
        "Tess",
    }
    assert named["C"] == "Ribes nigrum"


def test_naming_a_batch_names_what_was_raised_from_it_and_not_its_mother() -> None:
    named = names(family((9, NameSettled(SETTLED, batch="A"))))
    assert {key for key, name in named.items() if name == str(SETTLED)} == {"A", "B", "Tess"}


def to_reprint(book: Book) -> set[str]:
    return {code for code, state in book.batches.items() if state.needs_reprint}


def test_labels_out_there_with_an_old_name_need_a_reprint_until_it_is_done() -> None:
    settled = (9, NameSettled(SETTLED, stock_plant="Bess"))
    assert to_reprint(family()) == set()
    assert to_reprint(family(settled)) == {"A"}
    assert to_reprint(family(settled, (9, LabelsPrinted(("A",), "tray-a4")))) == set()


def test_a_print_dated_late_does_not_hide_a_newer_one() -> None:
    settled = (9, NameSettled(SETTLED, stock_plant="Bess"))
    newer, older = (9, LabelsPrinted(("A",), "tray-a4")), (8, LabelsPrinted(("A",), "tray-a4"))
    assert to_reprint(family(older, settled, newer)) == set()
    assert to_reprint(family(newer, settled, older)) == set()


def test_settling_the_name_it_has_already_needs_no_reprint() -> None:
    assert to_reprint(family((9, NameSettled(CURRANT, stock_plant="Bess")))) == set()


def test_a_voided_name_needs_a_reprint_only_where_it_was_printed() -> None:
    settled, void = (9, NameSettled(SETTLED, stock_plant="Bess")), (9, Voided("e7"))
    printed = (9, LabelsPrinted(("A",), "tray-a4"))
    assert to_reprint(family(settled, void)) == set()
    assert to_reprint(family(settled, printed, (9, Voided("e7")))) == {"A"}


def test_a_voided_name_of_a_mother_that_is_gone_too_is_no_conflict() -> None:
    entries = journal(
        (1, StockPlantAdded("Bess", CURRANT)),
        (2, NameSettled(SETTLED, stock_plant="Bess")),
        (3, Voided("e2")),
        (3, Voided("e1")),
    )
    assert not fold(entries).conflicts


def test_a_mother_written_down_late_stood_there_before() -> None:
    entries = journal((20, StockPlantAdded("Bess", CURRANT)), (1, start(stock_plant="Bess")))
    assert not fold(entries).conflicts
    assert not fold(entries, until=day(5)).conflicts


def test_a_mother_raised_from_a_batch_is_none_before_its_day() -> None:
    entries = journal(
        (1, start()),
        (9, StockPlantAdded("Tess", CURRANT, batch="A")),
        (8, start(batch="B", stock_plant="Tess")),
    )
    (conflict,) = fold(entries).conflicts
    assert conflict.what == 'There is no mother plant "Tess" in the book on 8 Mar 2027.'


def test_an_unknown_mother_is_refused_with_those_that_are_known() -> None:
    (conflict,) = family((9, NameSettled(SETTLED, stock_plant="Bes"))).conflicts
    assert 'There is no mother plant "Bes"' in conflict.what
    assert '"Bess"' in conflict.what


@pytest.mark.parametrize(
    "again", [start(), StockPlantAdded("Bess", CURRANT)], ids=["batch", "mother"]
)
def test_nothing_comes_into_the_book_twice(again: Event) -> None:
    (conflict,) = family((9, again)).conflicts
    assert "is in the book already" in conflict.what


def test_labels_of_an_unknown_batch_leave_no_trace_on_the_others() -> None:
    book = fold(journal((1, start()), (2, LabelsPrinted(("A", "B"), "tray-a4"))))
    assert len(book.conflicts) == 1
    assert book.batch("A").printed_seq == 0


# Voids


def test_a_void_takes_an_entry_back_and_a_void_of_it_brings_it_again() -> None:
    lines = ((1, start()), (10, PottedOn("A", 12)), (11, Voided("e2")), (12, Voided("e3")))
    assert fold(journal(*lines[:3])).batch("A").accounts() == {"waiting": 40}
    assert fold(journal(*lines)).batch("A").accounts() == {"waiting": 28, "potted": 12}


def test_a_void_of_an_entry_nobody_wrote_is_refused() -> None:
    (conflict,) = fold(journal((1, start()), (2, Voided("e9")))).conflicts
    assert conflict.what == "There is no entry e9 to void."


# Parts of a batch


def test_a_parting_goes_along_when_either_batch_gets_another_code() -> None:
    """Both codes of it are what they meant when it was written, by the ends of the starts' ids."""
    part = Started("B", CURRANT, "hardwood-cutting", 15, parted_from="e1")
    lines = journal((1, start()), (1, part), (1, Parted("A", 15, "B")))
    parting = evolve(lines[2], about="e1 e2")
    renamed = journal(*((1, each.event) for each in lines), (2, Recoded("e2", "D", "B")))[3]
    book = fold((*lines[:2], parting, renamed))
    assert book.conflicts == []
    assert {code: state.living for code, state in book.batches.items()} == {"A": 25, "D": 15}
    assert book.entries[2].event == Parted("A", 15, "D")
    assert book.parts == {"A": ["D"]}


def test_a_part_without_the_batch_it_was_parted_from_does_not_count() -> None:
    book = fold(journal((1, Started("B", CURRANT, "runner", 5, parted_from="e9"))))
    assert book.batches == {}
    assert "parted from is not in this book" in book.conflicts[0].what


def test_the_start_of_a_part_alone_holds_nothing_and_a_parting_without_it_does_not_count() -> None:
    part = Started("B", CURRANT, "hardwood-cutting", 15, parted_from="e1")
    alone = fold(journal((1, start()), (1, part)))
    assert {code: state.living for code, state in alone.batches.items()} == {"A": 40, "B": 0}
    missing = fold(journal((1, start()), (1, Parted("A", 15, "B"))))
    assert missing.batches["A"].living == 40
    assert missing.conflicts[0].what == "There is no batch B in this book."
    other = fold(journal((1, start()), (1, start("B")), (1, Parted("A", 15, "B"))))
    assert other.conflicts[0].what == "B was not parted from A."
