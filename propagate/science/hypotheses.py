"""What becomes of those that fail, under several shares of them that never look dead.

How many failers linger (a dud seed, a callused stick that waits for ever) differs from tray
to tray and from grower to grower, and no record tells it. So what was seen of deaths is
weighed under a few shares of lingering failers, equally likely before any sighting; each
counts by how well it explains the tray, for each number of takers on its own.
"""

import numpy as np
from attrs import frozen

from propagate.science.timing import TINY, Array, log_between, score


@frozen(eq=False)
class Deaths:
    """The failers' law of several batches, each under as many shares that linger.

    `log_days` and `scale` have shape (batches, 1), `lingering` (batches, shares).
    """

    log_days: Array
    scale: Array
    lingering: Array

    def log_dead(self, from_days: Array, to_days: Array) -> Array:
        """Log of P(a failer dies between two ages, each (batches, 1)), (batches, shares)."""
        between = log_between(
            score(from_days, self.log_days, self.scale),
            score(to_days, self.log_days, self.scale),
        )
        return np.asarray(between + np.log1p(-self.lingering), dtype=np.float64)

    def log_alive(self, age_days: Array) -> Array:
        """Log of P(a failer does not look dead at an age (batches, 1)), (batches, shares)."""
        alive = -np.logaddexp(0.0, score(age_days, self.log_days, self.scale))
        lingers = np.log(np.maximum(self.lingering, TINY))
        dies_later = np.log1p(-self.lingering) + alive
        return np.asarray(np.logaddexp(lingers, dies_later), dtype=np.float64)
