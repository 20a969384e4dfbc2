"""Plants in a bed, counted by hand."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from propagate.errors import Refused
from propagate.science.spacing import plants_in_rows, rows_apart_m


def test_a_square_bed_is_rows_by_plants() -> None:
    assert plants_in_rows(6, 1.2, 0.4, 0.4) == 15 * 3


def test_a_hedge_is_one_row_however_narrow_its_ground() -> None:
    assert plants_in_rows(30, 0.2, 0.3, 0.5) == 100


def test_in_a_triangle_every_other_row_is_shifted_and_may_lose_one() -> None:
    """2 m long, 1 m apart: rows of 2 and 1; 2.5 m long: the shifted row keeps its 2."""
    rows_m = rows_apart_m(1, "triangle")
    assert plants_in_rows(2, 3 * rows_m, 1, rows_m, "triangle") == 2 + 1 + 2
    assert plants_in_rows(2.5, 2 * rows_m, 1, rows_m, "triangle") == 2 + 2


@given(
    st.floats(1, 50),
    st.floats(0.5, 10),
    st.floats(0.05, 1),
    st.sampled_from(["square", "triangle"]),
)
def test_a_longer_or_wider_bed_never_takes_fewer(length, width, apart, pattern) -> None:
    rows = rows_apart_m(apart, pattern)
    here = plants_in_rows(length, width, apart, rows, pattern)
    assert plants_in_rows(length * 1.3, width, apart, rows, pattern) >= here
    assert plants_in_rows(length, width * 1.3, apart, rows, pattern) >= here


def test_no_spacing_is_refused() -> None:
    with pytest.raises(Refused, match="above 0; got 0"):
        plants_in_rows(2, 2, 0, 1)
