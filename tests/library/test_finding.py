"""Names as people type them."""

import pytest

from propagate.errors import NotFound, Refused
from propagate.library import Library
from propagate.names import parse
from propagate.paths import methods_folder


@pytest.fixture(scope="module")
def library():
    return Library([methods_folder()])


@pytest.mark.parametrize(
    ("typed", "meant"),
    [
        ("Ribes nigrum", "Ribes nigrum"),
        ("ribes NIGRUM", "Ribes nigrum"),
        ("black currant", "Ribes nigrum"),
        ("Blackcurrants", "Ribes nigrum"),
        ("cassis", "Ribes nigrum"),
        ("blackcurrant 'Some Name'", "Ribes nigrum 'Some Name'"),
        ("cherries", "Prunus avium"),
        ("tomatoes", "Solanum lycopersicum"),
        ("chives", "Allium schoenoprasum"),
        ("Rosmarinus officinalis", "Salvia rosmarinus"),
        ("Fragaria x ananassa", "Fragaria × ananassa"),
        ("Mentha piperita", "Mentha × piperita"),
        ("Grüne Minze", "Mentha spicata"),
        ("noyer", "Juglans regia"),
        ("hosta", "Hosta"),
        ("Cynara scolymus", "Cynara cardunculus"),
    ],
)
def test_a_known_name_gives_the_accepted_one(library, typed, meant):
    assert library.resolve(typed) == parse(meant)


@pytest.mark.parametrize(
    "typed",
    [
        "Tilia cordata",
        "tilia cordata",
        "Ribes divaricatum",
        "Weigela 'Some Name'",
        "Olea europaea subsp. cuspidata",
    ],
)
def test_an_unknown_name_that_looks_latin_is_taken_as_given(library, typed):
    assert library.resolve(typed) == parse(typed)


@pytest.mark.parametrize(
    ("typed", "offered"),
    [
        ("black curant", '"blackcurrant"'),
        ("raspbery", '"raspberry"'),
        ("Ribes nigrun", '"Ribes nigrum"'),
        ("rosmary 'Some Name'", '"rosemary"'),
    ],
)
def test_a_mistyped_name_is_answered_with_the_nearest(library, typed, offered):
    with pytest.raises(NotFound, match="The library knows no plant called") as caught:
        library.resolve(typed)
    assert offered in str(caught.value)


def test_what_resembles_nothing_is_not_found_without_an_offer(library):
    with pytest.raises(NotFound) as caught:
        library.resolve("xyzzy")
    assert caught.value.near == ()


def test_an_empty_name_is_refused(library):
    with pytest.raises(Refused):
        library.resolve("  ")


def test_the_usual_english_name_comes_first(library):
    assert library.common_name(parse("Salvia rosmarinus 'Some Name'")) == "rosemary"
    assert library.common_name(parse("Tilia cordata")) == ""
