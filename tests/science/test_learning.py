"""What a forecast must do whatever the numbers: properties of one batch and of a group."""

import numpy as np
import pytest
from attrs import evolve
from hypothesis import given, settings
from hypothesis import strategies as st

from propagate.errors import Refused
from propagate.science import counts
from propagate.science.learning import learn
from propagate.science.prior import prior_from_ranges
from propagate.science.sightings import AtLeast, BatchData, Look, Removal, Sample

PRIOR = prior_from_ranges(6, 10, 0.6, 0.8)
LATE = 5000  # days by which every taker has rooted


@st.composite
def looked_at(draw, most=60):
    """A batch with up to three sightings of any kind that can be."""
    count = draw(st.integers(1, most))
    waiting, day, sightings = count, 0, []
    for _ in range(draw(st.integers(0, 3))):
        day += draw(st.integers(0, 40))
        kind = draw(st.sampled_from((Look, AtLeast, Sample, Removal)))
        some = draw(st.integers(0, waiting))
        if kind is Look:
            dead = draw(st.integers(0, waiting - some))
            sightings.append(Look(day, some, dead))
            waiting -= some + dead
        elif kind is Sample:
            sightings.append(Sample(day, some, draw(st.integers(0, some))))
        else:
            sightings.append(kind(day, some))
            waiting -= some
    return BatchData(count, sightings)


def _stochastically_more(more, less):
    return (np.cumsum(more) <= np.cumsum(less) + 1e-4).all()


@settings(max_examples=60, deadline=None)
@given(looked_at(), st.integers(0, 300))
def test_a_forecast_is_a_distribution_over_what_can_be(batch, day):
    posterior = learn(PRIOR, [batch]).batch(0)
    pmf = posterior.rooted_by(day)
    assert pmf.shape == (batch.count + 1,)
    assert (pmf >= 0).all()
    assert pmf.sum() == pytest.approx(1.0)
    cells = posterior.cells
    known = cells.known_rooted
    assert pmf[: known + cells.surely_rooted].sum() == pytest.approx(0.0, abs=1e-12)
    assert pmf[known + cells.unresolved + 1 :].sum() == 0


@settings(max_examples=30, deadline=None)
@given(looked_at(), st.integers(0, 300), st.integers(0, 300))
def test_more_have_rooted_by_a_later_day(batch, day, days_more):
    posterior = learn(PRIOR, [batch]).batch(0)
    assert _stochastically_more(posterior.rooted_by(day + days_more), posterior.rooted_by(day))


@settings(max_examples=30, deadline=None)
@given(st.integers(1, 50), st.data())
def test_more_rooted_seen_is_more_rooted_foreseen(count, data):
    seen = data.draw(st.integers(0, count - 1))
    dead = data.draw(st.integers(0, count - 1 - seen))
    prior = evolve(PRIOR, log_days_between=0.0)  # or more rooted might mean an early tray
    fewer = learn(prior, [BatchData(count, [Look(50, seen, dead)])]).batch(0)
    more = learn(prior, [BatchData(count, [Look(50, seen + 1, dead)])]).batch(0)
    for day in (60, LATE):
        assert _stochastically_more(more.rooted_by(day), fewer.rooted_by(day))


@settings(max_examples=20, deadline=None)
@given(looked_at(), looked_at(), looked_at())
def test_the_order_of_batches_does_not_matter(a, b, c):
    one, other = learn(PRIOR, [a, b, c]), learn(PRIOR, [c, a, b])
    assert one.batch(0).rooted_by(70) == pytest.approx(other.batch(1).rooted_by(70), abs=1e-9)
    assert one.total([70, 80, 90]) == pytest.approx(other.total([90, 70, 80]), abs=1e-9)


@settings(max_examples=20, deadline=None)
@given(looked_at(), st.floats(0.05, 0.95))
def test_windows_and_intervals_run_from_low_to_high(batch, share):
    posterior = learn(PRIOR, [batch]).batch(0)
    assert list(posterior.pot_on_days(share)) == sorted(posterior.pot_on_days(share))
    assert list(posterior.take_interval()) == sorted(posterior.take_interval())


def test_all_found_rooted_is_certainty():
    pmf = learn(PRIOR, [BatchData(40, [Look(60, 40)])]).batch(0).rooted_by(60)
    assert pmf[40] == pytest.approx(1.0)


def test_all_found_dead_is_certainty():
    pmf = learn(PRIOR, [BatchData(40, [Look(60, 0, 40)])]).batch(0).rooted_by(LATE)
    assert pmf[0] == pytest.approx(1.0)


def test_absurdly_early_and_contradictory_clues_still_give_an_answer():
    """All sixteen potted on at the start; a later sample of all that finds fewer rooted."""
    for sightings in ([AtLeast(0, 16)], [AtLeast(0, 14)], [Sample(50, 16, 9), Sample(60, 16, 4)]):
        batch = learn(PRIOR, [BatchData(16, sightings)]).batch(0)
        for day in (0, 70):
            assert batch.rooted_by(day).sum() == pytest.approx(1.0)


def test_an_empty_batch_comes_to_nothing():
    assert learn(PRIOR, [BatchData(0)]).batch(0).rooted_by(60) == pytest.approx([1.0])


def test_the_day_of_a_look_has_its_count():
    pmf = learn(PRIOR, [BatchData(40, [Look(60, 17, 3)])]).batch(0).rooted_by(60)
    assert pmf[17] == pytest.approx(1.0)


def test_alone_and_unseen_a_batch_is_the_prior():
    fresh = learn(PRIOR, []).fresh(40)
    assert learn(PRIOR, [BatchData(40)]).batch(0).rooted_by(70) == pytest.approx(
        fresh.rooted_by(70), abs=1e-5
    )


def test_another_unseen_batch_tells_nothing():
    alone = learn(PRIOR, [BatchData(40)]).batch(0).rooted_by(70)
    assert learn(PRIOR, [BatchData(40), BatchData(90)]).batch(0).rooted_by(70) == pytest.approx(
        alone, abs=1e-5
    )


def test_a_good_batch_bodes_well_for_the_next_and_narrows_it():
    before = learn(PRIOR, [BatchData(40)]).batch(0).rooted_by(LATE)
    good = BatchData(40, [Look(90, 38, 2)])
    after = learn(PRIOR, [BatchData(40), good, good]).batch(0).rooted_by(LATE)
    assert counts.mean(after) > counts.mean(before) + 1
    spread = [counts.interval(pmf).high - counts.interval(pmf).low for pmf in (before, after)]
    assert spread[1] < spread[0]


def test_nothing_shared_means_nothing_learned_from_others():
    prior = prior_from_ranges(6, 10, 0.6, 0.8, shared_share=0.0)
    good = BatchData(40, [Look(90, 40)])
    assert learn(prior, [BatchData(40), good]).batch(0).rooted_by(LATE) == pytest.approx(
        learn(prior, [BatchData(40)]).batch(0).rooted_by(LATE), abs=1e-12
    )


def test_the_shared_take_widens_a_total_beyond_independent_batches():
    group = learn(PRIOR, [BatchData(40)] * 8)
    together = group.total([LATE] * 8)
    apart = counts.total([batch.rooted_by(LATE) for batch in group.batches])
    assert counts.mean(together) == pytest.approx(counts.mean(apart), rel=1e-9)
    wide, narrow = counts.interval(together), counts.interval(apart)
    assert wide.high - wide.low > 1.5 * (narrow.high - narrow.low)


def test_a_total_of_some_batches_leaves_the_others_out():
    group = learn(PRIOR, [BatchData(10), BatchData(20), BatchData(30)])
    assert len(group.total([70, 70], which=[0, 2])) == 41
    assert group.total([70], which=[1]) == pytest.approx(group.batch(1).rooted_by(70))


def test_a_total_needs_a_day_for_each_batch():
    with pytest.raises(Refused, match="2 batches need as many days; got 1"):
        learn(PRIOR, [BatchData(10), BatchData(20)]).total([70])


def test_still_alive_late_is_good_news_when_the_dead_are_looked_for():
    """A failer would probably have died by then; without that look nothing is known."""
    sought = learn(PRIOR, [BatchData(40, [Look(70, 20, 0, dead_sought=True)])]).batch(0)
    unsaid = learn(PRIOR, [BatchData(40, [Look(70, 20, 0)])]).batch(0)
    assert counts.mean(sought.rooted_by(LATE)) > counts.mean(unsaid.rooted_by(LATE)) + 1


def test_an_early_tray_moves_its_window_forward():
    before = learn(PRIOR, [BatchData(40)]).batch(0).pot_on_days(0.8)
    after = learn(PRIOR, [BatchData(40, [Look(40, 20)])]).batch(0).pot_on_days(0.8)
    assert after[1] < before[1]
    assert after[2] - after[0] < before[2] - before[0]


def test_window_of_an_unseen_batch_is_that_of_the_normal_shift():
    """Deciles of u are -1.2816 tau and 1.2816 tau, from a table of the Normal law."""
    window = learn(PRIOR, [BatchData(40)]).batch(0).pot_on_days(0.8)
    middle = PRIOR.log_days_mean + PRIOR.log_days_scale * np.log(4)
    reach = 1.281552 * PRIOR.log_days_between
    assert window == pytest.approx(np.exp([middle - reach, middle, middle + reach]), rel=1e-3)


def test_treatments_delay_the_window_by_their_length():
    delayed = prior_from_ranges(6, 10, 0.6, 0.8, delay_days=100)
    early = learn(PRIOR, [BatchData(40)]).batch(0).pot_on_days(0.8)
    late = learn(delayed, [BatchData(40)]).batch(0).pot_on_days(0.8)
    assert np.subtract(late, early) == pytest.approx(100.0)


def test_a_sample_tells_less_than_a_look_at_all():
    batch = 40
    sampled = learn(PRIOR, [BatchData(batch, [Sample(60, 10, 7)])]).batch(0).rooted_by(60)
    looked = learn(PRIOR, [BatchData(batch, [Look(60, 28)])]).batch(0).rooted_by(60)
    fresh = learn(PRIOR, [BatchData(batch)]).batch(0).rooted_by(60)
    widths = [
        counts.interval(pmf).high - counts.interval(pmf).low for pmf in (looked, sampled, fresh)
    ]
    assert widths[0] < widths[1] < widths[2]


def test_a_sample_of_the_whole_tray_is_a_count_of_it():
    pmf = learn(PRIOR, [BatchData(12, [Sample(60, 12, 7)])]).batch(0).rooted_by(60)
    assert pmf[7] == pytest.approx(1.0)


def test_a_book_far_from_the_record_is_believed():
    """Thirty trays at 15 % against a record of 60-80 %."""
    poor = BatchData(100, [Look(200, 15, 85)])
    low, _, high = learn(PRIOR, [poor] * 30).shared_take_interval()
    assert 0.14 < low < high < 0.22


def test_a_record_too_sure_of_itself_still_gives_an_answer():
    sure = prior_from_ranges(6, 10, 0.70, 0.702)
    group = learn(sure, [BatchData(1000, [Look(60, 100, 700)]), BatchData(40)])
    for pmf in (group.batch(0).rooted_by(90), group.batch(1).rooted_by(90)):
        assert pmf.sum() == pytest.approx(1.0)


def test_a_tray_far_earlier_than_its_record_is_believed():
    """Half rooted on day 20 where the record says 6-10 weeks: the rest is due soon."""
    window = learn(PRIOR, [BatchData(100, [Look(20, 35)])]).batch(0).pot_on_days(0.8)
    assert 18 < window[0] < window[2] < 30


def test_the_mean_take_follows_the_batches():
    low, likely, high = learn(
        PRIOR, [BatchData(200, [Look(90, 190, 10)])] * 6
    ).shared_take_interval()
    assert low < likely < high
    assert PRIOR.take_mean < likely < 0.95
