"""Who writes from this browser: said once, put beside each entry, and never believed blindly."""

import re

import pytest

from tests.web.conftest import send, words_of


def choose(client, name):
    return client.post("/choose", data={"name": name, "back": "/"})


def last_by(desk, kind):
    desk.forget()
    return [e for e in desk.book.entries if type(e.event).__name__ == kind][-1].by


def test_a_name_is_said_once_and_stands_beside_what_is_written(client, codes, desk) -> None:
    code = codes["figs"]
    assert choose(client, "Hilda  Brandt").status_code == 303
    done = send(client, client.get(f"/T/{code}").text, f"/T/{code}/lose", count=2)
    assert last_by(desk, "Lost") == "Hilda Brandt"
    tray = client.get(done.headers["location"]).text
    assert 'value="Hilda Brandt"' in tray
    assert "20 Nov 2026 · Hilda Brandt" in words_of(tray)
    seq = re.search(r"done=(\d+)", done.headers["location"])[1]
    send(client, tray, f"/undo/{seq}")
    assert last_by(desk, "Voided") == "Hilda Brandt"
    assert words_of(client.get(f"/T/{code}/history").text).count("Hilda Brandt") == 2


def test_a_batch_and_its_labels_carry_the_name(client, codes, desk) -> None:
    choose(client, "Łucja")
    preview = client.get("/start?plant=fig&method=hardwood-cutting&count=20").text
    send(client, preview, "/start")
    assert last_by(desk, "Started") == "Łucja"
    client.post("/print/labels", data={"tray": codes["figs"]})
    assert last_by(desk, "LabelsPrinted") == "Łucja"


def test_a_name_can_be_changed_and_taken_away(client, codes, desk) -> None:
    code = codes["figs"]
    for name in ("Hilda", "Ned", ""):
        choose(client, name)
        send(client, client.get(f"/T/{code}").text, f"/T/{code}/lose", count=1)
        assert last_by(desk, "Lost") == name
    assert client.post("/choose", data={"language": "de", "back": "/"}).status_code == 303


@pytest.mark.parametrize("name", ["\x1b[31mred", "x" * 41])
def test_a_name_that_cannot_be_kept_is_refused(client, name) -> None:
    refused = choose(client, name)
    assert refused.status_code == 422
    assert "Your name" in refused.text
    assert "keeper" not in client.cookies


@pytest.mark.parametrize("cookie", ["%1B%5B31m", "%FF%FE", "x" * 3000, "%00"])
def test_a_forged_cookie_names_nobody(client, codes, desk, cookie) -> None:
    client.cookies.set("keeper", cookie)
    code = codes["figs"]
    page = client.get(f"/T/{code}")
    assert page.status_code == 200
    assert send(client, page.text, f"/T/{code}/lose", count=1).status_code == 303
    assert last_by(desk, "Lost") == ""


def test_without_a_name_the_settings_say_who_writes(client, codes, desk, nursery) -> None:
    settings = nursery / "nursery.toml"
    settings.write_text(settings.read_text() + '\n[book]\nby = "the Brandts"\n')
    code = codes["figs"]
    send(client, client.get(f"/T/{code}").text, f"/T/{code}/lose", count=1)
    assert last_by(desk, "Lost") == "the Brandts"
