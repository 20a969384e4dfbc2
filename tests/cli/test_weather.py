"""The command that tells what is known of temperatures."""

import pytest

from tests.examples import LOGGER

NORMALS = """
[weather.normals]
min_c = [-1, -1, 1, 4, 8, 11, 13, 13, 10, 7, 3, 0]
max_c = [4, 5, 9, 13, 18, 21, 23, 23, 19, 14, 8, 5]
"""


@pytest.fixture
def settings(nursery):
    """Add words to the settings of the nursery."""

    def add(*texts: str) -> None:
        path = nursery / "nursery.toml"
        path.write_text(path.read_text("utf-8") + "".join(texts), "utf-8")

    return add


def test_without_temperatures_only_what_places_are_kept_at_is_told(call) -> None:
    answer = call("weather")
    assert answer.status == 0
    assert answer.err.startswith("nursery.toml says how to give a place's range")
    assert [line.split("  ")[0] for line in answer.out.splitlines()] == [
        "place",
        "(open air)",
        "greenhouse bench",
        "cold frame",
        "sand bed",
        "nursery bed",
        "fridge",
    ]
    assert "kept at 2 to 5 °C" in answer.out


def test_where_nothing_at_all_is_known_it_says_how_to_begin(call, nursery) -> None:
    (nursery / "nursery.toml").write_text('name = "X"', "utf-8")
    answer = call("weather")
    assert answer.out.startswith("No temperatures are known here; stages run by the calendar.")


def test_a_logger_is_told_of_with_its_gaps_and_slips(call, nursery, settings) -> None:
    settings(LOGGER)
    rows = ["day,low,high", "2026-11-01,2,9", "2026-11-05,-1.5,8", "2026-11-06,x,8"]
    (nursery / "probe.csv").write_text("\n".join(rows), "utf-8")
    answer = call("weather")
    assert answer.status == 0
    frame, cold = (line for line in answer.out.splitlines() if line.startswith("cold frame"))
    assert cold.split()[-2:] == ["1", "day"]  # since leaf fall on 5 November
    assert "1 Nov to 6 Nov" in frame
    assert "4 days, longest 2 Nov 2026 to 4 Nov 2026" in frame
    assert "-1.5  by the calendar" in frame
    assert answer.err == 'probe.csv, line 4: "x" is not a temperature\n'


def test_a_file_that_is_missing_is_told_of_and_the_answer_still_given(call, settings) -> None:
    settings(LOGGER)
    answer = call("weather")
    assert answer.status == 0
    assert answer.err == "probe.csv: it cannot be read: No such file or directory\n"
    assert "probe.csv" in answer.out


def test_the_normals_are_told_as_days_to_come(call, settings) -> None:
    settings(NORMALS)
    assert "the monthly normals" in call("weather").out


def test_frost_dates_are_told_by_chance(call, nursery, settings) -> None:
    settings('[weather.files.station]\npath = "station.csv"\n')
    lines = ["STATION,DATE,TMAX,TMIN"]
    for year in range(2016, 2026):
        lines += [
            f"X,{year}-{month:02d}-{day:02d},9,{-2 if month < 3 else 5}"
            for month in range(1, 13)
            for day in range(1, 29 + 2 * (month != 2))
        ]
    (nursery / "station.csv").write_text("\n".join(lines), "utf-8")
    settings('unit = "C"\n')
    out = call("weather").out
    assert "Tender plants go out from 10 May to 20 Oct, the frost days of nursery.toml." in out
    assert "Frosts of 9 winters (station):" in out
    assert "  5 times in 10 the last frost comes after 28 Feb, the first before 1 Jan" in out


def test_programs_get_all_of_it(done, nursery, settings) -> None:
    settings(LOGGER, NORMALS)
    rows = ["day,low,high", "2026-11-01,2,9", "2026-11-03,3,8", "2026-11-03,3,8"]
    (nursery / "probe.csv").write_text("\n".join(rows), "utf-8")
    answer = done("weather")
    assert set(answer) == {
        "places",
        "chill_season",
        "files",
        "frosts",
        "frost_free",
        "problems",
    }
    assert answer["frosts"] is None
    assert answer["problems"] == []
    assert answer["files"] == [
        {
            "name": "probe",
            "path": "probe.csv",
            "place": "cold frame",
            "days": 2,
            "left_out": {"given twice": 2},
        }
    ]
    (frame,) = (row for row in answer["places"] if row["place"] == "cold frame")
    assert frame == {
        "place": "cold frame",
        "source": "probe",
        "first": "2026-11-01",
        "last": "2026-11-03",
        "missing_days": 1,
        "gaps": [["2026-11-02", "2026-11-02"]],
        "coldest_c": 2.0,
        "ahead": "the monthly normals",
        "chill": None,
    }


def test_seed_in_the_fridge_is_pricked_out_after_it_has_come_out_of_the_cold(call, done) -> None:
    """31 weeks of cold, says the record, then 2 to 8 weeks until it is up."""
    call("start", "hawthorn", "seed", 200, "--place", "fridge", today="2025-11-25")
    jobs = {job["action"]: job["date"] for job in done("due", today="2025-11-25")}
    assert jobs["move to warmth"] == "2026-06-30"
    assert "2026-07-14" < jobs["prick out"] < "2026-08-25"
