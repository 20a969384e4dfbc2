import pytest

from propagate.errors import Refused
from propagate.science.tolerance import agree, widest_range


@pytest.mark.parametrize("replicates", [2, 4])
def test_the_range_widens_towards_the_middle_and_is_the_same_for_the_dead(replicates):
    means = range(97, 69, -1)
    ranges = [widest_range(mean, replicates) for mean in means]
    assert ranges == sorted(ranges)
    assert ranges == [widest_range(101 - mean, replicates) for mean in means]


@pytest.mark.parametrize("mean", range(70, 98))
def test_two_replicates_lie_closer_than_four(mean):
    assert widest_range(mean, 2) < widest_range(mean, 4)


def test_identical_replicates_agree():
    assert agree([90, 90])
    assert agree([90, 90, 90, 90])


@pytest.mark.parametrize(
    ("mean", "replicates"), [(50, 4), (69, 4), (100, 4), (99, 2), (0, 4), (90, 3)]
)
def test_what_the_table_lacks_is_refused(mean, replicates):
    with pytest.raises(Refused, match=f"{replicates}"):
        widest_range(mean, replicates)
