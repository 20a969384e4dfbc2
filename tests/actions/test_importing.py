"""A notebook goes into the book as a whole, or not at all."""

import datetime as dt
from collections.abc import Iterator
from contextlib import suppress
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from propagate.actions.desk import Desk
from propagate.actions.importing import Imported, import_notebook
from propagate.actions.recording import BatchPlan, start_batch
from propagate.errors import PropagateError, Refused
from propagate.library import Library
from propagate.names import parse
from propagate.planning.notebook import template
from propagate.records import events
from propagate.settings import settings_text
from propagate.store import lessons
from tests.examples import RUNNER

TODAY = dt.date(2027, 6, 1)
NOW = dt.datetime(2027, 6, 1, 12, tzinfo=dt.UTC)
HEAD = "date,what,batch,plant,method,count,rooted,from,to,why\n"
START = "2027-05-01,start,T1,strawberry,runner,40,,,,\n"

PLANTS = '["Fragaria × ananassa"]\nnames = { en = ["strawberry"] }\n'


@pytest.fixture
def desk(tmp_path: Path) -> Iterator[Desk]:
    methods = tmp_path / "methods"
    methods.mkdir()
    (methods / "plants.toml").write_text(PLANTS, encoding="utf-8")
    (methods / "runner.toml").write_text(RUNNER, encoding="utf-8")
    with Desk(tmp_path, TODAY, NOW) as opened:
        opened.__dict__["library"] = Library((methods,))
        yield opened


def take(desk: Desk, text: str) -> Imported:
    path = desk.folder / "season.csv"
    path.write_text(text, encoding="utf-8")
    return import_notebook(desk, path)


def test_what_a_notebook_taught_is_kept(desk: Desk, monkeypatch: pytest.MonkeyPatch) -> None:
    text = settings_text("Ours", "north")
    (desk.folder / "nursery.toml").write_text(text, encoding="utf-8")
    monkeypatch.setattr(lessons, "WORTH_KEEPING", 1)
    take(desk, HEAD + START + "2027-05-20,check,T1,,,,30,,,\n")
    assert [file.name for file in (desk.folder / lessons.FOLDER).iterdir()] == ["runner"]


def refusal(desk: Desk, text: str) -> list[str]:
    """The lines of the refusal under its lead; the book must be as it was."""
    before = desk.store.entries()
    with pytest.raises(Refused) as caught:
        take(desk, text)
    assert desk.store.entries() == before
    lead, *lines = str(caught.value).splitlines()
    assert lead == "Nothing was taken, because:"
    return [line.strip() for line in lines]


def accounts(desk: Desk) -> dict[str, dict[str, int]]:
    assert not desk.book.conflicts
    return {state.started.mark: state.accounts() for state in desk.book.batches.values()}


def test_the_template_itself_is_no_event(desk: Desk) -> None:
    assert take(desk, template()) == Imported(batches=0, events=0)
    assert desk.store.entries() == ()


def test_a_season_is_taken_whole(desk: Desk) -> None:
    season = (
        HEAD
        + START
        + "2027-05-02,start,T2,strawberry,runner,30,,,,\n"
        + "2027-05-20,check,T1,,,,25,,,\n"
        + "2027-05-25,pot-on,T1,,,20,,,,\n"
        + "2027-05-26,recount,T2,,,28,,,,two short\n"
    )
    assert take(desk, season) == Imported(batches=2, events=5)
    assert accounts(desk) == {
        "T1": {"waiting": 15, "rooted": 5, "potted": 20},
        "T2": {"waiting": 28, "miscounted": 2},
    }


def test_lines_may_stand_in_any_order(desk: Desk) -> None:
    take(desk, HEAD + "2027-05-25,pot-on,T1,,,20,,,,\n" + START)
    assert accounts(desk) == {"T1": {"waiting": 20, "potted": 20}}


def test_a_later_notebook_goes_on_by_mark_or_by_code(desk: Desk) -> None:
    take(desk, HEAD + START)
    (code,) = desk.book.batches
    take(desk, f"{HEAD}2027-05-25,pot-on,T1,,,20,,,,\n2027-05-26,harden,{code.lower()},,,5,,,,\n")
    assert accounts(desk) == {"T1": {"waiting": 20, "potted": 15, "hardening": 5}}


# Refusals


def test_one_bad_line_and_nothing_is_taken(desk: Desk) -> None:
    (line,) = refusal(desk, HEAD + START + "2027-05-20,check,T1,,,,lots,,,\n")
    assert line == 'season.csv, line 3: rooted is "lots"; write a whole number, such as 40.'


def test_a_line_that_cannot_be_so_is_named(desk: Desk) -> None:
    (line,) = refusal(desk, HEAD + START + "2027-05-25,pot-on,T1,,,41,,,,\n")
    assert line.startswith("season.csv, line 3: 41 is more than batch ")


def test_a_line_that_makes_an_entry_of_the_book_impossible_is_refused(desk: Desk) -> None:
    take(desk, HEAD + START + "2027-05-25,pot-on,T1,,,40,,,,\n")
    (line,) = refusal(desk, HEAD + "2027-05-20,lose,T1,,,1,,,,\n")
    assert line.startswith("25 May 2027: 40 is more than batch ")


def test_an_event_before_the_start_is_refused_with_both_days(desk: Desk) -> None:
    (line,) = refusal(desk, HEAD + START + "2027-04-30,check,T1,,,,1,,,\n")
    assert line.startswith("season.csv, line 3: Batch ")
    assert "1 May 2027" in line
    assert "30 Apr 2027" in line


def test_an_unknown_mark_is_named_with_its_line(desk: Desk) -> None:
    (line,) = refusal(desk, HEAD + START + "2027-05-20,check,T7,,,,1,,,\n")
    assert line.startswith("season.csv, line 3: ")
    assert "T7" in line


def test_a_mark_is_started_once(desk: Desk) -> None:
    (line,) = refusal(desk, HEAD + START + START)
    assert line == 'season.csv, line 3: "T1" was started in a line above.'
    take(desk, HEAD + START)
    (code,) = desk.book.batches
    (line,) = refusal(desk, HEAD + START)
    assert line.startswith(f'season.csv, line 2: "T1" was started as batch {code} already; was')


def test_a_count_of_none_is_named_with_its_line(desk: Desk) -> None:
    lines = refusal(desk, HEAD + START + START.replace("T1", "T2").replace("40", "0"))
    assert lines == ["season.csv, line 3: count is 0; it must be 1 or more."]


def test_a_day_far_ahead_is_refused(desk: Desk) -> None:
    with pytest.raises(Refused, match="more than a year after today"):
        take(desk, HEAD + START.replace("2027", "2072"))
    assert desk.store.entries() == ()


def test_a_file_that_cannot_be_read_is_told_of(desk: Desk) -> None:
    with pytest.raises(Refused, match=r"none\.csv cannot be read: No such file"):
        import_notebook(desk, desk.folder / "none.csv")
    for content in (HEAD.encode() + b"\x81\xfc", b"SQLite format 3\0"):
        (desk.folder / "odd.csv").write_bytes(content)
        with pytest.raises(Refused, match=r"odd\.csv is no text that can be read; save it as CSV"):
            import_notebook(desk, desk.folder / "odd.csv")


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "cp1252", "utf-16"])
@pytest.mark.parametrize("between", [",", ";", "\t"])
def test_a_table_is_read_however_a_spreadsheet_saved_it(desk: Desk, encoding, between) -> None:
    lines = HEAD + "2027-05-01,start,Frühe,strawberry,runner,40,,,,\n"
    path = desk.folder / "season.csv"
    path.write_bytes(lines.replace(",", between).replace("\n", "\r\n").encode(encoding))
    assert import_notebook(desk, path) == Imported(1, 1)
    [batch] = desk.book.batches.values()
    assert batch.started.mark == "Frühe"
    doubted = [remark for remark in desk.remarks if "not saved as UTF-8" in remark]
    assert bool(doubted) == (encoding == "cp1252")


# Mothers


def test_a_mother_named_by_a_start_comes_into_the_book_once(desk: Desk) -> None:
    start = START.replace(",40,,", ",40,,Bess")
    assert take(desk, HEAD + start + start.replace("T1", "T2")) == Imported(2, 2)
    assert list(desk.book.stock_plants) == ["Bess"]
    kinds = [type(entry.event).__name__ for entry in desk.store.entries()]
    assert kinds == ["StockPlantAdded", "Started", "Started"]


def test_a_mother_in_a_line_of_her_own_may_stand_below_her_batch(desk: Desk) -> None:
    mother = "2027-05-09,mother,,strawberry,,,,Bess,,\n"
    take(desk, HEAD + START.replace(",40,,", ",40,,Bess") + mother)
    assert desk.book.stock_plants["Bess"].on == dt.date(2027, 5, 9)
    assert not desk.book.conflicts


def test_a_mother_may_be_raised_from_a_batch_of_the_same_notebook(desk: Desk) -> None:
    mother = "2027-05-20,mother,T1,strawberry,,,,Tess,,\n"
    start = START.replace("2027-05-01", "2027-05-21").replace("T1", "T2")
    take(desk, HEAD + mother + start.replace(",40,,", ",40,,Tess") + START)
    (first,) = [code for code, s in desk.book.batches.items() if s.started.mark == "T1"]
    assert desk.book.stock_plants["Tess"].added.batch == first
    assert not desk.book.conflicts


def test_naming_the_mother_names_the_batch(desk: Desk) -> None:
    name = "2027-05-20,name,,strawberry 'Elsanta',,,,Bess,,\n"
    take(desk, HEAD + START.replace(",40,,", ",40,,Bess") + name)
    (state,) = desk.book.batches.values()
    assert state.name.cultivar == "Elsanta"


# Marks and codes


def test_codes_are_new_beside_those_of_the_book(desk: Desk) -> None:
    first = start_batch(desk, BatchPlan(parse("Ribes nigrum"), "runner", 5, TODAY)).code
    take(desk, HEAD + START + START.replace("T1", "T2"))
    assert len(desk.book.batches) == 3
    assert first in desk.book.batches


def test_a_formula_kept_from_a_spreadsheet_comes_back_as_it_was_meant(desk: Desk) -> None:
    take(desk, HEAD + START + "2027-05-20,promise,T1,,,3,,,'=Ann,\n")
    promised = [e.event for e in desk.store.entries() if isinstance(e.event, events.Promised)]
    assert [event.to for event in promised] == ["=Ann"]


notebooks = st.lists(
    st.one_of(
        st.sampled_from(
            [
                START,
                START.replace("T1", "T2").replace(",40,,", ",40,,Bess"),
                "2027-05-20,check,T1,,,,25,,,\n",
                "2027-05-25,pot-on,T2,,,30,,,,\n",
                "2027-05-25,mother,,strawberry,,,,Bess,,\n",
                "2027-05-26,give,T1,,,5,,,Ann,\n",
            ]
        ),
        st.text(max_size=12).map("2027-05-20,check,T1,{}\n".format),
        st.text(max_size=12),
    ),
    max_size=6,
).map(lambda lines: HEAD + "".join(lines))


@settings(
    max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(text=notebooks | st.text())
def test_any_file_is_taken_whole_or_refused(desk: Desk, text: str) -> None:
    before = desk.store.entries()
    with suppress(PropagateError):
        take(desk, text)
    desk.forget()
    assert desk.store.entries()[: len(before)] == before
    assert not desk.book.conflicts
