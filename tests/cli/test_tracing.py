"""Trace, suspect, clear and why, as a grower types them."""

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest


@pytest.fixture
def family(done: Callable[..., Any]) -> dict[str, str]:
    """A mother, her batch with plants in a bed and with Hilda, a mother raised from it, a batch."""
    first = done(
        "start", "blackcurrant", "hardwood-cutting", 40, "--from", "jet", "--on", "2025-11-10"
    )
    code = first["batch"]
    done("check", code, "--rooted", 30, "--on", "2026-05-01")
    done("plant-out", code, 12, "--bed", "south row", "--on", "2026-11-12")
    done("give", code, 4, "--to", "Hilda", "--on", "2026-11-14")
    done("mother", "jet two", "blackcurrant", "--batch", code, "--on", "2026-11-15")
    second = done("start", "blackcurrant", "hardwood-cutting", 20, "--from", "jet two")
    return {"first": code, "second": second["batch"]}


def test_trace_goes_forward_and_back(done, family) -> None:
    down = done("trace", "jet")
    assert [kin["key"] for kin in down["members"]] == [
        "jet",
        family["first"],
        "jet two",
        family["second"],
    ]
    assert [(d["to"], d["count"]) for d in down["destinations"]] == [
        ("south row", 12),
        ("Hilda", 4),
    ]
    up = done("trace", family["second"].lower())
    assert [kin["key"] for kin in up["above"]] == ["jet", family["first"], "jet two"]
    got = done("trace", "hilda")
    assert got["arrivals"][0]["batch"]["key"] == family["first"]
    assert [kin["key"] for kin in got["arrivals"][0]["above"]] == ["jet"]
    assert done("trace", "South  Row")["kind"] == "bed"


def test_trace_in_words_is_a_tree(call, family) -> None:
    lines = call("trace", "jet").out.splitlines()
    assert lines[0].startswith("jet  Ribes nigrum, mother plant")
    assert lines[1].startswith(f"└─ {family['first']}  Ribes nigrum, 40 by hardwood-cutting")
    assert "   │  → 12 planted in south row, 12 Nov 2026" in lines
    assert lines[4].startswith("   └─ jet two")
    assert f"  12 planted in south row  from {family['first']}" in lines


def test_a_name_of_several_things_needs_its_kind(done, refused, family) -> None:
    done("give", family["first"], 1, "--to", "south row")
    assert "say which with --kind" in refused("trace", "south row")
    assert done("trace", "south row", "--kind", "person")["count"] == 1
    assert 'Did you mean "Hilda"?' in refused("trace", "Hilga")


def test_a_suspect_mother_marks_all_raised_from_her_until_undone(
    call, done, family, tmp_path: Path
) -> None:
    call("labels", family["first"], "-o", tmp_path / "labels.html")
    told = done("suspect", "jet", "--why", "reversion")
    assert told["reprint"] == [family["first"]]
    assert all(kin["suspected"] for kin in told["members"])
    due = {(task["batch"], task["action"]): task["why"] for task in done("due")}
    assert due[family["second"], "keep apart, take no cuttings"] == "suspect: reversion (jet)"
    assert due[family["first"], "print a new label"] == "suspect: reversion (jet)"
    assert done("show", family["second"])[0]["suspected"][0]["why"] == "reversion"
    assert (
        "mind     SUSPECT since 25 Nov 2026: reversion (jet)" in call("show", family["first"]).out
    )
    assert "Should any of it leave" in call("give", family["first"], 1, "--to", "Ann").err
    sheet = tmp_path / "stock.html"
    call("sheet", "-o", sheet)
    assert "suspect: reversion (jet)" in sheet.read_text(encoding="utf-8")
    done("undo")
    done("undo")
    assert not any(kin["suspected"] for kin in done("trace", "jet")["members"])
    assert not [task for task in done("due") if "apart" in task["action"]]


def test_clear_lifts_a_suspicion(done, refused, family) -> None:
    assert "Nothing is suspected of jet" in refused("clear", "jet", "--why", "tested")
    done("suspect", "jet", "--why", "wrong fruit", "--name")
    assert {task["action"] for task in done("due")} >= {"give none away"}
    told = done("clear", "jet", "--why", "the fruit was right")
    assert not any(kin["suspected"] for kin in told["members"])


def test_why_adds_up_the_entries_of_a_figure(call, done, family) -> None:
    (figure,) = done("why", family["first"], "rooted")["figures"]
    assert [(e["change"], e["balance"]) for e in figure["entries"]] == [
        (30, 30),
        (-12, 18),
        (-4, 14),
    ]
    assert "14 rooted" in call("why", family["first"], "rooted").out
    assert "+12" in call("why", "all", "planted").out


def test_a_tree_is_drawn(call, family, tmp_path: Path) -> None:
    for kind in ("svg", "html", "csv", "pdf"):
        assert call("trace", "jet", "-o", tmp_path / f"tree.{kind}").status == 0
    drawn = (tmp_path / "tree.svg").read_text(encoding="utf-8")
    assert "12 planted in south row, 12 Nov 2026" in drawn
    rows = (tmp_path / "tree.csv").read_text(encoding="utf-8-sig").splitlines()
    assert len(rows) == 1 + 4 + 2
    assert call("trace", "Hilda", "-o", tmp_path / "x.svg").status == 2
    assert call("trace", "jet", "-o", tmp_path / "x.png").status == 2


def test_a_promise_is_redeemed_however_the_name_was_typed(done, family) -> None:
    done("promise", family["first"], 3, "--to", "Old Tom")
    done("give", family["first"], 3, "--to", "old  tom")
    (shown,) = done("show", family["first"])
    assert shown["promised"] == {}
    assert shown["accounts"]["given: Old Tom"] == 3


def test_an_entry_that_others_rest_on_says_which_to_take_back_first(refused, done, family) -> None:
    started = done("history", family["first"])[0]["seq"]
    said = refused("void", started, "--why", "slip")
    assert "later entries rest on that one" in said
    assert "propagate void " in said


def test_taking_back_a_print_of_many_labels_names_no_single_batch(call, family, tmp_path) -> None:
    call("labels", *family.values(), "-o", tmp_path / "labels.html")
    said = call("undo").out
    assert f"{family['first']} {family['second']}: print labels" in said
    assert "stands" not in said
