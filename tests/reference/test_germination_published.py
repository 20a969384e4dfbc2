"""Germination figures, thermal time and replicate tolerance against published numbers."""

import pytest

from propagate.science.germination import course
from propagate.science.thermal_time import ThermalTime, fit_thermal_time
from propagate.science.tolerance import agree, widest_range

# Vignette of the R package germinationmetrics (Aravind et al.): 50 seeds, days 1 to 14.
TEST = course(range(1, 15), [0, 0, 0, 0, 4, 17, 10, 7, 1, 0, 1, 0, 0, 0], 50)


@pytest.mark.parametrize(
    ("figure", "printed"),
    [
        ("final_share", 0.80),
        ("peak_share", 0.34),
        ("first_day", 5),
        ("last_day", 11),
        ("peak_day", 6),
        ("spread_days", 6),
        ("half_days_coolbear", 5.970588),
        ("half_days_farooq", 5.941176),
        ("mean_days", 6.7),
        ("variance_days2", 1.446154),
        ("standard_error_days", 0.1901416),
        ("variation", 0.1794868),
        ("mean_rate_per_day", 0.1492537),
        ("rate_variance", 0.0007176543),
        ("rate_standard_error_per_day", 0.004235724),
        ("speed_per_day", 6.138925),
        ("accumulated_speed_per_day", 34.61567),
    ],
)
def test_figures_of_the_vignette(figure, printed):
    assert getattr(TEST, figure) == pytest.approx(printed, rel=1e-6)


def test_rates_and_speeds_in_their_other_forms():
    # The same vignette: velocity 14.92537; 1 / T50; speeds from per cent, and by germinated.
    assert 100 * TEST.mean_rate_per_day == pytest.approx(14.92537)
    assert 1 / TEST.half_days_coolbear == pytest.approx(0.1674877, rel=1e-6)
    assert 1 / TEST.half_days_farooq == pytest.approx(0.1683168, rel=1e-6)
    assert TEST.speed_per_day * 100 / TEST.sown == pytest.approx(12.27785)
    assert TEST.accumulated_speed_per_day * 100 / TEST.sown == pytest.approx(69.23134)
    assert TEST.speed_per_day / TEST.germinated == pytest.approx(0.1534731, rel=1e-6)
    assert TEST.accumulated_speed_per_day / TEST.germinated == pytest.approx(0.8653917, rel=1e-6)


def test_timsons_sum_in_three_forms():
    # The same vignette, for the whole test and up to day 10.
    assert TEST.timson() == pytest.approx(664)
    assert TEST.timson_labouriau() == pytest.approx(8.3)
    assert TEST.timson_khan_ungar() == pytest.approx(47.42857)
    assert TEST.timson(10) == pytest.approx(344)
    assert TEST.timson_labouriau(10) == pytest.approx(4.410256)
    assert TEST.timson_khan_ungar(10) == pytest.approx(24.57143)


def test_uncertainty_and_synchrony():
    # Derived apart from the formulas of Ranal & Santana 2006 for the same counts.
    assert TEST.uncertainty_bits == pytest.approx(2.06299, abs=5e-6)
    assert TEST.synchrony == pytest.approx(0.266667, abs=5e-7)


def test_a_half_that_is_hit_exactly_is_its_own_day():
    # Cumulative counts of the page of the R package SeedCalc on T50, which prints no number
    # for them; half of 50 is reached on day 5 itself.
    cumulative = [0, 2, 4, 15, 25, 38, 45, 50, 50, 50]
    counts = [now - before for before, now in zip([0, *cumulative], cumulative, strict=False)]
    assert course(range(1, 11), counts, 50).half_days_farooq == 5.0


def test_onions_by_thermal_time():
    # Textbook chapter on vegetable alliums, equation 4.7: base 2.5 C and 80 degree-days take
    # 4 days at 22.5 C and 16 days at 7.5 C.
    assert ThermalTime(2.5, 80, 1).days_at([22.5, 7.5]) == pytest.approx([4, 16])


# Days to emergence at steady temperatures from 0, 5, ... 35 C: Harrington & Minges, University
# of California, "Vegetable seed germination", as reprinted in growers' handbooks. Beside each,
# the range of temperatures and the line derived from it with another program: base, degree-days
# and r squared.
EMERGENCE = [
    ("tomato", (10, 15, 20, 25), (43, 14, 8, 6), (7.52, 103.3, 0.9978)),
    ("pepper", (15, 20, 25), (25, 13, 8), (10.51, 117.6, 0.9943)),
    ("onion", (0, 5, 10, 15, 20, 25), (136, 31, 13, 7, 5, 4), (0.89, 98.2, 0.9856)),
    ("lettuce", (0, 5, 10, 15, 20, 25), (49, 15, 7, 4, 3, 2), (0.91, 52.9, 0.9667)),
    ("pea", (5, 10, 15, 20, 25), (36, 14, 9, 8, 6), (-0.15, 150.9, 0.9781)),
    ("bean", (15, 20, 25, 30), (16, 11, 8, 6), (6.45, 144.3, 0.9927)),
    ("carrot", (5, 10, 15, 20, 25), (51, 17, 10, 7, 6), (2.10, 132.2, 0.9923)),
    ("cucumber", (15, 20, 25, 30), (13, 6, 4, 3), (10.38, 58.6, 0.9997)),
    ("parsnip", (0, 5, 10, 15, 20), (172, 57, 27, 19, 14), (-1.09, 300.6, 0.9948)),
    ("spinach", (0, 5, 10, 15), (63, 23, 12, 7), (-0.98, 118.8, 0.9717)),
]


@pytest.mark.parametrize(("crop", "warmth", "days", "line"), EMERGENCE)
def test_lines_through_days_to_emergence(crop, warmth, days, line):
    fitted = fit_thermal_time(warmth, days)
    base_c, degree_days, r_squared = line
    assert fitted.base_c == pytest.approx(base_c, abs=0.005)
    assert fitted.degree_days == pytest.approx(degree_days, abs=0.05)
    assert fitted.r_squared == pytest.approx(r_squared, abs=5e-5)


# 7 CFR 201.55 (United States, Federal Seed Act regulations): widest range among four, and
# between two, replicates of 100 seeds, by mean per cent.
FOUR = "99:5 98:6 97:7 96:8 95:9 94:10 93:10 92:11 91:11 90:12 89:12 88:13 87:13 86:14 85:14 84:14"
FOUR += " 83:15 82:15 81:15 80:16 79:16 78:16 77:17 76:17 75:17 74:17 73:17 72:18 71:18 70:18"
TWO = "97:6 96:6 95:7 94:8 93:8 92:9 91:9 90:9 89:10 88:10 87:11 86:11 85:11 84:11 83:12 82:12"
TWO += " 81:12 80:13 79:13 78:13 77:13 76:13 75:14 74:14 73:14 72:14 71:14 70:14"


@pytest.mark.parametrize(("replicates", "table"), [(4, FOUR), (2, TWO)])
def test_the_table_of_replicate_ranges(replicates, table):
    for entry in table.split():
        mean, widest = map(int, entry.split(":"))
        assert widest_range(mean, replicates) == widest


def test_replicates_that_agree_and_replicates_that_do_not():
    # Derived from the same table: a mean of 90 with a range of 10, and with one of 14.
    assert agree([92, 88, 95, 85])
    assert not agree([98, 90, 88, 84])
