"""Some of a batch goes elsewhere and becomes a batch: no plant is lost, made or judged anew."""

import datetime as dt
from collections.abc import Iterator
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest
from attrs import evolve
from hypothesis import given
from hypothesis import strategies as st

from propagate.actions.answering import forecast_batch
from propagate.actions.desk import Desk
from propagate.actions.founding import found_nursery
from propagate.actions.parting import part
from propagate.actions.recording import BatchPlan, record, start_batch, suspect
from propagate.actions.takingback import take_back, undo
from propagate.errors import Refused
from propagate.ledger import fold
from propagate.ledger.family import line_above
from propagate.names import parse
from propagate.records import events

TODAY = dt.date(2027, 3, 20)
NOW = dt.datetime(2027, 3, 20, 12, tzinfo=dt.UTC)
CURRANT = parse("Ribes nigrum")
STRUCK = dt.date(2027, 3, 1)


@pytest.fixture
def desk(tmp_path: Path) -> Iterator[Desk]:
    with Desk(tmp_path, TODAY, NOW) as opened:
        yield opened


def start(desk: Desk, count: int = 40, **more: object) -> str:
    given = {"place": "bench", "trays": ("A", "B"), "stock_plant": "Bess", **more}
    plan = BatchPlan(CURRANT, "hardwood-cutting", count, STRUCK, **given)  # type: ignore[arg-type]
    return start_batch(desk, plan).code


def move(code: str, *trays: str) -> events.Moved:
    return events.Moved(code, "cold frame", trays)


def day(of_march: int) -> dt.date:
    return dt.date(2027, 3, of_march)


def test_a_part_is_a_batch_in_its_own_tray_and_place_and_as_old_as_the_whole(desk: Desk) -> None:
    code = start(desk)
    record(desk, events.Moved(code, "shed"), day(10))
    fresh = part(desk, move(code, "B"), 15)
    whole, new = desk.book.batch(code), desk.book.batch(fresh)
    assert (whole.count, whole.living, whole.trays, whole.place) == (25, 25, ("A",), "shed")
    assert (new.count, new.living, new.trays, new.place) == (15, 15, ("B",), "cold frame")
    assert new.on == whole.on == STRUCK
    assert new.places == [(STRUCK, "bench"), (day(10), "shed"), (TODAY, "cold frame")]
    assert new.started.stock_plant == "Bess"


def test_a_part_is_forecast_as_if_two_batches_had_been_started(tmp_path: Path) -> None:
    """To the last digit: what is one batch of 25 and one of 15 may not depend on how it came."""
    answers = []
    for name in ("parted", "by hand"):
        found_nursery(tmp_path / name)
        with Desk(tmp_path / name, TODAY, NOW) as desk:
            if name == "parted":
                first = start(desk)
                second = part(desk, move(first, "B"), 15)
            else:
                first, second = start(desk, 25), start(desk, 15)
            record(desk, events.Checked(second, 2, 1), day(20))
            made = [forecast_batch(desk, code) for code in (first, second)]
            answers.append([(answer.plants, answer.pot_on) for answer in made])
    assert answers[0] == answers[1]


@given(
    st.integers(2, 60),
    st.integers(1, 60),
    st.lists(st.tuples(st.integers(1, 20), st.integers(1, 20)), max_size=3),
)
def test_no_plant_is_lost_or_made_on_any_day_by_parting_and_taking_it_back(
    count: int, share: int, mice: list[tuple[int, int]]
) -> None:
    with TemporaryDirectory() as folder, Desk(Path(folder), TODAY, NOW) as desk:
        code = start(desk, count)
        for eaten, on in mice:
            if eaten < desk.book.batch(code).living:
                record(desk, events.Lost(code, eaten), day(on))
        before, told = totals(desk), fold(desk.book.entries).batches
        try:
            part(desk, move(code, "B"), share)
        except Refused:
            assert share >= count - sum(eaten for eaten, _ in mice)
            assert fold(desk.book.entries).batches == told
            return
        assert totals(desk) == before
        undo(desk)
        assert totals(desk) == before
        assert fold(desk.book.entries).batches == told


def totals(desk: Desk) -> list[tuple[int, int]]:
    """Of all batches, what was ever started and what lives, day by day."""
    days = [STRUCK + dt.timedelta(days=n) for n in range(20)]
    books = [fold(desk.book.entries, until=day) for day in days]
    return [
        (sum(s.count for s in b.batches.values()), sum(s.living for s in b.batches.values()))
        for b in books
    ]


@pytest.mark.parametrize("share", [40, 41])
def test_all_of_a_batch_is_no_part_of_it(desk: Desk, share: int) -> None:
    code = start(desk)
    with pytest.raises(Refused, match="40 wait in it, and some must stay"):
        part(desk, move(code), share)


@pytest.mark.parametrize(
    "seen",
    [
        events.Checked("?", 0, None),
        events.Checked("?", None, 1),
        events.Checked("?", 1, 0, 5),
        events.PottedOn("?", 3),
    ],
)
def test_what_was_looked_into_is_parted_no_more(desk: Desk, seen: events.Event) -> None:
    code = start(desk)
    record(desk, evolve(seen, batch=code))
    with pytest.raises(Refused, match="cannot be parted any more"):
        part(desk, move(code), 5)
    undo(desk)
    part(desk, move(code), 5)


def test_a_part_shares_what_is_suspected_of_the_whole_and_stands_below_it(desk: Desk) -> None:
    code = start(desk, stock_plant="")
    suspect(desk, code, "wilt")
    fresh = part(desk, move(code), 5)
    suspect(desk, code, "mixed up", about="name")
    assert [doubt.why for doubt in desk.book.batch(fresh).doubts] == ["wilt", "mixed up"]
    assert [kin.key for kin in line_above(desk.book, "batch", fresh)] == [code]


def test_either_side_of_a_parting_takes_back_all_of_it(desk: Desk) -> None:
    code = start(desk)
    for at in (0, -1):
        before = fold(desk.book.entries).batches
        fresh = part(desk, move(code, "B"), 5)
        sides = [e for e in desk.book.effective() if _tells_of_parting(e.event, fresh)]
        assert len(sides) == 2
        take_back(desk, sides[at].seq)
        assert fold(desk.book.entries).batches == before


def _tells_of_parting(event: events.Event, fresh: str) -> bool:
    started = isinstance(event, events.Started) and event.batch == fresh
    return started or (isinstance(event, events.Parted) and event.into == fresh)


def test_a_part_that_has_a_life_of_its_own_is_not_taken_back(desk: Desk) -> None:
    fresh = part(desk, move(start(desk)), 5)
    number = next(e.seq for e in desk.book.effective() if isinstance(e.event, events.Parted))
    record(desk, events.Lost(fresh, 1))
    with pytest.raises(Refused, match="rests on that one"):
        take_back(desk, number)


def test_a_part_can_be_parted(desk: Desk) -> None:
    code = start(desk)
    first = part(desk, move(code), 20)
    second = part(desk, events.Moved(first, "shed"), 8)
    assert [desk.book.batch(each).living for each in (code, first, second)] == [20, 12, 8]
    undo(desk)
    assert [desk.book.batch(each).living for each in (code, first)] == [20, 20]
