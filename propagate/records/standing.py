"""Where the plants of a batch stand, as one row of figures."""

from attrs import astuple, frozen


@frozen
class Standing:
    """Plants by where they stand; the sum over the fields is the number started.

    `miscounted` holds what the book once had and a recount took off.
    """

    waiting: int = 0
    rooted: int = 0
    potted: int = 0
    hardening: int = 0
    ready: int = 0
    planted: int = 0
    given: int = 0
    lost: int = 0
    miscounted: int = 0

    def __add__(self, other: "Standing") -> "Standing":
        return Standing(*map(sum, zip(astuple(self), astuple(other), strict=True)))
