"""Divisions, offsets, runners and layers against the publications they were taken from.

The source stands beside each row. Percentages are turned into shares, days and months into
weeks; a publication with one number gives it as both ends.
"""

import pytest

from propagate.library import Library
from propagate.names import parse
from propagate.paths import methods_folder

WEEKS_A_YEAR = 365.25 / 7


@pytest.fixture(scope="module")
def library():
    return Library([methods_folder()])


def record(library, method_id, latin):
    match = library.record(method_id, parse(latin))
    assert match.level == "species"
    return match.record


TAKES = [
    # Boersma & Heaton 2014: 23.7 % lost while establishing.
    ("division", "Miscanthus × giganteus", 100 - 23.7, 100 - 23.7),
    # Abstract on big white ginger: 70 % after nine months, 100 % after seven.
    ("division", "Zingiber officinale", 70, 100),
    # Metu sub-centre 2020: 88.4 % sprouted.
    ("division", "Curcuma longa", 88.4, 88.4),
    # Cuda et al. 2021: 37 % of rhizome pieces regenerated.
    ("division", "Phragmites australis", 37, 37),
    # Yetka & Galatowitsch 1999: 27 % over all, 73 % of the best planting.
    ("division", "Carex lacustris", 27, 73),
    # Stauffer & Brooks 1997: 38 and 79 %.
    ("division", "Carex lurida", 38, 79),
    # Sloey, Willis & Hester 2015: 6 to 31 %.
    ("division", "Schoenoplectus californicus", 6, 31),
    # Small, Chamberlain & Nuckols 2014: fewer than 40 %.
    ("division", "Actaea racemosa", 40, 40),
    # McKechnie, Burton & Massicotte 2012: rhizome cuttings 85 and 70 %.
    ("division", "Vaccinium myrtilloides", 85, 85),
    ("division", "Vaccinium membranaceum", 70, 70),
    # Tesi, Lombardi & Lenzi 2004: 57 % at 15 cm, 87 % at 20 cm.
    ("offset", "Cynara cardunculus", 57, 87),
    # Central Laboratory for Date Palm, 'Zaghloul': 72.2 %.
    ("offset", "Phoenix dactylifera", 72.2, 72.2),
    # Desta et al. 2017: 88.42 % sprouted.
    ("offset", "Allium sativum", 88.42, 88.42),
]


@pytest.mark.parametrize(("method_id", "latin", "low_pct", "high_pct"), TAKES)
def test_shares_that_lived_or_sprouted(library, method_id, latin, low_pct, high_pct):
    take = record(library, method_id, latin).taking.take
    # Two decimals of a share are kept.
    assert (take.low * 100, take.high * 100) == pytest.approx((low_pct, high_pct), abs=0.5)
    assert take.basis == "published"


WEEKS = [
    # Cuda et al. 2021: scored after six weeks.
    ("division", "Phragmites australis", 6, 6),
    # DeRigo & Hawley 1966: evaluated six weeks later.
    ("division", "Phyllostachys", 6, 6),
    # Sloey, Willis & Hester 2015: three months.
    ("division", "Schoenoplectus californicus", WEEKS_A_YEAR / 4, WEEKS_A_YEAR / 4),
    # Native Plant Network protocol 152, sweetgrass: time to grow six weeks.
    ("division", "Hierochloe odorata", 6, 6),
    # Native Plant Network protocols 184 and 183: established in two weeks.
    ("division", "Fragaria virginiana", 2, 2),
    ("division", "Fragaria vesca", 2, 2),
    # Maximum Yield, January 2017: within two to four weeks.
    ("division", "Zingiber officinale", 2, 4),
    ("division", "Curcuma longa", 2, 4),
    # Thiemele et al. 2015: day 20 with a cytokinin, day 28.5 without.
    ("offset", "Musa", 20 / 7, 28.5 / 7),
    # Owen 1999: within a year.
    ("simple-layering", "Clematis", WEEKS_A_YEAR, WEEKS_A_YEAR),
    ("simple-layering", "Vitis vinifera", WEEKS_A_YEAR, WEEKS_A_YEAR),
    # Newspaper column: up to two years.
    ("simple-layering", "Daphne", 2 * WEEKS_A_YEAR, 2 * WEEKS_A_YEAR),
    # Rhododendron growers' page: two or three years.
    ("simple-layering", "Rhododendron", 2 * WEEKS_A_YEAR, 3 * WEEKS_A_YEAR),
]


@pytest.mark.parametrize(("method_id", "latin", "low", "high"), WEEKS)
def test_weeks_until_rooted_or_grown_on(library, method_id, latin, low, high):
    weeks = record(library, method_id, latin).taking.weeks
    assert (weeks.low, weeks.high) == pytest.approx((low, high), rel=0.016)
    assert weeks.basis == "published"


def test_date_offshoots_stay_in_the_nursery_for_one_or_two_years(library):
    # Leaflet on Medjool dates for Yuma County; three or four are fit for planting in a year.
    palm = record(library, "offset", "Phoenix dactylifera")
    weeks = palm.establishing.weeks
    assert (weeks.low, weeks.high) == pytest.approx((WEEKS_A_YEAR, 2 * WEEKS_A_YEAR), rel=0.01)
    assert palm.per_mother == (3, 4)


def test_a_head_of_garlic_gives_five_to_ten_cloves(library):
    # Growers' leaflet on bulbils: 5 to 10 usable cloves.
    assert record(library, "offset", "Allium sativum").per_mother == (5, 10)


# Gwinnett County Master Gardeners 2009, table 1: the season of division, as northern months.
SPRING, SUMMER, AUTUMN = {3, 4, 5}, {6, 7, 8}, {9, 10, 11}
DIVIDED_IN = [
    ("Phlox paniculata", SPRING),
    ("Symphyotrichum", SPRING),
    ("Kniphofia", SPRING),
    ("Primula veris", SUMMER),
    ("Iris germanica", {7, 8}),
    ("Convallaria majalis", AUTUMN),
    ("Echinacea purpurea", SPRING | AUTUMN),
    ("Rudbeckia", SPRING | AUTUMN),
]


@pytest.mark.parametrize(("latin", "months"), DIVIDED_IN)
def test_perennials_are_divided_in_the_season_of_the_table(library, latin, months):
    assert set(record(library, "division", latin).season.months) <= months
