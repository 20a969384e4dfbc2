"""Days of a pot-on window: quantiles of a law that is known on nodes."""

from collections.abc import Sequence
from typing import Final

import numpy as np

from propagate.science.counts import cubic_parts
from propagate.science.timing import Array

EARLY_LIKELY_LATE: Final = (0.1, 0.5, 0.9)

FINER: Final = 16  # fine steps to a step between nodes
NEGLIGIBLE: Final = 1e-20  # of the largest mass


def weighted_quantiles(nodes: Array, mass: Array, shares: Sequence[float]) -> Array:
    """Quantiles of a smooth law known by its mass at even nodes, both of shape (n,), n >= 4.

    The logarithm of the mass is nearly a parabola between nodes, so it is first filled in by
    cubics; then the mass of each fine node is spread evenly over its own step. One node alone
    (a number that is known) answers itself.
    """
    if len(nodes) == 1:
        return np.full(len(shares), float(nodes[0]))
    fine, fine_mass = _filled_in(nodes, mass)
    half = (fine[1] - fine[0]) / 2
    edges = np.concatenate([fine - half, [fine[-1] + half]])
    below = np.concatenate([[0.0], np.cumsum(fine_mass / fine_mass.sum())])
    return np.asarray(np.interp(shares, below, edges), dtype=np.float64)


def _filled_in(nodes: Array, mass: Array) -> tuple[Array, Array]:
    log_mass = np.log(np.maximum(mass / mass.max(), NEGLIGIBLE))
    position = np.arange((len(nodes) - 1) * FINER + 1) / FINER
    base = np.clip(position.astype(np.intp), 1, len(nodes) - 3)
    parts = zip((-1, 0, 1, 2), cubic_parts(position - base), strict=True)
    log_fine = sum(part * log_mass[base + offset] for offset, part in parts)
    step = nodes[1] - nodes[0]
    return nodes[0] + position * step, np.exp(log_fine)
