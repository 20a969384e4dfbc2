"""The demo: one invented season, in the north and turned round for the south."""

import csv
import datetime as dt
from pathlib import Path

import pytest

from propagate.actions.answering import due, forecast
from propagate.actions.demo import LAST_DAY, make_demo, mirrored, season_csv
from propagate.actions.desk import Desk
from propagate.ledger import Kind
from propagate.records.answers import Forecast, PlantCount
from tests.demos import NOW, shared_demo

HEMISPHERES = ("north", "south")
STANDING = [kind.value for kind in Kind]


@pytest.fixture(scope="module")
def demos(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Desk]:
    """Both demos; a drawn PDF takes a second, so only one test below makes them."""
    return {
        hemisphere: Desk(
            shared_demo(tmp_path_factory, hemisphere), mirrored(LAST_DAY, hemisphere), NOW
        )
        for hemisphere in HEMISPHERES
    }


@pytest.fixture(scope="module", params=HEMISPHERES)
def demo(demos: dict[str, Desk], request: pytest.FixtureRequest) -> Desk:
    return demos[request.param]


@pytest.fixture(scope="module")
def answers(demos: dict[str, Desk]) -> dict[str, Forecast]:
    return {hemisphere: forecast(demos[hemisphere]) for hemisphere in HEMISPHERES}


def in_order(plants: PlantCount) -> bool:
    return 0 <= plants.low <= plants.likely <= plants.high


def test_the_demo_makes_its_prints_and_says_where(tmp_path: Path) -> None:
    folder = tmp_path / "demo"
    told = "\n".join(make_demo(folder, "north", lambda _: None, NOW))
    drawn = ("beds.pdf", "plan.pdf", "jobs.pdf", "checks.pdf", "customer.pdf")
    for name in ("labels.pdf", "stakes.pdf", "stock.pdf", *drawn):
        assert (folder / name).read_bytes().startswith(b"%PDF-")
        assert name in told
    for name in ("stock.html", "stock.csv", "due.ics", "plan.ics", "nursery.toml", "book.db"):
        assert (folder / name).is_file()
    assert f"--today {LAST_DAY}" in told


def test_every_plant_of_the_demo_stands_in_one_account(demo: Desk) -> None:
    assert demo.book.conflicts == []
    for state in demo.book.batches.values():
        assert sum(state.accounts().values()) == state.count
        assert min(state.balances.values()) >= 0


def test_every_forecast_of_the_demo_is_in_order(demo: Desk, answers) -> None:
    answer = answers[demo.nursery.hemisphere]
    assert len(answer.batches) == len(demo.book.batches)
    for batch in answer.batches:
        state = demo.book.batch(batch.batch)
        assert in_order(batch.plants)
        assert in_order(batch.free)
        assert state.raised <= batch.plants.low
        assert batch.plants.high <= state.raised + state.total(Kind.WAITING)
        assert batch.pot_on.early <= batch.pot_on.likely <= batch.pot_on.late
    for total in answer.totals:
        assert in_order(total.plants)
        assert in_order(total.free)


@pytest.mark.parametrize("hemisphere", HEMISPHERES)
def test_the_totals_of_a_plant_lie_within_the_sums_over_its_batches(answers, hemisphere) -> None:
    answer = answers[hemisphere]
    for total in answer.totals:
        own = [batch.plants for batch in answer.batches if batch.plant == total.plant]
        assert sum(p.low for p in own) <= total.plants.low
        assert total.plants.high <= sum(p.high for p in own)
        assert total.plants.mean == pytest.approx(sum(p.mean for p in own), abs=1e-6)


def test_the_stock_table_adds_up_to_the_ledger(demo: Desk) -> None:
    with (demo.folder / "stock.csv").open(encoding="utf-8-sig", newline="") as file:
        rows = list(csv.DictReader(file))
    batches = [row for row in rows if row["line"] == "batch"]
    assert {row["batch"] for row in batches} == set(demo.book.batches)
    states = demo.book.batches.values()
    for kind in Kind:
        booked = sum(state.total(kind) for state in states)
        assert sum(int(row[kind.value]) for row in batches) == booked
    plants = [row for row in rows if row["line"] == "plant"]
    for key in ("started", *STANDING):
        assert sum(int(r[key]) for r in plants) == sum(int(r[key]) for r in batches)
    assert sum(int(row["started"]) for row in batches) == sum(state.count for state in states)


def test_the_south_has_the_same_season_half_a_year_round(answers) -> None:
    north, south = (answers[key].batches for key in HEMISPHERES)
    assert len(north) > 20
    for here, there in zip(north, south, strict=True):
        assert (here.batch, here.plant, here.method) == (there.batch, there.plant, there.method)
        assert (here.count, here.accounts) == (there.count, there.accounts)
        assert mirrored(here.started, "south") == there.started
        turned = mirrored(here.pot_on.likely, "south")
        assert abs((turned - there.pot_on.likely).days) <= 4  # half years differ by some days


def test_the_south_has_the_same_jobs(demos: dict[str, Desk]) -> None:
    north, south = ({(t.batch, t.action) for t in due(demos[key])} for key in HEMISPHERES)
    assert north == south


def test_the_demo_shows_what_a_book_can_hold(demo: Desk) -> None:
    states = demo.book.batches.values()
    assert len({state.started.method for state in states}) >= 10
    assert demo.book.voided
    assert any(not state.living for state in states)
    assert any(state.promised for state in states)
    assert any(look.sample for state in states for look in state.looks)
    assert "print a new label" in {task.action for task in due(demo)}


def test_the_demo_takes_every_batch_in_its_season(demos: dict[str, Desk]) -> None:
    library = demos["north"].library
    for state in demos["north"].book.batches.values():
        if state.started.method == "mound-layering":
            continue  # its season is that of cutting the stool back; shoots are counted in May
        months = library.record(state.started.method, state.name).record.season.months
        early = {(month - 2) % 12 + 1 for month in months}  # a month early in a forward year
        assert state.on.month in early | set(months), f"{state.name}, {state.on}"


def test_the_days_of_the_notebook_are_mirrored_and_nothing_else() -> None:
    north, south = (list(csv.reader(season_csv(key).splitlines())) for key in HEMISPHERES)
    assert [row[1:] for row in north] == [row[1:] for row in south]
    first = dt.date.fromisoformat(north[1][0])
    assert first - dt.date.fromisoformat(south[1][0]) == dt.timedelta(days=184)


def test_the_demo_is_not_made_over_a_nursery(demo: Desk) -> None:
    with pytest.raises(ValueError, match="is a nursery already"):
        make_demo(demo.folder, "north", lambda _: None, NOW)
