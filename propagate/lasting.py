"""How long labels last outdoors, by what they are made of and how the black gets on them.

Most of what is known are growers' reports and makers' claims, not trials; years vary with sun,
salt and handling. So each figure is a range, and the end of it that is sure is what counts.
"""

from typing import Final, Literal

from attrs import frozen

from propagate.spans import span
from propagate.worded import worded

Basis = Literal["published", "common practice", "memory"]

TWO_WINTERS_MONTHS: Final = 24
"""What a label of a batch has to last at the least: a hardwood cutting takes so long."""


@frozen
class Life:
    """How many months something lasts outdoors, at the least and at the most."""

    months: tuple[float, float]
    basis: Basis
    source: str


MATERIALS: Final[dict[str, Life]] = {
    "paper": Life((0.25, 2), "memory", "plain paper falls apart with the first wet weeks"),
    "wood": Life((6, 12), "published", "plantamerica.com, Labeling Plants: rots within a season"),
    "plastic": Life(
        (12, 36), "published", "plantamerica.com and growers' reports: up to 3 years, then brittle"
    ),
    "polypropylene": Life((12, 24), "published", "makers of labels: 1 to 2 years in full sun"),
    "spunbond": Life((6, 12), "memory", "untreated spunbond polyethylene in full sun"),
    "polyester": Life(
        (36, 84), "published", "makers of top-coated polyester labels: 3 to 7 years in the field"
    ),
    "laminated-tape": Life(
        (60, 240), "published", "growers' reports (Pacific Bulb Society list, 2015): 5 to 20 years"
    ),
    "aluminium": Life((240, 240), "published", "UBC Botanical Garden forum: 20 years and more"),
}
"""What a label is made of."""

PRINTINGS: Final[dict[str, Life]] = {
    "dye-inkjet": Life((0.25, 1), "memory", "dye ink runs when wet and fails within weeks"),
    "pigment-inkjet": Life((6, 12), "memory", "pigment ink on coated synthetic stock"),
    "direct-thermal": Life((1, 6), "memory", "turns dark in warmth and pale in the sun"),
    "wax-transfer": Life((6, 12), "memory", "wax rubs off; resin holds"),
    "laser": Life(
        (12, 36), "published", "hort.net iris list, 1996: three winters on metal; toner can flake"
    ),
    "resin-transfer": Life(
        (36, 84), "published", "makers of resin ribbon on polyester: 3 to 7 years in the field"
    ),
    "tape-printer": Life(
        (60, 240), "published", "growers' reports (Pacific Bulb Society list, 2015): still black"
    ),
    "marker": Life((6, 24), "published", "daffnet.org 2009: from one winter to two years"),
    "paint-pen": Life((24, 24), "published", "Pacific Bulb Society list, 2005: no fading in two"),
    "pencil": Life((36, 240), "published", "daffnet.org 2009: 3 years, 20 on the shaded side"),
    "embossed": Life((240, 240), "published", "UBC Botanical Garden forum: 20 years and more"),
}
"""How the black gets on it."""


def life_of(material: str, printing: str) -> Life | None:
    """How long the whole lasts: as long as what goes first; None where nothing is known."""
    known = [
        table[word]
        for table, word in ((MATERIALS, material), (PRINTINGS, printing))
        if word in table
    ]
    return min(known, key=lambda life: life.months) if known else None


def months_said(months: tuple[float, float]) -> str:
    """A range of months in words: weeks below two months, years from two years on."""
    low, high = months
    if high <= 2:
        return worded("{weeks} weeks", weeks=span(f"{low * 4:.0f}", f"{high * 4:.0f}"))
    if low >= TWO_WINTERS_MONTHS:
        return worded("{years} years", years=span(f"{low / 12:.2g}", f"{high / 12:.2g}"))
    return worded("{months} months", months=span(f"{low:g}", f"{high:g}"))
