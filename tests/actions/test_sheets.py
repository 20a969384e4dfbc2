"""Every sheet of the demo: the same figures on paper, on the screen and in the table."""

import datetime as dt
import json
import re
from pathlib import Path

import pytest

from propagate.actions.answering import due, forecast, mothers
from propagate.actions.bedding import beds
from propagate.actions.demo import LAST_DAY
from propagate.actions.desk import Desk
from propagate.actions.founding import found_nursery
from propagate.actions.sheets import KINDS, Wanted, make_print, print_sheet
from propagate.errors import NotFound, Refused
from propagate.ledger import Kind
from propagate.paper.printing import Print
from tests.demos import NOW, shared_demo
from tests.reading import csv_lines, html_rows, imitates_passport, pdf_pages, shown

LISTS = [kind for kind in KINDS if kind != "stock"]
IN_POTS = (Kind.POTTED, Kind.HARDENING, Kind.READY)


@pytest.fixture(scope="module")
def desk(tmp_path_factory: pytest.TempPathFactory) -> Desk:
    return Desk(shared_demo(tmp_path_factory), LAST_DAY, NOW)


@pytest.fixture(scope="module")
def prints(desk: Desk) -> dict[str, Print]:
    return {kind: make_print(desk, kind) for kind in KINDS}


@pytest.fixture(scope="module")
def texts(prints: dict[str, Print]) -> dict[str, str]:
    """What the PDF of each list says, its pages one after the other."""
    return {kind: "\n".join(pdf_pages(prints[kind])) for kind in LISTS}


def lines(prints: dict[str, Print], kind: str, line: str) -> list[dict[str, str]]:
    return [one for one in csv_lines(prints[kind]) if one["line"] == line]


def rows_with(prints: dict[str, Print], kind: str, at: int, cell: str) -> list[list[str]]:
    return [row for row in html_rows(prints[kind]) if row[at : at + 1] == [cell]]


# The same figures three times


def test_a_check_card_says_the_same_in_html_csv_and_pdf(prints, texts) -> None:
    for line in lines(prints, "checks", "batch"):
        numbers = [shown(line[key]) for key in ("waiting", "rooted", "in_pots")]
        (row,) = rows_with(prints, "checks", 1, line["batch"])
        assert row[3:6] == numbers
        assert line["plant"] in row[2]
        for typed in line["type"].split("; "):
            assert typed in row[2]
            assert typed in texts["checks"]
        assert re.search(rf"^{line['batch']} .* {' '.join(numbers)}$", texts["checks"], re.M)


def test_a_place_of_the_check_cards_adds_up_to_the_ledger(desk, prints) -> None:
    states = [state for state in desk.book.batches.values() if state.living]
    for line in lines(prints, "checks", "place"):
        here = [state for state in states if state.place == line["place"]]
        assert int(line["waiting"]) == sum(state.total(Kind.WAITING) for state in here)
        assert int(line["rooted"]) == sum(state.total(Kind.ROOTED) for state in here)
        assert int(line["in_pots"]) == sum(state.total(*IN_POTS) for state in here)
    batches = {line["batch"] for line in lines(prints, "checks", "batch")}
    assert batches == {state.code for state in states}


def test_a_job_card_says_the_same_in_html_csv_and_pdf(desk, prints, texts) -> None:
    told = csv_lines(prints["jobs"])
    until = LAST_DAY + dt.timedelta(weeks=1)
    assert sorted((one["date"], one["batch"], one["do"]) for one in told) == sorted(
        (task.date.isoformat(), task.batch, task.action) for task in due(desk) if task.date <= until
    )
    for line in told:
        rows = rows_with(prints, "jobs", 1, line["batch"])
        (row,) = [row for row in rows if row[3].startswith(f"{line['do']} {line['why']}")]
        assert row[3] == " ".join(filter(None, (line["do"], line["why"], line["type"])))
        assert ("late" in row[4]) == (line["late"] == "yes")
        assert line["type"] in texts["jobs"]
        assert re.search(rf"^{line['batch']} .*{re.escape(line['do'])}", texts["jobs"], re.M)


def test_jobs_stand_under_their_place(desk, prints) -> None:
    places = {task.place for task in due(desk) if task.date <= LAST_DAY + dt.timedelta(weeks=1)}
    told = csv_lines(prints["jobs"])
    assert {line["place"] for line in told} == places
    order = list(dict.fromkeys(line["place"] for line in told))
    known = [place for place in desk.nursery.places if place in places]
    assert order[: len(known)] == known  # as the settings list them
    for line in told:
        if line["do"] != "make room":  # for what is still to come there
            assert desk.book.batch(line["batch"]).place == line["place"]


def test_the_planting_list_says_the_same_in_html_csv_and_pdf(prints, texts) -> None:
    for line in lines(prints, "beds", "to plant"):
        numbers = ["·", shown(line["can_go"]), shown(line["promised"])]
        assert any(row[4:7] == numbers for row in rows_with(prints, "beds", 1, line["batch"]))
        assert re.search(rf"^{line['batch']} .*{' '.join(numbers)}$", texts["beds"], re.M)
        assert line["type"] in texts["beds"]
    for line in lines(prints, "beds", "planted"):
        numbers = [shown(line["planted"]), "·", "·"]
        assert any(row[4:7] == numbers for row in rows_with(prints, "beds", 1, line["batch"]))
        assert re.search(rf"^{line['batch']} .*{' '.join(numbers)}$", texts["beds"], re.M)
    for line in lines(prints, "beds", "bed"):
        if line["wanted"]:
            said = (
                f"{line['wanted']} wanted, {line['planted']} planted, {line['still_wanted']} to go"
            )
            assert said in texts["beds"]
            assert said in prints["beds"].html


def test_the_beds_hold_what_the_ledger_planted(desk, prints) -> None:
    states = desk.book.batches.values()
    planted = sum(int(line["planted"]) for line in lines(prints, "beds", "bed"))
    assert planted == sum(state.total(Kind.PLANTED) for state in states) > 0
    beds = {line["bed"]: line for line in lines(prints, "beds", "bed")}
    assert set(desk.nursery.beds) <= set(beds)
    for name, bed in desk.nursery.beds.items():
        if bed.takes:
            filled, gap = int(beds[name]["planted"]), int(beds[name]["still_wanted"])
            assert int(beds[name]["wanted"]) >= bed.takes
            assert gap == max(0, int(beds[name]["wanted"]) - filled)


def test_a_batch_goes_to_the_bed_where_its_kin_stand_and_more_are_wanted(prints) -> None:
    row = [line for line in lines(prints, "beds", "to plant") if line["bed"] == "currant row"]
    assert {line["plant"] for line in row} == {"Ribes nigrum ‘Alder Jet’"}
    assert row[0]["type"].endswith('--bed "currant row"')
    full = {line["bed"] for line in lines(prints, "beds", "bed") if line["still_wanted"] == "0"}
    assert not full & {line["bed"] for line in lines(prints, "beds", "to plant")}


def test_the_mothers_say_the_same_in_html_csv_and_pdf(desk, prints, texts) -> None:
    told = {line["mother"]: line for line in lines(prints, "mothers", "mother")}
    assert set(told) == {key for key, _, _ in mothers(desk)}
    for key, _, codes in mothers(desk):
        states = [desk.book.batch(code) for code in codes]
        sums = [
            len(states),
            sum(state.count for state in states),
            sum(state.raised for state in states),
            sum(state.total(Kind.WAITING) for state in states),
        ]
        assert [int(told[key][name]) for name in ("batches", "taken", "raised", "waiting")] == sums
        (row,) = rows_with(prints, "mothers", 0, key)
        assert row[3:7] == [shown(number) for number in sums]
        assert " ".join(map(shown, sums)) in texts["mothers"]
    (everything,) = lines(prints, "mothers", "all")
    (row,) = rows_with(prints, "mothers", 1, "All mothers")
    for at, name in enumerate(("batches", "taken", "raised", "waiting")):
        total = sum(int(line[name]) for line in told.values())
        assert int(everything[name]) == total
        assert row[3 + at] == shown(total)


def test_the_customer_is_told_the_same_in_html_csv_and_pdf(prints, texts) -> None:
    for line in lines(prints, "customer", "plant"):
        rows = [row for row in html_rows(prints["customer"]) if row[0].startswith(line["plant"])]
        at = len(rows[0]) - 3  # a column for what is for sale, where there is any
        (row,) = [row for row in rows if row[2] == shown(line["now"])]
        if int(line["coming_high"]):
            spread = f"{line['coming_likely']} ({line['coming_low']} to {line['coming_high']})"
            if line["coming_low"] == line["coming_high"]:
                spread = line["coming_likely"]
            elif line["coming_likely"] == "0":
                spread = f"up to {line['coming_high']}"
            assert row[at + 1] == spread
        assert at == 2 or row[3] == shown(line["for_sale"])
        said = " ".join(filter(None, row[2:-1]))
        genus = line["plant"].split()[0]
        assert re.search(rf"^{genus} .*{re.escape(said)}", texts["customer"], re.M)


def test_a_customer_is_offered_no_more_than_is_free(desk, prints) -> None:
    totals = {str(total.plant): total.free for total in forecast(desk).totals}
    spare = {str(each.plant): each.plants for each in beds(desk).spare}
    told = lines(prints, "customer", "plant")
    assert told
    for line in told:
        low, likely, high = (int(line[f"coming_{key}"]) for key in ("low", "likely", "high"))
        assert low <= likely <= high
        assert int(line["now"]) + likely <= totals[line["plant"]].likely
        assert int(line["now"]) + likely <= spare[line["plant"]].likely  # no bed goes short
        assert int(line["now"]) + high <= max(totals[line["plant"]].high, int(line["now"]))


def test_a_customer_sees_nothing_of_the_inner_workings(desk, prints) -> None:
    page = prints["customer"].html
    for code, state in desk.book.batches.items():
        assert code not in page
        assert not state.place or state.place not in page
    for key in desk.book.stock_plants:
        assert key not in page


def test_origins_say_the_same_in_html_csv_and_pdf(prints, texts) -> None:
    keys = ("started", "here", "gone", "lost")
    for line in lines(prints, "origins", "batch"):
        numbers = [shown(line[key]) for key in keys]
        (row,) = rows_with(prints, "origins", 0, line["batch"])
        assert row[5:9] == numbers
        assert re.search(rf"^{line['batch']} .*{' '.join(numbers)}$", texts["origins"], re.M)
        for part in line["places"].split("; "):
            assert part.partition(" from ")[0] in row[3]
    for line in lines(prints, "origins", "out"):
        (row,) = rows_with(prints, "origins", 0, line["batch"])
        word = {"given": "to", "planted": "in"}[line["how"]]
        assert f"{line['count']} {line['how']} {word} {line['to']}, " in row[4]
    (everything,) = lines(prints, "origins", "all")
    (row,) = rows_with(prints, "origins", 1, "All plants")
    assert row[5:9] == [shown(everything[key]) for key in keys]


def test_every_plant_of_the_book_is_traced(desk, prints) -> None:
    batches = {line["batch"]: line for line in lines(prints, "origins", "batch")}
    assert set(batches) == set(desk.book.batches)
    left = lines(prints, "origins", "out")
    for code, state in desk.book.batches.items():
        own = [line for line in left if line["batch"] == code]
        given = sum(int(line["count"]) for line in own if line["how"] == "given")
        planted = sum(int(line["count"]) for line in own if line["how"] == "planted")
        assert (given, planted) == (state.total(Kind.GIVEN), state.total(Kind.PLANTED))
        line = batches[code]
        assert int(line["started"]) == state.count
        where = ("here", "gone", "lost", "miscounted")
        assert sum(int(line[key]) for key in where) == state.count
        assert line["mother"] == state.started.stock_plant
        for on, place in state.places:
            assert f"{place} from {on.isoformat()}" in line["places"]


def test_a_sheet_goes_to_a_program_as_json_with_the_lines_of_the_table(desk, tmp_path) -> None:
    path = print_sheet(desk, tmp_path / "origins.json", "origins").path
    told = json.loads(path.read_text(encoding="utf-8"))
    table = csv_lines(make_print(desk, "origins"))
    assert [{key: str(value) for key, value in line.items()} for line in told] == table


def test_no_print_imitates_what_only_an_authorised_grower_may_issue(prints, texts) -> None:
    for kind, printed in prints.items():
        assert not imitates_passport(printed.html), kind
    for kind, text in texts.items():
        assert not imitates_passport(text), kind


# What may be asked of a sheet


def test_a_card_can_be_kept_to_one_place(desk) -> None:
    for kind in ("jobs", "checks"):
        told = csv_lines(make_print(desk, kind, Wanted(place="Sand Bed")))
        assert {line["place"] for line in told} == {"sand bed"}


def test_a_place_where_nothing_stands_is_refused_with_the_nearest(desk) -> None:
    with pytest.raises(NotFound, match="sand bed"):
        make_print(desk, "checks", Wanted(place="sand bad"))


def test_more_weeks_show_more_jobs(desk) -> None:
    counts = [len(csv_lines(make_print(desk, "jobs", Wanted(weeks=weeks)))) for weeks in (0, 4, 60)]
    assert counts == sorted(counts)
    assert counts[-1] == len(due(desk))


def test_another_sheet_is_refused_with_those_there_are(desk) -> None:
    with pytest.raises(NotFound, match="stock, customer, jobs"):
        make_print(desk, "chekcs")


@pytest.mark.parametrize("kind", LISTS)
def test_an_empty_book_has_its_sheets_too(tmp_path: Path, kind: str) -> None:
    found_nursery(tmp_path / "new", "New", "north")
    with Desk(tmp_path / "new", LAST_DAY, NOW) as empty:
        written = print_sheet(empty, tmp_path / "sheet.html", kind)
    page = written.path.read_text(encoding="utf-8")
    assert "New" in page
    assert 'class="nothing"' in page


def test_an_empty_book_has_no_stock_to_list(tmp_path: Path) -> None:
    found_nursery(tmp_path / "new", "New", "north")
    with Desk(tmp_path / "new", LAST_DAY, NOW) as empty, pytest.raises(Refused, match="no batch"):
        make_print(empty, "stock")


@pytest.mark.parametrize("kind", LISTS)
def test_both_papers_hold_a_list_and_no_third(desk, kind: str) -> None:
    assert "215.9mm" in make_print(desk, kind, Wanted(paper="letter")).html
    with pytest.raises(Refused, match="a4 or letter"):
        make_print(desk, kind, Wanted(paper="a5"))
