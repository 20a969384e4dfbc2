"""Plans made from a book: the fewest that do, limits kept, reasons given, promises held."""

import datetime as dt
import re
from collections.abc import Callable, Iterator
from pathlib import Path

import numpy as np
import pytest

from propagate.actions.assuming import assume
from propagate.actions.bedding import want
from propagate.actions.desk import Desk
from propagate.actions.founding import found_nursery
from propagate.actions.planning import accept, plan
from propagate.actions.recording import BatchPlan, record, start_batch
from propagate.errors import PropagateError, Refused
from propagate.ledger import Book
from propagate.planning.fresh import Source, learn_sources
from propagate.planning.seasons import latest_in_gate
from propagate.records import events
from propagate.records.events import StockPlantAdded, Wanted
from propagate.records.nursery import Nursery
from propagate.science.backwards import smallest_start
from propagate.science.take import beta_from_range
from propagate.science.timing import from_range
from propagate.units import DAYS_PER_WEEK

TODAY = dt.date(2026, 11, 25)
NOW = dt.datetime(2026, 11, 25, 9, tzinfo=dt.UTC)
SPRING = dt.date(2028, 3, 15)


@pytest.fixture
def desk(tmp_path: Path) -> Iterator[Desk]:
    found_nursery(tmp_path)
    with Desk(tmp_path, TODAY, NOW) as opened:
        yield opened


@pytest.fixture
def say(desk: Desk) -> Callable[..., Wanted]:
    def said(bed: str, plant: str, count: int, by: dt.date = SPRING, **more) -> Wanted:
        return want(desk, Wanted(bed, desk.library.resolve(plant), count, by, **more))

    return said


def configure(desk: Desk, text: str) -> None:
    path = desk.folder / "nursery.toml"
    path.write_text(path.read_text(encoding="utf-8") + text, encoding="utf-8")
    desk.__dict__.pop("nursery", None)


def source(desk: Desk, plant: str, method: str) -> Source:
    name, way = desk.library.resolve(plant), desk.library.method(method)
    found = desk.library.record(method, name).record
    learned = learn_sources({method: {name.species_name: found}}, {method: way}, [])
    posterior, group = learned[name.species_name, method]
    return Source(name.species_name, way, found, "species", "", posterior, group, desk.nursery)


@pytest.mark.parametrize(
    ("plant", "method", "start", "by", "wanted"),
    [
        ("blackcurrant", "hardwood-cutting", dt.date(2026, 12, 2), SPRING, 30),
        ("rosemary", "semi-ripe-cutting", dt.date(2027, 8, 11), dt.date(2028, 5, 20), 40),
        ("lettuce", "seed", dt.date(2027, 3, 10), dt.date(2027, 5, 15), 24),
        ("strawberry", "runner", dt.date(2027, 6, 23), dt.date(2027, 8, 31), 8),
    ],
)
def test_the_fewest_are_those_of_the_forecast_run_backwards(
    desk, plant, method, start, by, wanted
) -> None:
    """The table of numbers and the forecast itself, tried number by number, say the same."""
    one = source(desk, plant, method)
    short = np.eye(wanted + 1)[wanted:]
    (found,) = one.smallest([start], by, short, 0.9)

    def chance(count: int) -> np.ndarray:
        reached = one.exact_chance(count, start, by, short) if count >= wanted else 0.0
        return np.array([1 - reached, *([0.0] * (wanted - 1)), reached])

    assert found == smallest_start(wanted, 0.9, chance)


def test_a_later_start_never_needs_fewer(desk) -> None:
    one = source(desk, "rosemary", "semi-ripe-cutting")
    days = [dt.date(2027, 7, 5) + dt.timedelta(weeks=week) for week in range(26)]
    counts = one.smallest(days, dt.date(2028, 5, 20), np.eye(21)[20:], 0.9)
    in_time = [n for n in counts.tolist() if n]
    assert in_time == sorted(in_time)
    assert counts[len(in_time) :].tolist() == [0] * (len(days) - len(in_time))


def test_a_gap_is_filled_by_one_line_with_its_reasons(desk, say) -> None:
    say("row", "blackcurrant", 30)
    answer = plan(desk)
    (line,) = answer.lines
    assert line.gap.short == 30
    assert line.chance >= 0.9
    assert line.start <= line.last_start < SPRING
    assert line.start < line.pot_on <= line.ready
    assert answer.missing == answer.relax == ()
    said = " ".join(line.why)
    assert "30 are wanted in row by 15 Mar 2028" in said
    assert f"{line.count} cuttings are the fewest" in said
    assert "It may wait until" in said


def test_what_comes_already_is_taken_off(desk, say) -> None:
    say("row", "blackcurrant", 30)
    alone = plan(desk).lines[0].count
    struck = BatchPlan(desk.library.resolve("blackcurrant"), "hardwood-cutting", 20, TODAY)
    code = start_batch(desk, struck).code
    (line,) = plan(desk).lines
    assert line.gap.short < 30
    assert line.count < alone
    record(desk, events.Lost(code, 20, "mice"))
    assert plan(desk).lines[0].count == alone


def test_nothing_short_needs_no_line(desk, say) -> None:
    say("row", "blackcurrant", 3)
    struck = BatchPlan(desk.library.resolve("blackcurrant"), "hardwood-cutting", 60, TODAY)
    start_batch(desk, struck)
    answer = plan(desk)
    assert (answer.lines, answer.missing, answer.filled) == ((), (), 1)


def test_a_day_too_near_is_said_to_be(desk, say) -> None:
    say("row", "redcurrant", 10, dt.date(2027, 1, 15))
    answer = plan(desk)
    (missing,) = answer.missing
    assert missing.plants == 10
    assert "No start from now on is ready by 15 Jan 2027 (hardwood cutting" in missing.why
    assert re.search(
        r"Started \d+ \w+ 20\d\d by .* likely ready about .* 20(27|28)\.$", missing.why
    )
    assert answer.relax == ()


def test_mothers_limit_what_is_taken_and_the_smallest_change_is_said(desk, say) -> None:
    configure(desk, "\n[plan.per_mother]\nhardwood-cutting = 10\n")
    name = desk.library.resolve("redcurrant")
    record(desk, StockPlantAdded("ruby", name))
    say("row", "redcurrant", 30, dt.date(2028, 2, 1))
    answer = plan(desk, ["without softwood cutting", "without simple layering"])
    taken = sum(line.mothers for line in answer.lines)
    assert taken <= 1 + 1e-9
    assert answer.missing[0].plants > 10
    (relax,) = answer.relax
    assert "more mother plants are wanted beside ruby" in relax
    assert f"give up {answer.missing[0].plants} Ribes rubrum in row" in relax


def test_a_bench_too_small_is_said_with_its_weeks(desk, say) -> None:
    configure(
        desk,
        '\n[places."small bench"]\nsize_m2 = 0.2\n'
        '[plan.places]\nseed = "small bench"\nsoftwood-cutting = "small bench"\n',
    )
    say("plot", "lettuce", 200, dt.date(2027, 6, 1))
    answer = plan(desk)
    assert answer.missing[0].plants > 0
    assert "m² of small bench are missing from" in answer.relax[0]
    for place in answer.places:
        used = np.array(place.booked_m2) + place.planned_m2
        assert used.max() <= place.size_m2 + 1e-6


def test_half_the_bench_and_a_lost_tray_change_the_plan_and_not_the_book(desk, say) -> None:
    struck = BatchPlan(desk.library.resolve("blackcurrant"), "hardwood-cutting", 40, TODAY)
    code = start_batch(desk, struck).code
    say("row", "blackcurrant", 25)
    before = desk.store.entries()
    as_it_is, if_lost = plan(desk), plan(desk, [f"lose {code}", "half the bench"])
    assert if_lost.lines[0].count > sum(line.count for line in as_it_is.lines)
    assert if_lost.assumed == (f"lose {code}", "half the bench")
    assert desk.store.entries() == before


def test_every_form_of_assumption_is_read_and_changes_its_own(desk) -> None:
    forms = ["half the bench", "cold frame 2 m2", "bench 50 %", "4 hours a week", "95 % sure"]
    forms += ["spring 2 weeks late", "autumn 10 days early", "15 % slower", "without seed"]
    configure(desk, '\n[places."green bench"]\nsize_m2 = 8\n')
    assumed = assume(desk, forms)
    assert assumed.nursery.places["green bench"].size_m2 == 2
    assert assumed.nursery.places["cold frame"].size_m2 == 1
    assert assumed.nursery.plan.hours_per_week == 4
    assert (assumed.chance, assumed.without) == (0.95, {"seed"})
    assert assumed.slower == pytest.approx(1.15)
    assert (assumed.nursery.last_frost, assumed.nursery.leaf_fall) == ((5, 24), (10, 26))
    assert assumed.said == tuple(forms)
    cold = assume(desk, ["cold spring"])
    assert (cold.nursery.bud_break, cold.slower) == ((4, 8), 1.15)


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("rain", "nothing that can be assumed"),
        ("cold frma 2 m2", 'did you mean "cold frame"'),
        ("lose M7KD", "There is no batch"),
        ("120 % sure", "no certainty"),
        ("without luck", "no method"),
        ("100 % faster", "no time at all"),
    ],
)
def test_what_cannot_be_assumed_is_refused(desk, text, why) -> None:
    with pytest.raises(PropagateError, match=why):
        assume(desk, [text])


def test_a_line_taken_up_starts_its_batch_and_the_next_plan_wants_no_more(desk, say) -> None:
    say("row", "blackcurrant", 30)
    answer = plan(desk)
    line = answer.lines[0]
    on = max(line.start, TODAY)
    (code,) = accept(desk, answer, [1], on)
    state = desk.book.batch(code)
    assert (state.count, state.on, str(state.name)) == (line.count, on, "Ribes nigrum")
    assert state.started.note == "for row by 15 Mar 2028"
    assert plan(desk).lines == ()


def test_a_line_far_off_or_not_there_is_refused_with_nothing_written(desk, say) -> None:
    say("plot", "lettuce", 20, dt.date(2027, 6, 1))
    answer = plan(desk)
    entries: Book = desk.book
    with pytest.raises(Refused, match="say the day with --on"):
        accept(desk, answer, [1])
    with pytest.raises(Refused, match="no line 9"):
        accept(desk, answer, [1, 9], TODAY)
    assert desk.book.entries == entries.entries


@pytest.mark.parametrize(
    ("bed", "plant", "count", "by", "asked"),
    [
        ("row", "blackcurrant", 30, SPRING, 0.9),
        ("plot", "lettuce", 24, dt.date(2027, 6, 1), 0.8),
        ("bank", "rosemary", 40, dt.date(2028, 5, 20), 0.95),
    ],
)
def test_the_certainty_that_is_promised_holds_in_five_thousand_seasons(
    desk, say, bed, plant, count, by, asked
) -> None:
    say(bed, plant, count, by, chance=asked)
    (line,) = plan(desk).lines
    one = source(desk, plant, line.method)
    rng = np.random.default_rng(20261125)
    came = simulated(one, line.count, line.start, by, desk.nursery, rng, 5_000)
    assert (came >= count).mean() >= asked - 0.02
    assert (came >= count).mean() <= asked + 0.05  # no more than the last propagule may add


def simulated(
    one: Source, count: int, start: dt.date, by: dt.date, nursery: Nursery, rng, seasons: int
) -> np.ndarray:
    """Plants of one batch in many seasons, drawn propagule by propagule from the laws.

    Written apart from the forecast: shared take, batch take, batch shift, each one's time to
    root, each one's time in the pot with the shift of the potting, and whether it establishes.
    """
    posterior, prior = one.posterior, one.posterior.prior
    node = rng.choice(len(posterior.shared_weight), seasons, p=posterior.shared_weight)
    mean, precision = posterior.shared.take[node], posterior.shared.precision[node]
    takes = rng.random((seasons, count)) < rng.beta(
        mean * precision, (1 - mean) * precision
    ).reshape(-1, 1)
    early = posterior.shared.early
    shift = early.at[posterior.shared.early_at[node]] + early.own * rng.normal(size=seasons)
    log_days = prior.log_days_mean + prior.log_days_between * shift[:, None]
    rooted = np.exp(log_days + prior.log_days_scale * rng.logistic(size=(seasons, count)))
    stage = one.record.establishing
    low, high = stage.weeks.low * DAYS_PER_WEEK, stage.weeks.high * DAYS_PER_WEEK
    law = from_range(low, high)
    potting = law.log_days_mean + law.log_days_between * rng.normal(size=(seasons, 1))
    potted = np.exp(potting + law.log_days_scale * rng.logistic(size=(seasons, count)))
    out = latest_in_gate(by, start, stage.gate, nursery)
    latest = {
        days: (
            latest_in_gate(
                out - dt.timedelta(days=int(days)), start, one.record.taking.gate, nursery
            )
            or start - dt.timedelta(days=1)
        )
        - start
        - one.treated
        for days in np.unique(np.minimum(potted.round(), 3000))
    }
    last = np.vectorize(lambda days: latest[days].days)(np.minimum(potted.round(), 3000))
    stays = rng.beta(*beta_from_range(stage.take.low, stage.take.high), size=(seasons, 1))
    through = rng.random((seasons, count)) < stays
    return (takes & (rooted <= last) & through).sum(axis=1)
