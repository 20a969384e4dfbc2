from pathlib import Path

import pytest

from propagate.actions.asking import find_records, library_at, months_of, own_records
from propagate.actions.founding import found_nursery
from propagate.errors import NotFound

BETTER_CURRANT = """
[[plant]]
latin = "Ribes nigrum"
[[plant.stage]]
name = "rooting"
take = { low = 0.9, high = 0.97, basis = "memory" }
"""


@pytest.fixture
def south(tmp_path: Path) -> Path:
    found_nursery(tmp_path / "yard", "Weir Yard", "south")
    return tmp_path / "yard"


def with_own_record(nursery: Path) -> Path:
    (nursery / "methods").mkdir()
    (nursery / "methods" / "hardwood-cutting.toml").write_text(BETTER_CURRANT, encoding="utf-8")
    return nursery


def test_words_find_a_plant_by_any_of_its_names(tmp_path: Path) -> None:
    library, nursery = library_at(tmp_path)
    assert nursery is None
    found = {
        tuple(find_records(library, words))
        for words in (["black", "currant"], ["Ribes nigrum"], ["cassis"], ["blackcurrant"])
    }
    assert len(found) == 1
    assert {record.plant for record in found.pop()} == {"Ribes nigrum"}


def test_what_is_not_there_is_refused_with_the_nearest_names(tmp_path: Path) -> None:
    library, _ = library_at(tmp_path)
    with pytest.raises(NotFound, match="blackcurrant"):
        find_records(library, ["blakcurrant"])


def test_months_are_those_of_the_nursery(tmp_path: Path, south: Path) -> None:
    library, nowhere = library_at(tmp_path)
    own, nursery = library_at(south)
    fig = find_records(library, ["fig", "hardwood"])[0]
    assert set(months_of(fig, nowhere)) == {11, 12, 1, 2, 3}
    assert set(months_of(fig, nursery)) == {5, 6, 7, 8, 9}
    november = {record.plant for record in find_records(own, ["hardwood-cutting"], 11, nursery)}
    assert "Ficus carica" not in november


def test_an_own_record_wins_and_says_so(south: Path) -> None:
    library, _ = library_at(with_own_record(south))
    assert find_records(library, ["blackcurrant", "hardwood"])[0].taking.take.low == 0.9
    (told,) = own_records(library)
    assert told[0] == "Ribes nigrum by hardwood-cutting"
    assert "wins over the shipped record" in told[1]


def test_a_nursery_without_own_records_has_none(south: Path) -> None:
    assert own_records(library_at(south)[0]) == []
