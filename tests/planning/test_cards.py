import pytest
from attrs import evolve

from propagate.library import Library
from propagate.paths import methods_folder
from propagate.planning.cards import method_card, months_words, range_words, weeks_words
from propagate.records.methods import MethodRecord, Season
from propagate.records.nursery import Nursery

LIBRARY = Library([methods_folder()])
SOUTH = Nursery("Weir Yard", hemisphere="south")


def fig() -> MethodRecord:
    return LIBRARY.record("hardwood-cutting", LIBRARY.resolve("fig")).record


def test_a_card_names_the_plant_its_figures_and_where_they_are_from() -> None:
    card = method_card(LIBRARY, fig(), None)
    rooting = card.stages[0]
    assert (str(card.name), card.common, card.method) == ("Ficus carica", "fig", "hardwood cutting")
    assert (rooting.weeks, rooting.take) == ("46 to 56 weeks", "60 to 90 %")
    assert any("common practice" in origin for origin in rooting.origins)
    assert dict(card.facts)["Length"] == "45 cm"
    assert any("sap" in caution for caution in card.cautions)


def test_a_card_says_when_a_plant_is_a_mother() -> None:
    facts = dict(method_card(LIBRARY, fig(), None).facts)
    assert facts["Mother"] == "after 3 to 4 years, serves 10 to 30 (memory)"
    strawberry = LIBRARY.record("runner", LIBRARY.resolve("strawberry")).record
    assert dict(method_card(LIBRARY, strawberry, None).facts)["Mother"].startswith("after 1 year,")


def test_the_long_stick_has_steps_of_its_own() -> None:
    general = LIBRARY.method("hardwood-cutting")
    card = method_card(LIBRARY, fig(), None)
    assert card.steps != general.steps
    assert any("bark" in step for step in card.steps)


def test_a_general_record_is_a_card_for_any_plant() -> None:
    card = method_card(LIBRARY, LIBRARY.method("runner").general, None)
    assert card.name is None
    assert card.steps == LIBRARY.method("runner").steps


def test_every_shipped_record_makes_a_card() -> None:
    for method in LIBRARY.methods():
        for record in (method.general, *method.records):
            card = method_card(LIBRARY, record, None)
            assert card.steps
            assert card.stages
            assert card.cautions


def test_months_in_a_row_are_told_as_one_and_wrap_the_year() -> None:
    record = evolve(fig(), season=Season(("dormant",), (9, 11, 12, 1)))
    assert months_words(record, None) == "Sep, Nov to Jan"
    assert months_words(record, SOUTH) == "Mar, May to Jul"
    always = evolve(fig(), season=Season(("dormant",), tuple(range(1, 13))))
    assert months_words(always, None) == "all year"


def test_a_range_of_one_number_is_one_number() -> None:
    assert range_words(8, 8) == "8"
    assert range_words(0.6, 0.9, share=True) == "60 to 90 %"


@pytest.mark.parametrize(
    ("low", "high", "said"),
    [
        (28, 42.7, "28 to 43"),
        (2.43, 17.1, "2.4 to 17"),
        (4, 10, "4 to 10"),
        (52, 104.3, "52 to 104"),
    ],
)
def test_weeks_are_told_as_closely_as_anybody_knows_them(
    low: float, high: float, said: str
) -> None:
    assert weeks_words(low, high) == said
