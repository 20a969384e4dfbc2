"""Few nodes that stand for many: Gauss rules of laws known by their mass on nodes.

A rule of n nodes gives the mean of every polynomial up to degree 2n - 1 exactly, and that of
a smooth function nearly so. Golub & Welsch 1969, Mathematics of Computation 23, 221-230: the
nodes are the eigenvalues of the law's three-term recurrence, found here by Lanczos' steps.
"""

import numpy as np

from propagate.science.timing import Array

NEGLIGIBLE = 1e-7  # of a deviation: a law as narrow as that is one node


def gauss_rule(nodes: Array, mass: Array, wanted: int) -> tuple[Array, Array]:
    """At most `wanted` nodes and their weights, which sum to 1, for a law on given nodes."""
    (at,), (weight,) = gauss_rules(nodes, mass[None], wanted)
    kept = weight > 0
    return at[kept], weight[kept]


def gauss_rules(nodes: Array, masses: Array, wanted: int) -> tuple[Array, Array]:
    """The rules of several laws (laws, nodes) on the same nodes at once, each (laws, wanted).

    A law that fewer nodes exhaust has others of no weight.
    """
    weight = masses / masses.sum(axis=1, keepdims=True)
    centre = (weight @ nodes)[:, None]
    spread = np.sqrt((weight * (nodes - centre) ** 2).sum(axis=1, keepdims=True))
    spread = np.where(spread <= NEGLIGIBLE * np.maximum(1.0, np.abs(centre)), 0.0, spread)
    scaled = np.divide(nodes - centre, spread, out=np.zeros_like(weight), where=spread > 0)
    diagonal, beside = _recurrences(scaled, np.sqrt(weight), wanted)
    matrix = np.zeros((len(masses), wanted, wanted))
    step = np.arange(wanted)
    matrix[:, step, step] = diagonal
    matrix[:, step[1:], step[:-1]] = matrix[:, step[:-1], step[1:]] = beside
    values, vectors = np.linalg.eigh(matrix)
    return centre + spread * values, np.asarray(vectors[:, 0] ** 2, dtype=np.float64)


def _recurrences(nodes: Array, start: Array, wanted: int) -> tuple[Array, Array]:
    """Diagonals and off-diagonals of the laws' Jacobi matrices, nought where one is used up."""
    laws, length = start.shape
    basis = np.zeros((laws, wanted, length))
    basis[:, 0] = start
    diagonal, beside = np.zeros((laws, wanted)), np.zeros((laws, wanted - 1))
    for step in range(1, wanted + 1):
        so_far = basis[:, :step]
        nextly = (nodes * so_far[:, -1])[..., None]
        diagonal[:, step - 1] = (so_far[:, -1:] @ nextly)[:, 0, 0]
        if step == wanted:
            break
        for _ in range(2):  # twice, for rounding
            nextly = nextly - so_far.swapaxes(1, 2) @ (so_far @ nextly)
        size = np.sqrt((nextly**2).sum(axis=1))
        going_on = size > NEGLIGIBLE
        beside[:, step - 1] = np.where(going_on, size, 0.0)[:, 0]
        basis[:, step] = np.where(going_on, nextly[..., 0] / np.where(going_on, size, 1.0), 0.0)
    return diagonal, beside
