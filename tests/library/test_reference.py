"""The files that records refer to: what is refused in them, and what a nursery adds."""

import pytest

from propagate.library import Library
from propagate.names import parse


@pytest.mark.parametrize(
    ("file", "text", "where", "what"),
    [
        ("sources", "[a]\ntitle = 'x'", "methods/sources.toml, a, author", "it is missing"),
        ("cautions", "[a]\ntext = 1", "methods/cautions.toml, a, text", "a text is wanted, not 1"),
        (
            "cautions",
            "text = 'loose'",
            "methods/cautions.toml, text",
            "it stands outside every table",
        ),
        (
            "plants",
            '["ribes Nigrum"]\nnames = {}',
            "plants.toml, ribes Nigrum",
            'the name is written "Ribes nigrum"',
        ),
        ("plants", '["?"]\nnames = {}', "plants.toml, ?", ""),
        (
            "plants",
            '["Acer bo"]\nsynonyms = []',
            "methods/plants.toml, Acer bo, names",
            "it is missing",
        ),
        (
            "plants",
            '["Acer bo"]\nnames = {}\ncautions = ["c"]',
            "methods/plants.toml, Acer bo, cautions",
            '"c" is not in cautions.toml',
        ),
        (
            "plants",
            '["Acer bo"]\nnames = { en = ["x"] }\n["Acer co"]\nnames = { en = ["X"] }',
            "plants.toml, Acer co",
            'the name "X" belongs to Acer bo already',
        ),
    ],
)
def test_slips_in_the_files_records_refer_to(shelf, file, text, where, what):
    found = {problem.where: problem.what for problem in Library([shelf(**{file: text})]).problems}
    assert what in found.get(where, "nothing"), found


def test_a_nursery_may_rewrite_a_caution_and_rename_a_plant(shelf, own_shelf):
    own = own_shelf(
        cautions='[knife]\ntext = "Mind the left hand."',
        plants='["Ribes rubrum"]\nnames = { en = ["garnet currant"] }',
    )
    library = Library([shelf(), own])
    assert library.cautions("hardwood-cutting", parse("Ribes rubrum")) == ("Mind the left hand.",)
    assert library.common_name(parse("Ribes rubrum")) == "garnet currant"


def test_names_of_other_languages_follow_the_english_ones(shelf):
    plant = Library([shelf()]).plant(parse("Ribes nigrum"))
    assert (plant.common, plant.other_names) == (("blackcurrant", "black currant"), ("cassis",))
