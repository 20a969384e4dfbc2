"""Each source's word on a batch, and the answer between them."""

import datetime as dt
from collections.abc import Sequence

import pytest
from attrs import evolve

from propagate.days import written
from propagate.ledger import fold
from propagate.names import parse
from propagate.planning.case import Case
from propagate.planning.clocks import StageClock
from propagate.planning.forecasting import make_forecast
from propagate.planning.groups import Group, make_groups
from propagate.planning.reasons import Range, Reasons, explain, percent, reasons_in_words
from propagate.planning.warmthclocks import WarmthClock
from propagate.records import events
from propagate.records.events import Entry, Event, Started
from propagate.records.methods import Figure, Gate, MethodRecord, Season, Stage
from propagate.science.clockcurve import ClockCurve

CODE = "M7KD"
STRUCK = dt.date(2026, 11, 12)
TODAY = dt.date(2027, 6, 1)


def after(weeks: int) -> dt.date:
    return STRUCK + dt.timedelta(weeks=weeks)


def record(take: Figure | None, gate: Gate = "any", *treatments: Stage) -> MethodRecord:
    stage = Stage("rooting", "take", Figure(12, 24, "memory"), take, gate=gate)
    return MethodRecord("way", None, (*treatments, stage), Season(("dormant",), (11,)))


USUAL = record(Figure(0.6, 0.9, "published", ("source",)))


def other(
    case: Case, code: str, *happened: tuple[dt.date, Event], plant: str = "Ribes nigrum"
) -> Case:
    """Another batch of 60 by the same method and record."""
    moment = dt.datetime(2026, 1, 1, tzinfo=dt.UTC)
    dated = [(STRUCK, Started(code, parse(plant), "way", 60)), *happened]
    entries = [Entry(n, str(n), day, moment, event) for n, (day, event) in enumerate(dated, 1)]
    return evolve(case, state=fold(entries).batch(code))


def poor(case: Case, code: str) -> Case:
    """A batch that is done, with 24 of 60: 40 %."""
    return other(case, code, (after(40), events.Checked(code, rooted=24, dead=36)))


@pytest.fixture
def group_of(north):
    def of(cases: Sequence[Case]) -> Group:
        (group,) = make_groups(cases, north)
        return group

    return of


@pytest.fixture
def explained(group_of, north):
    """The reasons of the first of some cases."""

    def of(cases: Sequence[Case]) -> Reasons:
        answer = make_forecast(cases, [CODE], north, TODAY).batches[0]
        return explain(group_of(cases), answer, north)

    return of


def rows(ranges: Sequence[Range]) -> list[str]:
    return [row.who for row in ranges]


def ordered(row: Range) -> bool:
    return row.low <= row.likely <= row.high


FULL = (after(18), events.Checked(CODE, rooted=20, dead=8))


def test_an_unchecked_batch_without_others_rests_on_the_library_alone(make_case, explained) -> None:
    why = explained([make_case(USUAL, STRUCK)])
    assert rows(why.take) == rows(why.weeks) == ["the library", "the answer uses"]
    library, used = why.take
    assert (library.low, library.high) == (0.6, 0.9)
    assert (used.low, used.likely, used.high) == pytest.approx(
        (library.low, library.likely, library.high), abs=0.01
    )
    assert "This batch has not been checked yet; a count would narrow the answer." in why.words


def test_each_source_has_its_row_and_all_are_in_order(make_case, explained) -> None:
    case = make_case(USUAL, STRUCK, FULL)
    why = explained([case, poor(case, "CC7P"), poor(case, "WDWT")])
    assert rows(why.take) == [
        "the library",
        "your 2 other batches",
        "this batch's checks",
        "the answer uses",
    ]
    assert all(ordered(row) for row in (*why.take, *why.weeks))


def test_the_others_by_themselves_say_about_what_they_gave(make_case, explained) -> None:
    case = make_case(USUAL, STRUCK)
    batches = [poor(case, code) for code in ("CC7P", "WDWT", "JKC3", "4MJP")]
    _, others, used = explained([case, *batches]).take
    assert others.likely == pytest.approx(0.4, abs=0.04)  # 24 of 60, four times over
    library_likely = explained([case]).take[0].likely
    assert others.likely < used.likely < library_likely


def test_other_plants_by_the_method_move_what_the_library_says(make_case, north) -> None:
    case = make_case(USUAL, STRUCK)
    gone_badly = (after(40), events.Checked("CC7P", rooted=12, dead=48))
    willow = other(case, "CC7P", gone_badly, plant="Salix viminalis")
    (mine,) = [g for g in make_groups([case, willow], north) if g.species == "Ribes nigrum"]
    why = explain(mine, make_forecast([case, willow], [CODE], north, TODAY).batches[0], north)
    assert rows(why.take) == ["the library", "library + other plants", "the answer uses"]
    library, moved, used = why.take
    assert moved.likely < library.likely - 0.02
    assert used.likely == pytest.approx(moved.likely, abs=0.01)
    assert rows(why.weeks) == ["the library", "the answer uses"]
    short = " ".join(reasons_in_words(mine, 0))
    assert "With what 1 batch of other plants by this method showed here" in short


@pytest.mark.parametrize(("dead", "said"), [(34, range(4)), (2, range(7, 11))])
def test_what_becomes_of_failers_is_told_where_several_trays_show_it(
    dead, said, make_case, explained
) -> None:
    """Of 40 that failed in each of three trays, nearly all looked dead in time, or hardly any."""
    case = make_case(USUAL, STRUCK)
    trays = [
        other(case, code, (after(400), events.Checked(code, rooted=20, dead=dead)))
        for code in ("CC7P", "WDWT", "JKC3")
    ]
    assert "never look dead" not in " ".join(explained([case]).words)
    (words,) = [each for each in explained([case, *trays]).words if "never look dead" in each]
    assert int(words.split("some ")[1].split(" in 10")[0]) in said


def test_an_unchecked_other_batch_says_nothing(make_case, explained) -> None:
    case = make_case(USUAL, STRUCK)
    why = explained([case, other(case, "CC7P")])
    assert rows(why.take) == ["the library", "the answer uses"]
    assert "No other batch of this plant by this method has been checked yet." in why.words


def test_losses_to_mice_are_no_check(make_case, explained) -> None:
    why = explained([make_case(USUAL, STRUCK, (after(3), events.Lost(CODE, 5, "mice")))])
    assert rows(why.take) == ["the library", "the answer uses"]


def test_a_done_batch_alone_says_what_it_gave(make_case, explained) -> None:
    done = (after(60), events.Checked(CODE, rooted=20, dead=20))
    checks = explained([make_case(USUAL, STRUCK, done)]).take[1]
    # An even prior and 20 of 40: Beta(21, 21) has its median at one half.
    assert checks.likely == pytest.approx(0.5, abs=0.01)
    assert checks.low == pytest.approx(0.40, abs=0.02)  # its 10 % point is 0.4015 (scipy)


def test_the_answer_row_is_the_forecasts_own(make_case, explained, group_of) -> None:
    case = make_case(USUAL, STRUCK, FULL)
    cases = [case, poor(case, "CC7P")]
    used = explained(cases).take[-1]
    posterior = group_of(cases).posterior.batch(0)
    assert (used.low, used.likely, used.high) == posterior.take_interval()


def test_weeks_count_from_the_start_through_the_treatments(make_case, explained) -> None:
    cold = Stage("cold", "treat", Figure(10, 10, "memory"))
    plain = explained([make_case(USUAL, STRUCK)])
    treated = explained([make_case(record(Figure(0.6, 0.9, "memory"), "any", cold), STRUCK)])
    assert treated.weeks[0].likely == pytest.approx(plain.weeks[0].likely + 10, abs=0.1)
    assert "after 10 weeks of treatment" in " ".join(treated.words)


def test_weeks_are_those_of_the_calendar_where_days_count_by_warmth(make_case, north) -> None:
    """In a place where a day counts half, the library's weeks take twice as long."""

    def half(_: Case, start: dt.date) -> StageClock:
        curve = ClockCurve.of_days([0.5])
        return StageClock((WarmthClock(start, curve),), said="Days count by their warmth.")

    cool = evolve(USUAL, stages=(evolve(USUAL.taking, temp_c=(18.0, 25.0)),))
    case = make_case(cool, STRUCK)
    answer = make_forecast([case], [CODE], north, TODAY, clock_of=half).batches[0]
    (group,) = make_groups([case], north, half)
    why = explain(group, answer, north)
    (usual,) = make_groups([case], north)
    plain = explain(usual, make_forecast([case], [CODE], north, TODAY).batches[0], north)
    for slow, calendar in zip(why.weeks, plain.weeks, strict=True):
        assert slow.likely == pytest.approx(2 * calendar.likely, abs=0.2)
    assert f"near {written(answer.pot_on.likely)}." in why.words[-1]
    assert answer.pot_on.first == after(2 * 12)
    assert "The library says 12 to 24 weeks for single ones at 18 to 25 °C (memory)." in why.words
    assert "Days count by their warmth." in why.words


def test_an_early_batch_pulls_the_weeks_forward(make_case, explained) -> None:
    early = (after(10), events.Checked(CODE, rooted=25, dead=3))
    library, checks, used = explained([make_case(USUAL, STRUCK, early)]).weeks
    assert checks.likely < used.likely < library.likely


def test_a_season_is_told_with_its_day(make_case, explained) -> None:
    why = explained([make_case(record(Figure(0.6, 0.9, "memory"), "after growth"), STRUCK)])
    assert why.words[-1].endswith("so the likely day is 5 Nov 2027.")


def test_a_single_figure_is_told_with_the_range_it_is_read_as(make_case, explained) -> None:
    why = explained([make_case(record(Figure(0.75, 0.75, "memory")), STRUCK)])
    assert "The library says that 75 % take, read as 60 to 86 % (memory)." in why.words


def test_a_method_without_losses_has_no_rows_of_take(make_case, explained) -> None:
    why = explained([make_case(record(None), STRUCK)])
    assert why.take == ()
    assert why.weeks
    assert "The library knows of no losses in this method." in why.words


def test_short_reasons_are_those_of_the_forecast(make_case, group_of, north) -> None:
    case = make_case(USUAL, STRUCK, FULL)
    said = make_forecast([case], [CODE], north, TODAY).batches[0].why
    assert tuple(reasons_in_words(group_of([case]), 0)) == said


@pytest.mark.parametrize(("ends", "words"), [((0.6, 0.9), "60 to 90 %"), ((0.75,) * 2, "75 %")])
def test_percent(ends, words) -> None:
    assert percent(*ends) == words
