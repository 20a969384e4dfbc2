"""Hardwood, root and leaf-bud cuttings, mounds and air layers against their publications.

The source stands beside each row. Percentages are turned into shares and days into weeks; a
publication with one number, or scored on one day, gives it as both ends.
"""

import pytest

from propagate.library import Library
from propagate.names import parse
from propagate.paths import methods_folder


@pytest.fixture(scope="module")
def library():
    return Library([methods_folder()])


def record(library, method_id, latin):
    match = library.record(method_id, parse(latin))
    assert match.level == "species"
    return match.record


def stage(library, method_id, latin, name):
    stages = record(library, method_id, latin).stages
    return next(stage for stage in stages if stage.name == name)


TAKES = [
    # Ercisli & Guleryuz 1999: 86.25 %.
    ("hardwood-cutting", "Rosa canina", 86.25, 86.25),
    # Takeda et al. 2011: over 90 %; University of Sulaimani: 95.83 % in mid-November.
    ("hardwood-cutting", "Rubus fruticosus", 90, 95.83),
    # Trial at Tokat, 2021: 68.89 to 93.33 %.
    ("hardwood-cutting", "Morus nigra", 68.89, 93.33),
    # Eltayeb & Warrag: above 90 %, to 100 %.
    ("hardwood-cutting", "Morus alba", 90, 100),
    # Tetsumura et al. 2001, J. Japan. Soc. Hort. Sci. 70(2), 163: a quarter, half.
    ("hardwood-cutting", "Diospyros kaki", 25, 50),
    # Abstract on 'Domat': 76.7 % alive.
    ("hardwood-cutting", "Olea europaea", 76.7, 76.7),
    # Necas et al., Acta Univ. Mendel. Brun. 64(3): mean 36.9 %; 'Pyrodwarf' 78.7 %.
    ("hardwood-cutting", "Pyrus communis", 36.9, 78.7),
    # Loreti, Morini & Grilli, Acta Horticulturae 173: 85 to 95 % in December.
    ("hardwood-cutting", "Prunus × persicoides", 85, 95),
    # Issell & Chalmers, Journal of Horticultural Science 54(1), 33: 85 %.
    ("hardwood-cutting", "Prunus persica", 85, 85),
    # doi 10.1080/02827589009382607: 13.3 % of the smallest pieces, all of the largest.
    ("hardwood-cutting", "Salix alba", 13.3, 100),
    # Dumroese: above 99 %; Guidi Nissim & Labrecque 2016: all.
    ("hardwood-cutting", "Salix viminalis", 99, 100),
    # Abstract on Bolleana poplar: 60 to 95 %.
    ("hardwood-cutting", "Populus alba", 60, 95),
    # Abstract on Platanus acerifolia: 60 to 70 %.
    ("hardwood-cutting", "Platanus × hispanica", 60, 70),
    # African Journal of Biotechnology: males 50 %, females 76.67 %.
    ("hardwood-cutting", "Hippophae salicifolia", 50, 76.67),
    # HortFlora 6(4), 292: 90 %.
    ("hardwood-cutting", "Bougainvillea", 90, 90),
    # Aromatic herbs trial, Elvas 2015: 13 of 40.
    ("hardwood-cutting", "Lavandula × intermedia", 100 * 13 / 40, 100 * 13 / 40),
    # Weeds, 1966, on saltcedar: 77 % in November, to 100 % in spring.
    ("hardwood-cutting", "Tamarix", 77, 100),
    # University of Tripoli on athel: 81 % in gravel, 100 % in water.
    ("hardwood-cutting", "Tamarix aphylla", 81, 100),
    # Sonmezisik et al. 2021: 76 % of two-year wood, 96 % of one-year wood.
    ("hardwood-cutting", "Sambucus nigra", 76, 96),
    # Asanica 2017: 77 % for each.
    ("hardwood-cutting", "Ribes nigrum", 77, 77),
    ("hardwood-cutting", "Ribes rubrum", 77, 77),
    # Horticulturae 9(2), 241, 2023: above 48 %; Scientia Agricola: 88.8 %.
    ("hardwood-cutting", "Vitis", 48, 88.8),
    # Stringer 1994, Tree Planters' Notes 45(3): 19 % in the field, 95 % under glass.
    ("root-cutting", "Paulownia tomentosa", 19, 95),
    # Suchockas 2010, Baltic Forestry: 15 %.
    ("root-cutting", "Populus × wettsteinii", 15, 15),
    # Kapetanovic & Prica 1978, Acta Horticulturae 74: 83.7 to 100 %.
    ("mound-layering", "Prunus domestica", 83.7, 100),
    # He et al., American Society for Horticultural Science: 31.11 and 75.55 %; 86.67 %.
    ("mound-layering", "Juglans regia", 31.11, 75.55),
    ("mound-layering", "Juglans mandshurica", 86.67, 86.67),
    # Aygun 2006: 79.52 %.
    ("mound-layering", "Cydonia oblonga", 79.52, 79.52),
    # Tetsumura, Tao & Sugiura 2001, J. Japan. Soc. Hort. Sci. 70(3), 275: 70 %.
    ("leaf-bud-cutting", "Diospyros kaki", 70, 70),
    # Brock et al.: 58 and 69 %.
    ("leaf-bud-cutting", "Actinidia deliciosa", 58, 69),
    # Alam & Sajid, Sarhad Journal of Agriculture 34(1), 31: 38.89 %; 42.4 %.
    ("air-layering", "Olea europaea", 38.89, 42.4),
    # University of California, walnut rootstocks: 50 to 100 %.
    ("air-layering", "Juglans nigra", 50, 100),
    # Parmar et al.: 71.27 %; 83.3 %.
    ("air-layering", "Psidium guajava", 71.27, 83.3),
    # Altun 2023, BioResources 18(3): 6.67 to 100 %.
    ("air-layering", "Rhododendron", 6.67, 100),
]


@pytest.mark.parametrize(("method_id", "latin", "pct_low", "pct_high"), TAKES)
def test_shares_that_rooted_in_trials(library, method_id, latin, pct_low, pct_high):
    take = record(library, method_id, latin).taking.take
    assert (take.low * 100, take.high * 100) == pytest.approx((pct_low, pct_high), abs=0.6)
    assert take.basis == "published"


ESTABLISHED = [
    # Abstract on quince EMC: 93.75 % in the field.
    ("hardwood-cutting", "Cydonia oblonga", 93.75, 93.75),
    # Eltayeb & Warrag: over 80 %.
    ("hardwood-cutting", "Morus alba", 80, 80),
    # University of California, walnut rootstocks: 75 to 100 % after potting.
    ("air-layering", "Juglans nigra", 75, 100),
    # Parmar et al.: 83.18 % after severing.
    ("air-layering", "Psidium guajava", 83.18, 83.18),
]


@pytest.mark.parametrize(("method_id", "latin", "pct_low", "pct_high"), ESTABLISHED)
def test_shares_of_the_rooted_that_lived(library, method_id, latin, pct_low, pct_high):
    take = stage(library, method_id, latin, "establishing").take
    assert (take.low * 100, take.high * 100) == pytest.approx((pct_low, pct_high), abs=0.6)
    assert take.basis == "published"


MONTH = 365.25 / 12
DAYS = [
    # University of Sulaimani: day 90. Trial at Tokat, 2021: day 90.
    ("hardwood-cutting", "Rubus fruticosus", 90, 90),
    ("hardwood-cutting", "Morus nigra", 90, 90),
    # Melgarejo et al. 1997: planted 18 February, scored 14 July.
    ("hardwood-cutting", "Punica granatum", 146, 146),
    # Braha, Rama & Zajmi 2020: week 8; another trial: day 90.
    ("hardwood-cutting", "Vaccinium corymbosum", 56, 90),
    # Sonmezisik et al. 2021: first roots on day 17, lifted on day 120.
    ("hardwood-cutting", "Sambucus nigra", 17, 120),
    # Abstract on blue elderberry, 2018: 14 to 18 weeks in the cold and six in the warm.
    ("hardwood-cutting", "Sambucus cerulea", (14 + 6) * 7, (18 + 6) * 7),
    # Guidi Nissim & Labrecque 2016: day 41.
    ("hardwood-cutting", "Salix viminalis", 41, 41),
    # Issell & Chalmers: six weeks.
    ("hardwood-cutting", "Prunus persica", 42, 42),
    # University of Tripoli: day 60.
    ("hardwood-cutting", "Tamarix aphylla", 60, 60),
    # Manual of Seed Saving: two to three weeks.
    ("root-cutting", "Armoracia rusticana", 14, 21),
    # Journal of Crops Improvement (Iran) 2016: three months.
    ("root-cutting", "Rubus fruticosus", 3 * MONTH, 3 * MONTH),
    # University of Florida IFAS, sheet SP061: six to eight weeks.
    ("leaf-bud-cutting", "Camellia reticulata", 42, 56),
    # Tetsumura, Tao & Sugiura 2001: day 60.
    ("leaf-bud-cutting", "Diospyros kaki", 60, 60),
    # Trial of single-node tea cuttings, 2018: week 18.
    ("leaf-bud-cutting", "Camellia sinensis", 126, 126),
    # Alam & Sajid: 47.94 days.
    ("air-layering", "Olea europaea", 47.94, 47.94),
    # University of California, walnut rootstocks: three to eight weeks.
    ("air-layering", "Juglans nigra", 21, 56),
    # Bansal et al.: 31.7 days.
    ("air-layering", "Psidium guajava", 31.7, 31.7),
    # Lee, told by another: four to six months.
    ("air-layering", "Camellia japonica", 4 * MONTH, 6 * MONTH),
]


@pytest.mark.parametrize(("method_id", "latin", "days_low", "days_high"), DAYS)
def test_days_until_rooted(library, method_id, latin, days_low, days_high):
    weeks = record(library, method_id, latin).taking.weeks
    assert (weeks.low * 7, weeks.high * 7) == pytest.approx((days_low, days_high), rel=0.025)
    assert weeks.basis == "published"


def test_plants_from_an_aspen_mother(library):
    # Stenvall 2006, Dissertationes Forestales 33: 81 to 207 plants from a two-year mother.
    per_mother = record(library, "root-cutting", "Populus × wettsteinii").per_mother
    assert tuple(per_mother) == (81, 207)


@pytest.mark.parametrize(
    "latin",
    ["Ribes nigrum", "Ribes rubrum", "Ribes uva-crispa", "Ribes × nidigrolaria", "Vitis vinifera"],
)
def test_sticks_in_the_open_keep_their_weeks_from_growth_on(library, latin):
    # General knowledge, no publication: three to six months, from the start of growth.
    rooting = record(library, "hardwood-cutting", latin).taking
    assert (rooting.weeks.low, rooting.weeks.high) == (12, 24)
    assert rooting.weeks.basis == "memory"
    assert rooting.gate == "after growth"


@pytest.mark.parametrize(
    ("method_id", "latin"),
    [
        ("hardwood-cutting", "Ribes × nidigrolaria"),
        ("root-cutting", "Rubus idaeus"),
        ("root-cutting", "Crambe maritima"),
        ("air-layering", "Ficus carica"),
    ],
)
def test_a_take_from_memory_is_not_called_published(library, method_id, latin):
    assert record(library, method_id, latin).taking.take.basis == "memory"
