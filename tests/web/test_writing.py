"""Forms: each writes what its command writes, once, beside figures that are still so."""

import pytest
from attrs import evolve

from propagate.actions.answering import accounts_of, forecast_batch
from propagate.actions.recording import BatchPlan, record, start_batch
from propagate.actions.takingback import undo
from propagate.names import parse
from propagate.records import events
from tests.web.conftest import fields_of, send, words_of

JSON = {"accept": "application/json"}


def latest(desk):
    desk.forget()
    counting = [e for e in desk.book.effective() if type(e.event).__name__ != "ForecastGiven"]
    return counting[-1].event


@pytest.mark.parametrize(
    ("batch", "deed", "typed", "event"),
    [
        ("figs", "check", {"rooted": "3", "dead": "1"}, events.Checked("?", 3, 1)),
        ("figs", "check", {"dead": "2"}, events.Checked("?", None, 2)),
        ("figs", "check", {"rooted": 2, "dead": 0, "sample": 5}, events.Checked("?", 2, 0, 5)),
        (
            "figs",
            "pot-on",
            {"count": 4, "container": "9 CM pot"},
            events.PottedOn("?", 4, "9 cm pot"),
        ),
        ("figs", "move", {"place": "Cold frame"}, events.Moved("?", "cold frame")),
        ("figs", "lose", {"count": 2, "cause": "mice"}, events.Lost("?", 2, "mice")),
        (
            "lavender",
            "plant-out",
            {"count": 3, "bed": "north row"},
            events.PlantedOut("?", 3, "north row"),
        ),
        ("lavender", "give", {"count": 2, "to": "Hilda"}, events.Given("?", 2, "Hilda")),
        ("lavender", "promise", {"count": 5, "to": "school"}, events.Promised("?", 5, "school")),
        ("lavender", "harden", {"count": 6}, events.HardenedOff("?", 6)),
        ("lavender", "ready", {"count": 6}, events.MadeReady("?", 6)),
        (
            "lavender",
            "recount",
            {"count": 27, "why": "slipped"},
            events.Recounted("?", 27, "slipped"),
        ),
    ],
)
def test_a_form_writes_the_event_of_its_command(
    client, codes, desk, batch, deed, typed, event
) -> None:

    code = codes[batch]
    page = client.get(f"/T/{code}").text
    answer = send(client, page, f"/T/{code}/{deed}", **typed)
    assert answer.status_code == 303, words_of(answer.text)
    assert latest(desk) == evolve(event, batch=code)
    assert "Written down." in client.get(answer.headers["location"]).text


def test_a_check_teaches_the_forecast_as_the_command_does(client, codes, desk) -> None:
    code = codes["figs"]
    send(client, client.get(f"/T/{code}").text, f"/T/{code}/check", rooted=3, dead=1)
    desk.forget()
    plants = forecast_batch(desk, code).plants
    said = words_of(client.get(f"/T/{code}").text)
    assert f"{plants.low} to {plants.high}" in said
    kept = [e.event for e in desk.book.entries if type(e.event).__name__ == "ForecastGiven"]
    assert kept[-1].batch == code


def test_a_form_sent_twice_is_written_once(client, codes, desk) -> None:
    code = codes["figs"]
    page = client.get(f"/T/{code}").text
    first = send(client, page, f"/T/{code}/lose", count=2)
    again = send(client, page, f"/T/{code}/lose", count=2)
    assert first.headers["location"] == again.headers["location"]
    assert accounts_of(desk, code)["rooting"] == 10


def test_a_form_beside_old_figures_is_refused_with_what_changed(client, codes, desk) -> None:
    code = codes["figs"]
    page = client.get(f"/T/{code}").text
    record(desk, events.Lost(code, 5, "mice"))
    refused = send(client, page, f"/T/{code}/check", rooted=4, dead=0)
    assert refused.status_code == 409
    assert "lose 5: mice" in words_of(refused.text)
    assert 'value="4"' in refused.text  # what was typed is still there
    assert isinstance(latest(desk), events.Lost)
    again = send(client, refused.text, f"/T/{code}/check", rooted=4, dead=0)
    assert again.status_code == 303


def test_somebody_elses_entry_about_another_tray_is_no_hindrance(client, codes, desk) -> None:
    code = codes["figs"]
    page = client.get(f"/T/{code}").text
    record(desk, events.Lost(codes["willow"], 5))
    assert send(client, page, f"/T/{code}/lose", count=1).status_code == 303


def test_an_entry_that_is_taken_back_makes_a_form_old_too(client, codes, desk) -> None:
    code = codes["lavender"]
    page = client.get(f"/T/{code}").text
    undo(desk)
    refused = send(client, page, f"/T/{code}/give", count=1)
    assert refused.status_code == 409
    assert "taken back: pot on 10 into 9 cm pot" in words_of(refused.text)


@pytest.mark.parametrize(
    ("deed", "typed", "why"),
    [
        ("check", {"rooted": "13", "dead": "0"}, "only 12 stand in the tray"),
        ("check", {"rooted": "-1", "dead": "0"}, "write a whole number"),
        ("lose", {"count": "0"}, "it must be 1 or more"),
        ("lose", {"count": ""}, "write a whole number"),
        ("lose", {"count": "99999999"}, "write a whole number"),
        ("lose", {"count": "13"}, "13 is more than batch"),
        ("lose", {"count": "13"}, "use “Count again” below and say why"),
        ("lose", {"count": "1", "on": "31/13/2026"}, "is not a day"),
        ("lose", {"count": "1", "cause": "x" * 201}, "201 characters"),
        ("lose", {"count": "1", "on": "2029-01-01"}, "more than a year after today"),
        ("move", {"place": "  "}, "The place is missing"),
        ("fly", {}, "nothing of that name"),
    ],
)
def test_what_cannot_be_so_is_refused_in_one_sentence(
    client, codes, desk, deed, typed, why
) -> None:
    code = codes["figs"]
    before = len(desk.book.entries)
    page = client.get(f"/T/{code}").text
    hidden = fields_of(page, f"/T/{code}/lose")
    refused = client.post(f"/T/{code}/{deed}", data={**hidden, **typed})
    assert refused.status_code == 422
    assert why in words_of(refused.text)
    told = client.post(f"/T/{code}/{deed}", data={**hidden, **typed}, headers=JSON)
    assert told.status_code == 422
    assert why in told.json()["refused"]
    desk.forget()
    assert len(desk.book.entries) == before


def test_a_form_without_its_key_or_its_place_is_refused(client, codes) -> None:
    code = codes["figs"]
    for fields in ({"seen": "3"}, {"request": "k" * 20}, {"request": "short", "seen": "3"}):
        assert client.post(f"/T/{code}/lose", data={"count": 1, **fields}).status_code == 422
    sent = client.post(f"/T/{code}/lose", content=b"{}", headers={"content-type": "text/plain"})
    assert sent.status_code == 422


def test_undo_is_right_there(client, codes, desk) -> None:
    code = codes["figs"]
    before = accounts_of(desk, code)
    done = send(client, client.get(f"/T/{code}").text, f"/T/{code}/lose", count=3)
    page = client.get(done.headers["location"]).text
    seq = done.headers["location"].split("done=")[1].split("#")[0]
    undone = send(client, page, f"/undo/{seq}")
    assert "Taken back." in client.get(undone.headers["location"]).text
    desk.forget()
    assert accounts_of(desk, code) == before
    again = client.post(f"/undo/{seq}", data={"request": "another-key-of-mine"})
    assert again.status_code == 422


def test_a_batch_shows_its_dates_before_it_is_saved_and_the_same_after(client, desk) -> None:
    query = "/start?plant=fig&method=hardwood-cutting&count=20&on=2026-11-19"
    count = len(desk.book.batches)
    preview = client.get(f"{query}&place=SAND+bed&mother=Old+Ned").text
    desk.forget()
    assert len(desk.book.batches) == count
    done = send(client, preview, "/start")
    code = done.headers["location"].removeprefix("/T/").partition("?")[0]
    desk.forget()
    state = desk.book.batch(code)
    assert (state.count, state.place, state.started.stock_plant) == (20, "sand bed", "Old Ned")
    answer = forecast_batch(desk, code)
    said = words_of(preview)
    assert (
        f"{answer.plants.likely} plants likely {answer.plants.low} to {answer.plants.high}" in said
    )
    assert f"{answer.pot_on.likely.day} {answer.pot_on.likely:%b %Y} likely" in said


def test_undoing_a_start_takes_its_new_mother_along(client, desk) -> None:
    preview = client.get("/start?plant=fig&method=hardwood-cutting&count=20&mother=Ned").text
    done = send(client, preview, "/start")
    address = done.headers["location"]
    undone = send(client, client.get(address).text, f"/undo/{address.split('done=')[1][:-5]}")
    assert undone.headers["location"].startswith("/?")
    desk.forget()
    assert "Ned" not in desk.book.stock_plants


@pytest.mark.parametrize(
    ("typed", "why"),
    [
        ({"plant": "unicorn", "method": "seed", "count": 3}, "knows no plant"),
        ({"plant": "fig", "method": "magic", "count": 3}, "knows no method"),
        ({"plant": "fig", "method": "seed", "count": 0}, "1 or more"),
        ({"plant": "fig", "method": "seed", "count": "many"}, "whole number"),
    ],
)
def test_a_start_that_cannot_be_says_why(client, typed, why) -> None:
    page = client.get("/start", params=typed)
    assert page.status_code == 422
    assert why in words_of(page.text)
    sent = client.post("/start", data={"request": "k" * 20, **typed})
    assert sent.status_code == 422
    assert why in words_of(sent.text)


def test_the_script_is_answered_in_json(client, codes) -> None:
    code = codes["figs"]
    hidden = fields_of(client.get(f"/T/{code}").text, f"/T/{code}/lose")
    told = client.post(f"/T/{code}/lose", data={**hidden, "count": 1}, headers=JSON).json()
    assert told["written"] == "lose 1"
    assert told["batch"] == code
    more = {**hidden, "request": "another-key-of-mine", "seen": told["seen"], "count": 1}
    assert client.post(f"/T/{code}/lose", data=more, headers=JSON).status_code == 200
    stale = {**more, "request": "a-third-key-of-mine-x", "seen": hidden["seen"]}
    refused = client.post(f"/T/{code}/lose", data=stale, headers=JSON)
    assert refused.status_code == 409
    assert refused.json()["changes"] == ["lose 1", "lose 1"]


def test_news_tells_whether_anybody_wrote(client, codes, desk) -> None:
    before = client.get("/news").json()["latest"]
    record(desk, events.Lost(codes["figs"], 1))
    assert client.get("/news").json()["latest"] == before + 1


def test_what_may_be_a_slip_is_said_beside_what_was_written(client, codes) -> None:
    code = codes["figs"]
    done = send(client, client.get(f"/T/{code}").text, f"/T/{code}/move", place="cold fram")
    assert 'one called "cold frame"' in words_of(client.get(done.headers["location"]).text)


def test_a_part_that_is_moved_gets_a_code_and_the_same_form_twice_makes_one(
    client, codes, desk
) -> None:
    code = start_batch(
        desk, BatchPlan(parse("Ribes nigrum"), "hardwood-cutting", 12, desk.today)
    ).code
    page = client.get(f"/T/{code}").text
    sent = [send(client, page, f"/T/{code}/part", count=5, place="Cold frame") for _ in range(2)]
    assert sent[0].headers["location"] == sent[1].headers["location"]
    parted = latest(desk)
    assert (parted.batch, parted.count) == (code, 5)
    assert desk.book.batch(parted.into).place == "cold frame"
    assert accounts_of(desk, code) == {"rooting": 7}


def test_the_form_for_a_part_is_gone_once_the_tray_was_looked_into(client, codes, desk) -> None:
    code = start_batch(
        desk, BatchPlan(parse("Ribes nigrum"), "hardwood-cutting", 12, desk.today)
    ).code
    assert f"/T/{code}/part" in client.get(f"/T/{code}").text
    record(desk, events.Checked(code, 1, 0))
    assert f"/T/{code}/part" not in client.get(f"/T/{code}").text
