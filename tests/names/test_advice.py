"""Advice on names that are understood, but not written as the codes ask."""

import pytest

from propagate.names import remarks

THIRTY_LETTERS = "Abcde Abcde Abcde Abcde Abcde Abcde"


@pytest.mark.parametrize(
    "text",
    [
        "Ribes nigrum 'Ben Name'",
        "Ribes nigrum ‘Ben Name’",
        "Rheum x hybridum",
        "Rheum × hybridum 'Name'",
        "Kunzea linearis × K. robusta",
        "Brassica oleracea (Capitata Group) 'Brunswick'",
        "Pinus mugo subsp. mugo",
        "Rosa ICEBERG 'Korbin'",
        "Salix sp. (acc. 2026-014)",
        "Ficus carica ?",
        "Malus 'Антоновка'",
        f"Malus '{THIRTY_LETTERS}'",
    ],
)
def test_a_well_written_name_gets_no_advice(text: str) -> None:
    assert remarks(text) == ()


@pytest.mark.parametrize(
    ("text", "word"),
    [
        ('Ribes nigrum "Name"', "double quotes"),
        ("Ribes nigrum cv. 'Name'", "cv."),
        ("Ribes Nigrum 'Name'", "no capital: nigrum"),
        ("ribes nigrum", "one capital, its first letter: Ribes"),
        ("Ribes nigrum 'golden wonder'", "begins with a capital"),
        (f"Malus '{THIRTY_LETTERS}s'", "31 characters"),
        ("Pinus mugo ssp mugo", "subsp., not ssp"),
        ("Pinus mugo var pumilio", "var., not var"),
        ("Abelia X grandiflora", "capital X"),
        ("Abelia x-grandiflora", "hyphen"),
        ("Kunzea linearis × robusta", "Each parent"),
        ("Rosa 'Polyantha Group'", "no quotes"),
        ("Rosa polyantha group", "Polyantha Group"),
        ("Salix 'Unknown'", "unknown variety"),
        ("Ficus carica 'FC-12'", "seedling FC-12"),
        ("Rosa ICEBERG", "selling name"),
    ],
)
def test_a_wrong_form_gets_one_sentence(text: str, word: str) -> None:
    (remark,) = remarks(text)
    assert word in remark
    assert remark.endswith(".")


def test_a_name_that_cannot_be_understood_gets_the_reason() -> None:
    assert remarks("Ribes nigrum 'Name") == (
        "A quote in “Ribes nigrum 'Name” is opened and never closed; close it after the cultivar.",
    )
