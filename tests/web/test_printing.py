"""Prints: labels of trays, mothers and beds, drawn beside the thread that holds the book."""

import io
import threading

import pdfplumber
import pytest
from starlette.testclient import TestClient

from propagate.records import events
from propagate.web.app import make_app
from tests.web.conftest import HOME, send, words_of


def said(answer) -> str:
    assert answer.headers["content-type"] == "application/pdf", words_of(answer.text)
    with pdfplumber.open(io.BytesIO(answer.content)) as pdf:
        return " ".join(page.extract_text() for page in pdf.pages)


def printings(desk):
    desk.forget()
    return [e.event for e in desk.book.entries if isinstance(e.event, events.LabelsPrinted)]


def test_the_page_offers_trays_mothers_and_beds(client, codes) -> None:
    page = client.get("/print").text
    for field in (f'name="tray" value="{codes["figs"]}"', 'name="mother" value="jet"'):
        assert field in page
    assert "Mother-plant tag (mother-a4)" in page
    chosen = client.get("/print?mother=jet").text
    assert 'name="mother" value="jet" checked' in chosen
    assert 'value="' + codes["figs"] + '" checked' not in chosen


def test_a_mother_and_a_bed_get_labels_of_their_own(client, codes, desk) -> None:
    mother = said(client.post("/print/labels", data={"mother": "jet"}))
    assert "jet" in mother
    assert "Alder Jet" in mother
    code = codes["lavender"]
    send(client, client.get(f"/T/{code}").text, f"/T/{code}/plant-out", count=3, bed="herb bank")
    assert 'name="bed" value="herb bank"' in client.get("/print").text
    assert "herb bank" in said(client.post("/print/labels", data={"bed": "herb bank"}))
    assert printings(desk) == []  # only labels of batches are noted


def test_labels_of_all_kinds_go_on_one_print(client, codes, desk) -> None:
    asked = {"tray": [codes["figs"], codes["willow"]], "mother": "jet", "copies": 2}
    text = said(client.post("/print/labels", data=asked))
    assert text.count(codes["figs"]) == text.count(codes["willow"]) == 2
    assert set(printings(desk)[-1].batches) == {codes["figs"], codes["willow"]}


def test_each_potted_plant_gets_a_label(client, codes) -> None:
    asked = {"tray": codes["lavender"], "per_pot": "yes"}
    assert said(client.post("/print/labels", data=asked)).count(codes["lavender"]) == 10
    none = client.post("/print/labels", data={"tray": codes["figs"], "per_pot": "yes"})
    assert none.status_code == 422
    assert "nothing in pots yet; say how many under “Copies of each”." in words_of(none.text)


@pytest.mark.parametrize(
    ("asked", "why"),
    [
        ({"copies": ""}, "Choose at least one tray, mother plant or bed"),
        ({"mother": "nobody"}, "no mother plant"),
        ({"bed": "nowhere"}, 'There is no bed "nowhere"'),
        ({"tray": "figs", "format": "unheard-of"}, "no label format"),
        ({"mother": "jet", "start_at": "999"}, "999"),
    ],
)
def test_what_cannot_be_printed_is_refused_and_stays_chosen(client, codes, asked, why) -> None:
    refused = client.post("/print/labels", data=asked)
    assert refused.status_code == 422
    assert why in words_of(refused.text)
    if asked.get("mother") == "jet":
        assert 'name="mother" value="jet" checked' in refused.text


def test_a_sheet_that_cannot_be_is_refused_on_the_page_of_prints(client, codes) -> None:
    refused = client.get("/print/jobs.pdf?place=nowhere")
    assert refused.status_code == 404
    said = words_of(refused.text)
    assert "Nothing was printed" in said
    assert 'Nothing in the book stands at "nowhere".' in said
    assert "Check cards" in said


def test_an_entry_is_answered_while_a_print_is_being_drawn(
    bench, client, codes, desk, monkeypatch
) -> None:
    drawing, go_on = threading.Event(), threading.Event()

    def slowly(*_, **__):
        drawing.set()
        assert go_on.wait(20)
        return b"%PDF-1.7 drawn slowly", ""

    monkeypatch.setattr("propagate.paper.printing._drawn_pdf", slowly)
    answers = []
    printer = TestClient(make_app(bench), base_url=HOME, headers={"origin": HOME})
    waiting = threading.Thread(
        target=lambda: answers.append(printer.post("/print/labels", data={"tray": [codes["figs"]]}))
    )
    waiting.start()
    try:
        assert drawing.wait(20)
        code = codes["willow"]
        done = send(client, client.get(f"/T/{code}").text, f"/T/{code}/check", rooted=1, dead=0)
        assert done.status_code == 303
        assert not answers
    finally:
        go_on.set()
        waiting.join(20)
    assert answers[0].content == b"%PDF-1.7 drawn slowly"
    assert printings(desk)[-1].batches == (codes["figs"],)
