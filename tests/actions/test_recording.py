"""Writing into the book: what cannot be so is refused, and what was a slip is taken back."""

import datetime as dt
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest
from attrs import evolve

from propagate import codes
from propagate.actions.coding import batch_code
from propagate.actions.desk import Desk
from propagate.actions.recording import MOST_IN_BATCH, BatchPlan, record, settle_name, start_batch
from propagate.actions.takingback import undo, void
from propagate.errors import NotFound, Refused
from propagate.names import parse
from propagate.records import events

TODAY = dt.date(2027, 3, 20)
NOW = dt.datetime(2027, 3, 20, 12, tzinfo=dt.UTC)
CURRANT = parse("Ribes nigrum")
SETTLED = parse("Ribes nigrum 'Blacksmith'")


@pytest.fixture
def desk(tmp_path: Path) -> Iterator[Desk]:
    with Desk(tmp_path, TODAY, NOW) as opened:
        yield opened


def day(of_march: int) -> dt.date:
    return dt.date(2027, 3, of_march)


def start(desk: Desk, mother: str = "", mark: str = "") -> str:
    plan = BatchPlan(CURRANT, "runner", 40, day(1), stock_plant=mother, mark=mark)
    return start_batch(desk, plan).code


def kinds(desk: Desk) -> list[str]:
    return [type(entry.event).__name__ for entry in desk.book.effective()]


# Starting and recording


def test_a_started_batch_has_a_code_that_can_be_read(desk: Desk) -> None:
    code = start(desk)
    assert codes.valid(code)
    assert desk.book.batch(code).accounts() == {"waiting": 40}


def test_a_mother_that_is_new_comes_into_the_book_with_her_first_batch(desk: Desk) -> None:
    start(desk, mother="Bess")
    start(desk, mother="Bess")
    assert kinds(desk) == ["StockPlantAdded", "Started", "Started"]


def test_a_code_is_never_given_twice_even_after_an_undo(desk: Desk) -> None:
    first = start(desk)
    undo(desk)
    assert start(desk) != first


def test_an_event_is_dated_today_unless_another_day_is_given(desk: Desk) -> None:
    code = start(desk)
    assert record(desk, events.Moved(code, "bed")).on == TODAY
    assert record(desk, events.Moved(code, "bench"), day(2)).on == day(2)


def test_a_refused_event_leaves_the_book_unchanged(desk: Desk) -> None:
    code = start(desk)
    before = desk.store.entries()
    with pytest.raises(Refused, match="41 is more than batch"):
        record(desk, events.PottedOn(code, 41))
    assert desk.store.entries() == before
    assert desk.book.batch(code).accounts() == {"waiting": 40}


def test_a_late_entry_that_a_later_one_speaks_against_is_refused_with_its_day(desk: Desk) -> None:
    code = start(desk)
    record(desk, events.PottedOn(code, 40), day(15))
    with pytest.raises(Refused) as caught:
        record(desk, events.Lost(code, 3), day(10))
    said = str(caught.value)
    assert said.startswith("That does not fit with the entry of 15 Mar 2027 that is in the book: ")
    assert "40 is more than batch" in said


def test_a_day_more_than_a_year_ahead_is_refused(desk: Desk) -> None:
    code = start(desk)
    record(desk, events.Moved(code, "bed"), TODAY + dt.timedelta(days=366))
    with pytest.raises(Refused, match="22 Mar 2028 is more than a year after today"):
        record(desk, events.Moved(code, "bed"), dt.date(2028, 3, 22))


def test_two_people_cannot_both_take_the_last_plants(desk: Desk) -> None:
    code = start(desk)

    def give_thirty(to: str) -> str:
        with Desk(desk.folder, TODAY, NOW) as own:
            try:
                record(own, events.Given(code, 30, to=to, account="waiting"))
            except Refused:
                return "refused"
        return "given"

    with ThreadPoolExecutor(2) as pool:
        assert sorted(pool.map(give_thirty, ["Ann", "Bea"])) == ["given", "refused"]


# Taking back


def test_undo_takes_back_one_entry_after_another(desk: Desk) -> None:
    code = start(desk, mother="Bess")
    record(desk, events.PottedOn(code, 5))
    record(desk, events.Lost(code, 2))
    undone = [type(undo(desk)[0].event).__name__ for _ in range(3)]
    assert undone == ["Lost", "PottedOn", "Started"]
    with pytest.raises(Refused, match="nothing to undo"):
        undo(desk)


def test_undo_goes_by_the_order_of_writing_not_by_day(desk: Desk) -> None:
    code = start(desk)
    record(desk, events.PottedOn(code, 5), day(15))
    record(desk, events.Moved(code, "bed"), day(10))
    undone, void_entry = undo(desk)
    assert isinstance(undone.event, events.Moved)
    assert void_entry.on == TODAY


def test_an_entry_is_voided_by_its_number(desk: Desk) -> None:
    code = start(desk)
    potted = record(desk, events.PottedOn(code, 5))
    record(desk, events.Lost(code, 2))
    void(desk, potted.seq, "wrong tray")
    assert desk.book.batch(code).accounts() == {"waiting": 38, "lost": 2}


def test_a_voided_start_takes_the_mother_along_that_came_with_it(desk: Desk) -> None:
    code = start(desk, mother="Bess")
    void(desk, desk.book.batch(code).entry_seq, "a slip")
    assert "Bess" not in desk.book.stock_plants


def test_a_void_is_voided_by_its_number(desk: Desk) -> None:
    code = start(desk)
    potted = record(desk, events.PottedOn(code, 5))
    mistaken = void(desk, potted.seq, "wrong tray")
    void(desk, mistaken.seq, "right tray after all")
    assert desk.book.batch(code).accounts() == {"waiting": 35, "potted": 5}


@pytest.mark.parametrize("number", [0, 99, 2])
def test_a_number_that_does_not_count_cannot_be_voided(desk: Desk, number: int) -> None:
    record(desk, events.Moved(start(desk), "bed"))
    undo(desk)
    with pytest.raises(NotFound, match=f"There is no entry {number} that counts in this book"):
        void(desk, number, "slip")


def test_what_later_entries_need_cannot_be_voided(desk: Desk) -> None:
    code = start(desk, mother="Bess")
    potted = record(desk, events.PottedOn(code, 5), day(10))
    record(desk, events.HardenedOff(code, 3), day(12))
    before = desk.store.entries()
    for number in (1, 2, potted.seq):
        with pytest.raises(Refused, match=r"rests? on that one; take (it|them) back first"):
            void(desk, number, "slip")
    assert desk.store.entries() == before


# Names


def test_settling_a_mothers_name_tells_which_batches_to_label_anew(desk: Desk) -> None:
    first, second = start(desk, mother="Bess"), start(desk, mother="Bess")
    other = start(desk)
    record(desk, events.LabelsPrinted((first, other), "tray-a4"))
    assert settle_name(desk, "Bess", SETTLED, "seen fruit") == (first,)
    assert [desk.book.batch(c).name for c in (first, second, other)] == [SETTLED, SETTLED, CURRANT]


def test_settling_a_batchs_name_leaves_its_mothers(desk: Desk) -> None:
    code = start(desk, mother="Bess")
    record(desk, events.LabelsPrinted((code,), "tray-a4"))
    assert settle_name(desk, code, SETTLED) == (code,)
    assert desk.book.stock_plants["Bess"].name == CURRANT


# Which batch is meant


def test_a_batch_is_meant_by_its_code_in_any_spelling(desk: Desk) -> None:
    code = start(desk)
    assert batch_code(desk.book, f" #{code[:2].lower()}-{code[2:]} ") == code


def test_a_batch_is_meant_by_its_mark(desk: Desk) -> None:
    code = start(desk, mark="T1")
    start(desk, mark="T2")
    assert batch_code(desk.book, "T1") == code


def test_a_misread_code_is_refused(desk: Desk) -> None:
    code = start(desk)
    misread = next(
        code[:2] + other + code[3:] for other in codes.SERIAL_ALPHABET if other != code[2]
    )
    with pytest.raises(Refused, match="the last character does not fit the others"):
        batch_code(desk.book, misread)


def test_a_code_of_another_book_is_not_found(desk: Desk) -> None:
    start(desk)
    unknown = codes.code(1)
    with pytest.raises(NotFound, match=f"There is no batch {unknown} in this book"):
        batch_code(desk.book, unknown)


def test_a_mark_of_two_batches_is_refused_with_their_codes(desk: Desk) -> None:
    both = sorted([start(desk, mark="T1"), start(desk, mark="T1")])
    with pytest.raises(Refused) as caught:
        batch_code(desk.book, "T1")
    assert str(caught.value) == f'"T1" may mean batch {both[0]} or {both[1]}; give the code.'


def test_a_mark_that_is_another_batchs_code_is_refused(desk: Desk) -> None:
    code = start(desk)
    start(desk, mark=code)
    with pytest.raises(Refused, match="may mean batch"):
        batch_code(desk.book, code)


def test_undoing_a_start_takes_its_new_mother_with_it(desk: Desk) -> None:
    start(desk, mother="old-bush")
    undo(desk)
    assert desk.book.stock_plants == {}
    assert desk.book.batches == {}


# Who wrote it, and requests that come twice


def test_an_entry_says_who_wrote_it_and_on_what(tmp_path: Path) -> None:
    with Desk(tmp_path, TODAY, NOW, by="Ann", device="shed laptop") as desk:
        code = start(desk)
        entry = record(desk, events.Lost(code, 1))
        assert (entry.by, entry.device, entry.request) == ("Ann", "shed laptop", "")
        assert desk.store.entries()[-1] == entry


def test_the_settings_say_who_writes_where_the_command_does_not(tmp_path: Path) -> None:
    (tmp_path / "nursery.toml").write_text('name = "N"\n[book]\nby = "Bea"\ndevice = "phone"\n')
    with Desk(tmp_path, TODAY, NOW) as desk:
        assert (desk.hand().by, desk.hand().device) == ("Bea", "phone")
    with Desk(tmp_path, TODAY, NOW, by="Ann") as desk:
        assert (desk.hand().by, desk.hand().device) == ("Ann", "phone")


def test_an_entry_holds_what_its_codes_meant(desk: Desk) -> None:
    code, other = start(desk), start(desk)
    first, second, printed = (
        *[desk.book.batch(c).entry_id for c in (code, other)],
        record(desk, events.LabelsPrinted((other, code), "tray-a4")),
    )
    assert record(desk, events.Lost(code, 1)).about == events.id_end(first)
    assert printed.about == f"{events.id_end(second)} {events.id_end(first)}"
    assert {e.about for e in desk.book.entries if e.id == first} == {""}


def test_a_request_that_comes_again_writes_nothing_and_returns_what_was_written(
    desk: Desk,
) -> None:
    code = start(desk)
    first = record(desk, events.Lost(code, 1), request="r-1")
    before = desk.store.entries()
    assert record(desk, events.Lost(code, 1), request="r-1") == first
    assert record(desk, events.Lost(code, 39), request="r-1") == first
    assert desk.store.entries() == before
    assert record(desk, events.Lost(code, 1), request="r-2") != first


def test_a_refused_request_may_come_again_and_be_taken(desk: Desk) -> None:
    code = start(desk)
    with pytest.raises(Refused):
        record(desk, events.Lost(code, 41), request="r-1")
    assert record(desk, events.Lost(code, 40), request="r-1").request == "r-1"


def test_a_start_asked_for_twice_starts_one_batch(desk: Desk) -> None:
    plan = BatchPlan(CURRANT, "runner", 40, day(1), stock_plant="Bess")
    first = start_batch(desk, plan, request="r-1").code
    assert start_batch(desk, plan, request="r-1").code == first
    assert list(desk.book.batches) == [first]


def test_of_the_same_request_at_once_one_is_written(desk: Desk) -> None:
    code = start(desk)

    def lose_one(_: int) -> str:
        with Desk(desk.folder, TODAY, NOW) as own:
            return record(own, events.Lost(code, 1), request="the one").id

    with ThreadPoolExecutor(8) as pool:
        ids = set(pool.map(lose_one, range(24)))
    desk.forget()
    assert len(ids) == 1
    assert desk.book.batch(code).total("lost") == 1


def test_what_looks_alike_is_kept_alike(desk: Desk) -> None:
    """A zero-width space from a web page makes no second mother, an escape sequence none at all."""
    plan = BatchPlan(parse("Ribes nigrum"), "hardwood-cutting", 5, desk.today)
    first = start_batch(desk, evolve(plan, stock_plant="jet", note=" two \n lines "))
    assert first.started.note == "two lines"
    start_batch(desk, evolve(plan, stock_plant="je\u200bt"))
    with pytest.raises(Refused, match="cannot be printed"):
        start_batch(desk, evolve(plan, note="\x1b[2J"))
    assert list(desk.book.stock_plants) == ["jet"]


def test_a_batch_that_no_forecast_could_handle_is_refused(desk: Desk) -> None:
    plan = BatchPlan(parse("Ribes nigrum"), "hardwood-cutting", MOST_IN_BATCH + 1, desk.today)
    with pytest.raises(Refused, match="start several batches"):
        start_batch(desk, plan)
    assert desk.store.entries() == ()
