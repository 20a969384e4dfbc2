"""Plants of one method lend each other strength; what that must do whatever the numbers."""

import numpy as np
import pytest
from attrs import evolve

from propagate.science import pooling
from propagate.science.counts import interval, mean, quantiles
from propagate.science.learning import GroupData, learn
from propagate.science.pooling import learn_method
from propagate.science.prior import prior_from_ranges
from propagate.science.sightings import BatchData, Look, Sample

FIG, WILLOW = prior_from_ranges(6, 10, 0.6, 0.8), prior_from_ranges(3, 8, 0.7, 0.95)
FAR = 1e6
SHARES = (0.1, 0.5, 0.9)
LEVELS = (0.05, 0.1, 0.5, 0.9, 0.95)


def done(count, rooted):
    return BatchData(count, [Look(300, rooted, count - rooted)])


def pooled(fig, willow):
    both = {"fig": GroupData(FIG, fig), "willow": GroupData(WILLOW, willow)}
    return learn_method(both)


def test_a_book_without_checks_gives_the_answers_of_the_records():
    found = pooled([BatchData(40), BatchData(50)], [BatchData(30)])
    alone = learn(FIG, [BatchData(40), BatchData(50)])
    for day in (50, FAR):
        np.testing.assert_array_equal(
            found["fig"].batch(0).rooted_by(day), alone.batch(0).rooted_by(day)
        )
        np.testing.assert_array_equal(found["fig"].total([day] * 2), alone.total([day] * 2))
    assert found["willow"].shared_take_interval() == learn(WILLOW, []).shared_take_interval()


def test_a_look_too_early_to_tell_leaves_the_law_of_each_record():
    """On day 2 nothing has rooted: every plant keeps its own 10 %, 50 % and 90 % points."""
    found = pooled([BatchData(40, [Look(2, 0)])], [BatchData(30)])
    for key, prior in (("fig", FIG), ("willow", WILLOW)):
        record = learn(prior, []).shared_take_interval()
        assert found[key].shared_take_interval() == pytest.approx(record, abs=2e-3)
    fresh, record = found["willow"].fresh(40), learn(WILLOW, []).fresh(40)
    assert mean(fresh.rooted_by(FAR)) == pytest.approx(mean(record.rooted_by(FAR)), abs=0.02)


def test_good_batches_of_one_plant_bode_well_for_another_and_less_than_its_own():
    good = [done(60, 57)] * 4
    before = pooled([BatchData(40, [Look(2, 0)])], [])["fig"].shared_take_interval()[1]
    others = pooled([], [done(60, 60)] * 4)["fig"].shared_take_interval()[1]
    own = pooled(good, [])["fig"].shared_take_interval()[1]
    assert before + 0.01 < others < own


def test_batches_of_a_plant_move_its_window_and_no_other_plants():
    late = [BatchData(40, [Look(50, 0), Look(70, 20, 2)]) for _ in range(6)]
    usual = learn(FIG, []).fresh(40).pot_on_days(0.8)
    assert pooled(late, [])["fig"].fresh(40).pot_on_days(0.8)[1] > usual[1] * 1.03
    assert pooled([], late)["fig"].fresh(40).pot_on_days(0.8) == pytest.approx(usual)


def test_batches_all_alike_narrow_the_next_and_scattered_ones_widen_it():
    """The same number rooted in all, once 42 of 60 each and once 20 or 60 or so of 60."""
    alike = pooled([done(60, 42)] * 12, [])["fig"].fresh(60)
    apart = pooled([done(60, k) for k in (20, 24, 28, 56, 60, 58) * 2], [])["fig"].fresh(60)
    fixed = learn(FIG, [done(60, 42)] * 12).fresh(60)
    widths = [
        interval(fresh.rooted_by(FAR)).high - interval(fresh.rooted_by(FAR)).low
        for fresh in (alike, fixed, apart)
    ]
    assert widths[0] < widths[1] < widths[2]


def test_the_order_of_plants_does_not_matter():
    fig, willow = [done(40, 30), BatchData(40, [Sample(45, 10, 3)])], [done(50, 45)]
    one = learn_method({"a": GroupData(FIG, fig), "b": GroupData(WILLOW, willow)})
    other = learn_method({"b": GroupData(WILLOW, willow), "a": GroupData(FIG, fig)})
    for key in "ab":
        np.testing.assert_allclose(
            one[key].batch(0).rooted_by(60), other[key].batch(0).rooted_by(60), atol=1e-9
        )


def answers(book):
    group = learn_method(book)["fig"]
    laws = [group.batch(0).rooted_by(60), group.fresh(40).rooted_by(FAR), group.total([FAR] * 3)]
    return [quantiles(pmf, LEVELS) for pmf in laws], group.fresh(40).pot_on_days(0.8)


BOOKS = {
    "one look": [BatchData(40, [Look(45, 9, 3)]), BatchData(40), BatchData(30)],
    "finished": [BatchData(40), done(40, 33), done(60, 51)],
    "poor and late": [BatchData(40, [Look(60, 2, 9)]), done(40, 9), done(60, 11)],
}


@pytest.mark.parametrize("book", BOOKS)
def test_more_nodes_move_no_quantile_by_more_than_a_plant(book, monkeypatch):
    groups = {
        "fig": GroupData(FIG, BOOKS[book], (0.1, 0.5, 0.9)),
        "willow": GroupData(WILLOW, [done(50, 45), done(40, 38)]),
    }
    usual, days = answers(groups)
    for name, nodes in (("PRECISIONS", 4), ("EARLIES", 6), ("TAKES", 12), ("GROWER_NODES", 121)):
        monkeypatch.setattr(pooling, name, nodes)
    finer, finer_days = answers(groups)
    assert np.abs(np.subtract(usual, finer)).max() <= 1
    assert days == pytest.approx(finer_days, rel=5e-3)


def test_many_batches_find_the_times_in_play_from_some_of_them(monkeypatch):
    """Ninety batches, so that some are tried first; against all nodes without that."""
    book = {"fig": GroupData(FIG, [BatchData(20, [Look(60, 8, 2)])] * 90)}
    found = learn_method(book)["fig"].fresh(40).pot_on_days(0.8)
    monkeypatch.setattr(pooling, "FEW_NODES", 1001)
    assert found == pytest.approx(learn_method(book)["fig"].fresh(40).pot_on_days(0.8), rel=1e-6)


def test_a_known_mean_take_stays_known():
    prior = prior_from_ranges(6, 10, 0.6, 0.8, shared_share=0.0)
    group = learn_method({"fig": GroupData(prior, [done(60, 58)])})["fig"]
    assert group.shared.take == pytest.approx(np.full(len(group.shared.take), prior.take_mean))


def test_batches_that_do_not_differ_in_time_have_none_in_common():
    prior = evolve(FIG, log_days_between=0.0)
    group = learn_method({"fig": GroupData(prior, [BatchData(40, [Look(45, 3)])])})["fig"]
    assert group.fresh(40).pot_on_days(0.5) == pytest.approx([np.exp(prior.log_days_mean)] * 3)


def test_plants_that_did_badly_do_not_undo_a_plants_own_good_trays():
    """A poor gooseberry, an early fig, half-known privet; the currant's own trays did well."""
    currant, privet = prior_from_ranges(12, 24, 0.77, 0.77), prior_from_ranges(12, 24, 0.85, 0.95)
    book = {
        "gooseberry": GroupData(
            prior_from_ranges(12, 24, 0.4, 0.7), [BatchData(36, [Look(196, 9, 5)])]
        ),
        "currant": GroupData(currant, [BatchData(60, [Look(155, 31, 4), Look(224, 13, 3)])]),
        "fig": GroupData(prior_from_ranges(46, 56, 0.6, 0.9), [BatchData(24, [Look(211, 5, 3)])]),
        "privet": GroupData(privet, [BatchData(150, [Sample(204, 20, 17, 2)])]),
    }
    alone = learn(currant, book["currant"].batches).shared_take_interval()
    found = learn_method(book)["currant"].shared_take_interval()
    assert 0.9 * alone[1] < found[1] < 1.1 * alone[1]


def test_plants_of_a_method_tell_each_other_what_becomes_of_failers():
    """The same tray is counted on more where the failers of two other plants all looked dead."""
    prior = prior_from_ranges(6, 12, 0.4, 0.8, failer_log_between=0.35)
    mine = GroupData(prior, (BatchData(40, [Look(56, 12, 3)]),), SHARES)

    def ever(late_dead):
        others = {
            plant: GroupData(
                prior, [BatchData(40, [Look(60, 16, 2), Look(300, 8, late_dead)])] * 2, SHARES
            )
            for plant in ("one", "another")
        }
        return mean(learn_method({"mine": mine, **others})["mine"].batch(0).rooted_by(FAR))

    alone = mean(learn_method({"mine": mine})["mine"].batch(0).rooted_by(FAR))
    assert ever(late_dead=1) + 1 < alone + 0.5 < ever(late_dead=13)
