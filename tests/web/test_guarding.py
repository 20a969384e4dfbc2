"""Attacks from the household's network and from other pages of the same browser."""

import asyncio
import socket
import threading
import time

import pytest
from starlette.testclient import TestClient

from propagate.web.app import make_app
from propagate.web.bench import Bench
from propagate.web.guarding import HEADERS, MOST_BODY_BYTES, Guard
from propagate.web.pairing import ALL_TRIES, COOKIE, PAIRED_FILE, TRIES, Attempts, Paired
from propagate.web.patience import PatientProtocol
from propagate.web.room import Room
from tests.web.conftest import HOME, HOST, NOW, TODAY, fields_of

CODE = "M7KDXY34"
CLOCK = [0.0]


@pytest.fixture
def lan(nursery, codes):
    """The pages as phones of the network meet them, not yet paired."""
    room = Room(nursery, TODAY, lambda: NOW)
    CLOCK[0] = 0.0
    guard = Guard((HOST,), Paired(nursery, CODE, TODAY), Attempts(lambda: CLOCK[0]))
    yield TestClient(
        make_app(Bench(room, guard, "Alderbrook")),
        base_url=HOME,
        headers={"origin": HOME},
        follow_redirects=False,
    )
    room.close()


def pair(client, code=CODE):
    return client.post("/pair", data={"code": code})


# Names that are not ours: DNS rebinding


@pytest.mark.parametrize(
    "host", ["evil.example", "localhost", "localhost:8001", "localhost:8000.evil.example", ""]
)
def test_another_host_name_is_not_answered(client, host) -> None:
    refused = client.get("/", headers={"host": host})
    assert refused.status_code == 421
    assert "Alderbrook" not in refused.text


# Forms of other pages: cross-site request forgery


@pytest.mark.parametrize("origin", ["http://evil.example", "null", "https://localhost:8000", ""])
def test_a_form_of_another_page_is_refused(client, codes, desk, origin) -> None:
    address = f"/T/{codes['figs']}/lose"
    data = {**fields_of(client.get(f"/T/{codes['figs']}").text, address), "count": 1}
    refused = client.post(address, data=data, headers={"origin": origin})
    assert refused.status_code == 403
    assert desk.book.batch(codes["figs"]).living == 12


def test_a_form_that_does_not_say_where_it_is_from_is_refused(bench, codes) -> None:
    bare = TestClient(make_app(bench), base_url=HOME)
    assert bare.post("/start", data={}).status_code == 403
    site = {"sec-fetch-site": "cross-site"}
    assert bare.post("/start", data={}, headers=site).status_code == 403
    own = {"sec-fetch-site": "same-origin"}
    assert bare.post("/start", data={}, headers=own).status_code == 422


@pytest.mark.parametrize("method", ["PUT", "DELETE", "PATCH", "OPTIONS", "TRACE"])
def test_other_methods_are_refused(client, method) -> None:
    assert client.request(method, "/").status_code == 405


def test_reading_never_writes(client, codes, desk) -> None:
    for address in (f"/T/{codes['figs']}/lose?count=3", "/undo/1", "/choose?language=de"):
        assert client.get(address).status_code in (404, 405)
    assert len(desk.book.batch(codes["figs"]).moves) == 1


# What leaves


def test_every_answer_carries_the_strict_headers(client) -> None:
    for address in ("/", "/nothing", "/news", "/print/stock.csv"):
        answer = client.get(address)
        for name, value in HEADERS.items():
            assert answer.headers[name] == value, address
    refused = client.get("/", headers={"host": "evil.example"})
    assert refused.headers["content-security-policy"] == HEADERS["Content-Security-Policy"]
    assert "unsafe" not in HEADERS["Content-Security-Policy"]


@pytest.mark.parametrize(
    "path",
    [
        "/static/x/../rendering.py",
        "/static/x/..%2f..%2fapp.py",
        "/static/x/%2e%2e/base.html",
        "/static/x/bench.py",
        "/templates/base.html",
        "/static/../../nursery.toml",
        "/book.db",
    ],
)
def test_no_file_but_the_pages_own_can_be_reached(client, path) -> None:
    assert client.get(path).status_code == 404


@pytest.mark.parametrize("text", ["{{ 7 * 7 }}", "{% include 'base.html' %}", "{{ config }}"])
def test_what_people_type_is_never_run_as_a_template(client, codes, desk, text) -> None:
    from propagate.actions.recording import record
    from propagate.records import events

    record(desk, events.Moved(codes["figs"], text))
    page = client.get(f"/T/{codes['figs']}").text
    assert "49" not in page.split("</h1>")[1].split("</header>")[0]
    assert client.get("/find", params={"code": text}).status_code == 404


def test_choosing_a_language_leads_to_no_other_site(client) -> None:
    for back in ("//evil.example", "http://evil.example", "/\\evil.example", "javascript:alert(1)"):
        assert client.post("/choose", data={"back": back}).headers["location"] == "/"
    assert client.post("/choose", data={"back": "/trays"}).headers["location"] == "/trays"


# Too much, too slow


def test_a_form_that_is_too_large_is_refused_before_it_is_read(client) -> None:
    assert client.post("/start", content=b"a" * (MOST_BODY_BYTES + 1)).status_code == 413

    def pieces():
        for _ in range(MOST_BODY_BYTES // 1000 + 2):
            yield b"a" * 1000

    form = {"content-type": "application/x-www-form-urlencoded"}
    assert client.post("/start", content=pieces(), headers=form).status_code == 413


def test_a_form_of_very_many_fields_is_refused(client) -> None:
    form = {"content-type": "application/x-www-form-urlencoded"}
    assert client.post("/start", content=b"a&" * 30_000, headers=form).status_code == 422


def test_a_form_that_comes_too_slowly_is_refused(bench) -> None:
    bench.guard.body_seconds = 0.05
    sent = []

    async def never():
        await asyncio.sleep(5)

    async def send(message):
        sent.append(message)

    scope = {
        "type": "http",
        "method": "POST",
        "path": "/start",
        "raw_path": b"/start",
        "query_string": b"",
        "headers": [
            (b"host", HOST.encode()),
            (b"origin", HOME.encode()),
            (b"content-type", b"application/x-www-form-urlencoded"),
        ],
    }
    asyncio.run(make_app(bench)(scope, never, send))
    assert sent[0]["status"] == 408


def test_a_head_that_comes_too_slowly_is_hung_up_on(bench) -> None:
    import uvicorn

    class Hasty(PatientProtocol):
        head_seconds = 0.2

    config = uvicorn.Config(
        make_app(bench), http=Hasty, port=0, lifespan="off", log_level="critical", ws="none"
    )
    server = uvicorn.Server(config)
    thread = threading.Thread(target=server.run, daemon=True)
    thread.start()
    while not server.started:
        time.sleep(0.01)
    port = server.servers[0].sockets[0].getsockname()[1]
    with socket.create_connection(("127.0.0.1", port), timeout=3) as slow:
        slow.sendall(b"GET / HTTP/1.1\r\nHost: ")
        assert slow.recv(100) == b""
    with socket.create_connection(("127.0.0.1", port), timeout=3) as quick:
        quick.sendall(f"GET /news HTTP/1.1\r\nHost: {HOST}\r\n\r\n".encode())
        assert b"200 OK" in quick.recv(1000)
        quick.sendall(b"GET /news HTTP/1.1\r\nHo")
        while piece := quick.recv(1000):
            assert b"HTTP/1.1 200" not in piece
    server.should_exit = True
    thread.join(5)


# Pairing


def test_nothing_is_shown_before_pairing(lan, codes) -> None:
    page = lan.get("/", headers={"accept": "text/html"})
    assert (page.status_code, page.headers["location"]) == (303, "/pair")
    for address in ("/", "/news", f"/T/{codes['figs']}", "/print/stock.pdf"):
        assert lan.get(address, headers={"accept": "*/*"}).status_code == 401
    assert lan.post("/start", data={}).status_code == 401
    assert lan.get("/pair").status_code == 200
    assert lan.get("/pair/../", headers={"accept": "*/*"}).status_code == 401


def test_the_language_can_be_chosen_before_pairing(lan) -> None:
    chosen = lan.post("/choose", data={"language": "de", "units": "metric", "back": "/pair"})
    assert (chosen.status_code, chosen.headers["location"]) == (303, "/pair")
    assert "Code zum Koppeln" in lan.get("/pair").text
    assert lan.get("/", headers={"accept": "*/*"}).status_code == 401


def test_the_code_lets_in_and_the_token_is_out_of_reach_of_scripts(lan, nursery) -> None:
    answer = pair(lan, "m7kd xy34")
    cookie = answer.headers["set-cookie"]
    assert "HttpOnly" in cookie
    assert "SameSite=lax" in cookie
    assert lan.get("/").status_code == 200
    token = cookie.split(f"{COOKIE}=")[1].split(";")[0]
    kept = nursery / PAIRED_FILE
    assert token not in kept.read_text()
    assert kept.stat().st_mode & 0o077 == 0


def test_a_wrong_code_or_token_does_not_let_in(lan) -> None:
    assert pair(lan, "M7KDXY37").status_code == 403
    assert pair(lan, "").status_code == 403
    lan.cookies.set(COOKIE, "x" * 43)
    assert lan.get("/news").status_code == 401


def test_codes_cannot_be_guessed_quickly(lan) -> None:
    for _ in range(TRIES):
        assert pair(lan, "WRONG").status_code == 403
    assert pair(lan).status_code == 429  # even the right one has to wait
    CLOCK[0] += 61
    assert pair(lan).status_code == 303


def test_guesses_from_many_addresses_count_together() -> None:
    attempts = Attempts(lambda: 0.0)
    tried = [attempts.may_try(f"10.0.0.{at}") for at in range(ALL_TRIES + 5)]
    assert tried.count(True) == ALL_TRIES


def test_a_paired_phone_stays_paired_after_a_restart_but_not_for_ever(nursery, codes) -> None:
    import datetime as dt

    first = Paired(nursery, CODE, TODAY)
    token = first.pair(CODE)
    assert Paired(nursery, "OTHER", TODAY + dt.timedelta(days=170)).knows(token)
    assert not Paired(nursery, "OTHER", TODAY + dt.timedelta(days=190)).knows(token)
    first.forget_all()
    assert not Paired(nursery, "OTHER", TODAY).knows(token)


def test_a_damaged_list_of_phones_only_means_pairing_anew(nursery, codes) -> None:
    (nursery / PAIRED_FILE).write_text("not json")
    assert not Paired(nursery, CODE, TODAY).knows("anything")
