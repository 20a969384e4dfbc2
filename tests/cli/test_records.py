"""The record of the book's forecasts in words."""

import datetime as dt

import pytest
from attrs import evolve

from propagate.cli.records import tell_record
from propagate.names import parse
from propagate.records.scores import Score, Tally, TrackRecord

DAY = dt.date(2027, 3, 1)
CURRANT = parse("Ribes nigrum")
ALL = Tally(
    plant=None,
    stage="at the start",
    batches=12,
    off_by=3.14,
    too_many=1.2,
    crps=2.2,
    off_by_library=6.8,
    off_by_last_time=5.2,
    hits=10,
    inner_hits=8,
    chance=0.8,
    hit_low=0.55,
    hit_high=0.95,
    windows=7,
    window_hits=5,
)


def score(batch: str) -> Score:
    given = (batch, CURRANT, "way", "at the start", DAY)
    return Score(*given, 22, 28, 33, 0.8, 31, 2.2, 30.0, 30.0, DAY, DAY)


def record(*tallies: Tally, **more) -> TrackRecord:
    scores = tuple(score(f"B{n}") for n in range(tallies[0].batches)) if tallies else ()
    return TrackRecord(tallies, scores, **({"open": 0, "set_aside": 0} | more))


@pytest.fixture
def said(capsys):
    def said_of(told: TrackRecord) -> str:
        tell_record(told)
        return capsys.readouterr().out

    return said_of


def test_a_book_that_has_nothing_to_judge_says_how_it_will_come(said) -> None:
    text = said(record(open=3))
    assert text.startswith("No batch that can be judged yet: the book keeps what it foretells")
    assert "Still waiting: 3 batches." in text
    assert "off by" not in text


def test_the_book_stands_beside_the_simple_rules(said) -> None:
    text = said(record(ALL, evolve(ALL, plant=CURRANT)))
    assert "12 batches of which the book foretold the plants can be judged." in text
    assert (
        "Foretold at the start, the likely number was off by 3.1 plants on average (2.2 when its "
        "range is counted too, the score called CRPS); the middle of the library's take would "
        "have been off by 6.8, the share of the last such batch by 5.2. On the whole it said 1.2 "
        "too many." in text
    )
    assert "held what came in 10 of 12, promised at least 8 times in 10, which fits." in text
    assert "The pot-on window held in 5 of 7, as far as the looks tell" in text


def test_the_only_plant_is_not_told_twice(said) -> None:
    lines = said(record(ALL, evolve(ALL, plant=CURRANT))).splitlines()
    assert [line.split("  ")[0] for line in lines if "10 of 12" in line][:-1] == ["Ribes nigrum"]


def test_of_several_plants_all_comes_first(said) -> None:
    plants = [evolve(ALL, plant=parse(name)) for name in ("Ribes nigrum", "Ribes rubrum")]
    rows = [line.split("  ")[0] for line in said(record(ALL, *plants)).splitlines()]
    at = rows.index("all")
    assert rows[at : at + 3] == ["all", "Ribes nigrum", "Ribes rubrum"]


@pytest.mark.parametrize(
    ("low", "high", "verdict"),
    [(0.2, 0.7, "10: too narrow."), (0.85, 1.0, "10: wider than it need be.")],
)
def test_a_range_that_does_not_hold_what_it_promised_is_said_to(said, low, high, verdict) -> None:
    assert verdict in said(record(evolve(ALL, hit_low=low, hit_high=high)))


def test_few_batches_get_no_verdict(said) -> None:
    few = evolve(ALL, batches=3, hits=1, hit_low=0.06, hit_high=0.79)
    text = said(record(few))
    assert "1 of 3, promised at least 8 times in 10, of which so few batches say little." in text


def test_what_is_not_known_is_not_said(said) -> None:
    text = said(record(evolve(ALL, windows=0, window_hits=0, too_many=-0.01)))
    assert "window" not in text
    assert "On the whole" not in text


def test_what_is_left_out_is_said_with_its_reason(said) -> None:
    assert "Left out: 1 batch, because some left unrooted" in said(record(ALL, set_aside=1))


@pytest.mark.parametrize("words", ["due", "show", "forecast", "history", "why", "worth"])
def test_a_book_without_a_batch_says_how_to_begin(call, words) -> None:
    answer = call(words)
    assert answer.status == 0
    assert answer.out.startswith("There is no batch in this book yet; propagate start --help")
