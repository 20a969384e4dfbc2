"""The room learns a large book ahead, and answers meanwhile what is known so far."""

import threading
import time

from starlette.testclient import TestClient

from propagate.errors import Refused
from propagate.web.app import make_app
from propagate.web.bench import Bench
from propagate.web.guarding import Guard
from propagate.web.room import Room
from tests.web.conftest import HOME, HOST, NOW, TODAY, words_of

SOON_S = 30.0


def warmed(room: Room) -> bool:
    until = time.monotonic() + SOON_S
    while room.warming and time.monotonic() < until:
        time.sleep(0.005)
    return not room.warming


def test_what_is_known_so_far_is_said_and_the_page_asks_again(nursery, codes, monkeypatch) -> None:
    enough = threading.Event()
    monkeypatch.setattr("propagate.web.room.learn_more", lambda _: not enough.is_set())
    room = Room(nursery, TODAY, lambda: NOW)
    room.warm_up()
    client = TestClient(make_app(Bench(room, Guard((HOST,)), "Alderbrook")), base_url=HOME)
    try:
        early = client.get("/").text
        assert "0 of 4 batches are worked out" in words_of(early)
        assert '<meta http-equiv="refresh" content="2">' in early
        assert client.get(f"/T/{codes['figs']}").status_code == 200  # learns its own method
        assert "0 of 4" not in words_of(client.get("/").text)
        enough.set()
        assert warmed(room)
        late = client.get("/").text
        assert "worked out" not in words_of(late)
        assert 'http-equiv="refresh"' not in late
    finally:
        enough.set()
        room.close()


def test_a_warm_room_says_what_a_cold_one_says(nursery, client, bench) -> None:
    cold = words_of(client.get("/").text)
    bench.room.warm_up()
    assert warmed(bench.room)
    assert words_of(client.get("/").text) == cold


def test_a_book_that_cannot_be_learned_is_told_where_it_is_asked_for(
    nursery, codes, monkeypatch
) -> None:
    def broken(_: object) -> bool:
        raise Refused("The settings are not right.")

    monkeypatch.setattr("propagate.web.room.learn_more", broken)
    room = Room(nursery, TODAY, lambda: NOW)
    room.warm_up()
    assert warmed(room)
    room.close()
