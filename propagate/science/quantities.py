"""Sums for the bench: rooting solutions, seeds to sow, compost for pots.

Plain numbers in, plain numbers out. A strength is in mg/L of active substance, which for
watery solutions is the same as parts per million.
"""

import math

from attrs import frozen

from propagate.errors import Refused

MG_PER_L_PER_PERCENT = 10_000.0
"""1 % by weight in volume is 10 g/L; 0.1 % is 1,000 ppm (USDA Woody Plant Seed Manual p. 536)."""

TAPERED_POT_CM3_PER_L = 1800.0
"""Top width x width x height [cm3] of a tapered, part-filled pot for each litre it takes
(common practice of growers: 30 x 30 x 26 cm holds 13 L)."""


@frozen
class Dilution:
    """How much stock solution to measure, and how much water or alcohol to add."""

    stock_ml: float
    diluent_ml: float


def mg_per_l_of_percent(percent: float) -> float:
    """Strength [mg/L] of a product labelled in percent."""
    _above(percent, 0, "percent")
    return percent * MG_PER_L_PER_PERCENT


def grams_for(strength_mg_per_l: float, volume_l: float) -> float:
    """Grams of pure substance for a volume at a strength: 1 g in 1,000 L is 1 mg/L."""
    _above(strength_mg_per_l, 0, "strength")
    _above(volume_l, 0, "volume")
    return strength_mg_per_l * volume_l / 1000


def dilution(stock_mg_per_l: float, wanted_mg_per_l: float, volume_ml: float) -> Dilution:
    """Stock and diluent for a volume at the wanted strength (C1 V1 = C2 V2).

    Raises Refused when the stock is weaker than what is wanted.
    """
    for name, value in (("stock", stock_mg_per_l), ("wanted", wanted_mg_per_l)):
        _above(value, 0, f"{name} strength")
    _above(volume_ml, 0, "volume")
    if stock_mg_per_l < wanted_mg_per_l:
        raise Refused(
            f"A stock of {stock_mg_per_l:g} mg/L is weaker than the "
            f"{wanted_mg_per_l:g} mg/L wanted."
        )
    stock_ml = volume_ml * wanted_mg_per_l / stock_mg_per_l
    return Dilution(stock_ml, volume_ml - stock_ml)


def strength_of_parts(stock_mg_per_l: float, stock_parts: float, diluent_parts: float) -> float:
    """Strength [mg/L] of so many parts of stock *and* so many parts of diluent.

    "1:10" is ambiguous: 1 part and 10 parts is an eleventh, 1 in 10 altogether a tenth; the
    second is 1 part and 9 parts here.
    """
    _above(stock_parts, 0, "parts of stock")
    if diluent_parts < 0:
        raise Refused(f"{diluent_parts:g} parts of diluent are fewer than none.")
    return stock_mg_per_l * stock_parts / (stock_parts + diluent_parts)


def strength_after(strength_mg_per_l: float, months: float, loss_per_month: float) -> float:
    """Strength [mg/L] of a solution that loses a share of itself each month on the shelf."""
    _share(loss_per_month, "loss")
    return float(strength_mg_per_l * (1 - loss_per_month) ** months)


def pure_live_seed(purity: float, germination: float) -> float:
    """Share of a seed lot, by weight, that is pure and will germinate."""
    _share(purity, "purity")
    _share(germination, "germination")
    return purity * germination


def to_start(wanted: int, *shares: float) -> int:
    """Propagules to start for `wanted` plants on average, after each share in turn.

    This is the handbooks' sowing sum, wanted / (germination x survival x ...), rounded up. It
    fills the wish in about one case of two; for a surer answer ask the forecast.
    """
    _above(wanted, 0, "plants wanted")
    for share in shares:
        _share(share, "share")
    yielded = math.prod(shares)
    if yielded == 0:
        raise Refused("With a share of 0 no number of propagules is enough.")
    return math.ceil(wanted / yielded - 1e-9)


def chance_filled(germination: float, seeds: int) -> float:
    """Chance that a cell sown with so many seeds gets at least one seedling: 1 - (1 - g)^k."""
    _share(germination, "germination")
    if seeds < 0:
        raise Refused(f"{seeds} seeds are fewer than none.")
    return float(1 - (1 - germination) ** seeds)


def seeds_per_cell(germination: float, chance: float) -> int:
    """Fewest seeds a cell needs to be filled with the asked chance."""
    _share(germination, "germination")
    _share(chance, "chance")
    if germination == 0 or chance == 1 > germination:
        raise Refused("No number of seeds makes that certain.")
    if germination == 1:
        return 1
    return max(1, math.ceil(math.log1p(-chance) / math.log1p(-germination) - 1e-9))


def pot_litres(width_cm: float, height_cm: float, *, straight: bool = False) -> float:
    """About how many litres a round pot takes, from its top width and height.

    A tapered pot filled to below the rim unless `straight`, which is the full cylinder.
    """
    _above(width_cm, 0, "width")
    _above(height_cm, 0, "height")
    if straight:
        return math.pi * width_cm**2 / 4 * height_cm / 1000
    return width_cm**2 * height_cm / TAPERED_POT_CM3_PER_L


def pots_per_bag(bag_l: float, pot_l: float, *, settling: float = 0.0) -> int:
    """Whole pots that a bag fills; `settling` is the share that compost loses on watering in."""
    _above(bag_l, 0, "bag")
    _above(pot_l, 0, "pot")
    _share(settling, "settling")
    return math.floor(bag_l * (1 - settling) / pot_l + 1e-9)


def _above(value: float, least: float, name: str) -> None:
    if not (math.isfinite(value) and value > least):
        raise Refused(f"The {name} is {value:g}; it must be above {least:g}.")


def _share(value: float, name: str) -> None:
    if not 0 <= value <= 1:
        raise Refused(f"The {name} is {value:g}; give a share from 0 to 1.")
