"""A small nursery with a season in it, and its pages asked without a browser."""

import datetime as dt
import html
import re
import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
from starlette.testclient import TestClient

from propagate.actions.desk import Desk
from propagate.actions.founding import found_nursery
from propagate.actions.recording import BatchPlan, record, start_batch
from propagate.names import parse
from propagate.records import events
from propagate.web.app import make_app
from propagate.web.bench import Bench
from propagate.web.guarding import Guard
from propagate.web.room import Room

TODAY = dt.date(2026, 11, 20)
NOW = dt.datetime(2026, 11, 20, 12, tzinfo=dt.UTC)
HOST = "localhost:8000"
HOME = f"http://{HOST}"


def furnish(folder: Path) -> dict[str, str]:
    """A nursery with four batches; their codes by a word for each."""
    found_nursery(folder, "Alderbrook")
    with Desk(folder, TODAY, NOW) as desk:
        codes = {
            "currants": start(desk, "Ribes nigrum 'Alder Jet'", 40, dt.date(2025, 11, 10), "jet"),
            "figs": start(desk, "Ficus carica", 12, dt.date(2026, 11, 2)),
            "lavender": start(
                desk, "Lavandula angustifolia", 30, dt.date(2026, 8, 1), how="semi-ripe-cutting"
            ),
            "willow": start(desk, "Salix viminalis", 60, dt.date(2026, 1, 5)),
        }
        record(desk, events.Wanted("hedge", parse("Salix viminalis"), 50, dt.date(2027, 3, 15)))
        record(desk, events.Checked(codes["lavender"], 12, 2), dt.date(2026, 9, 20))
        record(desk, events.PottedOn(codes["lavender"], 10, "9 cm pot"), dt.date(2026, 10, 1))
    return codes


def start(
    desk: Desk, plant: str, count: int, on: dt.date, mother: str = "", how: str = "hardwood-cutting"
) -> str:
    plan = BatchPlan(parse(plant), how, count, on, place="sand bed", stock_plant=mother)
    return start_batch(desk, plan).code


@pytest.fixture
def nursery(tmp_path: Path) -> Path:
    return tmp_path / "nursery"


@pytest.fixture(scope="session")
def furnished(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, dict[str, str]]:
    """The nursery made once; each test works in a copy of its own."""
    folder = tmp_path_factory.mktemp("furnished") / "nursery"
    return folder, furnish(folder)


@pytest.fixture
def codes(nursery: Path, furnished: tuple[Path, dict[str, str]]) -> dict[str, str]:
    shutil.copytree(furnished[0], nursery)
    return furnished[1]


@pytest.fixture
def bench(nursery: Path, codes: dict[str, str]) -> Iterator[Bench]:
    room = Room(nursery, TODAY, lambda: NOW)
    yield Bench(room, Guard((HOST,)), "Alderbrook")
    room.close()


@pytest.fixture
def client(bench: Bench) -> TestClient:
    """A browser on this machine that knows nothing of scripts."""
    return TestClient(
        make_app(bench), base_url=HOME, headers={"origin": HOME}, follow_redirects=False
    )


@pytest.fixture
def desk(nursery: Path, codes: dict[str, str]) -> Iterator[Desk]:
    """The same book as a command would open it."""
    with Desk(nursery, TODAY, NOW) as opened:
        yield opened


def words_of(page: str) -> str:
    """What a page says, without its marks."""
    plain = re.sub(r"(?s)<(script|style|svg)\b.*?</\1>", " ", page)
    return " ".join(html.unescape(re.sub(r"<[^>]+>", " ", plain)).split())


def fields_of(page: str, action: str) -> dict[str, str]:
    """The hidden fields of the form that goes to an address."""
    form = re.search(rf'(?s)<form[^>]*action="{re.escape(action)}".*?</form>', page)
    assert form, f"no form goes to {action}"
    hidden = re.findall(r'<input type="hidden" name="(\w+)" value="([^"]*)"', form[0])
    return {name: html.unescape(value) for name, value in hidden}


def send(client: TestClient, page: str, action: str, **typed: object):
    """Fill in the form of a page that goes to an address, and send it."""
    return client.post(action, data={**fields_of(page, action), **typed})
