"""A notebook in CSV: good lines become events, bad ones are named by line and reason."""

import datetime as dt
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from propagate.csvcells import guard
from propagate.errors import Problem
from propagate.library import Library
from propagate.planning.notebook import COLUMNS, Noted, NotedStart, read_notebook, template
from propagate.records import events
from tests.examples import RUNNER

TODAY = dt.date(2027, 6, 1)

PLANTS = """
["Ribes nigrum"]
names = { en = ["blackcurrant"] }
["Fragaria × ananassa"]
names = { en = ["strawberry"] }
"""


@pytest.fixture(scope="module")
def library(tmp_path_factory: pytest.TempPathFactory) -> Library:
    folder: Path = tmp_path_factory.mktemp("methods")
    (folder / "plants.toml").write_text(PLANTS, encoding="utf-8")
    (folder / "runner.toml").write_text(RUNNER, encoding="utf-8")
    made = Library((folder,))
    assert made.problems == ()
    return made


def good(text: str, library: Library) -> list[Noted]:
    noted, problems = read_notebook(text, "season.csv", library, TODAY)
    assert problems == []
    return noted


def bad(text: str, library: Library) -> list[str]:
    """What is wrong with a notebook, a sentence each."""
    _, problems = read_notebook(text, "season.csv", library, TODAY)
    return [str(problem) for problem in problems]


def event(text: str, library: Library) -> events.Event:
    """The event of a notebook of one line, told about batch 37AC."""
    (noted,) = good(text, library)
    assert noted.make is not None
    return noted.make("37AC")


def test_the_template_has_every_column_and_no_event(library: Library) -> None:
    assert template().splitlines()[0] == ",".join(COLUMNS)
    assert good(template(), library) == []


def test_the_template_filled_in_reads_back(library: Library) -> None:
    filled = template() + "2027-05-01,start,T1,strawberry,runner,40,,,,bench\n"
    (noted,) = good(filled, library)
    assert noted.start is not None
    assert (noted.start.count, noted.start.place, noted.start.mark) == (40, "bench", "T1")


def test_a_start_with_all_its_cells(library: Library) -> None:
    text = (
        "date,what,batch,plant,method,count,place,trays,from,note\n"
        "1 May 2027,start,T1,blackcurrant 'Blacksmith',runner,40,bench,a; b;,Bess,wet\n"
    )
    (noted,) = good(text, library)
    assert noted.on == dt.date(2027, 5, 1)
    assert noted.where == "season.csv, line 2"
    assert noted.start == NotedStart(
        library.resolve("Ribes nigrum 'Blacksmith'"),
        "runner",
        40,
        "bench",
        "Bess",
        ("a", "b"),
        "T1",
        "wet",
    )


COUNTED = "date,what,batch,count,into,bed,to,cause,account,why\n2027-05-01,"


@pytest.mark.parametrize(
    ("line", "told"),
    [
        ("pot-on,T1,5,9 cm pot", events.PottedOn("37AC", 5, "9 cm pot")),
        ("Pot On,T1,5", events.PottedOn("37AC", 5)),
        ("harden,T1,5", events.HardenedOff("37AC", 5)),
        ("ready,T1,5", events.MadeReady("37AC", 5)),
        ("plant-out,T1,5,,hedge,,,potted", events.PlantedOut("37AC", 5, "hedge", "potted")),
        ("lose,T1,5,,,,mice,waiting", events.Lost("37AC", 5, "mice", "waiting")),
        ("give,T1,5,,,Ann,,rooted", events.Given("37AC", 5, "Ann", "rooted")),
        ("promise,T1,5,,,Ann", events.Promised("37AC", 5, "Ann")),
        ("offer,T1,5,,,", events.Offered("37AC", 5)),
        ("offer,T1,0,,,", events.Offered("37AC", 0)),
        ("recount,T1,0,,,,,,slip", events.Recounted("37AC", 0, "slip")),
    ],
)
def test_a_counted_line(library: Library, line: str, told: events.Event) -> None:
    assert event(COUNTED + line, library) == told


LOOKED = "date,what,batch,rooted,dead,sample,place\n2027-05-01,"


@pytest.mark.parametrize(
    ("line", "told"),
    [
        ("check,T1,12,3", events.Checked("37AC", 12, 3)),
        ("check,T1,0", events.Checked("37AC", 0)),
        ("check,T1,,3", events.Checked("37AC", None, 3)),
        ("check,T1,6,1,10", events.Checked("37AC", 6, 1, 10)),
        ("move,T1,,,,frame", events.Moved("37AC", "frame")),
        ("sever,T1", events.StepDone("37AC", "severed")),
    ],
)
def test_a_line_about_a_tray(library: Library, line: str, told: events.Event) -> None:
    assert event(LOOKED + line, library) == told


def test_a_mother_and_a_name(library: Library) -> None:
    plant = library.resolve("strawberry")
    head = "date,what,batch,plant,from,place,why,note\n2027-05-01,"
    mother = event(head + "mother,T1,strawberry,Bess,bed,,old", library)
    assert mother == events.StockPlantAdded("Bess", plant, "37AC", "bed", "old")
    (by_mother,) = good(head + "name,,strawberry,Bess,,seen fruit", library)
    assert by_mother.make is not None
    assert by_mother.make("") == events.NameSettled(plant, stock_plant="Bess", why="seen fruit")
    assert event(head + "name,T1,strawberry", library) == events.NameSettled(plant, batch="37AC")


HEAD = "date,what,batch,plant,method,count,rooted,from,to,why\n"


@pytest.mark.parametrize(
    ("line", "reason"),
    [
        (",start,T1", 'the cell "date" is empty; it says the day it happened'),
        ("2027-05-01,,T1", 'the cell "what" is empty; it says start, check, pot-on'),
        ("2027-05-01,eat,T1", '"eat" is nothing a notebook knows; write start, check,'),
        ("3/4/2027,sever,T1", '"3/4/2027" could be two different days'),
        ("2027-05-01,check,,,,,3", 'the cell "batch" is empty'),
        ("2027-05-01,start,,strawberry,runner,40", 'the cell "batch" is empty'),
        ("2027-05-01,start,T1,strawbery,runner,40", 'no plant called "strawbery".'),
        ("2027-05-01,start,T1,strawberry,runer,40", 'no method called "runer". Did you mean "runn'),
        ("2027-05-01,pot-on,T1,,,many", 'count is "many"; write a whole number'),
        ("2027-05-01,pot-on,T1,,,-3", 'count is "-3"; write a whole number'),
        ("2027-05-01,pot-on,T1,,,²", 'count is "²"; write a whole number'),
        ("2027-05-01,pot-on,T1,,,12345678901", 'count is "12345678901"; write a whole number'),
        ("2027-05-01,pot-on,T1", 'the cell "count" is empty; it says how many.'),
        ("2027-05-01,promise,T1,,,3", 'the cell "to" is empty'),
        ("2027-05-01,recount,T1,,,3", 'the cell "why" is empty'),
        ("2027-05-01,name,T1,strawberry,,,,Bess", 'give either "from", for a mother'),
        ("2027-05-01,name,,strawberry", 'give either "from", for a mother'),
        ("2027-05-01,sever,T1,,,3", 'the cell "count" means nothing for sever; empty it.'),
        ("2027-05-01,pot-on,T1,,,3,2", 'the cell "rooted" means nothing for pot-on; empty it.'),
        ("2027-05-01,sever,T1,,,,,,,,extra", "11 cells under 10 columns"),
    ],
)
def test_a_bad_line_is_named_with_its_number_and_reason(
    library: Library, line: str, reason: str
) -> None:
    (said,) = bad(f"{HEAD}\n# a remark\n{line}\n2027-05-01,sever,T1\n", library)
    assert said.startswith("season.csv, line 4: ")
    assert reason in said


def test_a_count_of_none_is_refused_once_the_batch_is_known(library: Library) -> None:
    (noted,) = good(HEAD + "2027-05-01,pot-on,T1,,,0", library)
    assert noted.make is not None
    with pytest.raises(ValueError, match="count is 0; it must be 1 or more"):
        noted.make("37AC")


def test_all_bad_lines_are_told_of_together(library: Library) -> None:
    said = bad(f"{HEAD}soon,sever,T1\n2027-05-01,sever,T1\n2027-05-01,eat,T1\n", library)
    assert [line.split(":")[0] for line in said] == ["season.csv, line 2", "season.csv, line 4"]


def test_a_line_keeps_its_number_after_a_cell_of_several_lines(library: Library) -> None:
    text = HEAD + '2027-05-01,recount,T1,,,3,,,,"one\ntwo\nthree"\n2027-05-01,eat,T1\n'
    (said,) = bad(text, library)
    assert said.startswith("season.csv, line 5: ")


@pytest.mark.parametrize(
    ("header", "reason"),
    [
        ("", 'the column "date" is missing'),
        ("what,batch", 'the column "date" is missing'),
        ("date,what,colour", 'unknown columns: "colour"'),
        ("date,what,What", 'the column "what" stands there twice'),
    ],
)
def test_a_wrong_header_is_told_of_before_any_line(
    library: Library, header: str, reason: str
) -> None:
    said = bad(f"{header}\nsoon,eat,T1\n", library)
    assert f"season.csv, line 1: {reason}" in said
    assert all("line 1:" in line for line in said)


def test_columns_may_stand_in_any_order_and_spelling(library: Library) -> None:
    (noted,) = good("\ufeffBatch, What ,DATE\nT1, sever ,2027-05-01\n", library)
    assert (noted.batch, noted.what, noted.on) == ("T1", "sever", dt.date(2027, 5, 1))


def test_the_apostrophe_that_guards_a_cell_is_taken_off(library: Library) -> None:
    assert guard("=Ann") == "'=Ann"
    text = HEAD + f"2027-05-01,promise,T1,,,3,,,{guard('=Ann')}\n"
    assert event(text, library) == events.Promised("37AC", 3, "=Ann")


def test_line_ends_of_any_system_are_read(library: Library) -> None:
    for end in ("\n", "\r\n", "\r"):
        text = f"date,what,batch{end}2027-05-01,sever,T1{end}soon,sever,T1{end}"
        (said,) = bad(text, library)
        assert said.startswith("season.csv, line 3: ")


def test_a_cell_larger_than_any_spreadsheet_makes_is_told_of(library: Library) -> None:
    (said,) = bad(f'date,what,batch\n2027-05-01,sever,"{"x" * 200_000}"\n', library)
    assert said.startswith("season.csv, line 2: it cannot be read as CSV: ")


cells = st.one_of(
    st.sampled_from(["", "2027-05-01", "12 Mar", *COLUMNS, "start", "pot-on", "runner", "T1"]),
    st.sampled_from(["strawberry", "Ribes nigrum 'X", "3", "9" * 5000, "#", "'=", '"', "\0"]),
    st.text(max_size=8),
)
rows = st.lists(st.lists(cells, max_size=8).map(",".join), max_size=6).map("\n".join)


@given(text=st.text() | rows | rows.map((HEAD + "{}").format))
def test_any_text_at_all_gives_lines_or_problems(library: Library, text: str) -> None:
    noted, problems = read_notebook(text, "season.csv", library, TODAY)
    assert all(isinstance(line, Noted) for line in noted)
    assert all(isinstance(problem, Problem) for problem in problems)
