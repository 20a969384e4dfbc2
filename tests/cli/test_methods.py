"""The library on the screen, on paper, and the sums for the bench."""

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

KEYS = {"method", "plant", "weeks", "take", "basis", "source"}


def test_records_as_json(call: Callable[..., Any]) -> None:
    for record in call("methods", "fig", "--json").json:
        assert set(record) >= KEYS
        assert record["weeks"][0] <= record["weeks"][1]
        assert 0 < record["take"][0] <= record["take"][1] <= 1
        assert record["basis"] in ("published", "common practice", "memory")
        assert record["source"]


def test_a_general_record_has_no_plant(call: Callable[..., Any]) -> None:
    found = call("methods", "runner", "--json").json
    assert None in {record["plant"] for record in found}


def test_one_find_is_shown_as_a_card(call: Callable[..., Any]) -> None:
    answer = call("methods", "fig", "hardwood")
    assert answer.status == 0
    for words in ("Ficus carica (fig)", "46 to 56 weeks", "Caution:", "1. "):
        assert words in answer.out


def test_a_month_finds_what_can_be_struck_now(call: Callable[..., Any]) -> None:
    found = call("methods", "--month", 6, "--json").json
    assert found
    assert all(6 in record["months"] for record in found)


def test_a_card_is_printed(call: Callable[..., Any], tmp_path: Path) -> None:
    assert call("methods", "fig", "hardwood", "-o", tmp_path / "fig.html").status == 0
    assert "Ficus carica" in (tmp_path / "fig.html").read_text(encoding="utf-8")


def test_a_card_of_several_is_refused(call: Callable[..., Any], tmp_path: Path) -> None:
    answer = call("methods", "fig", "-o", tmp_path / "fig.html")
    assert answer.status == 2
    assert "add the method or the plant" in answer.err
    assert not (tmp_path / "fig.html").exists()


def test_a_broken_own_record_is_named_and_the_rest_serves(
    call: Callable[..., Any], nursery: Path
) -> None:
    (nursery / "methods").mkdir()
    own = nursery / "methods" / "runner.toml"
    own.write_text('[[plant]]\nlatin = "Ribes nigrum"\nfoo = 3\n', encoding="utf-8")
    answer = call("methods", "check")
    assert answer.status == 2
    assert "bench/methods/runner.toml, plant Ribes nigrum, foo: unknown key" in answer.err
    assert call("methods", "strawberry", "runner").status == 0
    assert call("start", "strawberry", "runner", 20).status == 0


def test_the_shipped_library_has_nothing_wrong(call: Callable[..., Any]) -> None:
    answer = call("methods", "check")
    assert answer.status == 0
    assert "nothing wrong" in answer.out


@pytest.mark.parametrize(
    ("words", "answer"),
    [
        (
            ["dip", "--stock", 10000, "--want", 1000, "--volume", 500],
            {"stock_ml": 50, "diluent_ml": 450},
        ),
        (["sow", 3, "--take", 75], {"on_average": 4, "surely": 6, "chance": 0.9}),
        (["cells", "--take", 50], {"seeds": 5, "filled": 0.96875}),
        (["fill", "--bag", 40, "--pot", 0.5], {"pots": 80, "pot_l": 0.5}),
    ],
)
def test_sums_as_json(call: Callable[..., Any], words: list[Any], answer: dict[str, Any]) -> None:
    assert call("reckon", *words, "--json").json == pytest.approx(answer)


def test_stratification_as_json(call: Callable[..., Any]) -> None:
    answer = call("reckon", "stratify", "hawthorn", "--sow", "2028-04-01", "--json").json
    assert answer["begins"] == "2027-07-03"
    assert [spell["spell"] for spell in answer["spells"]] == ["warm", "cold"]


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["dip", "--want", 3, "--volume", 5], "either --stock"),
        (["sow", 100, "--take", 180], "'180' is not so many of 100"),
        (["sow", 100, "--take", 0.6], "less than 1 of 100; did you mean 60?"),
        (["sow", 1_000_000, "--take", 1, "--loss", 50], "would have to be started"),
        (["cells", "--take", "x"], "'x' is not so many of 100"),
        (["germination", 50, "5=4", "6=60"], "64 came up, but only 50 were sown"),
        (["fill", "--bag", 40], "width and height"),
        (["stratify", "tomato", "--sow", "2028-04-01"], "no warm or cold spell"),
    ],
)
def test_sums_that_cannot_be_are_refused(
    call: Callable[..., Any], words: list[Any], said: str
) -> None:
    answer = call("reckon", *words)
    assert answer.status == 2
    assert said in answer.err
    assert answer.err.count("\n") == 1


def test_germination_figures(call: Callable[..., Any]) -> None:
    # germinationmetrics vignette, data A: 80 %, mean 6.7 days, T50 5.970588 and 5.941176.
    counts = ["5=4", "6=17", "7=10", "8=7", "9=1", "11=1"]
    answer = call("reckon", "germination", 50, *counts, "--json").json
    assert answer["final_percent"] == pytest.approx(80)
    assert answer["mean_days"] == pytest.approx(6.7)
    assert answer["half_days_coolbear"] == pytest.approx(5.970588, abs=1e-6)
    assert answer["half_days_farooq"] == pytest.approx(5.941176, abs=1e-6)


def test_the_checks_of_a_batch_are_a_germination_test_too(call, done) -> None:
    """The same vignette's seeds, counted in the book: those left in the tray stand there still."""
    code = done("start", "oak", "seed", 50, "--on", "2026-11-01")["batch"]
    up = 0
    for day, came in ((5, 4), (6, 17), (7, 10), (8, 7), (9, 1), (11, 1)):
        up += came
        done("check", code, "--rooted", up, "--on", f"2026-11-{day + 1:02d}")
    told = call("reckon", "germination", code, "--json").json
    assert told["final_percent"] == pytest.approx(80)
    assert told["mean_days"] == pytest.approx(6.7)
    assert told["half_days_coolbear"] == pytest.approx(5.970588, abs=1e-6)
    assert call("reckon", "germination", code).out.startswith("40 of 50 came up, 80 %")


def test_what_came_up_in_goes_on_one_day_is_one_count(call, done) -> None:
    code = done("start", "oak", "seed", 50, "--on", "2026-11-01")["batch"]
    for count in (12, 8):
        done("pot-on", code, count, "--on", "2026-11-13")
    told = call("reckon", "germination", code)
    assert told.out.startswith("20 of 50 came up, 40 %\nall counted on day 12")


def test_a_batch_of_which_nothing_came_up_is_no_test_yet(call, done) -> None:
    code = done("start", "oak", "seed", 50, "--on", "2026-11-01")["batch"]
    answer = call("reckon", "germination", code)
    assert (answer.status, answer.err) == (2, f"Nothing of {code} has been counted up yet.\n")


@pytest.mark.parametrize("typed", ["6", "six=3", "6=x", "6=60"])
def test_counts_that_cannot_be_are_refused(call: Callable[..., Any], typed: str) -> None:
    answer = call("reckon", "germination", 50, typed)
    assert answer.status == 2
    assert answer.err.count("\n") == 1
