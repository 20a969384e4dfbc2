"""What is said of plants for sale and of protected ones, and what no print ever says."""

from pathlib import Path

import pytest

from propagate.names import parse
from propagate.records.rights import FOR_SALE, PROTECTED, is_protected
from tests.reading import imitates_passport

ROOT = Path(__file__).parents[1]
MARKED = [parse("Rubus idaeus 'Autumn Lamp'"), parse("Salix viminalis")]


@pytest.mark.parametrize(
    ("name", "protected"),
    [
        ("Rubus idaeus 'Autumn Lamp'", True),
        ("Rubus idaeus", False),
        ("Rubus idaeus 'Other'", False),
        ("Rubus fruticosus 'Autumn Lamp'", False),
        ("Salix viminalis", True),
        ("Salix viminalis 'Gold Rod'", True),  # a species that is marked means its varieties
        ("Salix alba", False),
    ],
)
def test_a_variety_is_protected_where_it_or_its_species_is_marked(name, protected) -> None:
    assert is_protected(parse(name), MARKED) is protected


def test_both_sentences_defer_to_who_has_the_say() -> None:
    assert "plant-health authority" in FOR_SALE
    assert "breeder" in PROTECTED
    for said in (FOR_SALE, PROTECTED):
        assert "ask" in said


def test_the_search_finds_what_it_is_for() -> None:
    for text in ("Plant Passport", "plant-passport", "PLANT\nPASSPORT", "\U0001f1ea\U0001f1fa"):
        assert imitates_passport(text)
    assert imitates_passport("A. Ribes nigrum  B. XX-1  C. M7KD  D. XX")
    assert not imitates_passport("a licence or a passport for them")


@pytest.mark.parametrize("path", sorted((ROOT / "labels").iterdir()), ids=lambda path: path.name)
def test_no_template_imitates_what_only_an_authorised_grower_may_issue(path) -> None:
    assert not imitates_passport(path.read_text(encoding="utf-8"))


@pytest.mark.parametrize("folder", ["propagate", "methods"])
def test_nothing_the_program_can_say_imitates_it(folder) -> None:
    for path in (ROOT / folder).rglob("*.*"):
        if path.suffix in (".py", ".toml", ".csv"):
            assert not imitates_passport(path.read_text(encoding="utf-8")), path
