"""Books used apart become one: the same for everybody, with nothing lost and nothing silent."""

import datetime as dt
import zlib
from collections.abc import Sequence

import attrs
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from propagate import codes
from propagate.errors import Refused
from propagate.ledger import Book, about, batch_codes, fold
from propagate.names import parse
from propagate.records import events
from propagate.records.events import Entry, Event, id_end
from propagate.store.ids import entry_id, following
from propagate.store.merging import joined, marks

DAY = dt.date(2027, 3, 12)
NOW = dt.datetime(2027, 3, 12, 8, 30, tzinfo=dt.UTC)
CODES = [codes.code(number) for number in range(3)]
PLANT = parse("Ribes nigrum")

Copy = tuple[Entry, ...]
few = st.integers(1, 9)
batches = st.sampled_from(CODES)
things: st.SearchStrategy[Event] = st.one_of(
    st.builds(events.Started, batches, st.just(PLANT), st.just("runner"), st.integers(10, 20)),
    st.builds(events.PottedOn, batches, few),
    st.builds(events.Lost, batches, few),
    st.builds(events.Checked, batches, few, st.integers(0, 2)),
    st.builds(events.Moved, batches, st.sampled_from(["bed", "frame"])),
    st.builds(events.LabelsPrinted, batches.map(lambda code: (code,)), st.just("tray-a4")),
)
written = st.lists(st.tuples(st.integers(0, 10**5), st.integers(0, 4), things), max_size=5)


def write(copy: Copy, lines: Sequence[tuple[int, int, Event]], by: str) -> Copy:
    """The copy with all of these that it accepts, as the commands write them."""
    for milliseconds, days, event in lines:
        book = fold(copy)
        starts = {code: id_end(state.entry_id) for code, state in book.batches.items()}
        moment = NOW + dt.timedelta(milliseconds=milliseconds)
        chance = zlib.crc32(f"{by} {len(copy)}".encode())
        key = max(entry_id(moment, chance), following(copy[-1].id, chance) if copy else "")
        meant = about(batch_codes(event), starts)
        on = DAY + dt.timedelta(days=days)
        entry = Entry(len(copy) + 1, key, on, moment, event, by, about=meant)
        if not fold((*copy, entry)).conflicts:
            copy = (*copy, entry)
    return copy


def merged(ours: Copy, theirs: Copy) -> Copy:
    return joined(ours, [*theirs, *marks(ours, theirs)])


def told(book: Book) -> dict[str, object]:
    return {code: attrs.asdict(state, recurse=False) for code, state in book.batches.items()}


@st.composite
def apart(draw: st.DrawFn, people: int = 2) -> list[Copy]:
    """A book, and copies of it in which several people went on writing."""
    together = write((), draw(written), "both")
    return [write(together, draw(written), f"person {n}") for n in range(people)]


@settings(deadline=None, max_examples=50)
@given(apart())
def test_it_does_not_matter_who_merges_whom(copies: list[Copy]) -> None:
    house, shed = copies
    both = merged(house, shed)
    assert both == merged(shed, house)
    assert told(fold(both)) == told(fold(merged(shed, house)))


@settings(deadline=None, max_examples=50)
@given(apart())
def test_merging_again_adds_nothing(copies: list[Copy]) -> None:
    house, shed = copies
    both = merged(house, shed)
    for other in (house, shed, both):
        assert merged(both, other) == both
        assert merged(other, both) == both


@settings(deadline=None, max_examples=30)
@given(apart(people=3))
def test_three_copies_come_to_one_state_in_any_order(copies: list[Copy]) -> None:
    one, two, three = copies
    left = merged(merged(one, two), three)
    right = merged(one, merged(two, three))
    # Each has all that the others wrote; once they meet, all hold one book, and say the same.
    final = merged(left, right)
    assert final == merged(right, left)
    assert told(fold(merged(final, left))) == told(fold(final))


@settings(deadline=None, max_examples=50)
@given(apart())
def test_no_entry_is_lost_and_every_batch_keeps_its_own(copies: list[Copy]) -> None:
    both = merged(*copies)
    kept = {entry.id: entry for entry in both}
    book = fold(both)
    by_start = {state.entry_id: state for state in book.batches.values()}
    starts = [e for e in both if isinstance(e.event, events.Started)]
    assert {entry.id for entry in starts} == set(by_start)
    for copy, other in (copies, reversed(copies)):
        assert all(kept[e.id].event == e.event for e in copy)
        shared = {entry.id for entry in other}
        for code, state in fold(copy).batches.items():
            if state.entry_id not in shared:  # nobody else wrote of it
                mine = by_start[state.entry_id]
                assert mine.balances == state.balances
                assert mine.needs_reprint or mine.code == code or not state.printed_seq


def start(code: str, at_ms: int, by: str, count: int = 20) -> Copy:
    return write((), [(at_ms, 0, events.Started(code, PLANT, "runner", count))], by)


def test_the_later_of_two_batches_with_one_code_gets_another() -> None:
    print_it = events.LabelsPrinted((CODES[0],), "tray-a4")
    house = start(CODES[0], 0, "Ann", 12)
    shed = write(start(CODES[0], 5, "Bea", 20), [(9, 1, print_it)], "Bea")
    both = merged(house, shed)
    book = fold(both)
    first, second = book.batches.values()
    assert (first.code, first.started.count) == (CODES[0], 12)
    assert (codes.valid(second.code), second.started.count) == (True, 20)
    assert not first.needs_reprint
    assert second.needs_reprint
    # What Bea writes before she knows is still of her batch, and of what she writes later
    # under the new code too.
    unaware = write(shed, [(50, 2, events.PottedOn(CODES[0], 5))], "Bea")
    again = fold(merged(both, unaware))
    assert again.batches[second.code].accounts() == {"waiting": 15, "potted": 5}
    assert again.batches[CODES[0]].accounts() == {"waiting": 12}
    reprinted = write(merged(both, unaware), [(99, 3, _printed(second.code))], "Bea")
    assert not fold(reprinted).batches[second.code].needs_reprint


def _printed(code: str) -> events.LabelsPrinted:
    return events.LabelsPrinted((code,), "tray-a4")


def doubts(copy: Copy) -> list[events.Doubted]:
    return [entry.event for entry in copy if isinstance(entry.event, events.Doubted)]


def two_potted(house: tuple[int, int], shed: tuple[int, int]) -> Copy:
    """(count, days) that each potted on of one batch."""
    together = start(CODES[0], 0, "both")
    copies = [
        write(together, [(10 + n, days, events.PottedOn(CODES[0], count))], f"person {n}")
        for n, (count, days) in enumerate((house, shed))
    ]
    return merged(*copies)


@pytest.mark.parametrize(
    ("house", "shed", "doubted"),
    [
        ((8, 0), (8, 0), 1),
        ((8, 0), (8, 3), 1),
        ((8, 0), (7, 0), 1),
        ((8, 0), (7, 1), 0),
        ((8, 0), (8, 4), 0),
    ],
)
def test_what_looks_told_twice_is_asked_about(
    house: tuple[int, int], shed: tuple[int, int], doubted: int
) -> None:
    both = two_potted(house, shed)
    assert len(doubts(both)) == doubted
    assert fold(both).batches[CODES[0]].accounts()["potted"] == house[0] + shed[0]


@pytest.mark.parametrize(
    ("house", "shed", "doubted"),
    [
        ((4, "Hilda"), (4, "Hilda Rook"), 1),  # one gift, its taker called by two names
        ((4, "Hilda"), (2, ""), 1),
        ((4, "Hilda"), (2, "Anton"), 0),
    ],
)
def test_gifts_of_a_day_to_two_people_are_two(
    house: tuple[int, str], shed: tuple[int, str], doubted: int
) -> None:
    together = start(CODES[0], 0, "both")
    copies = [
        write(together, [(10 + n, 0, events.Given(CODES[0], count, to, "waiting"))], f"person {n}")
        for n, (count, to) in enumerate((house, shed))
    ]
    assert len(doubts(merged(*copies))) == doubted


def test_what_one_knew_of_is_not_doubted() -> None:
    together = write(start(CODES[0], 0, "both"), [(5, 0, events.PottedOn(CODES[0], 4))], "Ann")
    more = write(together, [(9, 0, events.PottedOn(CODES[0], 4))], "Bea")
    assert doubts(merged(together, more)) == []


def test_both_potting_more_than_there_are_is_a_conflict_that_leaves_no_trace() -> None:
    book = fold(two_potted((12, 0), (15, 2)))
    assert [conflict.entry.by for conflict in book.conflicts] == ["person 1"]
    assert book.batches[CODES[0]].accounts() == {"waiting": 8, "potted": 12}


def test_one_request_that_reached_both_copies_is_asked_about() -> None:
    together = start(CODES[0], 0, "both")
    lost = events.Lost(CODES[0], 1)
    copies = [write(together, [(9 + n, 0, lost)], f"person {n}") for n in range(2)]
    marked = [tuple(attrs.evolve(e, request="r") for e in copy) for copy in copies]
    assert len(doubts(merged(*marked))) == 1


def test_books_that_say_different_things_in_one_entry_are_not_merged() -> None:
    house = start(CODES[0], 0, "Ann")
    forged = (attrs.evolve(house[0], event=events.Lost(CODES[0], 3)),)
    with pytest.raises(Refused, match="do not say the same in entry"):
        merged(house, forged)


def test_there_are_so_many_short_codes() -> None:
    lengths = [len(codes.code(n)) for n in (codes.SHORT_CODES - 1, codes.SHORT_CODES)]
    assert lengths == [4, 5]


@pytest.mark.parametrize("codes_given", [(CODES[1], CODES[1]), (CODES[1], CODES[2])])
def test_a_batch_that_both_parted_has_two_parts_and_as_many_plants(codes_given) -> None:
    """Also where both gave their part one code: the later part gets another, with its plants."""
    whole = start(CODES[0], 0, "house")

    def part(code: str, at_ms: int, by: str) -> Copy:
        own = events.Started(code, PLANT, "runner", 5, parted_from=id_end(whole[0].id))
        parted = events.Parted(CODES[0], 5, code)
        return write(whole, [(at_ms, 0, own), (at_ms + 1, 0, parted)], by)

    house, shed = part(codes_given[0], 1000, "house"), part(codes_given[1], 2000, "shed")
    book = fold(merged(house, shed))
    assert book.conflicts == []
    assert sorted(state.living for state in book.batches.values()) == [5, 5, 10]
    assert told(book) == told(fold(merged(shed, house)))
