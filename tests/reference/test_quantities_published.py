"""Sums for the bench against published worked examples; each source stands beside its numbers."""

import pytest

from propagate.science import quantities as q


def test_percent_of_a_rooting_product_in_ppm() -> None:
    # USDA Woody Plant Seed Manual (Agriculture Handbook 727), p. 536: 0.1 % IBA = 1,000 ppm.
    assert q.mg_per_l_of_percent(0.1) == pytest.approx(1000)
    # AL Great Lakes (soil laboratory), "Converting ppm to percent": 0.14 % = 1,400 ppm.
    assert q.mg_per_l_of_percent(0.14) == pytest.approx(1400)


def test_one_gram_in_a_thousand_litres_is_one_ppm() -> None:
    # "Nutrition and fertilization: ppm versus millimoles" (greenhouse teaching notes).
    assert q.grams_for(1, 1000) == pytest.approx(1)


def test_two_ml_of_a_product_in_five_gallons() -> None:
    # mathtuition88, "How to convert w/w concentration to ppm", 2020: 0.8 %, 2 ml in 5 US
    # gallons (18.9271 L) is 0.845 ppm, at a density of 1.
    stock = q.mg_per_l_of_percent(0.8)
    assert q.strength_of_parts(stock, 2, 18927.1 - 2) == pytest.approx(0.845, abs=0.0005)


def test_one_to_ten_means_two_things() -> None:
    # Arithmetic: 1 part and 10 parts of 10,000 ppm is 909 ppm, 1 in 10 altogether 1,000 ppm.
    assert q.strength_of_parts(10_000, 1, 10) == pytest.approx(909.09, abs=0.01)
    assert q.strength_of_parts(10_000, 1, 9) == pytest.approx(1000)


def test_a_stock_solution_thinned_to_a_dip() -> None:
    # Arithmetic (C1 V1 = C2 V2): 500 ml of 1,000 ppm from 10,000 ppm is 50 ml and 450 ml.
    made = q.dilution(10_000, 1000, 500)
    assert (made.stock_ml, made.diluent_ml) == pytest.approx((50, 450))


def test_potassium_iba_on_the_shelf() -> None:
    # A maker's storage page gives a loss of about 5 % a month; three months leave 0.857.
    assert q.strength_after(1, 3, 0.05) == pytest.approx(0.857, abs=0.0005)


def test_pure_live_seed() -> None:
    # Texas Department of Transportation, "Pure live seed": 85 % x 75 % = 0.64, 1.56 lb bulk.
    share = q.pure_live_seed(0.85, 0.75)
    assert share == pytest.approx(0.64, abs=0.005)
    assert 1 / round(share, 2) == pytest.approx(1.56, abs=0.005)


@pytest.mark.parametrize(
    ("purity", "germination", "factor"),
    # USGS Northern Prairie Wildlife Research Center, grassland establishment, table 4: bulk
    # factors in steps of 0.05.
    [(0.9, 0.9, 1.25), (0.8, 0.7, 1.8), (1.0, 0.5, 2.0), (0.7, 0.6, 2.4), (0.5, 0.5, 4.0)],
)
def test_bulk_factors(purity: float, germination: float, factor: float) -> None:
    assert 1 / q.pure_live_seed(purity, germination) == pytest.approx(factor, abs=0.025)


def test_three_plants_at_three_in_four_need_four_seeds() -> None:
    # eHow, "How to measure vegetable seeds" (second-hand): 3 plants at 75 % -> 4 seeds.
    assert q.to_start(3, 0.75) == 4


def test_spot_sowing() -> None:
    # "Sowing rates for reforestation" (forestry handbook chapter): 5 seeds a spot where at
    # least half are viable, up to 29 at 10 %; both fill about 95 spots of 100 or more.
    assert q.chance_filled(0.5, 5) == pytest.approx(0.969, abs=0.0005)
    assert q.chance_filled(0.1, 29) == pytest.approx(0.953, abs=0.0005)
    assert q.seeds_per_cell(0.5, 0.95) == 5
    assert q.seeds_per_cell(0.1, 0.95) == 29


@pytest.mark.parametrize(
    ("germination", "chances"),
    # Arithmetic, 1 - (1 - g)^k for k = 1..4.
    [
        (0.5, (0.5, 0.75, 0.875, 0.9375)),
        (0.6, (0.6, 0.84, 0.936, 0.9744)),
        (0.7, (0.7, 0.91, 0.973, 0.9919)),
        (0.8, (0.8, 0.96, 0.992, 0.9984)),
        (0.9, (0.9, 0.99, 0.999, 0.9999)),
    ],
)
def test_cells_filled(germination: float, chances: tuple[float, ...]) -> None:
    found = [q.chance_filled(germination, seeds) for seeds in (1, 2, 3, 4)]
    assert found == pytest.approx(chances, abs=5e-5)


def test_pot_volume_from_its_measures() -> None:
    # "What size is a 1 gallon plant pot" (growers' page): 30 x 30 x 26 cm -> 13 L.
    assert q.pot_litres(30, 26) == pytest.approx(13, abs=0.05)


def test_trays_from_a_bag() -> None:
    # Greenhouse Megastore plug-flat table: a 128-cell tray of 25.14 ml cells takes 3.22 L.
    tray_l = 128 * 25.14 / 1000
    assert tray_l == pytest.approx(3.22, abs=0.005)
    assert q.pots_per_bag(40, tray_l) == 12
