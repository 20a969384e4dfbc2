"""One batch under several hypotheses that its sightings weigh against each other.

How many failers never look dead differs from tray to tray and from grower to grower, and no
record tells it. So a batch in which dead were found is answered for under a few shares of
lingering failers; each counts by how well it explains what was seen.
"""

from collections.abc import Callable, Sequence

import numpy as np
from attrs import evolve, field, frozen

from propagate.science.counts import mixed, shifted
from propagate.science.dates import EARLY_LIKELY_LATE, weighted_quantiles
from propagate.science.posterior import BatchPosterior, days_of, shares_of
from propagate.science.timing import Array


@frozen(eq=False)
class MixedPosterior:
    """A batch's answers mixed over hypotheses, `parts`, equally likely before any sighting.

    It answers as a BatchPosterior does. `weight` (hypotheses,) is the scale of each part's
    evidence.
    """

    parts: tuple[BatchPosterior, ...]
    shared_weight: Array
    weight: Array = field(init=False, repr=False)
    evidence: Array = field(init=False, repr=False)

    @weight.default
    def _weight(self) -> Array:
        scales = np.array([part.grid.log_scale for part in self.parts])
        return np.asarray(np.exp(scales - scales.max()), dtype=np.float64)

    @evidence.default
    def _evidence(self) -> Array:
        """P(sightings | shared take) up to a constant, shape (shared takes,)."""
        return np.asarray(self.weight @ [part.evidence for part in self.parts], dtype=np.float64)

    @property
    def count(self) -> int:
        """Propagules that the batch started with."""
        return self.parts[0].count

    @property
    def known(self) -> int:
        """Propagules known to have rooted."""
        return self.parts[0].known

    @property
    def waiting(self) -> int:
        """Propagules not known to have rooted, died or gone."""
        return self.parts[0].waiting

    def rooted_by(self, day: float) -> Array:
        """P(k rooted in all by `day`, k = 0..count); days from the start."""
        return mixed(self.shared_weight, self.given_shared(day))

    def given_shared(self, day: float) -> Array:
        """`rooted_by` for each shared take, shape (shared takes, count + 1)."""
        return shifted(self.more_given_shared(day), self.known, self.count + 1)

    def more_given_shared(self, day: float) -> Array:
        """P(k more rooted by `day`, k = 0..waiting), shape (shared takes, waiting + 1)."""
        shares = self.weight[:, None] * [part.evidence for part in self.parts] / self.evidence
        more = np.array([part.more_given_shared(day) for part in self.parts])
        return np.asarray(np.einsum("hg,hgk->gk", shares, more), dtype=np.float64)

    def pot_on_days(self, share: float) -> tuple[float, float, float]:
        """Early, likely and late day on which `share` of the takers have rooted."""
        nodes, mass = self._joined(
            lambda part: part.grid.lattice.shift, lambda part, law: law @ part.grid.mass
        )
        shift = weighted_quantiles(nodes, mass, EARLY_LIKELY_LATE)
        return days_of(self.parts[0].grid.lattice.prior, shift, share)

    def take_interval(self, chance: float = 0.8) -> tuple[float, float, float]:
        """Low, median and high of the share that will ever root, `chance` between the ends."""
        nodes, mass = self._joined(
            lambda part: part.grid.lattice.take_log_odds, lambda part, law: law * part.grid.by_take
        )
        return shares_of(nodes, mass, chance)

    def weighed(self, shared_weight: Array, kept: slice) -> "MixedPosterior":
        """The same batch for the kept shared takes, under these weights of them."""
        parts = tuple(part.weighed(shared_weight, kept) for part in self.parts)
        return evolve(self, parts=parts, shared_weight=shared_weight)

    def _joined(
        self,
        nodes_of: Callable[[BatchPosterior], Array],
        mass_of: Callable[[BatchPosterior, Array], Array],
    ) -> tuple[Array, Array]:
        """All parts' nodes on one even grid, with the mass of all."""
        given = self.shared_weight / self.evidence
        masses = [
            weight * mass_of(part, given @ part.law)
            for weight, part in zip(self.weight, self.parts, strict=True)
        ]
        return on_one_grid([nodes_of(part) for part in self.parts], masses)


def on_one_grid(nodes: Sequence[Array], masses: Sequence[Array]) -> tuple[Array, Array]:
    """Add up masses that stand on pieces of one even grid; the grid that holds them all."""
    steps = [piece[1] - piece[0] for piece in nodes if len(piece) > 1]
    if not steps:
        return nodes[0], np.asarray(sum(masses), dtype=np.float64)
    first, last = min(piece[0] for piece in nodes), max(piece[-1] for piece in nodes)
    grid = first + steps[0] * np.arange(round((last - first) / steps[0]) + 1)
    total = np.zeros(len(grid))
    for piece, mass in zip(nodes, masses, strict=True):
        begin = round((piece[0] - first) / steps[0])
        total[begin : begin + len(piece)] += mass
    return grid, total
