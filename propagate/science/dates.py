"""Days of a pot-on window: quantiles of a law that is known on nodes."""

from collections.abc import Sequence
from typing import Final

import numpy as np

from propagate.science.timing import Array

EARLY_LIKELY_LATE: Final = (0.1, 0.5, 0.9)

FINER: Final = 16  # fine steps to a step between nodes
NEGLIGIBLE: Final = 1e-20  # of the largest mass
LIGHT: Final = 1e-9  # of the largest mass: nodes beyond it move no quantile


def weighted_quantiles(nodes: Array, mass: Array, shares: Sequence[float]) -> Array:
    """Quantiles of a smooth law known by its mass at even nodes, both of shape (n,), n >= 4.

    The logarithm of the mass is nearly a parabola between nodes, so it is first filled in by
    cubics; then the mass of each fine node is spread evenly over its own step. One node alone
    (a number that is known) answers itself.
    """
    if len(nodes) == 1:
        return np.full(len(shares), float(nodes[0]))
    heavy = np.flatnonzero(mass > LIGHT * mass.max())
    first = max(int(heavy[0]) - 2, 0)
    fine_mass = _filled_in(mass[first : int(heavy[-1]) + 3])
    below = np.cumsum(fine_mass)
    wanted = np.array(shares) * below[-1]
    at = below.searchsorted(wanted)
    steps = at + 0.5 - (below[at] - wanted) / fine_mass[at]  # from the first node, in fine ones
    return np.asarray(nodes[first] + steps * (nodes[1] - nodes[0]) / FINER, dtype=np.float64)


def _filled_in(mass: Array) -> Array:
    """Mass on FINER nodes to each, its logarithm on cubics through four nodes each.

    Beyond either end one node is added on the parabola of the last three.
    """
    padded = np.empty(len(mass) + 2)
    log_mass = padded[1:-1]
    np.log(np.maximum(mass / mass.max(), NEGLIGIBLE), out=log_mass)
    padded[0] = 3 * (log_mass[0] - log_mass[1]) + log_mass[2]
    padded[-1] = 3 * (log_mass[-1] - log_mass[-2]) + log_mass[-3]
    fours = padded[np.arange(len(mass) - 1)[:, None] + _FOUR]
    log_fine = np.append((fours @ _CUBICS).ravel(), log_mass[-1])
    return np.asarray(np.exp(log_fine), dtype=np.float64)


def _cubic_parts(f: Array) -> Array:
    """Weights of the nodes at -1, 0, 1 and 2 in the cubic through them, read off at f."""
    return np.array(
        [
            -f * (f - 1) * (f - 2) / 6,
            (f + 1) * (f - 1) * (f - 2) / 2,
            -(f + 1) * f * (f - 2) / 2,
            (f + 1) * f * (f - 1) / 6,
        ]
    )


_CUBICS: Final = _cubic_parts(np.arange(FINER) / FINER)
_FOUR: Final = np.arange(4)
