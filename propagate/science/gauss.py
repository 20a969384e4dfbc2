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
    weight = mass / mass.sum()
    centre = float(weight @ nodes)
    spread = float(np.sqrt(weight @ (nodes - centre) ** 2))
    if spread <= NEGLIGIBLE * max(1.0, abs(centre)):
        return np.array([centre]), np.ones(1)
    scaled = (nodes - centre) / spread
    diagonal, beside = _recurrence(scaled, np.sqrt(weight), wanted)
    matrix = np.diag(diagonal) + np.diag(beside, 1) + np.diag(beside, -1)
    values, vectors = np.linalg.eigh(matrix)
    return centre + spread * values, np.asarray(vectors[0] ** 2, dtype=np.float64)


def _recurrence(nodes: Array, start: Array, wanted: int) -> tuple[Array, Array]:
    """Diagonal and off-diagonal of the law's Jacobi matrix, ended where the law is used up."""
    basis = np.zeros((wanted, len(nodes)))
    basis[0] = start
    diagonal: list[float] = []
    beside: list[float] = []
    for step in range(1, wanted + 1):
        so_far = basis[:step]
        nextly = nodes * so_far[-1]
        diagonal.append(float(so_far[-1] @ nextly))
        for _ in range(2):  # twice, for rounding
            nextly = nextly - (so_far @ nextly) @ so_far
        length = float(np.sqrt(nextly @ nextly))
        if step == wanted or length < NEGLIGIBLE:
            break
        beside.append(length)
        basis[step] = nextly / length
    return np.array(diagonal), np.array(beside)
