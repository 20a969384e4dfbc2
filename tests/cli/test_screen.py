"""What is shown: tables that fit a terminal, plain columns in a pipe, no trace of colour codes."""

import fcntl
import os
import pty
import re
import struct
import subprocess
import sys
import termios
from pathlib import Path

import pytest

from propagate.cli import letters

CODES = re.compile(r"\x1b\[[0-9;]*m")


@pytest.fixture
def season(done, currants, rosemary, call) -> str:
    """A nursery with enough in it for wide tables."""
    done("check", rosemary, "--rooted", 15, "--dead", 4, "--on", "2026-10-01")
    done("pot-on", rosemary, 12, "--into", "9 cm pot", "--on", "2026-10-02")
    done("promise", rosemary, 3, "--to", "Hilda")
    done("start", "strawberry 'Mill Early'", "runner", 80, "--on", "2026-07-14", "--place", "bank")
    assert call("mother", "jet", "blackcurrant 'Alder Jet'").status == 0
    return rosemary


def on_a_terminal(folder: Path, *words: str, columns: int = 80, **environment: str) -> str:
    """Run the program on a pseudo-terminal so wide, and return what it showed."""
    screen, its_end = pty.openpty()
    fcntl.ioctl(its_end, termios.TIOCSWINSZ, struct.pack("HHHH", 40, columns, 0, 0))
    call = [sys.executable, "-m", "propagate", "--nursery", str(folder), "--today", "2026-11-25"]
    surroundings = {**os.environ, "TERM": "xterm-256color", **environment}
    surroundings.pop("COLUMNS", None)
    running = subprocess.Popen(
        [*call, *words], stdin=its_end, stdout=its_end, stderr=its_end, env=surroundings
    )
    os.close(its_end)
    shown = b"".join(iter(lambda: _piece(screen), b""))
    os.close(screen)
    assert running.wait() == 0, shown
    return shown.decode().replace("\r\n", "\n")


def _piece(screen: int) -> bytes:
    try:
        return os.read(screen, 65536)
    except OSError:  # the other end was closed
        return b""


@pytest.mark.parametrize("words", [("due",), ("forecast",), ("show",), ("history",)])
def test_tables_stay_whole_at_80_columns(nursery, season, words) -> None:
    lines = CODES.sub("", on_a_terminal(nursery, *words)).splitlines()
    assert max(map(len, lines)) <= 80
    assert "…" not in "".join(lines)  # nothing was cut off
    assert any("Salvia rosmarinus" in line for line in lines)


def test_a_wide_terminal_shows_the_wide_table(nursery, season) -> None:
    lines = CODES.sub("", on_a_terminal(nursery, "due", columns=260)).splitlines()
    assert lines[0].split() == ["day", "batch", "plant", "do", "place", "because"]


def test_no_color_on_a_terminal_is_plain(nursery, season) -> None:
    assert CODES.search(on_a_terminal(nursery, "due"))
    assert not CODES.search(on_a_terminal(nursery, "due", NO_COLOR="1"))


@pytest.mark.parametrize(
    "words",
    [("due",), ("forecast",), ("show",), ("history",), ("mother",), ("methods",), ("show", "T1")],
)
def test_a_pipe_gets_plain_lines_without_codes_or_boxes(call, season, words) -> None:
    answer = call(*words)
    assert answer.status == 0
    assert answer.out.strip()
    assert not re.search("[\x1b\u2500-\u257f]", answer.out)


def test_a_pipe_gets_one_line_a_job(call, done, season) -> None:
    heading, *lines = call("due").out.splitlines()
    jobs = done("due")
    assert heading.startswith("day")
    assert len(lines) == len(jobs)
    for line, job in zip(lines, jobs, strict=True):
        assert job["batch"] in line
        assert job["why"] in line


def test_jobs_of_days_gone_by_are_marked_late(call, season) -> None:
    late = [line for line in call("due").out.splitlines() if " late " in line]
    assert late
    assert not any("2027" in line[:12] for line in late)


def test_columns_that_say_nothing_are_left_out(call, done) -> None:
    done("start", "oak", "seed", 10, "--on", "2026-11-20")
    assert call("due").out.splitlines()[0].split() == ["day", "batch", "plant", "do", "because"]


def test_one_batch_is_shown_as_a_card(call, season) -> None:
    shown = call("show", season).out
    for said in ("semi-ripe cutting, 24 started 10 Aug 2026", "promised 3 to Hilda", "12 potted"):
        assert said in shown


def test_accounts_are_told_in_the_order_a_plant_passes_through_them(call, season) -> None:
    assert "stands   5 rooting, 3 rooted, 12 potted, 4 lost" in call("show", season).out


def test_show_takes_a_tray_a_mark_a_plant_and_a_genus(done, season, currants) -> None:
    for what in ("row B", "T1", "blackcurrants", "Ribes", currants):
        assert [batch["batch"] for batch in done("show", what)] == [currants]
    assert len(done("show")) == 3


def test_empty_books_say_how_to_begin(call) -> None:
    labels = ("labels", "--all", "-o", "x.html")
    for words in (("show",), ("forecast",), ("history",), ("due",), labels):
        assert "propagate start --help" in call(*words).out
    assert "write: propagate mother KEY PLANT" in call("mother").out


def test_a_book_with_nothing_due_says_so(call, currants, nursery) -> None:
    said = "Nothing is due in 1 week; the next job is of 4 Feb 2027.\n"
    assert call("due", "--weeks", 1).out == said
    call("sheet", "jobs", "-o", nursery / "jobs.html")
    page = (nursery / "jobs.html").read_text("utf-8")
    assert "Nothing is due up to 2 Dec 2026; the next job is of 4 Feb 2027." in page
    call("lose", currants, 40)
    assert call("due").out == "Nothing is due.\n"
    assert "no label to print" in call("labels", "--all", "-o", "x.html").out


def test_a_day_gone_by_is_answered_with_a_remark(call, done, currants) -> None:
    asked = ("forecast", "--by", "1 Jun 2026")
    said = "Note: 1 Jun 2026 has gone by; the counts are what stands rooted today.\n"
    assert call(*asked).err == said
    assert done(*asked)["by"] == "2026-06-01"


def test_one_mother_plant_is_shown_by_her_name(call) -> None:
    call("mother", "jet", "blackcurrant")
    call("mother", "weir", "rosemary")
    shown = call("mother", "Jet").out
    assert "Ribes nigrum" in shown
    assert "weir" not in shown


def test_what_was_recorded_is_said_back(call, currants) -> None:
    said = call("pot-on", currants, 5, "--into", "9 cm pot", "--on", "yesterday").out
    assert said.splitlines() == [
        "M7KD  Ribes nigrum: pot on 5 into 9 cm pot (24 Nov 2026)",
        "  stands   35 rooting, 5 potted",
        "  next     check, 4 Feb 2027",
    ]


def test_a_check_says_what_was_noted_and_what_comes_next(call, currants) -> None:
    said = call("check", currants, "--dead", 40, "--on", "yesterday").out
    assert "  noted    check: 40 dead (24 Nov 2026)" in said
    assert "pot on" not in said  # nothing is left in the tray
    assert "next" not in said
    call("undo")
    said = call("check", currants, "--dead", 1).out
    assert "  next     check, 4 Feb 2027" in said


def test_history_tells_each_entry_its_moves_and_what_was_taken_back(call, done, currants) -> None:
    done("check", currants)
    done("pot-on", currants, 5)
    done("undo")
    lines = [line.split("  ") for line in call("history", currants).out.splitlines()]
    said = [" ".join(" ".join(line).split()) for line in lines]
    assert said[2].startswith("2 25 Nov 2026 foretell ")
    assert [said[1], *said[3:]] == [
        "1 12 Nov 2026 start 40 of Ribes nigrum by hardwood-cutting 40 waiting",
        "3 25 Nov 2026 check: looked, nothing counted",
        "4 25 Nov 2026 pot on 5 void (no 5, undone)",
        "5 25 Nov 2026 take back no 4: undone",
    ]


def test_cautions_are_told_once_for_a_plant_and_method(call) -> None:
    words = ("start", "fig", "hardwood-cutting", 4)
    assert "Fig sap" in call(*words).out
    assert "caution" not in call(*words).out


def test_a_screen_without_the_letters_shows_plain_ones(nursery, season) -> None:
    shown = on_a_terminal(nursery, "history", PYTHONIOENCODING="ascii", NO_COLOR="1")
    assert "waiting -> rooted" in shown
    assert "strawberry" not in shown
    assert "Fragaria x ananassa 'Mill Early'" in " ".join(shown.split())


@pytest.mark.parametrize(
    ("text", "plain"),
    [("Ned’s ‘Crimson’", "Ned's 'Crimson'"), ("├─ 5–7 m²", "|- 5-7 m2"), ("Bücher 木", "Bucher ?")],
)
def test_plain_letters_stand_in_for_those_a_screen_lacks(text: str, plain: str) -> None:
    assert text.encode("ascii", errors=letters.NAME) == plain.encode()


def test_one_method_record_is_shown_whole_and_its_basis_said_once(raw) -> None:
    card = raw("methods", "fig", "hardwood").out
    for said in ("46 to 56 weeks", "60 to 90 %", "Nov to Mar", "Fig sap"):
        assert said in card
    assert "common practice: common practice" not in card


def test_a_tray_that_is_empty_is_not_to_be_potted_on_in_any_list(call, currants) -> None:
    assert "Nov 2027" in call("forecast").out
    call("pot-on", currants, 40)
    assert "Nov 2027" not in call("forecast").out + call("show").out + call("show", currants).out
