"""Shipped seed records against the tables they were taken from; the source stands beside each.

Days of the tables are turned into weeks by dividing by seven, percentages into shares.
"""

import pytest

from propagate.library import Library
from propagate.names import parse
from propagate.paths import methods_folder


@pytest.fixture(scope="module")
def library():
    return Library([methods_folder()])


def record(library, latin):
    match = library.record("seed", parse(latin))
    assert match.level == "species"
    return match.record


def stage(library, latin, name):
    return next(stage for stage in record(library, latin).stages if stage.name == name)


def days(figure):
    assert figure.basis == "published"
    return figure.low * 7, figure.high * 7


def percent(figure):
    assert figure.basis == "published"
    return figure.low * 100, figure.high * 100


# USDA Woody Plant Seed Manual (Agriculture Handbook 727), page: days of cold at least and at
# most, germination in per cent at least and at most.
COLD_AND_TAKE = [
    ("Malus baccata", 30, 30, 54, 54),  # 716
    ("Prunus persica", 98, 105, 32, 82),  # 885; stones whole, kernels taken out
    ("Prunus armeniaca", 80, 90, 95, 95),  # 885
    ("Prunus serotina", 120, 120, 86, 90),  # 885
    ("Prunus virginiana", 120, 160, 77, 77),  # 885
    ("Prunus mahaleb", 80, 100, 55, 89),  # 885
    ("Prunus americana", 90, 150, 60, 60),  # 885
    ("Prunus besseyi", 120, 120, 60, 60),  # 885
    ("Quercus macrocarpa", 30, 60, 45, 45),  # 936
    ("Carya illinoinensis", 30, 90, 50, 91),  # 336
    ("Carya ovata", 60, 150, 73, 80),  # 336
    ("Crataegus phaenopyrum", 135, 135, 71, 92),  # 454
    ("Rosa rugosa", 90, 210, 32, 85),  # 977
    ("Rosa multiflora", 90, 180, 45, 60),  # 977
    ("Shepherdia argentea", 90, 90, 71, 93),  # 1045
    ("Elaeagnus umbellata", 10, 10, 41, 93),  # 487
    ("Amelanchier arborea", 90, 90, 54, 54),  # 248
    ("Aronia arbutifolia", 90, 90, 94, 94),  # 273
    ("Aronia × prunifolia", 60, 60, 96, 96),  # 273
    ("Ribes aureum", 60, 60, 60, 63),  # 966
    ("Ribes sanguineum", 100, 140, 61, 64),  # 966
    ("Cercis canadensis", 35, 60, 67, 97),  # 377
    ("Juniperus virginiana", 30, 90, 76, 87),  # 612
    ("Mahonia aquifolium", 90, 90, 25, 25),  # 709
    ("Berberis thunbergii", 90, 90, 90, 90),  # 301
    ("Philadelphus lewisii", 28, 28, 34, 57),  # 788; the four sources at 15 °C
    ("Ceanothus thyrsiflorus", 90, 90, 73, 83),  # 353; after hot water
]


@pytest.mark.parametrize(("latin", "low", "high", "pct_low", "pct_high"), COLD_AND_TAKE)
def test_days_of_cold_and_germination_of_the_seed_manual(
    library, latin, low, high, pct_low, pct_high
):
    cold = stage(library, latin, "cold")
    assert days(cold.weeks) == pytest.approx((low, high), abs=0.5)
    assert cold.clock == "chill"
    assert percent(record(library, latin).taking.take) == pytest.approx((pct_low, pct_high))


# The same manual, page: days from cold to cold where the table counts no germination.
COLD_ALONE = [
    ("Prunus cerasus", 90, 150),  # 885
    ("Prunus dulcis", 65, 65),  # 885
    ("Prunus laurocerasus", 60, 90),  # 885
]


@pytest.mark.parametrize(("latin", "low", "high"), COLD_ALONE)
def test_days_of_cold_of_the_seed_manual(library, latin, low, high):
    assert days(stage(library, latin, "cold").weeks) == pytest.approx((low, high), abs=0.5)


# The same manual, page: the day by which most of a sample was up, the last day of the test.
DAYS_UP = [
    ("Malus baccata", 8, 30),  # 716; 48 of 54 % by day 8
    ("Quercus alba", 10, 41),  # 936; days of the germination rate over 21 samples
    ("Quercus rubra", 13, 60),  # 936
    ("Quercus macrocarpa", 25, 45),  # 936
    ("Carya illinoinensis", 33, 60),  # 336; 80 of 91 % by day 33
    ("Elaeagnus commutata", 13, 50),  # 487; 52 of 60 % by day 13
    ("Alnus glutinosa", 5, 21),  # 238; 21 of 28 % by day 5
    ("Alnus incana", 5, 21),  # 238; 21 of 29 % by day 5
    ("Pinus sylvestris", 10, 14),  # 837; 78 of 81 % by day 10
    ("Pinus nigra", 10, 30),  # 837
    ("Pinus pinea", 14, 22),  # 837; 88 of 98 % by day 14
    ("Pseudotsuga menziesii", 9, 35),  # 899
    ("Acer saccharum", 75, 90),  # 213; 80 of 95 % by day 75, at 2 to 3 °C
    ("Acer pseudoplatanus", 20, 97),  # 213
    ("Mahonia aquifolium", 12, 30),  # 709; 22 of 25 % by day 12
]


@pytest.mark.parametrize(("latin", "low", "high"), DAYS_UP)
def test_days_until_up_in_the_seed_manual(library, latin, low, high):
    assert days(record(library, latin).taking.weeks) == pytest.approx((low, high), abs=0.5)


# Germination alone, per cent: USDA Woody Plant Seed Manual, page.
TAKES = [
    ("Quercus suber", 73, 100),  # 936
    ("Quercus cerris", 33, 76),  # 936
    ("Quercus alba", 50, 99),  # 936
    ("Fraxinus ornus", 49, 49),  # 542
    ("Betula pubescens", 40, 87),  # 309
    ("Alnus incana", 16, 49),  # 238
    ("Pinus sylvestris", 81, 81),  # 837
    ("Pinus nigra", 86, 92),  # 837
    ("Pinus pinea", 81, 98),  # 837
    ("Pseudotsuga menziesii", 68, 95),  # 899
    ("Acer platanoides", 30, 81),  # 213
    ("Acer pseudoplatanus", 50, 71),  # 213
    ("Acer saccharum", 95, 95),  # 213
    ("Sambucus canadensis", 63, 63),  # 1017
    ("Sambucus racemosa", 47, 47),  # 1017
    ("Ribes alpinum", 80, 80),  # 966
]


@pytest.mark.parametrize(("latin", "low", "high"), TAKES)
def test_germination_of_the_seed_manual(library, latin, low, high):
    assert percent(record(library, latin).taking.take) == pytest.approx((low, high))


WARM_THEN_COLD = [
    # Treegrowers (tree-seed nursery), Warm and cold pre-treatments: weeks warm, weeks cold.
    ("Corylus colurna", 2, 2, 14, 14),
    ("Cotoneaster horizontalis", 12, 12, 27, 27),
    ("Hamamelis mollis", 8, 8, 24, 24),
    ("Ilex verticillata", 9, 9, 9, 9),
    # Young & Young: ten weeks at 25 °C, twelve of cold; 90 days of each for elders at large.
    ("Sambucus racemosa", 10, 10, 12, 12),
    ("Sambucus canadensis", 90 / 7, 90 / 7, 90 / 7, 90 / 7),
    # Chong et al., Handbook of Plant and Crop Physiology, table 3: three to five months warm,
    # three months cold.
    ("Rosa canina", 13, 21.7, 13, 13),
    # Native Plant Network, Symphoricarpos albus 703: 60 days at room temperature, 180 cold.
    ("Symphoricarpos albus", 60 / 7, 60 / 7, 180 / 7, 180 / 7),
    # Seed manual, page 542, 30 days warm and 90 cold; Treegrowers 4 weeks warm and 30 cold.
    ("Fraxinus ornus", 4, 30 / 7, 90 / 7, 30),
]


@pytest.mark.parametrize(
    ("latin", "warm_low", "warm_high", "cold_low", "cold_high"), WARM_THEN_COLD
)
def test_double_dormancy_is_broken_warm_first_and_then_cold(
    library, latin, warm_low, warm_high, cold_low, cold_high
):
    warm, cold = record(library, latin).treatments
    assert (warm.name, cold.name) == ("warm", "cold")
    assert (warm.weeks.low, warm.weeks.high) == pytest.approx((warm_low, warm_high), abs=0.06)
    assert (cold.weeks.low, cold.weeks.high) == pytest.approx((cold_low, cold_high), abs=0.06)
    assert warm.weeks.basis == cold.weeks.basis == "published"


# Harrington & Minges 1954 (as Knott's Handbook for Vegetable Growers prints it): days to
# emergence, quickest and slowest over the temperatures that the record names. 7 CFR 201.31:
# the least germination, per cent, for sale; then the share at the best temperature.
VEGETABLES = [
    ("Beta vulgaris", 5, 10, 65, 97),
    ("Brassica oleracea", 5, 9, 75, 99),
    ("Brassica rapa", 1, 3, 80, 100),
    ("Apium graveolens", 7, 16, 55, 97),
    ("Zea mays", 4, 12, 75, 98),
    ("Solanum melongena", 5, 13, 60, 60),
    ("Cucumis melo", 3, 8, 75, 94),
    ("Citrullus lanatus", 4, 12, 70, 96),
    ("Abelmoschus esculentus", 7, 17, 50, 92),
    ("Petroselinum crispum", 13, 17, 60, 69),
    ("Raphanus sativus", 4, 6, 75, 97),
    ("Phaseolus lunatus", 7, 18, 70, 90),
]


@pytest.mark.parametrize(("latin", "low", "high", "least", "best"), VEGETABLES)
def test_days_and_germination_of_vegetables(library, latin, low, high, least, best):
    germinating = record(library, latin).taking
    assert days(germinating.weeks) == pytest.approx((low, high), abs=0.1)
    assert percent(germinating.take) == pytest.approx((least, best))


LEAST_FOR_SALE = [
    # State of New Hampshire, Administrative Code Agr 2203.01, table 2200-1.
    ("Ocimum basilicum", 70),
    ("Coriandrum sativum", 70),
    ("Foeniculum vulgare", 50),
    ("Origanum vulgare", 60),
    ("Origanum majorana", 50),
    ("Salvia officinalis", 60),
    ("Thymus vulgaris", 50),
    ("Anthriscus cerefolium", 65),
    # 7 CFR 201.31.
    ("Anethum graveolens", 60),
    ("Allium schoenoprasum", 50),
    ("Allium porrum", 60),
    ("Cynara cardunculus", 60),
    ("Rheum × hybridum", 60),
    ("Rumex acetosa", 65),
    ("Satureja hortensis", 55),
]


@pytest.mark.parametrize(("latin", "least"), LEAST_FOR_SALE)
def test_least_germination_of_herbs_for_sale(library, latin, least):
    assert percent(record(library, latin).taking.take) == pytest.approx((least, least))


OTHER_DAYS = [
    # HortScience 54(9), 1558, 2019: complete in 10 to 14 days.
    ("Clinopodium nepeta", 10, 14),
    # Native Plant Network, Achillea millefolium 2148: begins after 6 to 7 days, done in two weeks.
    ("Achillea millefolium", 6, 14),
    # National Garden Bureau: three to four weeks.
    ("Thymus vulgaris", 21, 28),
    # Journal of Environmental Horticulture 14(4), 167, 1996: within 54 hours.
    ("Lupinus perennis", 54 / 24, 54 / 24),
    # Iowa State University Extension, germination requirements for annuals and vegetables.
    ("Centaurea cyanus", 7, 14),
    ("Helianthus annuus", 5, 7),
    ("Cosmos bipinnatus", 5, 7),
    ("Antirrhinum majus", 7, 14),
    # Treegrowers, Hot water treatment: sprouts from around three to five days.
    ("Robinia pseudoacacia", 5, 5),
    ("Gleditsia triacanthos", 5, 5),
]


@pytest.mark.parametrize(("latin", "low", "high"), OTHER_DAYS)
def test_days_until_up_in_other_sources(library, latin, low, high):
    assert days(record(library, latin).taking.weeks) == pytest.approx((low, high), abs=0.1)


# Iowa State University Extension, Seed germination guide, 2017: weeks from sowing until planted
# outdoors. The record's stages together must fall into the same span.
SOWING_TO_PLANTING = [
    ("Solanum lycopersicum", 5, 7),
    ("Capsicum annuum", 6, 8),
    ("Solanum melongena", 6, 8),
    ("Cucumis melo", 3, 4),
    ("Allium cepa", 8, 10),
    ("Brassica oleracea", 4, 6),
    ("Ocimum basilicum", 5, 6),
]


@pytest.mark.parametrize(("latin", "low", "high"), SOWING_TO_PLANTING)
def test_weeks_from_sowing_to_planting_out(library, latin, low, high):
    growing = record(library, latin).establishing.weeks
    assert (growing.low + 1, growing.high + 1) == (low, high)  # a week of them goes to coming up
    assert growing.basis == "published"


# Forest Research, Raising trees and shrubs from seed (Gosling 2007), storage groups.
STORAGE = [
    ("Quercus robur", "recalcitrant"),
    ("Castanea mollissima", "recalcitrant"),
    ("Acer pseudoplatanus", "recalcitrant"),
    ("Acer platanoides", "intermediate"),
    ("Fagus sylvatica", "intermediate"),
    ("Prunus laurocerasus", "intermediate"),
    ("Robinia pseudoacacia", "orthodox"),
    ("Cytisus scoparius", "orthodox"),
    ("Ulex europaeus", "orthodox"),
    ("Taxus baccata", "orthodox"),
]


@pytest.mark.parametrize(("latin", "storage"), STORAGE)
def test_how_seed_keeps(library, latin, storage):
    assert record(library, latin).storage == storage


# Treegrowers, Hot water treatment: kinds that need it, soaked for 12 to 24 hours.
HARD = [
    *("Robinia pseudoacacia", "Gleditsia triacanthos", "Caragana arborescens"),
    *("Cercis siliquastrum", "Colutea arborescens", "Cytisus scoparius", "Ulex europaeus"),
]


@pytest.mark.parametrize("latin", HARD)
def test_hard_seed_is_scalded_and_soaked_and_warned_of(library, latin):
    hard = record(library, latin)
    assert "70 to 80 °C" in hard.scarify
    assert hard.soak_hours == (12, 24)
    assert "hot-water-acid" in library.plant(parse(latin)).cautions


def test_seeds_in_a_gram(library):
    # Achillea millefolium 320: 2.2 to 4.1 million a pound; Symphoricarpos albus 703: 150 a gram.
    low, high = record(library, "Achillea millefolium").seeds_per_gram
    assert (low, high) == pytest.approx((2.2e6 / 453.59, 4.1e6 / 453.59), rel=0.001)
    assert record(library, "Symphoricarpos albus").seeds_per_gram == (150, 150)


def test_most_figures_of_the_seed_records_are_published(library):
    general = library.method("seed").general
    inherited = {id(f) for s in general.stages for f in (s.weeks, s.take) if f is not None}
    own = [
        figure
        for one in library.method("seed").records
        for s in one.stages
        for figure in (s.weeks, s.take)
        if figure is not None and id(figure) not in inherited
    ]
    assert len(own) > 300
    assert sum(figure.basis == "published" for figure in own) / len(own) > 0.85
