import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from propagate.science.gauss import gauss_rule, gauss_rules


def test_few_nodes_of_a_normal_law_are_the_hermite_ones():
    """numpy.polynomial.hermite_e.hermegauss, the classical rule for the Normal law."""
    nodes = np.linspace(-9, 9, 301)
    found, weight = gauss_rule(nodes, np.exp(-(nodes**2) / 2), 5)
    expected, expected_weight = np.polynomial.hermite_e.hermegauss(5)
    assert found == pytest.approx(expected, abs=1e-9)
    assert weight == pytest.approx(expected_weight / expected_weight.sum(), abs=1e-9)


@given(st.lists(st.floats(0.001, 1), min_size=8, max_size=30), st.integers(1, 4))
def test_moments_are_kept(mass, wanted):
    nodes, mass = np.linspace(-2, 3, len(mass)), np.array(mass)
    found, weight = gauss_rule(nodes, mass, wanted)
    assert weight.sum() == pytest.approx(1)
    for power in range(2 * wanted):
        assert weight @ found**power == pytest.approx(mass / mass.sum() @ nodes**power, abs=1e-8)


def test_a_law_on_fewer_nodes_than_wanted_is_itself():
    found, weight = gauss_rule(np.array([1.0, 2.0]), np.array([3.0, 1.0]), 5)
    assert found == pytest.approx([1, 2])
    assert weight == pytest.approx([0.75, 0.25])


def test_a_law_on_one_node_is_that_node():
    found, weight = gauss_rule(np.array([7.0]), np.array([2.0]), 4)
    assert (found.tolist(), weight.tolist()) == ([7.0], [1.0])


def test_several_laws_at_once_are_each_as_alone():
    """One of them exhausted by two nodes, one by a single node."""
    nodes = np.linspace(-2, 3, 12)
    masses = np.vstack([np.exp(-(nodes**2)), np.eye(12)[3] + 2 * np.eye(12)[8], np.eye(12)[5]])
    for mass, found, weight in zip(masses, *gauss_rules(nodes, masses, 4), strict=True):
        alone, weight_alone = gauss_rule(nodes, mass, 4)
        assert found[weight > 0] == pytest.approx(alone)
        assert weight[weight > 0] == pytest.approx(weight_alone)
        assert weight @ found == pytest.approx(mass @ nodes / mass.sum())
