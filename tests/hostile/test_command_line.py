"""Every command with whatever words: done, or refused with a sentence and the book untouched."""

import contextlib
import io
import os
import unicodedata
from pathlib import Path

import click
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from propagate.cli import run
from propagate.cli.group import COMMANDS, program
from propagate.paths import BOOK_FILE
from tests.hostile.words import ODD_DAYS, ODD_NUMBERS, hostile

TODAY = "2026-11-25"
SLOW = ("demo", "serve")
"""Commands that print a whole season, or wait for somebody: too slow to be asked at random."""

SOUND = {
    "int": ("1", "2", "5", "40", *ODD_NUMBERS),
    "float": ("0.5", "3", "0.01", *ODD_NUMBERS),
    "day": ("2026-11-20", "12 Mar", "today", "2027-03-01", *ODD_DAYS),
    "file": ("a.csv", "b.html", "c.svg", "no/such/folder/x.csv", "odd\nname.csv", ".", "x"),
    "text": ("blackcurrant", "hardwood-cutting", "T1", "jet", "Hilda", "bed", "all", "rooted"),
}
"""Words that might be right, and some that nearly are, by what a parameter wants."""


def leaves() -> list[tuple[str, ...]]:
    """Every command as the words that call it, those under a group of commands too."""
    found: list[tuple[str, ...]] = []
    for name in COMMANDS:
        command = program.get_command(click.Context(program), name)
        if name in SLOW or command is None:
            continue
        inner = getattr(command, "commands", None)
        found += [(name, each) for each in inner] if inner else [(name,)]
    return found


def command_of(words: tuple[str, ...]) -> click.Command:
    command: click.Command | None = program
    for word in words:
        assert isinstance(command, click.Group)
        command = command.get_command(click.Context(command), word)
    assert command is not None
    return command


@st.composite
def lines(draw: st.DrawFn) -> list[str]:
    """A command with its arguments and some of its options, right and wrong words mixed."""
    words = draw(st.sampled_from(leaves()))
    line = list(words)
    for param in command_of(words).params:
        if isinstance(param, click.Argument):
            times = draw(st.integers(0, 2)) if param.nargs < 0 else draw(st.integers(0, 9)) > 0
            line += [draw(value(param)) for _ in range(times)]
        elif param.name != "help" and (param.required or not draw(st.integers(0, 2))):
            option = draw(st.sampled_from(param.opts))
            line += [option] if getattr(param, "is_flag", False) else [option, draw(value(param))]
    return line


def value(param: click.Parameter) -> st.SearchStrategy[str]:
    """Words for one parameter, by its type, its name and what help calls it."""
    about = f"{param.name} {getattr(param, 'metavar', '')} {param.type.name}".lower()
    if isinstance(param.type, click.Path) or "file" in about:
        return st.sampled_from(SOUND["file"])  # random paths would write anywhere
    if isinstance(param.type, click.types.Choice):
        return st.one_of(st.sampled_from([str(c) for c in param.type.choices]), hostile)
    if "dir" in about.split():
        return st.sampled_from(("x", "no/such/folder", "a\nb"))
    kind = next((k for k in ("int", "float") if k in about), "day" if "date" in about else "text")
    return st.one_of(st.sampled_from(SOUND[kind]), hostile)


@pytest.fixture(scope="module")
def bench(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A nursery with a mother, her batch and a batch raised from it, and a bed."""
    folder = tmp_path_factory.mktemp("hostile") / "bench"
    assert called(["init", str(folder)])[0] == 0
    at = ["--nursery", str(folder), "--today", TODAY]
    for words in (
        "start blackcurrant hardwood-cutting 40 --from jet --mark T1 --on 2025-11-10",
        "check T1 --rooted 30 --on 2026-05-01",
        "plant-out T1 4 --bed bed --on 2026-11-12",
        "give T1 2 --to Hilda --on 2026-11-13",
        "start fig hardwood-cutting 10 --mark T2",
    ):
        assert called([*at, *words.split()])[0] == 0
    return folder


def called(words: list[str]) -> tuple[int, str, str]:
    """Exit status, output and complaints of one call."""
    out, err = io.StringIO(), io.StringIO()
    with contextlib.redirect_stdout(out), contextlib.redirect_stderr(err):
        status = run(words)
    return status, out.getvalue(), err.getvalue()


def obeyed_by_a_terminal(text: str) -> set[str]:
    """Characters that do something to a screen instead of standing on it."""
    turning = "\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069"
    control = {ch for ch in text if unicodedata.category(ch) == "Cc"} - {"\n", "\t"}
    return control | (set(text) & set(turning))


def _check(bench: Path, line: list[str]) -> None:
    book = bench / BOOK_FILE
    before = book.read_bytes()
    here = Path.cwd()
    scratch = bench.parent / "scratch"
    scratch.mkdir(exist_ok=True)
    os.chdir(scratch)
    try:
        status, out, err = called(["--nursery", str(bench), "--today", TODAY, *line])
        assert status in (0, 2), (line, status)
        assert not obeyed_by_a_terminal(out + err), (line, out, err)
        if status == 2:
            assert book.read_bytes() == before, line
            assert (out + err).strip(), line
    finally:
        os.chdir(here)
        if book.read_bytes() != before:
            book.write_bytes(before)


@settings(
    max_examples=int(os.environ.get("HOSTILE_EXAMPLES", "60")),
    deadline=None,
    derandomize="HOSTILE_EXAMPLES" not in os.environ,
    suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow],
)
@given(lines())
def test_a_command_is_done_or_refused_whatever_it_is_given(bench: Path, line: list[str]) -> None:
    _check(bench, line)
