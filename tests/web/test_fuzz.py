"""Whatever is sent to whatever address: an answer, never an error of the program's own."""

from collections.abc import Iterator

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from starlette.testclient import TestClient

from propagate.web.app import ROUTES, make_app
from propagate.web.bench import Bench
from propagate.web.deeds import DEEDS
from propagate.web.guarding import Guard
from propagate.web.room import Room
from tests.web.conftest import HOME, HOST, NOW, TODAY, furnish

WORDS = st.text(st.characters(codec="utf-8", exclude_characters="\r\n"), max_size=30)
NUMBERS = st.one_of(st.integers(-3, 60).map(str), st.integers().map(str))
DAYS = st.one_of(st.dates().map(str), st.sampled_from(["", "yesterday", "31 Feb", "12/3/27"]))
NAMES = ("code", "q", "place", "plant", "method", "month", "skip", "done", "taken", "back", "tray")
MORE = ("count", "rooted", "dead", "sample", "to", "bed", "cause", "why", "container", "mother")
FIELDS = (*NAMES, *MORE, "on", "note", "mark", "format", "copies", "start_at", "language", "units")
KEYS = st.one_of(st.just("k" * 20), st.text("abcdef0123456789", min_size=16, max_size=30), WORDS)
SEEN = st.one_of(st.integers(0, 99).map(str), st.just("999-3"), WORDS)


@pytest.fixture(scope="module")
def client(tmp_path_factory) -> Iterator[TestClient]:
    folder = tmp_path_factory.mktemp("fuzz") / "nursery"
    codes = furnish(folder)
    room = Room(folder, TODAY, lambda: NOW)
    app = make_app(Bench(room, Guard((HOST,)), "Alderbrook"))
    made = TestClient(app, base_url=HOME, headers={"origin": HOME}, follow_redirects=False)
    made.codes = sorted(codes.values())
    yield made
    room.close()


def values(known: list[str]) -> st.SearchStrategy[str]:
    usual = st.sampled_from([*known, *DEEDS, "fig", "seed", "hardwood-cutting", "sand bed", "a4"])
    return st.one_of(usual, WORDS, NUMBERS, DAYS)


def addresses(known: list[str]) -> st.SearchStrategy[str]:
    """A route with its holes filled by anything."""
    from urllib.parse import quote

    def filled(route: str, parts: list[str]) -> str:
        pieces = iter(parts)
        steps = [
            quote(next(pieces), safe="") if step.startswith("{") else step
            for step in route.replace(".{", "/.{").split("/")
        ]
        return "/".join(steps).replace("/.", ".") or "/"

    routes = st.sampled_from(sorted({route.path for route in ROUTES}))
    return st.builds(filled, routes, st.lists(values(known), min_size=4, max_size=4))


@settings(
    max_examples=80, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(data=st.data())
def test_any_request_is_answered(client, data) -> None:
    known = client.codes
    address = data.draw(addresses(known))
    pairs = data.draw(st.dictionaries(st.sampled_from(FIELDS), values(known), max_size=8))
    accept = data.draw(st.sampled_from(["text/html", "application/json", "*/*"]))
    if data.draw(st.booleans()):
        sent = {**pairs, "request": data.draw(KEYS), "seen": data.draw(SEEN)}
        answer = client.post(address, data=sent, headers={"accept": accept})
    else:
        answer = client.get(address, params=pairs, headers={"accept": accept})
    assert answer.status_code < 500, (address, pairs)


@settings(max_examples=15, deadline=None)
@given(body=st.binary(max_size=400))
def test_any_body_is_answered(client, body) -> None:
    form = {"content-type": "application/x-www-form-urlencoded"}
    for address in ("/start", f"/T/{client.codes[0]}/check", "/choose", "/pair", "/undo/1"):
        assert client.post(address, content=body, headers=form).status_code < 500
