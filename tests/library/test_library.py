"""Finding the record that serves a plant, and what a nursery's own folder changes."""

import pytest

from propagate.errors import NotFound
from propagate.library import Library
from propagate.names import parse

OWN = """
[[plant]]
latin = "Ribes nigrum"
    [[plant.stage]]
    name = "rooting"
    weeks = { low = 8, high = 10, basis = "common practice" }
[[plant]]
latin = "Ficus carica"
note = "ours"
"""


@pytest.fixture
def library(shelf):
    return Library([shelf()])


def test_a_method_file_is_read_only_when_asked_for(shelf):
    folder = shelf(runner="broken = ")
    library = Library([folder])
    assert library.method("hardwood-cutting").id == "hardwood-cutting"
    assert library.ids == ("hardwood-cutting", "runner")


@pytest.mark.parametrize(
    "written", ["hardwood-cutting", "Hardwood cuttings", "hardwood", "  HARDWOOD   cutting "]
)
def test_a_method_is_known_as_people_write_it(library, written):
    assert library.method_meant(written).id == "hardwood-cutting"


@pytest.mark.parametrize("written", ["hard", "hardwod", "cutting", "", "-"])
def test_half_a_word_is_no_method(library, written):
    with pytest.raises(NotFound, match=f'no method called "{written}"'):
        library.method_meant(written)


def test_an_unknown_method_is_answered_with_the_nearest(library):
    with pytest.raises(
        NotFound, match=r'no method called "hardwod"\. Did you mean "hardwood-cutting"'
    ):
        library.method("hardwod")


def test_a_cultivar_is_served_by_its_species(library):
    match = library.record("hardwood-cutting", parse("Ribes nigrum 'Some Name'"))
    assert (match.level, match.record.plant) == ("species", "Ribes nigrum")
    assert match.said == "The record for Ribes nigrum by hardwood cutting."


def test_a_subspecies_is_served_by_its_species(library):
    match = library.record("hardwood-cutting", parse("Ribes nigrum var. sibiricum"))
    assert (match.level, match.record.plant) == ("species", "Ribes nigrum")


def test_a_cultivar_with_a_record_of_its_own_is_served_by_that(shelf, method_text):
    text = method_text + "\n[[plant]]\nlatin = \"Ribes nigrum 'Slow'\"\n"
    library = Library([shelf(hardwood_cutting=text)])
    found = library.record("hardwood-cutting", parse("Ribes nigrum 'Slow'")).record
    assert found.plant == "Ribes nigrum 'Slow'"


def test_a_synonym_is_served_by_the_accepted_name(library):
    match = library.record("hardwood-cutting", parse("Ribes sativum"))
    assert (match.level, match.record.plant) == ("species", "Ribes rubrum")


def test_an_unknown_species_is_served_by_the_widest_range_of_its_genus(library):
    match = library.record("hardwood-cutting", parse("Ribes divaricatum"))
    taking = match.record.taking
    assert (match.level, match.record.plant) == ("genus", "Ribes")
    assert (taking.weeks.low, taking.weeks.high, taking.weeks.basis) == (2, 24, "memory")
    assert (taking.take.low, taking.take.high, taking.take.basis) == (0.5, 0.95, "memory")
    assert taking.take.sources == ("asanica",)
    assert match.said == (
        "No record for Ribes divaricatum by hardwood cutting; the genus Ribes is used (2 records)."
    )


def test_a_plant_of_no_known_genus_is_served_by_the_general_record(library):
    match = library.record("hardwood-cutting", parse("Salix alba"))
    assert (match.level, match.record.plant) == ("method", None)
    assert match.said.endswith("the method's general range is used.")


def test_a_nursery_overrides_and_adds_and_the_winner_is_known(shelf, own_shelf):
    library = Library([shelf(), own_shelf(hardwood_cutting=OWN)])
    assert library.problems == ()
    nigrum, rubrum, fig = library.method("hardwood-cutting").records
    assert (nigrum.taking.weeks.low, nigrum.taking.take.low, nigrum.length_cm) == (8, 0.5, None)
    assert (fig.plant, fig.note) == ("Ficus carica", "ours")
    assert nigrum.origin == "garden/methods/hardwood-cutting.toml"
    assert rubrum.origin == "methods/hardwood-cutting.toml"


def test_a_nursery_may_change_one_figure_of_the_general_record(shelf, own_shelf):
    text = (
        '[[stage]]\nname = "rooting"\ntake = { low = 0.8, high = 0.9, basis = "common practice" }'
    )
    method = Library([shelf(), own_shelf(hardwood_cutting=text)]).method("hardwood-cutting")
    assert (method.general.taking.take.low, method.general.taking.weeks.low) == (0.8, 12)
    assert method.general.origin == "garden/methods/hardwood-cutting.toml"
    assert method.name == "hardwood cutting"


def test_a_nursery_may_add_a_method_and_a_plant(shelf, own_shelf, method_text):
    plants = '["Salix alba"]\nnames = { en = ["white willow"] }'
    library = Library([shelf(), own_shelf(truncheon=method_text, plants=plants)])
    assert library.method("truncheon").general.method == "truncheon"
    assert str(library.resolve("white willow")) == "Salix alba"
    assert library.problems == ()


def test_a_slip_in_a_nursery_file_keeps_the_shipped_record(shelf, own_shelf):
    library = Library([shelf(), own_shelf(hardwood_cutting=OWN.replace("low = 8", "low = 80"))])
    nigrum = library.method("hardwood-cutting").records[0]
    assert nigrum.origin == "methods/hardwood-cutting.toml"
    assert [problem.where for problem in library.problems] == [
        "garden/methods/hardwood-cutting.toml, plant Ribes nigrum, stage rooting, weeks"
    ]


def test_cautions_are_those_of_the_method_and_of_the_plant(library):
    assert library.cautions("hardwood-cutting", parse("Ribes nigrum")) == (
        "Cut away from the thumb.",
        "Only from clean bushes.",
    )


def test_an_unknown_species_is_treated_as_carefully_as_its_genus(library):
    found = library.cautions("hardwood-cutting", parse("Ficus pumila"))
    assert "Sap burns in the sun." in found


def test_a_cross_is_served_by_the_general_record(library):
    match = library.record("hardwood-cutting", parse("Ribes nigrum × Ribes rubrum"))
    assert match.level == "method"


def test_a_nursery_without_methods_of_its_own_changes_nothing(shelf, tmp_path):
    library = Library([shelf(), tmp_path / "nowhere"])
    assert len(library.search()) == 3


@pytest.mark.parametrize(
    ("words", "plants"),
    [
        ([], [None, "Ribes nigrum", "Ribes rubrum"]),
        (["currants"], ["Ribes nigrum"]),  # a whole word of "black currant"
        (["RIBES"], ["Ribes nigrum", "Ribes rubrum"]),
        (["cassis"], ["Ribes nigrum"]),
        (["curr"], ["Ribes nigrum", "Ribes rubrum"]),  # no whole word, so parts serve
        (["hardwood-cutting"], [None, "Ribes nigrum", "Ribes rubrum"]),
        (["black", "hardwood"], ["Ribes nigrum"]),
        (["tulip"], []),
    ],
)
def test_searching_by_words(library, words, plants):
    assert [record.plant for record in library.search(words)] == plants
