"""What a nursery knows of its temperatures, and the batches that stand too cold."""

import datetime as dt
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from attrs import evolve

from propagate.actions.answering import cases
from propagate.actions.desk import Desk
from propagate.actions.founding import found_nursery
from propagate.actions.recording import BatchPlan, record, start_batch
from propagate.actions.weathering import (
    clocks_of,
    overview,
    overview_view,
    temperatures,
)
from propagate.paths import NURSERY_FILE
from propagate.planning.cold import cold_tasks
from propagate.records import events
from propagate.records.answers import DueTask
from tests.examples import LOGGER

TODAY = dt.date(2026, 11, 25)
NOW = dt.datetime(2026, 11, 25, 9, tzinfo=dt.UTC)


@pytest.fixture
def desk(tmp_path: Path) -> Iterator[Desk]:
    """A nursery with a probe in the cold frame: mild nights, but -3.5 °C on 20 November."""
    settings = found_nursery(tmp_path)
    settings.write_text(settings.read_text("utf-8") + LOGGER, "utf-8")
    nights = dict.fromkeys(range(1, 25), 2.0) | {20: -3.5}
    rows = [f"2026-11-{day:02d},{low},9" for day, low in nights.items() if day != 15]
    (tmp_path / "probe.csv").write_text("\n".join(["day,low,high", *rows]), "utf-8")
    with Desk(tmp_path, TODAY, NOW) as opened:
        yield opened


@pytest.fixture
def start(desk: Desk) -> Callable[..., str]:
    """Start a batch in the cold frame on 12 November."""

    def start_one(plant: str, method: str, **more) -> str:
        plan = {"count": 40, "on": dt.date(2026, 11, 12), "place": "cold frame"} | more
        return start_batch(desk, BatchPlan(desk.library.resolve(plant), method, **plan)).code

    return start_one


def cold(desk: Desk) -> list[DueTask]:
    return cold_tasks(cases(desk), desk.library, temperatures(desk), desk.today)


# The overview


def test_the_overview_tells_what_each_place_has(desk) -> None:
    rows = {row.place: row for row in overview(desk).places}
    frame = rows["cold frame"]
    assert (frame.source, frame.first, frame.last) == (
        "probe",
        dt.date(2026, 11, 1),
        dt.date(2026, 11, 24),
    )
    assert frame.gaps == ((dt.date(2026, 11, 15), dt.date(2026, 11, 15)),)
    assert (frame.missing_days, frame.coldest_c, frame.ahead) == (1, -3.5, "")
    assert rows["fridge"].ahead == "kept at 2 to 5 °C"
    assert (rows["sand bed"].source, rows["sand bed"].ahead) == ("", "")


def test_the_overview_sums_the_cold_since_leaf_fall(desk) -> None:
    answer = overview(desk)
    assert answer.chill_season == (dt.date(2026, 11, 5), TODAY)
    chill = {row.place: row.chill for row in answer.places}
    assert chill["sand bed"] is None
    frame = chill["cold frame"]
    # From 5 to 24 November without the 15th. Of a half wave of 14 h from 2 to 9 °C, 6.6 h lie
    # above 7.2 °C, one night is frosty; Utah units are whole ones but for an hour or so.
    assert frame.read == 19
    assert frame.hours == pytest.approx(19 * (24 - 6.6), rel=0.05)
    assert frame.utah == pytest.approx(19 * 23, rel=0.06)
    assert 0.8 * 19 < frame.portions / 0.83 + 1.5 < 1.1 * 19


def test_of_last_winter_all_the_cold_is_told(desk, tmp_path) -> None:
    give_station(desk)
    with Desk(tmp_path, dt.date(2026, 6, 1), NOW) as summer:
        answer = overview(summer)
    assert answer.chill_season == (dt.date(2025, 11, 5), dt.date(2026, 3, 25))
    assert answer.places[0].chill.read == 141


def test_the_overview_says_what_is_wrong_in_a_file(desk) -> None:
    path = desk.folder / "probe.csv"
    path.write_text(path.read_text("utf-8") + "\n2026-11-25,warm,9\n", "utf-8")
    (problem,) = overview(desk).problems
    assert str(problem) == 'probe.csv, line 25: "warm" is not a temperature'


def give_station(desk: Desk, risk: str = "") -> list[dt.date]:
    """A station's file of eight winters with frosts from December to February."""
    settings = desk.folder / NURSERY_FILE
    station = '[weather.files.station]\npath = "station.csv"\n'
    settings.write_text(risk + settings.read_text("utf-8") + station, "utf-8")
    first = dt.date(2018, 7, 1)
    days = [first + dt.timedelta(days=n) for n in range(8 * 365)]
    rows = [
        f"AE000041196,{day:%Y%m%d},{element},{tenths},,,S,"
        for day in days
        for element, tenths in (("TMIN", -10 if day.month in (12, 1, 2) else 50), ("TMAX", 150))
    ]
    (desk.folder / "station.csv").write_text("\n".join(rows), "utf-8")
    return days


def test_a_station_gives_frost_dates(desk) -> None:
    days = give_station(desk)
    view = overview_view(overview(desk))
    assert view["frosts"]["winters"] == 8
    assert view["frosts"]["first"]["0.5"] == "12-01"
    assert view["frosts"]["last"]["0.5"] in ("02-28", "03-01")
    assert view["frost_free"]["recorded"] is False
    assert view["files"][1]["days"] == len(days)
    assert view["places"][0]["place"] is None
    assert view["places"][0]["source"] == "station"


def test_a_nursery_without_files_has_nothing_read(tmp_path: Path) -> None:
    found_nursery(tmp_path)
    with Desk(tmp_path, TODAY, NOW) as plain:
        answer = overview(plain)
    assert answer.frosts is None
    assert answer.files == answer.problems == ()
    assert {row.source for row in answer.places} == {""}


# Clocks


def test_files_are_read_for_a_clock_only_where_a_record_asks_for_warmth(desk, start) -> None:
    start("hazel", "simple-layering")
    (case,) = cases(desk)
    assert clocks_of(desk, [case]).temps is None
    stage = evolve(case.record.taking, clock="warmth")
    warm = evolve(case, record=evolve(case.record, stages=(stage,)))
    temps = clocks_of(desk, [warm]).temps
    assert temps is not None
    assert temps.at("cold frame").read is not None


# Cold


def test_a_tender_batch_in_a_frosty_place_wants_shelter(desk, start) -> None:
    code = start("tomato", "seed")
    (task,) = cold(desk)
    assert (task.batch, task.date, task.place) == (code, TODAY, "cold frame")
    assert task.action == "shelter from the cold"
    assert task.why == "-3.5 °C on 20 Nov 2026 (probe); it bears 0 °C"
    assert not task.is_late(TODAY)


def test_a_hardy_batch_does_not(desk, start) -> None:
    start("blackcurrant", "hardwood-cutting")
    assert cold(desk) == []


def test_nor_does_one_that_came_after_the_frost_or_stands_elsewhere(desk, start) -> None:
    start("tomato", "seed", on=dt.date(2026, 11, 21))
    start("tomato", "seed", place="sand bed")
    start("tomato", "seed", place="")
    assert cold(desk) == []


def test_nor_one_of_which_nothing_is_left(desk, start) -> None:
    code = start("tomato", "seed")
    record(desk, events.Lost(code, 40), dt.date(2026, 11, 21))
    assert cold(desk) == []


def test_a_frost_of_long_ago_is_not_warned_of(desk, start) -> None:
    start("tomato", "seed")
    later = Desk(desk.folder, dt.date(2026, 11, 28), NOW)
    with later:
        assert cold(later) == []


def test_the_frost_risk_that_is_borne_sets_the_days_for_planting_out(desk, start) -> None:
    """Every winter's last frost falls on 28 or 29 February, its first on 1 December."""
    give_station(desk, risk="frost_risk = 0.1\n")
    with Desk(desk.folder, TODAY, NOW) as told:
        assert told.nursery.last_frost in ((3, 1), (3, 2))
        assert told.nursery.first_frost in ((11, 29), (11, 30))
        season = overview(told).season
        assert (season.risk, season.recorded) == (0.1, True)


def test_a_frost_risk_without_a_record_leaves_the_settings_days(desk) -> None:
    settings = desk.folder / NURSERY_FILE
    settings.write_text("frost_risk = 0.1\n" + settings.read_text("utf-8"), "utf-8")
    with Desk(desk.folder, TODAY, NOW) as told:
        assert told.nursery.last_frost == (5, 10)
        assert overview(told).season.recorded is False
