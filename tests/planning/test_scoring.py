"""Kept forecasts beside what came: which are judged, on what, and against which simple rules."""

import datetime as dt

import pytest
from attrs import evolve

from propagate.ledger import Book, fold
from propagate.names import parse
from propagate.planning.case import Case
from propagate.planning.scoring import ripened, track_record
from propagate.records import events
from propagate.records.events import Entry
from propagate.records.given import ForecastGiven
from propagate.records.methods import Figure, Gate, Method, MethodRecord, Season, Stage
from propagate.records.nursery import Nursery
from propagate.records.scores import Score, Tally, TrackRecord
from propagate.settings import COMMON_FROSTS

DAY = dt.date(2027, 3, 1)
NOW = dt.datetime(2027, 3, 1, tzinfo=dt.UTC)
NORTH = Nursery("Bench", "north", **COMMON_FROSTS["north"])
CURRANT = parse("Ribes nigrum")


def day(number: int) -> dt.date:
    return DAY + dt.timedelta(days=number)


def entries(*lines) -> list[Entry]:
    """Entries e1, e2, ... of days and events, in the order of writing."""
    return [Entry(seq, f"e{seq}", day(on), NOW, event) for seq, (on, event) in enumerate(lines, 1)]


def started(code: str = "A", count: int = 40, plant=CURRANT) -> events.Started:
    return events.Started(code, plant, "way", count)


def told(after: str, *, code: str = "A", low=22, likely=28, high=33, window=(60, 70, 80)):
    """A forecast given after the entry of this id."""
    quantiles = (low - 1, low, likely, likely, likely, high, high + 1)
    days = (day(number) for number in window)
    return ForecastGiven(code, after, low, likely, high, 0.8, quantiles, *days)


def case_of(book: Book, code: str, gate: Gate = "any") -> Case:
    """A batch by a method of which 60 to 90 % take."""
    take = Figure(0.6, 0.9, "memory")
    stage = Stage("rooting", "take", Figure(6, 12, "memory"), take, gate=gate)
    record = MethodRecord("way", None, (stage,), Season(("dormant",), (11,)))
    words = ("way", "way", "A way.", "cutting", "cuttings", "rooting", "rooted", "pot on")
    way = Method(*words, ("Do it.",), "sand", record)
    return Case(book.batch(code), way, record, "A record.")


def judged(*lines, gate: Gate = "any", wanted=None) -> TrackRecord:
    book = fold(entries(*lines))
    assert book.conflicts == []
    cases = [case_of(book, code, gate) for code in book.batches]
    return track_record(cases, book, NORTH, wanted)


def only(record: TrackRecord) -> Score:
    (score,) = record.scores
    return score


START = [(0, started()), (0, told("e1"))]
DONE = (70, events.Checked("A", rooted=31, dead=9))


def test_a_forecast_is_scored_by_what_rooted() -> None:
    score = only(judged(*START, DONE))
    assert (score.batch, score.stage, score.given) == ("A", "at the start", DAY)
    assert (score.likely, score.outcome, score.hit) == (28, 31, True)
    assert not only(judged(*START, (70, events.Checked("A", rooted=34, dead=6)))).hit
    assert 0 < score.crps < 3


def test_nothing_is_judged_while_something_waits() -> None:
    record = judged(*START, (70, events.Checked("A", rooted=31, dead=8)))
    assert record == TrackRecord((), (), open=1, set_aside=0)


def test_plants_lost_after_they_had_rooted_had_come_all_the_same() -> None:
    mice = (90, events.Lost("A", 20, "mice", "rooted"))
    gone = (95, events.PlantedOut("A", 5, "hedge"))
    assert only(judged(*START, DONE, mice, gone)).outcome == 31


def test_plants_lost_before_a_forecast_were_no_part_of_it() -> None:
    look = (40, events.Checked("A", rooted=12, dead=4))
    mice = (41, events.Lost("A", 5, "mice", "rooted"))
    again = (42, events.Checked("A", rooted=7))
    done = (70, events.Checked("A", rooted=20, dead=11))
    # 7 stand rooted when the forecast is given, 13 more root; the 5 eaten are not foretold.
    assert only(judged((0, started()), look, mice, again, (42, told("e4")), done)).outcome == 20
    # Given before the mice came, it had spoken of those 5 too.
    assert only(judged((0, started()), look, (40, told("e2")), mice, again, done)).outcome == 25


def test_what_was_known_is_what_had_been_written_not_what_had_happened() -> None:
    look = (40, events.Checked("A", rooted=12, dead=4))
    mice = (41, events.Lost("A", 5, "mice", "rooted"))
    done = (70, events.Checked("A", rooted=20, dead=11))
    assert only(judged((0, started()), look, mice, (45, told("e2")), done)).outcome == 20
    # Written down after the forecast, it was still counting on those five.
    assert only(judged((0, started()), look, (45, told("e2")), mice, done)).outcome == 25


def test_propagules_lost_while_they_waited_failed() -> None:
    look = (70, events.Checked("A", rooted=25))
    dumped = (90, events.Lost("A", 15, "never rooted"))
    assert only(judged(*START, look, dumped)).outcome == 25


@pytest.mark.parametrize(
    "left",
    [
        events.Given("A", 40, "Ann", "waiting"),
        events.PlantedOut("A", 40, "hedge", "waiting"),
        events.Recounted("A", 30, "ten never were"),
        events.Recounted("A", 44, "four more"),
    ],
)
def test_where_not_all_was_seen_or_the_number_was_wrong_nothing_is_judged(left) -> None:
    rest = left.count if isinstance(left, events.Recounted) else 0
    dumped = [(91, events.Lost("A", rest))] if rest else []
    record = judged(*START, (90, left), *dumped)
    assert (record.scores, record.set_aside, record.open) == ((), 1, 0)


def test_a_forecast_given_after_a_recount_is_judged() -> None:
    recount = (10, events.Recounted("A", 36, "four never were"))
    look = (40, events.Checked("A", rooted=10))
    done = (70, events.Checked("A", rooted=30, dead=6))
    score = only(judged(*START, recount, look, (40, told("e4")), done))
    assert (score.stage, score.outcome) == ("after a check", 30)


def test_potted_straight_from_the_tray_is_rooted() -> None:
    potted = (70, events.PottedOn("A", 26))
    assert only(judged(*START, potted, (71, events.Lost("A", 14)))).outcome == 26


def test_a_forecast_goes_with_the_entry_that_it_followed() -> None:
    slip = (40, events.Checked("A", rooted=39))
    lines = [*START, slip, (40, told("e3", likely=39, high=40)), (40, events.Voided("e3", "slip"))]
    assert [score.stage for score in judged(*lines, DONE).scores] == ["at the start"]
    assert judged((0, started()), (0, told("e1")), (0, events.Voided("e1"))).scores == ()


def test_what_was_certain_when_it_was_said_is_no_forecast() -> None:
    record = judged(*START, DONE, (70, told("e3", low=31, likely=31, high=31)))
    assert [score.stage for score in record.scores] == ["at the start"]
    assert judged((0, started()), DONE, (70, told("e2"))) == TrackRecord((), (), 0, 0)


def test_only_the_first_forecast_after_a_check_counts() -> None:
    looks = [(30 + n, events.Checked("A", rooted=n)) for n in range(3)]
    forecasts = [(30 + n, told(f"e{3 + 2 * n}", likely=28 + n)) for n in range(3)]
    lines = [line for pair in zip(looks, forecasts, strict=True) for line in pair]
    record = judged(*START, *lines, DONE)
    assert [(s.stage, s.likely) for s in record.scores] == [
        ("at the start", 28),
        ("after a check", 28),
    ]


def test_the_library_alone_says_its_middle_of_those_that_wait() -> None:
    look = (40, events.Checked("A", rooted=12, dead=8))
    done = (70, events.Checked("A", rooted=27, dead=5))
    at_start, after = judged(*START, look, (40, told("e3")), done).scores
    assert at_start.by_library == pytest.approx(0.75 * 40)
    assert after.by_library == pytest.approx(12 + 0.75 * 20)


def test_last_time_is_the_batch_of_its_kind_that_ended_before() -> None:
    first = [(0, started("O", 20)), (60, events.Checked("O", rooted=10, dead=10))]
    later = [(80, started("A")), (80, told("e3"))]
    done = (150, events.Checked("A", rooted=31, dead=9))
    assert only(judged(*first, *later, done)).by_last_time == pytest.approx(0.5 * 40)
    # Ended after the forecast was given, or of another plant, it was no help then.
    open_then = [first[0], (80, started("A")), (80, told("e2")), first[1]]
    assert only(judged(*open_then, done)).by_last_time == pytest.approx(0.75 * 40)
    other = [(0, started("O", 20, parse("Ribes rubrum"))), first[1]]
    assert only(judged(*other, *later, done)).by_last_time == pytest.approx(0.75 * 40)


def test_only_the_batches_wanted_are_judged_but_the_others_are_last_time() -> None:
    first = [(0, started("O", 20)), (0, told("e1", code="O"))]
    ended = (60, events.Checked("O", rooted=10, dead=10))
    later = [(80, started("A")), (80, told("e4"))]
    done = (150, events.Checked("A", rooted=31, dead=9))
    assert only(judged(*first, ended, *later, done, wanted=["A"])).by_last_time == 20


# When it was worth potting on


def ripe(*lines) -> tuple[int, int] | None:
    found = ripened(case_of(fold(entries((0, started()), *lines)), "A"))
    return found and tuple((on - DAY).days for on in found)


def test_it_ripened_between_the_look_that_showed_too_few_and_that_which_showed_enough() -> None:
    looks = [
        (30, events.Checked("A", rooted=2)),
        (50, events.Checked("A", rooted=20)),
        (64, events.Checked("A", rooted=26)),
        (80, events.Checked("A", rooted=30, dead=10)),
    ]
    assert ripe(*looks) == (51, 64)  # 80 % of 30 are 24
    assert ripe(looks[3]) == (1, 80)
    assert ripe((30, events.Checked("A", 2, sample=10)), (40, events.Lost("A", 40))) is None


def test_a_sample_does_not_tell_when_it_ripened() -> None:
    sample = (30, events.Checked("A", rooted=2, sample=10))
    assert ripe(sample, (80, events.PottedOn("A", 30))) == (1, 80)


@pytest.mark.parametrize(
    ("looked", "found", "held"),
    [
        (55, 65, True),  # within, as far as anybody knows
        (62, 75, True),
        (30, 59, False),  # before the window of days 60 to 80
        (80, 95, False),  # after it
        (30, 95, None),  # nobody looked in between
    ],
)
def test_a_window_holds_when_the_looks_do_not_speak_against_it(looked, found, held) -> None:
    look = (looked, events.Checked("A", rooted=2))
    done = (found, events.Checked("A", rooted=30, dead=10))
    assert only(judged(*START, look, done)).in_window is held


def test_a_window_in_a_season_is_compared_with_the_season_that_was() -> None:
    autumn = [(dt.date(2027, 11, 5) - DAY).days] * 3
    lines = [(0, started()), (0, told("e1", window=autumn)), (60, events.Checked("A", rooted=2))]
    summer = (100, events.Checked("A", rooted=30, dead=10))  # roots in June, lifted in November
    assert only(judged(*lines, summer, gate="after growth")).in_window is True
    assert only(judged(*lines, summer)).in_window is False


# What it adds up to


@pytest.fixture
def two_plants() -> TrackRecord:
    red = parse("Ribes rubrum")
    return judged(
        (0, started("A")),
        (0, told("e1", likely=28)),
        (0, started("B", plant=red)),
        (0, told("e3", code="B", likely=30)),
        (70, events.Checked("A", rooted=31, dead=9)),
        (70, events.Checked("B", rooted=15, dead=25)),
    )


def test_tallies_are_of_all_then_of_each_plant(two_plants) -> None:
    named = [(tally.plant and str(tally.plant), tally.batches) for tally in two_plants.tallies]
    assert named == [(None, 2), ("Ribes nigrum", 1), ("Ribes rubrum", 1)]


def test_a_tally_is_the_mean_over_its_batches(two_plants) -> None:
    tally = two_plants.tallies[0]
    assert tally.off_by == pytest.approx((3 + 15) / 2)
    assert tally.too_many == pytest.approx((-3 + 15) / 2)
    # The second batch has the first for no example, being of another plant: 0.75 x 40 both.
    assert tally.off_by_library == tally.off_by_last_time == pytest.approx((1 + 15) / 2)
    assert tally.crps == pytest.approx(sum(score.crps for score in two_plants.scores) / 2)
    assert (tally.hits, tally.inner_hits, tally.chance) == (1, 1, 0.8)
    assert tally.hit_low < 0.5 < tally.hit_high


def test_on_the_end_of_a_range_is_a_hit_that_does_not_make_it_too_wide() -> None:
    lines = []
    for n in range(12):
        code, seq = f"B{n}", 1 + 3 * n
        look = (70, events.Checked(code, rooted=33, dead=7))
        forecast = told(f"e{seq}", code=code, low=33, likely=33, high=33)
        lines += [(0, started(code)), (0, forecast), look]
    tally = judged(*lines).tallies[0]
    assert (tally.hits, tally.inner_hits) == (12, 0)
    assert tally.fits


def test_hits_that_cannot_be_what_was_promised_do_not_fit(two_plants) -> None:
    tally: Tally = two_plants.tallies[0]
    assert tally.fits
    assert not evolve(tally, hit_low=0.2, hit_high=0.7).fits
    assert not evolve(tally, hit_low=0.85, hit_high=1.0).fits
