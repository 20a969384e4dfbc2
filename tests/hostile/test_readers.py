"""Every reader of files and typed words: what it says, or one parent of errors, and soon."""

import datetime as dt
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from propagate import codes
from propagate.actions.calendars import write_calendar
from propagate.actions.desk import Desk, library_only
from propagate.actions.founding import found_nursery
from propagate.csvcells import guard, unguard
from propagate.days import read_day, read_day_ahead
from propagate.errors import PropagateError
from propagate.ledger import fold
from propagate.legible import legible, shown
from propagate.lengths import read_length
from propagate.library import Library
from propagate.names import parse
from propagate.paper.formatfiles import read_format
from propagate.paths import labels_folder, methods_folder
from propagate.planning.notebook import COLUMNS, read_notebook
from propagate.records.answers import DueTask
from propagate.records.nursery import LoggerColumns, WeatherFile
from propagate.settings import read_settings
from propagate.weather.files import read_file
from tests.hostile.words import ESCAPES, HOSTILE, hostile

TODAY = dt.date(2026, 11, 25)
NOW = dt.datetime(2026, 11, 25, 18, tzinfo=dt.UTC)
some = settings(
    max_examples=40,
    derandomize=True,
    deadline=None,
    suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow],
)
many = settings(some, max_examples=100)
LIBRARY = library_only()


# Typed words


@many
@given(hostile)
def test_typed_words_are_read_or_refused(text: str) -> None:
    for read in (parse, read_length, codes.read, legible, LIBRARY.resolve):
        refused_or_read(read, text)
    for read_a_day in (read_day, read_day_ahead):
        refused_or_read(lambda typed, read=read_a_day: read(typed, TODAY), text)


def refused_or_read(read, text):
    """What the reader makes of it, None where it refuses with a sentence."""
    try:
        return read(text)
    except PropagateError:
        return None


@many
@given(st.text(alphabet="0123456789/-. JanFeb年'\"‘x×()cv+", max_size=24))
def test_words_that_nearly_are_right_are_read_or_refused(text: str) -> None:
    test_typed_words_are_read_or_refused.hypothesis.inner_test(text)


@given(hostile)
def test_what_is_kept_is_clean_and_cleaning_it_again_changes_nothing(text: str) -> None:
    kept = refused_or_read(legible, text)
    if kept is not None:
        assert legible(kept) == kept
        assert shown(kept) == kept


@pytest.mark.parametrize("text", ESCAPES)
def test_a_screen_obeys_nothing_that_is_shown(text: str) -> None:
    assert shown(text).isprintable()


@given(hostile)
def test_a_cell_comes_back_as_it_was_and_runs_nowhere(text: str) -> None:
    assert unguard(guard(text)) == text
    assert guard(text)[:1] not in ("=", "+", "-", "@", "\t", "\r")


# Files that a grower writes


@st.composite
def notebooks(draw: st.DrawFn) -> str:
    """A table much like a notebook: right and wrong columns, right and wrong cells."""
    header = draw(st.lists(st.one_of(st.sampled_from(list(COLUMNS)), hostile), max_size=8))
    header = draw(st.sampled_from([header, ["date", "what", "batch", "count", "plant", "method"]]))
    sound = ["2026-11-20", "start", "check", "T1", "40", "fig", "runner", "give", "Hilda"]
    cell = st.one_of(st.sampled_from(sound), hostile)
    rows = draw(st.lists(st.lists(cell, max_size=len(header) + 1), max_size=5))
    return "\n".join(",".join(row) for row in [header, *rows])


@many
@given(notebooks())
def test_a_notebook_is_read_or_its_lines_are_named(text: str) -> None:
    _, problems = read_notebook(text, "book.csv", LIBRARY, TODAY)
    assert all(str(problem).startswith("book.csv, line ") for problem in problems)


@some
@given(st.one_of(notebooks(), st.binary(max_size=60).map(lambda b: b.decode("latin-1"))))
def test_a_refused_notebook_leaves_the_book_as_it_was(tmp_path: Path, text: str) -> None:
    from propagate.actions.importing import import_notebook

    folder = tmp_path / "bench"
    if not folder.exists():
        found_nursery(folder, "Bench")
    file = tmp_path / "book.csv"
    file.write_text(text, encoding="utf-8", errors="surrogateescape")
    with Desk(folder, TODAY, NOW) as desk:
        before = desk.store.entries()
        try:
            import_notebook(desk, file)
        except PropagateError:
            assert desk.store.entries() == before


def bent(sound: str) -> st.SearchStrategy[str]:
    """A sound file with a piece cut out, doubled, or replaced by a hostile word."""

    @st.composite
    def bend(draw: st.DrawFn) -> str:
        a, b = sorted(draw(st.tuples(st.integers(0, len(sound)), st.integers(0, len(sound)))))
        b = min(b, a + draw(st.integers(0, 40)))
        middle = draw(st.one_of(st.just(sound[a:b] * 2), hostile, st.just("")))
        return sound[:a] + middle + sound[b:]

    return bend()


SETTINGS = """name = "Bench"
hemisphere = "south"
last_frost = "10-05"
chance = 0.8
check_every_weeks = 4
[places."propagator"]
temp_c = [18, 24]
size_m2 = 1.5
[containers."9 cm pot"]
litres = 0.3
[beds."row"]
plants_wanted = 12
[labels]
format = "tray-a4"
[weather.normals]
min_c = [1, 1, 3, 4, 8, 11, 13, 13, 10, 7, 4, 2]
max_c = [7, 8, 11, 14, 18, 20, 23, 22, 19, 14, 10, 7]
spread_c = 1.5
"""


@many
@given(bent(SETTINGS))
def test_settings_are_read_or_refused(tmp_path: Path, text: str) -> None:
    (tmp_path / "nursery.toml").write_text(text, encoding="utf-8", errors="surrogatepass")
    refused_or_read(read_settings, tmp_path)


METHOD = (methods_folder() / "runner.toml").read_text(encoding="utf-8")[:2500]


@some
@given(bent(METHOD))
def test_a_method_is_read_or_its_slips_are_named(tmp_path: Path, text: str) -> None:
    file = tmp_path / "runner.toml"
    file.write_text(text, encoding="utf-8", errors="surrogatepass")
    own = Library((tmp_path,))
    refused_or_read(own.method, "runner")
    assert all(str(problem) for problem in own.problems)


FORMAT = (labels_folder() / "tray-a4.toml").read_text(encoding="utf-8")


@some
@given(bent(FORMAT))
def test_a_label_format_is_read_or_refused(tmp_path: Path, text: str) -> None:
    file = tmp_path / "mine.toml"
    file.write_text(text, encoding="utf-8", errors="surrogatepass")
    refused_or_read(lambda name: read_format(name, (labels_folder(), tmp_path)), "mine")


# Temperatures

LOGGED = "Time,Temp\n" + "".join(f"2026-11-01 {hour:02d}:00,{hour % 12}\n" for hour in range(24))
DLY = "XX000000001202611TMIN" + "".join(f"{-10 + day:5d}   " for day in range(31)) + "\n"
DLY += DLY.replace("TMIN", "TMAX").replace("   ", "  S")
ROWS = "XX000000001,20261101,TMIN,12,,,S,\nXX000000001,20261101,TMAX,90,,,S,\n"
WIDE = '"STATION","DATE","TMAX","TMIN"\n"XX000000001","2026-11-01","90","12"\n'
LOGGER = WeatherFile("a", "file", unit="C", columns=LoggerColumns("Time", "Temp", "Temp"))
STATION = WeatherFile("b", "file")
STATION_C = WeatherFile("c", "file", unit="C")


@many
@given(
    st.sampled_from([LOGGED, DLY, ROWS, WIDE]).flatmap(bent),
    st.sampled_from([LOGGER, STATION, STATION_C]),
)
def test_temperatures_are_read_or_complained_of(
    tmp_path: Path, text: str, file: WeatherFile
) -> None:
    (tmp_path / "file").write_text(text, encoding="utf-8", errors="surrogatepass")
    reading = read_file(file, tmp_path)
    assert reading.temps is not None or reading.problems


@some
@given(st.binary(max_size=200), st.sampled_from([LOGGER, STATION]))
def test_any_bytes_are_complained_of(tmp_path: Path, content: bytes, file: WeatherFile) -> None:
    (tmp_path / "file").write_bytes(content)
    assert read_file(file, tmp_path).problems or not content.strip()


# A calendar read back


@some
@given(st.lists(hostile, min_size=4, max_size=4))
def test_a_calendar_says_what_was_put_into_it(tmp_path: Path, words: list[str]) -> None:
    from icalendar import Calendar

    action, why, place, batch = (clean(word) for word in words)
    desk = Desk(tmp_path / "bench", TODAY, NOW)
    if not desk.folder.exists():
        found_nursery(desk.folder, "Bench")
    from propagate.records.events import Entry, Started

    started = Entry(1, "e1", TODAY, NOW, Started(batch, parse("Ribes nigrum"), "runner", 1))
    desk.keep(fold((started,)))
    task = DueTask(TODAY, batch, parse("Ribes nigrum"), action, why, place)
    (tmp_path / "due.ics").unlink(missing_ok=True)  # an older file would be revised
    write_calendar(desk, [task], tmp_path / "due.ics")
    content = (tmp_path / "due.ics").read_bytes()
    assert all(len(line) <= 75 for line in content.split(b"\r\n"))  # RFC 5545 section 3.1
    (event,) = Calendar.from_ical(content).walk("VEVENT")
    assert str(event["summary"]) == f"{action}: Ribes nigrum ({batch})"
    assert str(event["description"]) == why


def clean(word: str) -> str:
    """The word as the book would hold it; a plain one where the book refuses it."""
    return refused_or_read(legible, word) or "plain"


def test_no_word_takes_long_however_long_it_is() -> None:
    """Each of them so often that a reader whose work grows with the square would never end."""
    for word in HOSTILE:
        if word:
            test_typed_words_are_read_or_refused.hypothesis.inner_test(word * (5_000 // len(word)))
