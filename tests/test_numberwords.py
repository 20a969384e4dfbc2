"""Numbers said in words: every way to say one is read, and nothing that may be two."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from num2words import num2words

from propagate.numberwords import MOST_SAID, read_words, said

numbers = st.integers(0, MOST_SAID)


@given(numbers)
def test_what_is_written_is_read(number: int) -> None:
    assert read_words(said(number)) == number


@given(numbers, st.sampled_from(["en_GB", "en_US"]), st.sampled_from([str, str.upper, str.title]))
def test_what_an_outside_library_writes_is_read(number, tongue, case) -> None:
    """The package num2words: "four hundred and twenty-one"; its nought is zero."""
    words = case(num2words(number, lang=tongue))
    assert read_words(words) == number
    assert read_words(words.replace("-", " ")) == number


@given(st.integers(1, 83))
def test_dozens(number: int) -> None:
    assert read_words(f"{num2words(number)} dozen") == 12 * number


@pytest.mark.parametrize(
    ("text", "number"),
    [
        ("a dozen", 12),
        ("dozen", 12),
        ("half a dozen", 6),
        ("a hundred", 100),
        ("a hundred and one", 101),
        ("one hundred forty", 140),
        ("  Twenty-Four ", 24),
        ("none", 0),
        ("zero", 0),
        ("nought", 0),
    ],
)
def test_ways_to_say_it(text: str, number: int) -> None:
    assert read_words(text) == number


@pytest.mark.parametrize(
    "text",
    [
        *("a few", "some", "a couple", "a", "", "and", "-", "40", "4 dozen", "several dozen"),
        *("forty odd", "forty or fifty", "twenty and four", "four twenty", "twenty twenty"),
        *("hundred", "hundred and", "a hundred and", "one hundred and and one", "two hundreds"),
        *("one thousand", "half a hundred", "eighty-four dozen", "a dozen and one", "minus one"),
        *("forty two three", "twenty ten", "fourty", "vierzig"),
    ],
)
def test_what_says_no_number_or_two_is_not_guessed(text: str) -> None:
    assert read_words(text) is None


def test_no_two_numbers_are_said_alike() -> None:
    assert len({said(number) for number in range(MOST_SAID + 1)}) == MOST_SAID + 1
