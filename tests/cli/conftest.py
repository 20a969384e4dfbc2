"""A fresh nursery, and a way to call the program as a shell would."""

import contextlib
import io
import json
import shutil
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from attrs import frozen

from propagate.cli import run

TODAY = "2026-11-25"


@frozen
class Answer:
    """What a command left behind: its exit status, standard output and standard error."""

    status: int
    out: str
    err: str

    @property
    def json(self) -> Any:
        return json.loads(self.out)


@pytest.fixture(autouse=True)
def no_settings_from_outside(monkeypatch: pytest.MonkeyPatch) -> None:
    for name in (
        "PROPAGATE_NURSERY",
        "PROPAGATE_BY",
        "PROPAGATE_DEVICE",
        "NO_COLOR",
        "_PROPAGATE_COMPLETE",
    ):
        monkeypatch.delenv(name, raising=False)


@pytest.fixture
def raw(capsys: pytest.CaptureFixture[str]) -> Callable[..., Answer]:
    """Run the words as they are."""

    def call(*words: object) -> Answer:
        capsys.readouterr()
        status = run([str(word) for word in words])
        out, err = capsys.readouterr()
        return Answer(status, out, err)

    return call


@pytest.fixture(scope="session")
def founded(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """An empty nursery in the north, with the common frosts; nobody may write into it."""
    folder = tmp_path_factory.mktemp("founded") / "bench"
    with contextlib.redirect_stdout(io.StringIO()):
        assert run(["init", str(folder)]) == 0
    return folder


@pytest.fixture
def nursery(tmp_path: Path, founded: Path) -> Path:
    """The empty nursery, to write into."""
    return shutil.copytree(founded, tmp_path / "bench")


@pytest.fixture
def call(nursery: Path, raw: Callable[..., Answer]) -> Callable[..., Answer]:
    """Run a command in the nursery on 25 November 2026, or another `today`."""

    def run_there(*words: object, today: str = TODAY) -> Answer:
        return raw("--nursery", nursery, "--today", today, *words)

    return run_there


@pytest.fixture
def done(call: Callable[..., Answer]) -> Callable[..., Any]:
    """Run a command that prints JSON and must succeed; return what it says."""

    def run_and_read(*words: object, today: str = TODAY) -> Any:
        answer = call(*words, "--json", today=today)
        assert (answer.status, answer.err) == (0, ""), answer
        return answer.json

    return run_and_read


@pytest.fixture
def refused(call: Callable[..., Answer]) -> Callable[..., str]:
    """Run a command that must be refused: status 2, one line of reason, nothing written."""

    def run_and_complain(*words: object, today: str = TODAY) -> str:
        before = call("history", "--json").out
        answer = call(*words, today=today)
        assert answer.status == 2, answer
        assert answer.out == ""
        assert call("history", "--json").out == before
        (line,) = answer.err.splitlines()
        assert "Traceback" not in line
        return line

    return run_and_complain


@pytest.fixture
def currants(done: Callable[..., Any]) -> str:
    """The code of a batch of 40 blackcurrant cuttings, struck on 12 November, marked T1."""
    words = ("blackcurrant", "hardwood-cutting", 40, "--on", "2026-11-12")
    where = ("--mark", "T1", "--place", "sand bed", "--tray", "row A", "--tray", "row B")
    return done("start", *words, *where)["batch"]


@pytest.fixture
def rosemary(done: Callable[..., Any]) -> str:
    """The code of a batch of 24 rosemary cuttings of last August."""
    return done("start", "rosemary", "semi-ripe-cutting", 24, "--on", "2026-08-10")["batch"]
