"""What is to be bought: pots, compost, labels and the like, for the weeks to come."""

import datetime as dt

from attrs import frozen

from propagate.records.methods import Basis


@frozen
class Need:
    """One thing: how much of it is expected to be used, and how much is enough 9 times in 10.

    `basis` is the origin of the figure that the sum rests on besides the forecast.
    """

    item: str
    unit: str
    expected: float
    enough: float
    in_hand: float
    why: str
    basis: Basis

    @property
    def to_buy(self) -> float:
        """What is missing for enough, in whole units."""
        missing = max(0.0, self.enough - self.in_hand)
        return float(-(-round(missing, 6) // 1))


@frozen
class Shopping:
    """The answer to `materials`: the needs of some weeks, and what to mind with them."""

    as_of: dt.date
    until: dt.date
    needs: tuple[Need, ...]
    cautions: tuple[str, ...]
