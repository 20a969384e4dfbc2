"""Plants at a spacing, against printed tables of ground-cover growers.

Sources: the chart of plants per square feet of a sod and ground-cover supplier
(erthturf.com, ChartPlantsPerSquareFeet): factor .444 at 18 in, 1.45 at 10 in; the usual table of
plants per square foot on a square grid, 144 / x^2 with x in inches; and the factor 2/sqrt(3)
of a triangular grid (geometry).
"""

import pytest

from propagate.lengths import read_area, read_length
from propagate.science.spacing import plants_in_rows, plants_on, rows_apart_m


def on(area: str, apart: str, pattern="square") -> int:
    apart_m = read_length(apart)
    return plants_on(read_area(area), apart_m, rows_apart_m(apart_m, pattern))


@pytest.mark.parametrize(
    ("area", "apart", "printed"),
    [
        ("300 sq ft", "18 in", 133),
        ("50 sq ft", "12 in", 50),
        ("100 sq ft", "8 in", 225),
        ("100 sq ft", "10 in", 144),
        ("100 sq ft", "15 in", 64),
        ("100 sq ft", "24 in", 25),
    ],
)
def test_plants_on_an_area_are_those_of_the_table(area, apart, printed) -> None:
    assert on(area, apart) == printed


def test_the_table_that_rounds_its_factor_up_is_met_within_its_rounding() -> None:
    """10 in over 120 sq ft: printed 174 from the rounded factor 1.45; 144/100 x 120 = 172.8."""
    assert on("120 sq ft", "10 in") == 172
    assert round(1.45 * 120) == 174


def test_a_triangle_holds_a_seventh_more() -> None:
    """100 sq ft at 12 in: 100 in a square, 115 in a triangle, whose rows are 10.39 in apart."""
    assert on("100 sq ft", "12 in", "triangle") == 115
    assert rows_apart_m(12, "triangle") == pytest.approx(10.39, abs=0.005)


@pytest.mark.parametrize("apart_m", [0.2, 0.3, 0.45, 1.0])
def test_rows_of_a_large_bed_come_near_the_share_of_ground_that_plants_own(apart_m) -> None:
    for pattern in ("square", "triangle"):
        rows_m = rows_apart_m(apart_m, pattern)
        in_rows = plants_in_rows(200, 200, apart_m, rows_m, pattern)
        assert in_rows == pytest.approx(plants_on(40_000, apart_m, rows_m), rel=0.01)
