"""Books to write in: a file, and a schema of a throw-away PostgreSQL server."""

import os
import shutil
import subprocess
import tempfile
from collections.abc import Callable, Iterator
from itertools import count
from pathlib import Path
from typing import Any
from urllib.parse import quote

import pytest

from propagate.store.sqlite import SqliteBook

ORDINARY = "nobody"  # the server refuses to run as the superuser
NUMBERS = count(1)


def server_programs() -> Path | None:
    """The folder of the PostgreSQL server's programs, None where there is no server."""
    found = shutil.which("initdb")
    folders = [Path(found).parent] if found else []
    folders += sorted(Path("/usr/lib/postgresql").glob("*/bin"), reverse=True)
    return next((f for f in folders if (f / "initdb").exists() and (f / "postgres").exists()), None)


@pytest.fixture(scope="session")
def server() -> Iterator[str]:
    """The URL of a server of this test run's own, reached through a socket in its folder."""
    programs = server_programs()
    if programs is None:
        pytest.skip("no PostgreSQL server here; install one with: apt install postgresql")
    folder = Path(tempfile.mkdtemp(prefix="propagate-pg-"))
    as_user: dict[str, Any] = {}
    if os.geteuid() == 0:
        shutil.chown(folder, ORDINARY)
        as_user = {"user": ORDINARY, "cwd": folder}
    data = folder / "data"
    quiet = {"stdout": subprocess.DEVNULL, "stderr": subprocess.STDOUT, **as_user}
    setup = [programs / "initdb", "-D", data, "-U", "book", "-A", "trust", "--no-sync"]
    subprocess.run([*setup, "--locale=C", "-E", "UTF8"], check=True, **quiet)
    own = ["-k", folder, "-c", "listen_addresses=", "-c", "shared_buffers=8MB"]
    process = subprocess.Popen([programs / "postgres", "-D", data, *own], **quiet)
    url = f"postgresql://book@/postgres?host={quote(str(folder), safe='')}"
    try:
        _wait_for(url, process)
        yield url
    finally:
        process.terminate()
        process.wait(20)
        shutil.rmtree(folder, ignore_errors=True)


def _wait_for(url: str, process: "subprocess.Popen[bytes]") -> None:
    import time

    import psycopg

    for _ in range(200):
        assert process.poll() is None, "the server went away"
        try:
            psycopg.connect(url).close()
        except psycopg.OperationalError:
            time.sleep(0.05)
        else:
            return
    raise AssertionError("the server did not answer in ten seconds")


@pytest.fixture
def url(server: str) -> str:
    """The URL of an empty schema of its own."""
    import psycopg

    schema = f"book_{os.getpid()}_{next(NUMBERS)}"
    with psycopg.connect(server, autocommit=True) as connection:
        connection.execute(f"CREATE SCHEMA {schema}")
    return f"{server}&options={quote(f'-c search_path={schema}')}"


@pytest.fixture(params=["file", "database"])
def opened(request: pytest.FixtureRequest, tmp_path: Path) -> Callable[[], Any]:
    """Open the same book, as often as called: in a file, and in a database."""
    if request.param == "file":
        return lambda: SqliteBook(tmp_path / "book.db")
    from propagate.store.postgres import PostgresBook

    where = request.getfixturevalue("url")
    return lambda: PostgresBook(where)
