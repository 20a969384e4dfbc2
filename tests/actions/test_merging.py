"""Two folders of one nursery, used in house and shed, brought together again."""

import datetime as dt
import shutil
from pathlib import Path

import pytest

from propagate.actions.copies import export
from propagate.actions.desk import Desk
from propagate.actions.merging import merge, questions, settle
from propagate.actions.recording import BatchPlan, record, start_batch
from propagate.errors import NotFound, Refused
from propagate.names import parse
from propagate.records import events

TODAY = dt.date(2027, 3, 20)
NOW = dt.datetime(2027, 3, 20, 12, tzinfo=dt.UTC)
PLAN = BatchPlan(parse("Ribes nigrum"), "runner", 40, dt.date(2027, 3, 1))


def house(folder: Path, device: str = "house") -> Desk:
    return Desk(folder / "house", TODAY, NOW + dt.timedelta(minutes=1), "Ann", device)


def shed(folder: Path, device: str = "shed") -> Desk:
    return Desk(folder / "shed", TODAY, NOW + dt.timedelta(minutes=2), "Bea", device)


@pytest.fixture
def code(tmp_path: Path) -> str:
    """The code of a batch in a book of which there are two copies."""
    (tmp_path / "house").mkdir()
    with house(tmp_path) as desk:
        made = start_batch(desk, PLAN).code
    shutil.copytree(tmp_path / "house", tmp_path / "shed")
    return made


def both_potted(folder: Path, code: str) -> None:
    for desk in (house(folder), shed(folder)):
        with desk:
            record(desk, events.PottedOn(code, 12))


def test_both_copies_are_the_same_afterwards_to_the_byte(tmp_path: Path, code: str) -> None:
    both_potted(tmp_path, code)
    with house(tmp_path) as ours, shed(tmp_path) as theirs:
        merge(ours, str(tmp_path / "shed"))
        export(theirs, tmp_path / "shed.jsonl")  # as it was before it knew
        merge(theirs, str(tmp_path / "house" / "book.db"))
        assert merge(ours, str(tmp_path / "shed.jsonl")).entries == 0
        for desk, name in ((ours, "a"), (theirs, "b")):
            export(desk, tmp_path / name)
        assert ours.store.entries() == theirs.store.entries()
    assert (tmp_path / "a").read_bytes() == (tmp_path / "b").read_bytes()


def test_the_same_potting_told_twice_is_asked_and_settled(tmp_path: Path, code: str) -> None:
    both_potted(tmp_path, code)
    with house(tmp_path) as desk:
        (question,) = merge(desk, str(tmp_path / "shed")).questions
        assert question.said == (
            f"Ann (house) wrote of 20 Mar 2027: {code} pot on 12; "
            f"Bea (shed) wrote of 20 Mar 2027: {code} pot on 12. Did it happen once or twice?"
        )
        assert desk.book.batch(code).total("potted") == 24
        settle(desk, question.number, "once")
        assert desk.book.batch(code).total("potted") == 12
        assert questions(desk.book) == ()


def test_what_did_happen_twice_stays(tmp_path: Path, code: str) -> None:
    both_potted(tmp_path, code)
    with house(tmp_path) as desk:
        (question,) = merge(desk, str(tmp_path / "shed")).questions
        settle(desk, question.number, "twice")
        assert questions(desk.book) == ()
        assert desk.book.batch(code).total("potted") == 24
        merge(desk, str(tmp_path / "shed"))
        assert questions(desk.book) == ()


def test_more_than_there_were_is_asked_about_and_dropped(tmp_path: Path, code: str) -> None:
    with house(tmp_path) as ours, shed(tmp_path) as theirs:
        record(ours, events.PottedOn(code, 30), dt.date(2027, 3, 10))
        record(theirs, events.PottedOn(code, 25), dt.date(2027, 3, 19))
        (question,) = merge(ours, str(tmp_path / "shed")).questions
        assert "pot on 25; that cannot be so beside the other entries" in question.said
        assert "25 is more than batch" in question.said
        record(ours, events.Lost(code, 1))  # the book goes on meanwhile
        settle(ours, question.number, "drop")
        assert questions(ours.book) == ()
        assert ours.book.batch(code).accounts() == {"lost": 1, "potted": 30, "waiting": 9}


def test_a_question_that_is_none_and_a_word_that_settles_nothing(tmp_path: Path, code: str) -> None:
    both_potted(tmp_path, code)
    with house(tmp_path) as desk:
        (question,) = merge(desk, str(tmp_path / "shed")).questions
        with pytest.raises(NotFound, match="There is no question about an entry 1"):
            settle(desk, 1, "once")
        with pytest.raises(Refused, match="settles nothing here; say once or twice"):
            settle(desk, question.number, "perhaps")


def test_two_batches_of_one_code_are_told_apart_and_labelled_anew(
    tmp_path: Path, code: str
) -> None:
    started = []
    for desk in (house(tmp_path), shed(tmp_path, "house")):  # one name: a copied settings file
        with desk:
            started.append(start_batch(desk, PLAN).code)
            record(desk, events.LabelsPrinted((started[-1],), "tray-a4"))
            record(desk, events.Lost(started[-1], len(started)))
    assert started[0] == started[1]
    with house(tmp_path) as desk:
        (new,) = merge(desk, str(tmp_path / "shed")).recoded
        assert (new.was, new.by) == (started[0], "Bea (house)")
        assert desk.book.batch(new.was).total("lost") == 1
        assert desk.book.batch(new.now).total("lost") == 2
        assert [c for c, state in desk.book.batches.items() if state.needs_reprint] == [new.now]


def test_devices_with_names_of_their_own_give_different_codes(tmp_path: Path, code: str) -> None:
    with house(tmp_path) as ours, shed(tmp_path) as theirs:
        mine = {start_batch(ours, PLAN).code for _ in range(5)}
        yours = {start_batch(theirs, PLAN).code for _ in range(5)}
        assert not mine & yours
        assert merge(ours, str(tmp_path / "shed")).recoded == ()
        assert len(ours.book.batches) == 11


def test_a_place_without_a_book_is_told_of(tmp_path: Path, code: str) -> None:
    with house(tmp_path) as desk, pytest.raises(NotFound, match="There is no book at"):
        merge(desk, str(tmp_path / "attic"))
