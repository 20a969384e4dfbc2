"""What a printer does to a page: how large it prints, and how far from where it was meant."""

from typing import Final

from attrs import frozen

Pair = tuple[float, float]
"""A length as planned and as measured on the paper [mm]."""

MOST_STRETCH: Final = 0.1  # more than a tenth too large or small is another paper, not a printer
MOST_OFF_MM: Final = 20.0


@frozen
class PrinterFit:
    """What was measured on a calibration sheet, each as (planned, measured) [mm].

    `left_mm` and `top_mm` are how far the first cross lies from the paper's edges; `across_mm`
    and `down_mm` the lengths of the two rulers.
    """

    left_mm: Pair = (0.0, 0.0)
    top_mm: Pair = (0.0, 0.0)
    across_mm: Pair = (1.0, 1.0)
    down_mm: Pair = (1.0, 1.0)

    @property
    def scale(self) -> Pair:
        """How many times too large it prints, across and down."""
        return (self.across_mm[1] / self.across_mm[0], self.down_mm[1] / self.down_mm[0])

    @property
    def offset_mm(self) -> Pair:
        """Where the paper's corner is printed, right of and below the corner itself [mm]."""
        across, down = self.scale
        return (
            self.left_mm[1] - across * self.left_mm[0],
            self.top_mm[1] - down * self.top_mm[0],
        )
