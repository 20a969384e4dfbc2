"""Fitting text to boxes, without a page."""

from hypothesis import given
from hypothesis import strategies as st

from propagate.paper.fitting import (
    Run,
    block_height_mm,
    fit,
    fit_phrases,
    width_mm_of,
    words_of,
)
from propagate.paper.widths import width_em

TEXT = st.text(st.characters(categories=("L", "M", "N", "P", "Zs")), max_size=120)


def test_a_short_text_gets_the_largest_size():
    (line,) = fit(words_of([Run("Salix")]), (60, 10), (15, 6))
    assert line.size_pt == 15


def test_letters_shrink_before_a_line_is_added():
    (line,) = fit(words_of([Run("Ribes nigrum cultivar Ab")]), (60, 20), (15, 6))
    assert 12 < line.size_pt < 15


def test_a_second_line_is_worth_much_larger_letters():
    lines = fit(words_of([Run("Ribes nigrum of a long name " * 2)]), (60, 20), (15, 6))
    assert len(lines) > 1


def test_a_cultivar_begins_its_own_line_where_that_is_free():
    runs = [Run("Metasequoia glyptostroboides", "italic"), Run(" ‘North Light of Mill’")]
    lines = fit(words_of(runs), (60, 13), (12, 6))
    assert [line.text for line in lines] == [
        "Metasequoia glyptostroboides",
        "‘North Light of Mill’",
    ]


def test_nothing_fits_a_box_that_is_too_small():
    assert fit(words_of([Run("Salix")]), (2, 1), (15, 6)) == []


def test_a_style_that_changes_inside_a_word_does_not_break_it():
    assert words_of([Run("×"), Run("Sorbaronia", "italic")]) == [
        (Run("×"), Run("Sorbaronia", "italic"))
    ]


@given(TEXT)
def test_a_name_in_any_script_stays_in_its_box(text):
    lines = fit(words_of([Run(text)]), (58, 40), (14, 4.5))
    assert width_mm_of(lines) <= 58
    assert block_height_mm(lines) <= 40
    kept = "".join(line.text for line in lines).replace(" ", "")
    assert kept == text.replace(" ", "")


@given(st.lists(TEXT, min_size=1, max_size=4))
def test_phrases_stay_in_their_box_whatever_they_say(phrases):
    lines = fit_phrases(phrases, (36, 9), (7.5, 6.5))
    assert width_mm_of(lines) <= 36
    assert block_height_mm(lines) <= 9


def test_accents_add_no_width():
    assert width_em("é") == width_em("e")


def test_bold_is_wider():
    assert width_em("Ribes", bold=True) > width_em("Ribes")
