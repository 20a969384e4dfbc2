"""The questions of a grower, put to an open nursery: which batches are meant, what is due."""

import datetime as dt
import subprocess
import sys
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from propagate.actions.answering import accounts_of, cases, due, forecast, forecast_batch, mothers
from propagate.actions.desk import Desk, open_desk
from propagate.actions.founding import found_nursery
from propagate.actions.meaning import as_known, batch_meant, batches_meant, subject_meant
from propagate.actions.recording import BatchPlan, record, start_batch
from propagate.errors import NotFound, Refused
from propagate.library.library import Match
from propagate.names import PlantName
from propagate.records import events

TODAY = dt.date(2026, 11, 25)
NOW = dt.datetime(2026, 11, 25, 9, tzinfo=dt.UTC)


@pytest.fixture
def desk(tmp_path: Path) -> Iterator[Desk]:
    found_nursery(tmp_path)
    with Desk(tmp_path, TODAY, NOW) as opened:
        yield opened


@pytest.fixture
def start(desk: Desk) -> Callable[..., str]:
    """Start a batch, by default 40 blackcurrant cuttings of 12 November; return its code."""

    def start_one(plant: str = "blackcurrant", method: str = "hardwood-cutting", **more) -> str:
        plan = {"count": 40, "on": dt.date(2026, 11, 12)} | more
        return start_batch(desk, BatchPlan(desk.library.resolve(plant), method, **plan)).code

    return start_one


def test_a_question_about_one_batch_reads_the_records_of_its_method_only(
    desk: Desk, start: Callable[..., str], monkeypatch: pytest.MonkeyPatch
) -> None:
    code, _ = start(), start("strawberry", "runner")
    desk.forget()
    asked: list[str] = []
    record_of = desk.library.record

    def spying(method_id: str, name: PlantName) -> Match:
        asked.append(method_id)
        return record_of(method_id, name)

    monkeypatch.setattr(desk.library, "record", spying)
    forecast(desk, [code])
    assert set(asked) == {"hardwood-cutting"}


def test_a_batch_is_meant_by_code_mark_or_tray(desk, start) -> None:
    code = start(mark="T1", trays=("row A", "row B"))
    for typed in (code, code.lower(), "T1", "t1", "row A", "ROW B", "rowb"):
        assert batch_meant(desk, typed) == code


def test_the_living_batch_is_meant_where_a_tray_is_used_again(desk, start) -> None:
    old = start(trays=("row A",), on=dt.date(2025, 11, 10))
    record(desk, events.Given(old, 40, account="waiting"), dt.date(2026, 10, 1))
    new = start(trays=("row A",))
    assert batch_meant(desk, "row A") == new
    assert batch_meant(desk, old) == old


def test_a_code_goes_before_a_tray_of_that_name(desk, start) -> None:
    first = start()
    start(trays=(first,))
    assert batch_meant(desk, first) == first


def test_a_plant_means_all_its_batches_and_a_cultivar_only_its_own(desk, start) -> None:
    plain = start("blackcurrant")
    jet = start("blackcurrant 'Alder Jet'")
    red = start("redcurrant")
    assert batches_meant(desk, "blackcurrant") == [plain, jet]
    assert batches_meant(desk, "blackcurrant 'Alder Jet'") == [jet]
    assert batches_meant(desk, "Ribes") == [plain, jet, red]


def test_what_is_written_down_is_never_guessed_from_a_plant(desk, start) -> None:
    code = start()
    with pytest.raises(Refused, match=f"is a plant; give the batch it is about: {code}"):
        batch_meant(desk, "blackcurrant")


def test_an_unknown_word_is_answered_with_the_nearest_of_the_book(desk, start) -> None:
    start(trays=("potting shed",), stock_plant="old bush")
    with pytest.raises(NotFound) as refusal:
        batches_meant(desk, "poting shed")
    assert refusal.value.near[0] == "potting shed"
    with pytest.raises(NotFound) as refusal:
        subject_meant(desk, "old bsh")
    assert refusal.value.near == ("old bush",)


def test_a_mother_is_meant_in_any_case(desk, start) -> None:
    start(stock_plant="Jet")
    assert subject_meant(desk, "jet") == "Jet"


def test_an_event_is_spelled_as_the_settings_and_the_ledger_do(desk, start) -> None:
    code = start()
    assert as_known(desk, events.Moved(code, "Sand  Bed")) == events.Moved(code, "sand bed")
    assert as_known(desk, events.Moved(code, "under the oak")) == events.Moved(
        code, "under the oak"
    )
    potted = events.PottedOn(code, 3, "9 CM POT")
    assert as_known(desk, potted) == events.PottedOn(code, 3, "9 cm pot")
    lost = events.Lost(code, 3, "mice", "Rooting")
    assert as_known(desk, lost) == events.Lost(code, 3, "mice", "waiting")


def test_batches_are_answered_in_the_order_they_were_started(desk, start) -> None:
    second = start(on=dt.date(2026, 11, 14))
    first = start(on=dt.date(2026, 11, 3))
    assert [case.state.code for case in cases(desk)] == [first, second]
    assert [answer.batch for answer in forecast(desk).batches] == [first, second]


def test_the_same_batch_asked_for_twice_is_answered_once(desk, start) -> None:
    code = start(mark="T1")
    answer = forecast(desk, [code, "T1", "blackcurrant"])
    assert [batch.batch for batch in answer.batches] == [code]
    assert answer.totals[0].plants == forecast(desk).totals[0].plants


def test_accounts_speak_the_words_of_the_method(desk, start) -> None:
    code = start("oak", "seed")
    record(desk, events.Checked(code, rooted=5, dead=2))
    assert accounts_of(desk, code) == {"germinating": 33, "up": 5, "lost": 2}


def test_one_batch_learns_from_its_sisters(desk, start) -> None:
    new = start(on=dt.date(2026, 11, 12))
    before = forecast_batch(desk, new).plants.mean
    for year in (2024, 2025):
        old = start(on=dt.date(year, 11, 12))
        record(desk, events.Checked(old, rooted=4, dead=36), dt.date(year + 1, 9, 1))
    assert forecast_batch(desk, new).plants.mean < before - 5


def test_promised_plants_are_not_free(desk, start) -> None:
    code = start()
    before = forecast_batch(desk, code)
    record(desk, events.Promised(code, 10, "Ann"))
    after = forecast_batch(desk, code)
    assert after.plants == before.plants
    assert after.free.mean == pytest.approx(before.free.mean - 10, abs=0.2)


def test_due_within_weeks_counts_from_today(desk, start) -> None:
    start()
    limit = TODAY + dt.timedelta(weeks=20)
    assert due(desk, 20) == [task for task in due(desk) if task.date <= limit]


def test_mothers_come_with_their_batches(desk, start) -> None:
    codes = [start(stock_plant="jet"), start(stock_plant="jet")]
    ((key, state, taken),) = mothers(desk)
    assert (key, str(state.name), taken) == ("jet", "Ribes nigrum", codes)


def test_a_desk_is_opened_from_a_folder_inside_the_nursery(desk, tmp_path) -> None:
    (tmp_path / "photos").mkdir()
    assert open_desk(tmp_path / "photos", TODAY, NOW).folder == tmp_path.resolve()


def test_one_batch_is_answered_from_its_own_method_alone(desk, start) -> None:
    """And as all are: other methods tell nothing of it."""
    codes = [start(), start("blackcurrant", "simple-layering"), start("gooseberry")]
    record(desk, events.Checked(codes[2], rooted=30, dead=10), TODAY)
    one = forecast(desk, codes[:1]).batches
    assert set(desk.lasting) == {"hardwood-cutting"}
    assert one == forecast(desk).batches[:1]
    assert set(desk.lasting) == {"hardwood-cutting", "simple-layering"}


ABREAST = """
import datetime as dt, sys
from pathlib import Path
from propagate import abreast
from propagate.actions import answering
from propagate.actions.desk import Desk

def ask(**how):
    with Desk(Path(sys.argv[1]), dt.date(2026, 11, 25), dt.datetime(2026, 11, 25, 9)) as desk:
        june = dt.date(2027, 6, 1)
        told = [answering.forecast(desk, **how), answering.forecast(desk, by=june, **how)]
        told.append(answering.due(desk, **how))
    with Desk(Path(sys.argv[1]), dt.date(2026, 11, 25), dt.datetime(2026, 11, 25, 9)) as desk:
        return told, answering.due(desk, **how)

usual = ask()
answering.LARGE, abreast.hands = 1, lambda: 2
begun = []
begin = abreast._Away.__init__
abreast._Away.__init__ = lambda *those: (begun.append(1), begin(*those))[1]
assert ask(last=True) == usual
assert len(begun) == 4, begun
"""


@pytest.mark.skipif(
    sys.platform != "linux",
    reason="work is forked on Linux alone; elsewhere one process does all of it",
)
def test_a_book_worked_out_by_two_processes_is_answered_alike(
    desk: Desk, start: Callable[..., str]
) -> None:
    code, other, _ = start(), start("gooseberry"), start("strawberry", "runner")
    record(desk, events.Checked(code, rooted=12), on=dt.date(2026, 11, 20))
    record(desk, events.Checked(other, rooted=7), on=dt.date(2026, 11, 21))
    run = [sys.executable, "-c", ABREAST, str(desk.folder)]
    done = subprocess.run(run, capture_output=True, text=True)
    assert done.stderr == ""
    assert done.returncode == 0
