"""Lengths and areas as people write them."""

import contextlib

import pytest
from hypothesis import given
from hypothesis import strategies as st

from propagate.errors import Refused
from propagate.lengths import METRES, read_area, read_length, read_size


@pytest.mark.parametrize(
    ("text", "metres"),
    [
        ("50 cm", 0.5),
        ("50cm", 0.5),
        ("2.5 m", 2.5),
        ("2,5 m", 2.5),
        (" 2.5 Metres ", 2.5),
        ("450 mm", 0.45),
        ("18 in", 0.4572),
        ('18"', 0.4572),
        ("18 inches", 0.4572),
        ("1' 6\"", 0.4572),
        ("1’6”", 0.4572),
        ("1 ft 6 in", 0.4572),
        ("1 ft 6", 0.4572),
        ("1′ 6″", 0.4572),
        ("1' 6''", 0.4572),
        ("4 ½ ft", 1.3716),
        ("4 1/2 ft", 1.3716),
        ("1/2 m", 0.5),
        ("2-1/4 in", 0.05715),
        ("1 m 20 cm", 1.2),
        ("1 m 20", 1.2),
        ("3 yd", 2.7432),
        (".5 m", 0.5),
    ],
)
def test_a_length_is_read_as_it_is_written(text, metres) -> None:
    """One inch is 25.4 mm exactly (international agreement of 1959); 12 to the foot, 36 a yard."""
    assert read_length(text) == pytest.approx(metres, rel=1e-12)


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("", "not a length"),
        ("50", "no unit"),
        ("cm", "not a length"),
        ("50 furlongs", '"furlongs" is no unit'),
        ("0 m", "no size of a bed"),
        ("-3 m", "not a length"),
        ("20 km", '"km" is no unit'),
        ("20000 m", "no size of a bed"),
        ("1 cm 2 m", '"m" is no unit'),
        ("1 m 2 m", '"m" is no unit'),
        ("1/0 m", "nothing below the line"),
        ("1.2.3 m", "no unit"),
        ("1 m and a bit", "not a length"),
    ],
)
def test_what_is_no_length_is_refused_with_a_reason(text, why) -> None:
    with pytest.raises(Refused, match=why):
        read_length(text)


@given(
    number=st.decimals(min_value="0.01", max_value="99", places=2),
    unit=st.sampled_from(sorted(METRES)),
    comma=st.booleans(),
    space=st.sampled_from(["", " ", "  "]),
)
def test_every_number_in_every_unit_is_read(number, unit, comma, space) -> None:
    written = str(number).replace(".", "," if comma else ".")
    assert read_length(f"{written}{space}{unit}") == pytest.approx(float(number) * METRES[unit])


@given(st.text(max_size=12))
def test_any_text_is_read_or_refused(text) -> None:
    for read in (read_length, read_area, read_size):
        with contextlib.suppress(Refused):
            read(text)


@pytest.mark.parametrize(
    ("text", "square_metres"),
    [
        ("12 m2", 12),
        ("12 m²", 12),
        ("2,5 m^2", 2.5),
        ("300 sq ft", 27.870912),
        ("300 square feet", 27.870912),
        ("300 sq. ft", 27.870912),
        ("1/2 m2", 0.5),
    ],
)
def test_an_area_is_read(text, square_metres) -> None:
    assert read_area(text) == pytest.approx(square_metres, rel=1e-9)


@pytest.mark.parametrize("text", ["12 m", "m2", "12", "twelve m2", "0 m2", "1 m 2 m2"])
def test_what_is_no_area_is_refused(text) -> None:
    with pytest.raises(Refused):
        read_area(text)


@pytest.mark.parametrize(
    ("text", "size"),
    [
        ("6 m x 1.2 m", (6, 1.2)),
        ("6 x 1.2 m", (6, 1.2)),
        ("6m×120cm", (6, 1.2)),
        ("10 ft by 4 ft", (3.048, 1.2192)),
    ],
)
def test_a_size_is_length_by_width(text, size) -> None:
    assert read_size(text) == pytest.approx(size)


def test_a_size_has_two_sides() -> None:
    with pytest.raises(Refused, match="length x width"):
        read_size("6 m")


def test_a_size_without_units_is_named_as_it_was_typed() -> None:
    with pytest.raises(Refused, match=r'^"6" cannot be read as a length, for it has no unit'):
        read_size("6 x 1.2")
