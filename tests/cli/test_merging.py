"""Two copies merged and settled, as a grower does it."""

import shutil
from pathlib import Path


def both_pot_twelve(raw, nursery: Path, code: str, shed: Path) -> None:
    shutil.copytree(nursery, shed)
    for folder, who in ((nursery, "Ann"), (shed, "Bea")):
        words = ("--nursery", folder, "--today", "2026-11-25", "--by", who)
        assert raw(*words, "pot-on", code, 12).status == 0


def test_one_potting_told_twice_is_asked_about_and_settled(
    raw, call, done, nursery: Path, currants: str, tmp_path: Path
) -> None:
    shed = tmp_path / "shed"
    both_pot_twelve(raw, nursery, currants, shed)
    assert call("settle").out == "Nothing is to be settled.\n"
    said = call("merge", shed).out
    assert said.startswith("Took in 2 entries.\n")  # the other's, and the mark of the doubt
    assert "Did it happen once or twice?" in said
    (question,) = done("settle")
    assert f"propagate settle {question['number']} once" in said
    due = call("due")
    assert (due.status, due.err) == (0, "One question of a merge is open; see: propagate settle\n")
    assert done("settle", question["number"], "once") == []
    assert done("show", currants)[0]["accounts"]["potted"] == 12
    assert call("due").err == ""
    assert done("merge", shed) == {"entries": 0, "recoded": [], "questions": []}


def test_two_batches_of_one_code_are_told_apart(
    raw, call, done, nursery: Path, currants: str, tmp_path: Path
) -> None:
    shed = tmp_path / "shed"
    shutil.copytree(nursery, shed)
    words = ("start", "rosemary", "semi-ripe-cutting", 24, "--on", "2026-08-10")
    mine = done(*words)["batch"]
    assert raw("--nursery", shed, "--today", "2026-11-25", *words).status == 0
    (new,) = done("merge", shed)["recoded"]
    assert new["was"] == mine != new["now"]
    assert done("show", new["now"])[0]["count"] == 24


def test_an_answer_to_no_question_is_refused(refused, currants: str) -> None:
    assert refused("settle", 1, "once").startswith("There is no question about an entry 1")


def test_a_merge_with_nothing_there_is_refused(refused, currants: str) -> None:
    assert refused("merge", "/no/where") == "There is no book at /no/where."
