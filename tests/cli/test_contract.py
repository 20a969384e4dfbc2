"""What other programs rely on: the keys, days and counts of every command's JSON."""

import datetime as dt
from pathlib import Path

import pytest

METHODS = {
    "hardwood-cutting", "semi-ripe-cutting", "softwood-cutting", "root-cutting",
    "simple-layering", "tip-layering", "air-layering", "mound-layering",
    "division", "offset", "runner", "seed",
}  # fmt: skip
BATCH_KEYS = {"batch", "plant", "method", "count", "started", "pot_on", "plants"}
COUNT_KEYS = {"low", "likely", "high", "mean", "chance"}
QUANTILES = ["0.05", "0.1", "0.25", "0.5", "0.75", "0.9", "0.95"]


def assert_batch(batch: dict) -> None:
    """A batch's answer has every key, ISO days in order, and counts in order."""
    assert set(batch) >= BATCH_KEYS
    dt.date.fromisoformat(batch["started"])
    window = [dt.date.fromisoformat(batch["pot_on"][key]) for key in ("early", "likely", "late")]
    assert window == sorted(window)
    assert_counts(batch["plants"])
    assert batch["plants"]["high"] <= batch["count"]


def assert_counts(plants: dict) -> None:
    assert set(plants) >= COUNT_KEYS
    assert 0 <= plants["low"] <= plants["likely"] <= plants["high"]
    assert plants["chance"] == 0.8
    assert plants["low"] - 1 <= plants["mean"] <= plants["high"] + 1


def test_init_takes_all_its_options_and_prints_where_the_settings_are(raw, tmp_path) -> None:
    folder = tmp_path / "south"
    options = ("--hemisphere", "south", "--last-frost", "11-02", "--first-frost", "04-28")
    answer = raw("init", folder, "--name", "Our bench", *options)
    assert answer.status == 0
    settings = (folder / "nursery.toml").read_text(encoding="utf-8")
    for said in ('"Our bench"', '"south"', '"11-02"', '"04-28"'):
        assert said in settings
    assert str(folder / "nursery.toml") in answer.out


def test_methods_lists_every_record_with_its_basis(raw) -> None:
    records = raw("methods", "--json").json
    assert {record["method"] for record in records} >= METHODS
    for record in records:
        assert set(record) >= {"method", "plant", "weeks", "take", "basis", "source"}
        assert record["weeks"][0] <= record["weeks"][1]
        assert 0 <= record["take"][0] <= record["take"][1] <= 1
        assert record["basis"] in ("published", "common practice", "memory")
        assert record["source"]
    assert {r["method"] for r in records if r["plant"] is None} >= METHODS


def test_methods_finds_by_plant_and_by_method(raw) -> None:
    found = raw("methods", "FIG", "hardwood", "--json").json
    assert [(r["method"], r["plant"]) for r in found] == [("hardwood-cutting", "Ficus carica")]


def test_start_answers_with_the_forecast(done) -> None:
    answer = done("start", "blackcurrant", "hardwood-cutting", 40, "--on", "2026-11-12")
    assert_batch(answer)
    assert answer["plant"] == "Ribes nigrum"
    assert (answer["count"], answer["started"]) == (40, "2026-11-12")


@pytest.mark.parametrize(
    "name",
    ["Ribes nigrum", "BLACKCURRANT", "Blackcurrants", "black currant", "ribes nigrum"],
)
def test_a_plant_may_be_named_in_any_way(call, name) -> None:
    answer = call("start", name, "hardwood-cutting", 4, "--json")
    assert answer.json["plant"] == "Ribes nigrum"


def test_a_cultivar_stays_with_its_name(done) -> None:
    answer = done("start", "blackcurrant 'Alder Jet'", "hardwood-cutting", 4)
    assert answer["plant"] == "Ribes nigrum ‘Alder Jet’"


def test_check_answers_like_start_and_narrows_the_range(done, rosemary) -> None:
    before = done("forecast", rosemary)["batches"][0]["plants"]
    after = done("check", rosemary, "--rooted", 15, "--dead", 4, "--on", "2026-10-01")
    assert_batch(after)
    assert after["accounts"] == {"rooting": 5, "rooted": 15, "lost": 4}
    assert after["plants"]["low"] >= 15
    assert after["plants"]["high"] <= 20
    assert after["plants"]["high"] - after["plants"]["low"] < before["high"] - before["low"]


def test_a_sample_moves_no_plant_but_the_dead(done, rosemary) -> None:
    answer = done("check", rosemary, "--sample", 10, "--rooted", 7, "--dead", 1)
    assert answer["accounts"] == {"rooting": 23, "lost": 1}


def test_every_move_answers_with_the_batch_and_its_accounts(done, rosemary) -> None:
    steps = [
        (("pot-on", rosemary, 12, "--into", "9 cm pot"), {"rooting": 12, "potted": 12}),
        (("plant-out", rosemary, 3, "--bed", "bank"), {"planted: bank": 3, "potted": 9}),
        (("lose", rosemary, 2, "--cause", "mice"), {"lost: mice": 2, "rooting": 10}),
        (("give", rosemary, 1, "--to", "Hilda"), {"given: Hilda": 1, "potted": 8}),
        (("move", rosemary, "cold frame"), {"rooting": 10}),
        (("recount", rosemary, 20, "--why", "hidden behind a pot"), {"rooting": 12}),
        (("harden", rosemary, 2), {"hardening": 2}),
        (("ready", rosemary, 1), {"ready": 1}),
    ]
    for words, changed in steps:
        answer = done(*words)
        assert set(answer) == {"batch", "accounts"}
        assert answer["batch"] == rosemary
        assert changed.items() <= answer["accounts"].items(), words


def test_undo_goes_back_step_by_step_to_an_empty_book(done, call, currants) -> None:
    done("pot-on", currants, 5)
    done("pot-on", currants, 7)
    assert done("undo") == {"batch": currants, "accounts": {"rooting": 35, "potted": 5}}
    assert done("undo") == {"batch": currants, "accounts": {"rooting": 40}}
    assert done("undo") == {"batch": currants, "accounts": {}}
    assert done("show") == []
    assert call("undo").status == 2


def test_void_takes_back_an_entry_in_the_middle(done, currants) -> None:
    done("pot-on", currants, 5)
    wrong = done("history", currants)[-1]["seq"]
    done("pot-on", currants, 7)
    answer = done("void", wrong, "--why", "wrong tray")
    assert answer == {"batch": currants, "accounts": {"rooting": 33, "potted": 7}}


def test_forecast_has_batches_totals_and_quantiles(done, currants, rosemary) -> None:
    answer = done("forecast")
    assert (answer["as_of"], answer["by"]) == ("2026-11-25", None)
    assert [batch["batch"] for batch in answer["batches"]] == [rosemary, currants]
    for batch in answer["batches"]:
        assert_batch(batch)
        quantiles = batch["plants"]["quantiles"]
        assert list(quantiles) == QUANTILES
        assert list(quantiles.values()) == sorted(quantiles.values())
    for total in answer["totals"]:
        assert set(total) >= {"plant", *COUNT_KEYS}
        assert_counts(total)


def test_forecast_by_a_day_counts_only_what_roots_by_then(done, rosemary) -> None:
    soon = done("forecast", "rosemary", "--by", "2026-08-31")
    ever = done("forecast", rosemary)
    assert soon["by"] == "2026-08-31"
    assert soon["batches"][0]["plants"]["mean"] < ever["batches"][0]["plants"]["mean"]


def test_forecast_may_ask_for_a_plant_or_a_batch(done, currants, rosemary) -> None:
    assert [b["batch"] for b in done("forecast", "Ribes nigrum")["batches"]] == [currants]
    assert [b["batch"] for b in done("forecast", rosemary)["batches"]] == [rosemary]
    assert done("forecast", rosemary)["totals"][0]["plant"] == "Salvia rosmarinus"


def test_forecast_by_reads_a_day_without_year_as_one_to_come(done, rosemary) -> None:
    assert done("forecast", "--by", "1 May")["by"] == "2027-05-01"


def test_due_lists_jobs_soonest_first(done, currants, rosemary) -> None:
    jobs = done("due")
    assert jobs
    for job in jobs:
        assert set(job) >= {"date", "batch", "plant", "action", "why"}
        assert job["why"]
    days = [dt.date.fromisoformat(job["date"]) for job in jobs]
    assert days == sorted(days)


def test_due_within_some_weeks_is_the_beginning_of_all(done, currants, rosemary) -> None:
    every = done("due")
    limit = dt.date(2026, 11, 25) + dt.timedelta(weeks=3)
    expected = [job for job in every if dt.date.fromisoformat(job["date"]) <= limit]
    assert done("due", "--weeks", 3) == expected
    assert 0 < len(expected) < len(every)


def test_import_counts_batches_and_events(done, tmp_path: Path) -> None:
    notebook = tmp_path / "season.csv"
    notebook.write_text(
        "date,what,batch,plant,method,count,rooted\n"
        "2026-08-10,start,T1,rosemary,semi-ripe-cutting,24,\n"
        "2026-10-02,check,T1,,,,15\n",
        encoding="utf-8",
    )
    assert done("import", notebook) == {"batches": 1, "events": 2}
    assert done("show", "T1")[0]["accounts"] == {"rooting": 9, "rooted": 15}


def test_a_bad_notebook_is_refused_whole_with_every_bad_line(call, done, tmp_path: Path) -> None:
    notebook = tmp_path / "season.csv"
    notebook.write_text(
        "date,what,batch,plant,method,count\n"
        "2026-08-10,start,T1,rosemary,semi-ripe-cutting,24\n"
        "soon,pot-on,T1,,,3\n"
        "2026-10-10,pot-on,T1,,,many\n",
        encoding="utf-8",
    )
    answer = call("import", notebook)
    assert answer.status == 2
    assert "season.csv, line 3" in answer.err
    assert "season.csv, line 4" in answer.err
    assert done("show") == []


def test_today_makes_an_answer_reproducible(done, currants) -> None:
    assert done("forecast", today="2027-03-01") == done("forecast", today="1 Mar 2027")
    assert done("forecast", today="2027-03-01")["as_of"] == "2027-03-01"


def test_the_nursery_is_found_from_the_folder_and_from_the_environment(
    raw, nursery, currants, monkeypatch, tmp_path
) -> None:
    deep = nursery / "photos" / "2026"
    deep.mkdir(parents=True)
    monkeypatch.chdir(deep)
    assert raw("show", "--json").json[0]["batch"] == currants
    monkeypatch.chdir(tmp_path)
    assert raw("show").status == 2
    monkeypatch.setenv("PROPAGATE_NURSERY", str(nursery))
    assert raw("show", "--json").json[0]["batch"] == currants


def test_a_part_that_moves_is_a_batch_of_its_own(done, call, currants) -> None:
    answer = done("move", currants, "cold frame", "--tray", "B", "--count", 15)
    fresh = answer["parted"]
    assert answer["accounts"] == {"rooting": 25}
    assert answer["parted_accounts"] == {"rooting": 15}
    assert {line["batch"]: line["count"] for line in done("forecast")["batches"]} == {
        currants: 25,
        fresh: 15,
    }
    done("undo")
    assert "no batch" in call("show", fresh).err


def test_counts_and_days_are_read_in_words(done, currants) -> None:
    answer = done("pot-on", currants, "half a dozen", "--on", "two days ago")
    assert answer["accounts"] == {"rooting": 34, "potted": 6}
    assert done("check", currants, "--rooted", "twenty-four", "--dead", "none")["accounts"] == {
        "rooting": 10,
        "rooted": 24,
        "potted": 6,
    }
