"""How much cold a batch bears; the warnings themselves are tried in actions/test_weathering."""

import re

import pytest

from propagate.library import Library
from propagate.paths import methods_folder
from propagate.planning.cold import HARD_FROST_C, bears_c
from propagate.records.methods import Figure, MethodRecord, Plant, Season, Stage

FIGURE = Figure(1, 2, "memory")
TAKE = Stage("rooting", "take", FIGURE)


def general(*stages: Stage) -> MethodRecord:
    return MethodRecord("way", None, stages, Season((), ()))


@pytest.mark.parametrize(
    ("hardy_c", "bears"),
    [(-29, -18), (-7, 0), (HARD_FROST_C, HARD_FROST_C), (0, 0), (None, None)],
)
def test_a_plant_in_a_pot_bears_eleven_degrees_less_unless_its_leaves_decide(hardy_c, bears):
    assert bears_c(Plant("X", hardy_c=hardy_c), general(TAKE)) == bears


def test_a_plant_that_waits_for_the_last_frost_bears_none() -> None:
    tender = general(TAKE, Stage("growing on", "establish", FIGURE, gate="frost-free"))
    assert bears_c(Plant("X", hardy_c=-29), tender) == 0
    assert bears_c(None, general(TAKE)) is None


def test_the_librarys_words_and_numbers_of_hardiness_agree() -> None:
    library = Library((methods_folder(),))
    resolved = (library.plant(library.resolve(name)) for name in library.names())
    plants = {plant.latin: plant for plant in resolved if plant}
    told = {
        latin: (plant.hardy_c, float(found[1]))
        for latin, plant in plants.items()
        if (found := re.search(r"to about (-\d+) °C", plant.hardiness))
    }
    assert len(told) > 250
    assert [latin for latin, (number, words) in told.items() if number != words] == []
    silent = [p.latin for p in plants.values() if p.hardy_c is not None and not p.hardiness]
    assert silent == []
