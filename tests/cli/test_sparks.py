"""The fan and its reasons in characters."""

import datetime as dt
import io
import sys

import pytest
from attrs import evolve

from propagate.cli.sparks import can_draw, chart, spark, tell_fan
from propagate.cli.why import drawn, tell_why
from propagate.names import parse
from propagate.planning.reasons import Range, Reasons
from propagate.records.answers import QUANTILES, PlantCount
from propagate.records.fans import Fan, FanDot, FanStep, FanWeek

STRUCK = dt.date(2026, 11, 12)


def after(weeks: int) -> dt.date:
    return STRUCK + dt.timedelta(weeks=weeks)


def week(at: int, *plants: int) -> FanWeek:
    return FanWeek(after(at), dict(zip(QUANTILES, plants, strict=True)), plants[3])


@pytest.fixture
def fan() -> Fan:
    """40 struck, 10 found in week 10, 30 likely from week 30 on, 20 to 40 eight times in ten."""
    weeks = [week(at, *(10,) * 7) for at in range(10, 30)]
    weeks += [week(at, 15, 20, 25, 30, 35, 40, 40) for at in range(30, 41)]
    return Fan(
        batch="M7KD",
        plant=parse("Ribes nigrum"),
        title="",
        as_of=after(20),
        by=None,
        first=STRUCK,
        last=after(40),
        count=40,
        taken="rooted",
        steps=(FanStep(STRUCK, 40, 0, 0), FanStep(after(10), 40, 10, 0)),
        weeks=tuple(weeks),
        dots=(FanDot(after(10), 10, 0, None, 10),),
        plants=PlantCount(20, 30, 40, 30, 0.8, weeks[-1].quantiles),
    )


def test_the_plain_chart_is_what_it_should_be(fan) -> None:
    # 41 columns are one a week; 5 rows are 40, 30, 20, 10 and 0 plants.
    assert chart(fan, 41, 5) == [
        "plants of 40 started, by week from 12 Nov 2026",
        " 40 |                    |         :::::::::::",
        "    |                    |         =========== 30 (20 to 40)",
        "    |                    |         :::::::::::",
        "    |          o===================",
        "  0 |==========          |",
        "    ++----+----+----+----+----+----+----+----+",
        "     0    5    10   15   20   25   30   35   40 weeks",
        "= likely   : 8 times in 10   o a check   | 1 Apr 2027",
    ]


def test_the_fancy_chart_has_the_same_shape(fan) -> None:
    plain, fancy = chart(fan), chart(fan, fancy=True)
    assert [len(line) for line in plain] == [len(line) for line in fancy]
    assert fancy[1:-1] != plain[1:-1]


def test_a_chart_fits_a_terminal_of_80_columns(fan) -> None:
    large = evolve(fan, count=12000, plants=PlantCount(9000, 10000, 11000, 1e4, 0.8, BIG))
    for line in [*chart(large, fancy=True), *chart(fan)]:
        assert len(line) <= 80


BIG = dict(zip(QUANTILES, (8000, 9000, 9500, 10000, 10500, 11000, 11500), strict=True))


def test_a_sure_number_has_no_range(fan) -> None:
    sure = evolve(fan, plants=PlantCount(30, 30, 30, 30, 0.8, dict.fromkeys(QUANTILES, 30)))
    assert any(line.endswith("= 30") for line in chart(sure))


def test_the_spark_tells_tenths_of_those_started(fan) -> None:
    # 10 of 40 are two tenths and a half, 30 are seven and a half.
    assert spark(fan, 41) == "0" * 10 + "2" * 20 + "7" * 11
    assert spark(fan, 41, fancy=True) == "▁" * 10 + "▃" * 20 + "▇" * 11


def test_all_of_a_batch_is_the_highest_mark(fan) -> None:
    whole = evolve(fan, weeks=(week(0, *(40,) * 7),))
    assert set(spark(whole)) == {"9"}
    assert set(spark(whole, fancy=True)) == {"█"}


class Screen(io.TextIOWrapper):
    def __init__(self, encoding: str, *, terminal: bool) -> None:
        super().__init__(io.BytesIO(), encoding)
        self.terminal = terminal

    def isatty(self) -> bool:
        return self.terminal


@pytest.mark.parametrize(
    ("encoding", "terminal", "drawn_fine"),
    [("utf-8", True, True), ("utf-8", False, False), ("ascii", True, False)],
)
def test_blocks_are_for_terminals_that_have_them(monkeypatch, encoding, terminal, drawn_fine):
    monkeypatch.setattr(sys, "stdout", Screen(encoding, terminal=terminal))
    assert can_draw() is drawn_fine


WHY = Reasons(
    batch="M7KD",
    taken="rooted",
    share=0.8,
    take=(Range("the library", 0.5, 0.75, 1.0), Range("the answer uses", 0.6, 0.7, 0.8)),
    weeks=(Range("the library", 10, 20, 30), Range("the answer uses", 15.2, 18.4, 21.9)),
    words=("The library says that 50 to 100 % take.",),
)


def test_ranges_of_all_sources_stand_on_one_axis() -> None:
    assert drawn(WHY) == [
        "Share that takes, 8 times in 10 within the range",
        "                   0         25        50        75        100 %",
        "  the library      .         .         [---------#---------]  75 (50-100)",
        "  the answer uses  .         .         .   [---#---]       .  70 (60-80)",
        "",
        "Weeks from the start until 80 % of those that take are rooted",
        "                   0         8         16        24        32 weeks",
        "  the library      .         . [------------#------------] .  20 (10-30)",
        "  the answer uses  .         .        [---#---]  .         .  18 (15-22)",
    ]


def test_reasons_fit_a_terminal_of_80_columns() -> None:
    for fancy in (True, False):
        assert max(map(len, drawn(WHY, fancy=fancy))) <= 80


def test_few_weeks_are_told_in_tenths() -> None:
    short = evolve(WHY, weeks=(Range("the answer uses", 2.8, 3.7, 5.3),))
    assert drawn(short)[-1].endswith("3.7 (2.8-5.3)")


def test_a_pipe_gets_plain_letters_and_the_words(fan, capsys) -> None:
    tell_fan(fan)
    tell_why(WHY)
    said = capsys.readouterr().out
    assert said.isascii()
    assert "The library says that 50 to 100 % take." in said.splitlines()


def test_show_draws_a_batch_in_one_line_while_anything_waits(call, done) -> None:
    code = done("start", "blackcurrant", "hardwood-cutting", 40)["batch"]
    shown = call("show", code).out
    assert "  by week  0" in shown
    assert "in tenths of those started" in shown
    call("lose", code, 40)
    assert "by week" not in call("show", code).out
