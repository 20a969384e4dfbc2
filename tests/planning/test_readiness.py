"""When plants can go out: seasons run backwards, times in the pot, counts by a day."""

import datetime as dt

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from propagate.ledger import Account, Kind, Move, standing_since
from propagate.planning.clocks import calendar_clock
from propagate.planning.forecasting import make_forecast
from propagate.planning.groups import make_groups
from propagate.planning.readiness import Way, ready_by, times_in_pot
from propagate.planning.seasons import into_gate, latest_in_gate
from propagate.records import events
from propagate.records.methods import Figure, Gate
from propagate.records.nursery import Nursery
from propagate.science import counts
from propagate.settings import COMMON_FROSTS
from tests.planning.conftest import CODE, record, stage

STRUCK = dt.date(2026, 11, 12)
GATES: tuple[Gate, ...] = ("any", "dormant", "after growth", "growing", "frost-free")
NORTH = Nursery("Bench", "north", **COMMON_FROSTS["north"])
SOUTH = Nursery("Bench", "south", **COMMON_FROSTS["south"])
TAKE = Figure(0.6, 0.9, "memory")


def rooting(gate: Gate = "any"):
    return stage("rooting", "take", 6, 12, gate, take=TAKE)


def establishing(gate: Gate = "any", take: Figure | None = None):
    return stage("establishing", "establish", 4, 10, gate, take=take)


@given(
    days=st.integers(0, 1500),
    gate=st.sampled_from(GATES),
    nursery=st.sampled_from([NORTH, SOUTH]),
    started=st.dates(dt.date(2026, 1, 1), dt.date(2027, 12, 31)),
)
def test_the_latest_day_through_a_gate_is_the_gate_run_backwards(
    days, gate, nursery, started
) -> None:
    date = started + dt.timedelta(days=days)
    latest = latest_in_gate(date, started, gate, nursery)
    if latest is None:
        assert into_gate(started, started, gate, nursery, started) > date
    else:
        assert latest <= date
        assert into_gate(latest, started, gate, nursery, started) == latest
        assert (
            latest == date
            or into_gate(latest + dt.timedelta(days=1), started, gate, nursery, started) > date
        )


def test_times_in_the_pot_have_the_ends_that_the_record_gives() -> None:
    times = times_in_pot(Figure(4, 10, "memory"))
    assert np.quantile(times, [0.1, 0.9]) == pytest.approx([28, 70], rel=0.06)


def test_the_first_to_come_are_the_first_to_go() -> None:
    potted, bed = Account(Kind.POTTED), Account(Kind.PLANTED, "row")
    day = dt.date(2027, 3, 1)

    def moved(after: int, source: Account | None, target: Account, count: int) -> Move:
        return Move(str(after), day + dt.timedelta(days=after), source, target, count)

    tray = Account(Kind.WAITING)
    moves = [moved(0, tray, potted, 5), moved(9, tray, potted, 7), moved(20, potted, bed, 8)]
    assert standing_since(moves, Kind.POTTED) == [(day + dt.timedelta(days=9), 4)]


def test_counts_by_a_day_agree_with_a_simulation_of_the_same_model(make_case) -> None:
    case = make_case(record(rooting(), establishing()), STRUCK)
    (group,) = make_groups([case], NORTH)
    prior, rng, runs = group.posterior.prior, np.random.default_rng(7), 100_000
    by = STRUCK + dt.timedelta(weeks=16)
    ready = group.outcome([group.coming(0, by, NORTH, STRUCK)])[1]

    mean = rng.beta(
        prior.take_mean * prior.take_precision_shared,
        (1 - prior.take_mean) * prior.take_precision_shared,
        runs,
    )
    take = rng.beta(mean * prior.take_precision_batch, (1 - mean) * prior.take_precision_batch)
    takers = rng.random((runs, 40)) < take[:, None]
    early = rng.normal(0, prior.log_days_between, (runs, 1))
    days = np.exp(
        prior.log_days_mean + early + prior.log_days_scale * rng.logistic(size=(runs, 40))
    )
    in_pot = rng.choice(times_in_pot(Figure(4, 10, "memory")), runs)  # a row of one potting
    pots = np.take_along_axis(in_pot, rng.integers(0, in_pot.shape[1], (runs, 40)), axis=1)
    came = (takers & (days + np.rint(pots) <= 16 * 7)).sum(axis=1)

    assert counts.mean(ready) == pytest.approx(came.mean(), abs=0.1)
    points = [counts.quantile(ready, share) for share in (0.1, 0.5, 0.9)]
    assert points == pytest.approx(np.quantile(came, [0.1, 0.5, 0.9]), abs=1.01)


def test_none_can_go_out_before_the_frosts_are_over_and_all_some_time_after(make_case) -> None:
    case = make_case(record(rooting(), establishing("frost-free")), STRUCK)
    free = {
        day: make_forecast([case], [CODE], NORTH, STRUCK, by=day).batches[0].free
        for day in (dt.date(2027, 5, 9), dt.date(2027, 5, 10), dt.date(2028, 9, 1))
    }
    ever = make_forecast([case], [CODE], NORTH, STRUCK).batches[0].free
    before, opened, later = free.values()
    assert before.high == 0
    assert opened.likely > 10
    assert later.mean == pytest.approx(ever.mean, abs=1e-4)
    assert later.quantiles == ever.quantiles


def test_what_is_potted_is_ready_after_its_time_in_the_pot(make_case) -> None:
    potted = dt.date(2027, 3, 1)
    happened = [
        (potted, events.Checked(CODE, rooted=30, dead=10)),
        (potted, events.PottedOn(CODE, 30)),
    ]
    case = make_case(record(rooting(), establishing()), STRUCK, *happened)

    def by(weeks: float):
        day = potted + dt.timedelta(weeks=weeks)
        return make_forecast([case], [CODE], NORTH, potted, by=day).batches[0]

    assert by(1).free.high <= 1
    assert 5 < by(6).free.mean < 25
    assert by(60).free.low == 30
    for answer in (by(1), by(6), by(60)):
        assert sum(answer.expected.values()) == pytest.approx(40)


def test_an_unchecked_tray_that_gave_some_is_counted_too(make_case) -> None:
    potted = dt.date(2027, 2, 10)
    case = make_case(record(rooting(), establishing()), STRUCK, (potted, events.PottedOn(CODE, 10)))
    (group,) = make_groups([case], NORTH)
    means = [
        counts.mean(
            group.outcome([group.coming(0, potted + dt.timedelta(weeks=w), NORTH, potted)])[1]
        )
        for w in (2, 6, 12, 60)
    ]
    assert means == sorted(means)
    ever = counts.mean(group.outcome([group.coming(0, None, NORTH, potted)])[1])
    assert means[0] < 3
    assert means[-1] == pytest.approx(ever, abs=0.1)


def test_a_batch_yet_to_be_started_is_counted_in_the_same_way(make_case) -> None:
    its_record = record(rooting(), establishing("frost-free", Figure(0.8, 0.9, "memory")))
    case = make_case(its_record, STRUCK)
    (group,) = make_groups([case], NORTH)
    by = dt.date(2027, 6, 1)
    way = Way(its_record, STRUCK, NORTH, STRUCK)
    fresh = ready_by(group.posterior.fresh(40), calendar_clock(STRUCK), way, by, None)
    mixed = counts.mixed(group.posterior.shared_weight, fresh)
    assert mixed == pytest.approx(group.outcome([group.coming(0, by, NORTH, STRUCK)])[1], abs=1e-9)
