"""The pages: the same figures as the commands, nothing from outside, light enough for a phone."""

import html
import re

import pytest

from propagate.actions.answering import due, forecast, forecast_batch
from propagate.actions.sheets import KINDS
from propagate.records import events
from propagate.web.pages.printing import SHEETS
from tests.web.conftest import HOME, TODAY, send, words_of


@pytest.fixture
def addresses(codes):
    """Every page there is, of one of each kind."""
    code = codes["currants"]
    return [
        "/",
        "/find",
        "/trays",
        "/benches",
        "/beds",
        f"/T/{code}",
        f"/T/{code}/outlook",
        f"/T/{code}/family",
        f"/T/{code}/history",
        "/start",
        "/start?plant=fig&method=hardwood-cutting&count=10&on=2026-11-20",
        "/methods",
        "/methods?q=currant&month=11",
        "/methods/hardwood-cutting",
        "/methods/hardwood-cutting/Ribes%20nigrum",
        "/print",
        "/pair",
    ]


def test_every_page_opens_and_names_nothing_outside_itself(client, addresses) -> None:
    for address in addresses:
        page = client.get(address)
        assert page.status_code == 200, address
        assert not re.search(r"(?i)\b(src|href|action)=\"?\s*(https?:|//)", page.text), address
        assert " style=" not in page.text, address
        assert not re.search(r"(?i)\son\w+=\"", page.text), address


def test_every_page_is_light(client, addresses) -> None:
    for address in addresses:
        page = client.get(address)
        files = re.findall(r'(?:href|src)="(/static/[^"]+)"', page.text)
        weight = len(page.content) + sum(len(client.get(file).content) for file in files)
        assert weight < 150_000, address
        if address == "/":
            assert weight < 60_000


def test_the_round_lists_every_job_that_is_due(client, desk, codes) -> None:
    said = words_of(client.get("/").text)
    tasks = [task for task in due(desk) if task.date <= TODAY]
    assert f"{len(tasks)} jobs today" in said
    for task in tasks:
        assert task.batch in said
        assert str(task.plant) in said
        assert task.why in said


def test_a_tray_says_what_the_command_says(client, desk, codes) -> None:
    for code in codes.values():
        answer = forecast_batch(desk, code)
        said = words_of(client.get(f"/T/{code}").text)
        plants = answer.plants
        if plants.low != plants.high:
            assert f"{plants.likely} plants likely {plants.low} to {plants.high}, 8" in said
        for account, count in answer.accounts.items():
            if count:
                assert f"{account} {count}" in said


def test_the_list_of_trays_has_the_figures_of_the_forecast(client, desk, codes) -> None:
    said = words_of(client.get("/trays").text)
    for answer in forecast(desk).batches:
        assert answer.batch in said
        assert f"{answer.plants.low} to {answer.plants.high}" in said


def test_a_fan_is_a_picture_and_a_table_of_the_same_numbers(client, desk, codes) -> None:
    page = client.get(f"/T/{codes['currants']}/outlook").text
    assert "<svg" in page
    plants = forecast_batch(desk, codes["currants"]).plants
    last_row = re.findall(r"(?s)<tr><th scope=\"row\">.*?</tr>", page)[-1]
    assert f"<td>{plants.quantiles[0.1]}</td>" in last_row
    assert f"<b>{plants.quantiles[0.5]}</b>" in last_row


def test_a_label_leads_to_its_tray_in_small_letters_too(client, codes) -> None:
    code = codes["figs"]
    assert client.get(f"/T/{code}").status_code == 200
    for typed in (f"/t/{code.lower()}", f"/T/{code.lower()}", f"/find?code={code.lower()}"):
        assert client.get(typed).headers["location"] == f"/T/{code}"


def test_a_misread_code_is_refused_and_says_why(client, codes) -> None:
    code = codes["figs"]
    wrong = code[:-1] + ("4" if code[-1] != "4" else "7")
    page = client.get(f"/T/{wrong}")
    assert page.status_code == 404
    assert "the last character does not fit the others" in words_of(page.text)


def test_a_plant_finds_its_tray_and_several_find_the_list(client, codes, desk) -> None:
    assert client.get("/find?code=fig").headers["location"] == f"/T/{codes['figs']}"
    assert client.get("/find?code=unicorn").status_code == 404


def test_names_are_escaped_wherever_they_come_from(client, desk, codes) -> None:
    nasty = "<script>alert(1)</script>"
    record = events.Moved(codes["figs"], nasty)
    from propagate.actions.recording import record as write

    write(desk, record)
    for address in ("/", "/trays", f"/T/{codes['figs']}", f"/T/{codes['figs']}/history", "/print"):
        page = client.get(address).text
        assert nasty not in page
    assert "&lt;script&gt;" in client.get(f"/T/{codes['figs']}").text


def test_the_library_is_searched_by_plant_method_and_month(client) -> None:
    found = words_of(client.get("/methods?q=blackcurrant&method=hardwood-cutting").text)
    assert "Ribes nigrum" in found
    assert "Rubus" not in found
    by_month = client.get("/methods?month=11&method=hardwood-cutting").text
    assert "hardwood-cutting/" in by_month
    assert "Nothing in the library" in client.get("/methods?q=fig&method=tip-layering").text


def test_a_card_says_where_its_numbers_are_from_in_the_readers_units(client) -> None:
    address = "/methods/hardwood-cutting/Ribes%20nigrum"
    metric = words_of(client.get(address).text)
    assert "published" in metric
    assert " cm" in metric
    client.cookies.set("units", "imperial")
    assert "inches" in words_of(client.get(address).text)


@pytest.mark.parametrize("kind", SHEETS)
def test_every_sheet_can_be_printed(client, codes, kind) -> None:
    for suffix in ("html", "csv"):
        printed = client.get(f"/print/{kind}.{suffix}")
        assert printed.status_code == 200, kind
        assert printed.headers["content-disposition"] == f'inline; filename="{kind}.{suffix}"'
    assert set(KINDS) == set(SHEETS)


def test_an_address_that_leads_nowhere_says_so(client) -> None:
    for address in (
        "/nothing",
        "/methods/no-such",
        "/T/",
        "/static/x/secret.py",
        "/print/stock.exe",
    ):
        assert client.get(address).status_code == 404


def test_beds_and_benches_have_the_figures_of_their_commands(client, desk) -> None:
    from propagate.actions.bedding import beds
    from propagate.actions.benches import bench

    (bed,) = beds(desk).beds
    said = words_of(client.get("/beds").text)
    assert f"{bed.plants.likely} likely" in said
    assert f"{bed.filled * 100:.0f} % sure" in said
    page = words_of(client.get("/benches").text)
    for space in bench(desk).places:
        assert space.place in page
        assert f"up to {space.fullest.expected_m2:.2g} m²" in page


def test_a_family_leads_from_the_mother_to_her_batch(client, codes) -> None:
    said = words_of(client.get(f"/T/{codes['currants']}/family").text)
    assert "jet mother plant" in said
    assert f"{codes['currants']} Ribes nigrum ‘Alder Jet’ 40 started" in said


def test_who_names_no_way_is_shown_those_of_the_library(client) -> None:
    asked = client.get("/start?plant=blackcurrant&count=30&place=sand+bed&method=")
    assert asked.status_code == 200
    said = words_of(asked.text)
    assert "hardwood cutting Oct to Feb · 12 to 24 weeks" in said
    assert said.index("hardwood cutting Oct") < said.index("leaf-bud cutting Jan")  # it is November
    (way,) = re.findall(r'href="(/start\?[^"]*method=hardwood-cutting)"', asked.text)
    chosen = client.get(html.unescape(way)).text
    assert "Nothing is saved yet." in words_of(chosen)
    assert 'name="place" value="sand bed"' in chosen
    assert "no record of this plant" in words_of(client.get("/start?plant=Zelkova+serrata").text)
    assert client.get("/start?plant=unicorn").status_code == 422


def test_a_choice_at_the_foot_leads_back_to_the_page_as_it_was(client, codes) -> None:
    def back(page: str) -> str:
        return html.unescape(re.search(r'name="back" value="([^"]*)"', page)[1])

    preview = "/start?plant=fig&method=hardwood-cutting&count=20"
    assert back(client.get(preview).text) == preview
    tray = f"/T/{codes['figs']}"
    refused = client.post(f"{tray}/lose", data={"count": 1}, headers={"referer": HOME + tray})
    assert refused.status_code == 422
    assert back(refused.text) == tray
    for lying in ({}, {"referer": "http://["}):
        assert back(client.post(f"{tray}/lose", data={"count": 1}, headers=lying).text) == "/"


def test_a_new_batch_leads_to_its_label(client) -> None:
    preview = client.get("/start?plant=fig&method=hardwood-cutting&count=20").text
    address = send(client, preview, "/start").headers["location"]
    code = re.search(r"/T/(\w+)", address)[1]
    done = client.get(address).text.partition('id="done"')[2].partition("</section>")[0]
    assert f'href="/print?tray={code}"' in done
