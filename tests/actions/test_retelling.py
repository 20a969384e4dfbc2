"""A season written down afterwards foretells what it would have foretold as it went."""

import datetime as dt
from pathlib import Path

import pytest

from propagate.actions.desk import Desk
from propagate.actions.founding import found_nursery
from propagate.actions.importing import import_notebook
from propagate.actions.recording import BatchPlan, record, start_batch
from propagate.errors import Refused
from propagate.records import events
from propagate.records.given import ForecastGiven

NOW = dt.datetime(2026, 11, 20, 9, tzinfo=dt.UTC)
TODAY = dt.date(2026, 11, 20)
FIRST, LOOK, SECOND = dt.date(2026, 5, 1), dt.date(2026, 5, 29), dt.date(2026, 6, 2)
NOTEBOOK = f"""date,what,batch,plant,method,count,rooted,dead
{FIRST},start,A,strawberry,runner,40,,
{SECOND},start,B,strawberry,runner,30,,
{LOOK},check,A,,,,38,1
"""


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    found_nursery(tmp_path / "afterwards")
    found_nursery(tmp_path / "live")
    return tmp_path


def foretold(desk: Desk) -> list[tuple[dt.date, tuple[int, ...], dt.date]]:
    return [
        (entry.on, entry.event.quantiles, entry.event.likely_day)
        for entry in desk.book.entries
        if isinstance(entry.event, ForecastGiven)
    ]


def taken(folder: Path, text: str) -> Desk:
    desk = Desk(folder, TODAY, NOW)
    (folder / "season.csv").write_text(text, encoding="utf-8")
    import_notebook(desk, folder / "season.csv")
    return desk


def test_a_notebook_foretells_what_the_book_would_have_said_on_the_day(folder) -> None:
    def live(day: dt.date) -> Desk:
        return Desk(folder / "live", day, NOW)

    def start(day: dt.date, count: int) -> str:
        with live(day) as desk:
            plan = BatchPlan(desk.library.resolve("strawberry"), "runner", count, day)
            return start_batch(desk, plan).code

    first = start(FIRST, 40)
    with live(LOOK) as desk:
        record(desk, events.Checked(first, rooted=38, dead=1), foretell=True)
    start(SECOND, 30)
    with live(TODAY) as desk, taken(folder / "afterwards", NOTEBOOK) as after:
        assert len(foretold(desk)) == 3
        assert foretold(after) == foretold(desk)


def test_nothing_is_foretold_with_hindsight(folder) -> None:
    """Days before what already stands in the book would be foretold knowing what came."""
    with taken(folder / "live", NOTEBOOK) as desk:
        told = foretold(desk)
        before = f"date,what,batch,plant,method,count\n{FIRST},start,C,strawberry,runner,20\n"
        (folder / "live" / "more.csv").write_text(before, encoding="utf-8")
        import_notebook(desk, folder / "live" / "more.csv")
        assert foretold(desk) == told


def test_a_refused_notebook_leaves_the_book_in_memory_as_it_was(folder) -> None:
    with taken(folder / "live", NOTEBOOK) as desk:
        before = (
            desk.book.entries,
            {code: dict(s.balances) for code, s in desk.book.batches.items()},
        )
        (folder / "live" / "bad.csv").write_text(
            "date,what,batch,plant,method,count\n"
            f"{TODAY},start,C,strawberry,runner,20\n{TODAY},pot-on,A,,,99\n",
            encoding="utf-8",
        )
        with pytest.raises(Refused, match=r"bad\.csv, line 3"):
            import_notebook(desk, folder / "live" / "bad.csv")
        after = desk.book.entries, {code: dict(s.balances) for code, s in desk.book.batches.items()}
        assert after == before
