"""Records laid together: the range that holds them all, as sure as the least sure."""

from attrs import evolve

from propagate.library.merging import genus_record, widest
from propagate.records.methods import Figure, MethodRecord, Season, Stage

ROOTING = Stage("rooting", "take", Figure(4, 8, "memory"), Figure(0.5, 0.7, "memory"))
COLD = Stage("cold", "treat", Figure(10, 12, "memory"))
WARM = Stage("warm", "treat", Figure(2, 2, "memory"))
BARE = MethodRecord("seed", "Prunus avium", (ROOTING,), Season(("ripe seed",), (9,)))


def test_the_widest_range_holds_all_and_is_as_weak_as_the_weakest():
    ranges = [
        Figure(2, 5, "published", ("a",)),
        Figure(3, 9, "common practice", ("b", "a")),
    ]
    assert widest(ranges) == Figure(2, 9, "common practice", ("a", "b"))


def test_treatments_of_any_species_are_kept_warm_before_cold_before_the_rest():
    kin = [BARE, evolve(BARE, stages=(COLD, ROOTING)), evolve(BARE, stages=(WARM, COLD, ROOTING))]
    merged = genus_record("Prunus", kin)
    assert [stage.name for stage in merged.stages] == ["warm", "cold", "rooting"]
    assert merged.weeks == (16, 22)


def test_lengths_and_months_span_those_of_all_species():
    kin = [
        evolve(BARE, length_cm=(5, 8)),
        evolve(BARE, length_cm=(7, 12), season=Season(("dormant",), (9, 10))),
        BARE,
    ]
    merged = genus_record("Prunus", kin)
    assert (merged.plant, merged.length_cm, merged.per_mother) == ("Prunus", (5, 12), None)
    assert merged.season == Season(("ripe seed", "dormant"), (9, 10))


def test_a_note_is_kept_only_where_one_species_speaks_for_the_genus():
    noted = evolve(BARE, note="sow fresh")
    assert genus_record("Prunus", [noted]).note == "sow fresh"
    assert genus_record("Prunus", [noted, BARE]).note == ""
