"""A sheet whose totals are not the sums of its rows is not printed."""

import pytest
from attrs import evolve

from propagate.errors import BrokenBook
from propagate.paper.reconcile import STANDING_KEYS, check_totals


def test_a_sheet_that_adds_up_passes(make_sheet):
    check_totals(make_sheet())


@pytest.mark.parametrize("key", STANDING_KEYS)
def test_each_count_of_the_whole_is_checked(make_sheet, key):
    sheet = make_sheet()
    wrong = evolve(sheet.standing, **{key: getattr(sheet.standing, key) + 1})
    with pytest.raises(BrokenBook, match=f"all plants: {key} is given as"):
        check_totals(evolve(sheet, standing=wrong))


def test_a_number_started_that_is_not_the_sum_is_named(make_sheet):
    with pytest.raises(BrokenBook, match="started is given as 134, the parts make 133"):
        check_totals(make_sheet(started=134))


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"started": 104}, "started is given as 104, the parts make 103"),
        ({"expected": {"promised": 11}}, "promised is given as 11, the parts make 10"),
        ({"expected": {"low": 71}}, "not in order"),
        ({"expected": {"free_high": 0}}, "free plants are not in order"),
        ({"standing": {"potted": 0}}, "potted is given as 0, the parts make 13"),
    ],
)
def test_each_figure_of_a_plant_is_checked(make_sheet, change, words):
    sheet = make_sheet()
    group = sheet.groups[0]
    fields = {
        key: evolve(getattr(group, key), **value) if isinstance(value, dict) else value
        for key, value in change.items()
    }
    with pytest.raises(BrokenBook, match=words):
        check_totals(evolve(sheet, groups=(evolve(group, **fields), sheet.groups[1])))


def test_a_batch_must_hold_all_it_started_with(make_sheet):
    sheet = make_sheet()
    group = sheet.groups[1]
    short = evolve(group.rows[0], count=31)
    with pytest.raises(BrokenBook, match="WDWT: started is given as 31, the parts make 30"):
        check_totals(evolve(sheet, groups=(sheet.groups[0], evolve(group, rows=(short,)))))
