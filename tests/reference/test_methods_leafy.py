"""Leafy cuttings against the trials they were taken from; the source stands beside each row.

Expected numbers are typed from the publications: per cent, and days where weeks were reckoned.
"""

import pytest

from propagate.library import Library
from propagate.names import parse
from propagate.paths import methods_folder

SOFT, SEMI = "softwood-cutting", "semi-ripe-cutting"


@pytest.fixture(scope="module")
def library():
    return Library([methods_folder()])


def taking(library, method_id, latin):
    record = library.record(method_id, parse(latin)).record
    assert record.plant == latin
    return record.taking


PERCENT_ROOTED = [
    # Massachusetts Agricultural Experiment Station, Bulletin 382: treated or not; untreated,
    # treated; untreated, treated in January; treated; either; untreated in sand and peat.
    (SOFT, "Celastrus scandens", 90, 100),
    (SOFT, "Ceanothus × delileanus", 40, 100),
    (SEMI, "Ilex crenata", 89, 100),
    (SEMI, "Ilex cornuta", 100, 100),
    (SEMI, "Ilex glabra", 90, 90),
    (SEMI, "Cedrus libani", 30, 30),
    # Kuris, Altman & Putievsky 1980: approximately 100 % of all three.
    (SOFT, "Origanum vulgare", 100, 100),
    (SOFT, "Mentha × piperita", 100, 100),
    (SOFT, "Melissa officinalis", 100, 100),
    # Cartabiano et al., HortScience: single nodes untreated, two nodes; June; any dose.
    (SOFT, "Viburnum acerifolium", 53, 100),
    (SOFT, "Ceanothus americanus", 57, 57),
    (SOFT, "Corylus cornuta", 85, 85),
    # Sharma, Knox & Ishida 2005: mean of six kinds, untreated and with the strongest powder.
    (SOFT, "Magnolia", 12, 34),
    # Journal of Environmental Horticulture 16(1), 42: 48 % 'Michael Buchner' under mist;
    # Jurkovic 1984: 92 to 96 % in the second week of June.
    (SOFT, "Syringa vulgaris", 48, 96),
    # Sao & Verma 2021: 62.46 % the better kind, 69.82 % with 1000 ppm.
    (SOFT, "Dahlia", 62.46, 69.82),
    # Bona et al. 2012: basal 93.7 %, apical 97.9 %.
    (SOFT, "Lavandula dentata", 93.7, 97.9),
    # Agroproductividad 2017: 'Victoria' 61 %.
    (SOFT, "Vaccinium corymbosum", 61, 61),
    # Town of Shibetsu: table of woody plants suited to cuttings.
    (SOFT, "Chaenomeles speciosa", 50, 70),
    (SOFT, "Euonymus alatus", 30, 60),
    (SOFT, "Spiraea cantoniensis", 50, 70),
    # Abstract on Japanese wisteria, cuttings of 2012: 2000 mg in solution or talc.
    (SOFT, "Wisteria", 73.75, 78.75),
    # Acta Horticulturae 885, 277-283, 2010: control 37 %, treated 67 to 80 %.
    (SEMI, "Prunus laurocerasus", 37, 80),
    # Saeed & Ameen 2020: mean of autumn, best trees in winter and spring.
    (SEMI, "Laurus nobilis", 16.1, 82.22),
    # Alim & Kaya 2023: best of the white and of the black type.
    (SEMI, "Myrtus communis", 43.33, 76.67),
    # Celik et al. 2019, Acta Horticulturae 1263.
    (SEMI, "Ligustrum japonicum", 93.33, 93.33),
    (SEMI, "Cotoneaster horizontalis", 66.67, 66.67),
    (SEMI, "Punica granatum", 97.78, 97.78),
    # Folia Oecologica 50(1), 2023: March control, November with the strongest dip.
    (SEMI, "Taxus baccata", 41.7, 98.3),
    # Sulusoglu 2012: type 4 in November and in July.
    (SEMI, "Arbutus unedo", 70.71, 87.01),
    # Tran Van Do et al. 2020: control and best powder.
    (SEMI, "Camellia impressinervis", 54.2, 91.4),
    # Horticulturae 5(3), 55, 2019: clone 4 and clone 1.
    (SEMI, "Nerium oleander", 52, 94),
    # Harrington, Journal of the American Rhododendron Society 44(3).
    (SEMI, "Rhododendron", 78.8, 90.0),
    # Sanz Gallego et al. 2025: male and female cuttings.
    (SEMI, "Juniperus communis", 19.90, 29.69),
    # Celik & Cetin 2021: 66 of 75.
    (SEMI, "Lycium barbarum", 100 * 66 / 75, 100 * 66 / 75),
]


@pytest.mark.parametrize(("method_id", "latin", "low_percent", "high_percent"), PERCENT_ROOTED)
def test_shares_that_rooted(library, method_id, latin, low_percent, high_percent):
    take = taking(library, method_id, latin).take
    found = (take.low * 100, take.high * 100)
    assert found == pytest.approx((low_percent, high_percent), abs=0.6)  # two decimals kept
    assert take.basis == "published"


DAYS_UNTIL_ROOTED = [
    # Massachusetts Agricultural Experiment Station, Bulletin 382: 70 days, half that time
    # after a soak; 15 weeks, 6 treated; 35 days.
    (SOFT, "Celastrus scandens", 35, 70),
    (SEMI, "Ilex crenata", 42, 105),
    (SEMI, "Ilex cornuta", 35, 35),
    # University of Florida IFAS, propagation sheets: weeks.
    (SEMI, "Taxus baccata", 70, 98),
    (SEMI, "Juniperus horizontalis", 42, 84),
    (SEMI, "Viburnum odoratissimum", 42, 84),
    (SEMI, "Camellia reticulata", 42, 56),
    (SEMI, "Leucothoe axillaris", 70, 84),
    (SOFT, "Photinia glabra", 84, 140),
    (SOFT, "Syringa reticulata", 28, 42),
    # American Boxwood Society: two to three months; the trial: about 116 days.
    (SEMI, "Buxus sempervirens", 61, 116),
    # Sagee et al. 1992: counted on day 19 and day 36.
    (SEMI, "Citrus × limonia", 19, 36),
    # Abstract on basal dose: 17.5 days; Pudelska 2008: five weeks.
    (SOFT, "Dahlia", 17.5, 35),
    # British Clematis Society, factsheet 4: four weeks.
    (SOFT, "Clematis", 28, 28),
    # University of Illinois Extension: three to five weeks.
    (SOFT, "Weigela", 21, 35),
    # Days on which trials were scored.
    (SOFT, "Vaccinium corymbosum", 40, 40),  # Agroproductividad 2017
    (SOFT, "Vaccinium vitis-idaea", 30, 30),  # lingonberry trials of 1993 and 1994
    (SOFT, "Morus nigra", 48, 48),  # Kalyoncu et al.
    (SEMI, "Camellia japonica", 81, 81),  # Hou et al. 2019
    (SEMI, "Thuja occidentalis", 126, 126),  # 18 weeks, trial of 2013
]


@pytest.mark.parametrize(("method_id", "latin", "low_days", "high_days"), DAYS_UNTIL_ROOTED)
def test_days_until_rooted(library, method_id, latin, low_days, high_days):
    weeks = taking(library, method_id, latin).weeks
    assert (weeks.low * 7, weeks.high * 7) == pytest.approx((low_days, high_days), rel=0.025)
    assert weeks.basis == "published"


def test_blueberries_nearly_all_survive_transplanting(library):
    # Agroproductividad 2017: over 95 % live after transplanting.
    record = library.record(SOFT, parse("Vaccinium corymbosum")).record
    assert record.establishing.take.low == 0.95
    assert record.establishing.take.basis == "published"


def test_the_failure_of_a_windy_trial_is_told_and_not_reckoned_with(library):
    # Aromatic herbs trial, Elvas 2015: 12 % of lemon verbena, dried by the wind.
    record = library.record(SEMI, parse("Aloysia citrodora")).record
    general = library.method(SEMI).general
    assert "12 %" in record.note
    assert record.see == ("herbs-portugal-2015",)
    assert record.taking.take == general.taking.take
