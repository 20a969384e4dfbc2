"""How many of a batch are takers, given what its plant and method have in common.

A batch's take is Beta(m, phi) around the shared take m, so the number K of takers among n
propagules is beta-binomial (Griffiths 1973, Biometrics 29, 637-648):
P(K) = C(n, K) a(a+1)..(a+K-1) b(b+1)..(b+n-K-1) / (a+b)..(a+b+n-1),  a = m phi, b = (1-m) phi.
Whatever was seen of a batch tells of m and phi through K alone, so no grid of takes is needed.
"""

import numpy as np
from attrs import evolve, frozen

from propagate.science.counts import log_rising
from propagate.science.timing import Array


@frozen(eq=False)
class TakeLaws:
    """Logs of the rising products of the law, for 0..most propagules.

    `up`, `down` and `both` have the laws on their first axes and `most` + 1 on the last.
    """

    up: Array
    down: Array
    both: Array

    def log_chance(self, first: int, length: int, size: int) -> Array:
        """Log of P(these and no others of `size` are takers), for first, first + 1, .. of them.

        Shape (laws.., length); the number of ways to choose them is left out.
        """
        failing = size - first
        up = self.up[..., first : first + length]
        down = self.down[..., failing - length + 1 : failing + 1][..., ::-1]
        return np.asarray(up + down - self.both[..., size, None], dtype=np.float64)

    def part(self, window: slice) -> "TakeLaws":
        """Only the laws of a window of their last axis."""
        return evolve(self, up=self.up[..., window, :], down=self.down[..., window, :])


def take_laws(log_odds: Array, precision: Array, most: int) -> TakeLaws:
    """The laws with this mean take and precision, whose shapes broadcast, for up to `most`."""
    take, rest = 1 / (1 + np.exp(-log_odds)), 1 / (1 + np.exp(log_odds))
    return TakeLaws(
        log_rising(precision * take, most),
        log_rising(precision * rest, most),
        log_rising(precision, most),
    )
