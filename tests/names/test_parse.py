"""Names as people type them, and the promise that a name reads back as itself."""

import pytest
from attrs import evolve
from hypothesis import example, given, settings
from hypothesis import strategies as st

from propagate.errors import Refused
from propagate.names import PlantName, parse, remarks, split_cultivar
from propagate.names.tokens import clean

SPELLINGS = [
    ("ribes NIGRUM", "Ribes nigrum"),
    ("RIBES NIGRUM", "Ribes nigrum"),
    ("  Ribes   nigrum  'Ben  Name' ", "Ribes nigrum ‘Ben Name’"),
    ('Ficus carica "Brown Turkey"', "Ficus carica ‘Brown Turkey’"),
    ("Ficus carica “Brown Turkey”", "Ficus carica ‘Brown Turkey’"),
    ("Ficus carica `Brown Turkey´", "Ficus carica ‘Brown Turkey’"),
    ("Ficus carica cv. 'Brown Turkey'", "Ficus carica ‘Brown Turkey’"),
    ("Ficus carica cv.'Brown Turkey'", "Ficus carica ‘Brown Turkey’"),
    ("Ficus carica cv. Brown Turkey", "Ficus carica ‘Brown Turkey’"),
    ("Malus 'Mother's Choice'", "Malus ‘Mother’s Choice’"),
    ("Malus 'Growers' Pride'", "Malus ‘Growers’ Pride’"),
    ("Malus 'Rock 'n' Roll'", "Malus ‘Rock ’n’ Roll’"),
    ("Malus 'One' x M. 'Two'", "Malus ‘One’ × M. ‘Two’"),
    ("Rheum x hybridum", "Rheum × hybridum"),
    ("Rheum X hybridum", "Rheum × hybridum"),
    ("Rheum ×hybridum", "Rheum × hybridum"),
    ("xSorbaronia", "× Sorbaronia"),
    ("x Sorbaronia fallax", "× Sorbaronia fallax"),
    ("+Laburnocytisus", "+ Laburnocytisus"),
    ("Pinus mugo ssp mugo", "Pinus mugo subsp. mugo"),
    ("Pinus mugo var pumilio", "Pinus mugo var. pumilio"),
    ("Brassica oleracea subsp. oleracea var. capitata", "Brassica oleracea var. capitata"),
    ("Salix sp", "Salix sp."),
    ("Rubus fruticosus agg", "Rubus fruticosus agg."),
    ("salix sp.", "Salix sp."),
    ("Salix sp. 'Name'", "Salix ‘Name’"),
    ("Salix cf caprea", "Salix cf. caprea"),
    ("Salix caprea (acc. 7) 'Name'", "Salix caprea ‘Name’ (acc. 7)"),
    ("Actinidia arguta ♂", "Actinidia arguta ♂"),
    ("Rosa Polyantha Group", "Rosa Polyantha Group"),
    ("Kunzea linearis x Kunzea robusta", "Kunzea linearis × K. robusta"),
    ("Kunzea a-b × Kalmia latifolia × K. robusta", "Kunzea a-b × Kalmia latifolia × K. robusta"),
    ("Laburnum anagyroides + Cytisus purpureus", "Laburnum anagyroides + Cytisus purpureus"),
    ("Malus 'Антоновка'", "Malus ‘Антоновка’"),
    ("Acer palmatum '紅枝垂'", "Acer palmatum ‘紅枝垂’"),
    ("Olea europaea 'Κορωνέικη'", "Olea europaea ‘Κορωνέικη’"),
    ("Malus 'Me\u0301nage'", "Malus ‘Ménage’"),
]


@pytest.mark.parametrize(("typed", "canonical"), SPELLINGS)
def test_common_spellings_become_the_canonical_text(typed: str, canonical: str) -> None:
    assert str(parse(typed)) == canonical
    assert parse(canonical) == parse(typed)


def test_every_part_has_its_own_field() -> None:
    name = parse("Brassica oleracea var. capitata (Capitata Group) 'Brunswick' (acc. 2026-014)")
    assert name == PlantName(
        genus="Brassica",
        species="oleracea",
        rank="var.",
        infra="capitata",
        group="Capitata Group",
        cultivar="Brunswick",
        tag="(acc. 2026-014)",
    )


def test_a_cross_keeps_its_parents_in_full() -> None:
    name = parse("Salix aurita ♀ x S. caprea ♂")
    mother = PlantName("Salix", species="aurita", sex="♀")
    father = PlantName("Salix", species="caprea", sex="♂")
    assert name == PlantName(parents=(mother, father), formula_sign="×")
    assert name.species_name == "Salix aurita × Salix caprea"


@pytest.mark.parametrize(
    "mark",
    ["(variety unknown)", "(unknown)", "'?'", "?", '"unknown"', "unknown variety", "cv. unknown"],
)
def test_an_unknown_variety_is_known_to_be_unknown(mark: str) -> None:
    name = parse(f"Ficus carica {mark}")
    assert name.variety_unknown
    assert str(name) == "Ficus carica (variety unknown)"
    assert split_cultivar(f"common fig {mark}") == ("common fig", mark)


@pytest.mark.parametrize(
    ("typed", "reason"),
    [
        ("", "none was given"),
        ("   ", "none was given"),
        ("blackcurrant", "not a Latin plant name"),
        ("blackcurrant 'Ben Name'", "not a Latin plant name"),
        ("'Ben Name'", "begins with its genus"),
        ("R. nigrum", "genus in full"),
        ("Ribes nigrum 'Ben Name", "never closed"),
        ("Ribes nigrum Ben Name'", "in quotes"),
        ("Ribes nigrum Name'", "do not pair"),
        ("Ribes nigrum ''", "nothing between the quotes"),
        ("Ribes nigrum '123'", "no letter"),
        ("Ribes nigrum 'A'", "one letter"),
        ("Ribes nigrum 'One' 'Two'", "twice"),
        ("Ribes nigrum '?' 'Two'", "not both"),
        ("Ribes nigrum (acc. 3", "never closed"),
        ("Ribes nigrum europaeum", "its rank"),
        ("Ribes nigrum var.", "comes an epithet"),
        ("Ribes nigrum L.", "leave out authors"),
        ("Salix caprea sp.", "leave it out"),
        ("Malus seedling of 'Name'", "without quotes"),
        ("Malus × ", "after ×"),
        ("Malus alba × 'Name'", "parent of a cross"),
        ("Malus alba × ", "parent of a cross"),
        ("Malus alba × P. communis", "begins with P"),
        ("Malus alba × M. rubra + M. nigra", "not by both"),
        ("Malus alba\x07", "cannot be printed"),
        ("Malus '" + "long " * 60 + "'", "at most 200"),
        ("Malus " * 300, "shorter than"),
    ],
)
def test_what_cannot_be_understood_is_refused_with_one_sentence(typed: str, reason: str) -> None:
    with pytest.raises(Refused, match=reason) as refusal:
        parse(typed)
    assert "\n" not in str(refusal.value)
    assert remarks(typed) == (str(refusal.value),)


def test_capitals_after_a_well_written_genus_are_a_selling_name() -> None:
    assert parse("Rosa ICEBERG").trade == "ICEBERG"
    assert parse("Rosa rugosa PINK CARPET 2 'Name'").trade == "PINK CARPET 2"
    assert parse("rosa ICEBERG").species == "iceberg"


def test_long_cultivars_are_taken() -> None:
    assert parse("Malus '" + "Long " * 10 + "'").cultivar == ("Long " * 10).strip()


@pytest.mark.parametrize(
    ("text", "stem", "rest"),
    [
        ("blackcurrant 'Ben Name'", "blackcurrant", "'Ben Name'"),
        ('blackcurrant  "Ben"', "blackcurrant", '"Ben"'),
        ("black currant", "black currant", ""),
        ("fig ?", "fig", "?"),
        ("fig cv. Brown Turkey", "fig", "cv. Brown Turkey"),
        ("fig seedling FC-12", "fig", "seedling FC-12"),
        ("rose ICEBERG 'Korbin'", "rose", "ICEBERG 'Korbin'"),
        ("BLACK CURRANT", "BLACK CURRANT", ""),
        ("kale Lacinato Group", "kale", "Lacinato Group"),
        ("cabbage (Capitata Group) 'Brunswick'", "cabbage", "(Capitata Group) 'Brunswick'"),
        ("lambs' ear 'Name'", "lambs' ear", "'Name'"),
        ("Rheum x hybridum 'Name'", "Rheum x hybridum", "'Name'"),
        ("'Name'", "", "'Name'"),
    ],
)
def test_the_stem_is_cut_off_before_the_variety(text: str, stem: str, rest: str) -> None:
    assert split_cultivar(text) == (stem, rest)


@pytest.mark.parametrize("said", ["Brown Turkey", "'Brown Turkey'", "ficus carica 'Brown Turkey'"])
def test_an_unknown_variety_can_be_settled(said: str) -> None:
    unknown = parse("Ficus carica ? (acc. 3)")
    assert str(unknown.settled(said)) == "Ficus carica ‘Brown Turkey’ (acc. 3)"


def test_settling_may_give_the_species_too() -> None:
    settled = parse("Salix sp. (acc. 3)").settled("Salix caprea 'Name'")
    assert str(settled) == "Salix caprea ‘Name’ (acc. 3)"
    assert str(parse("Salix sp. (acc. 3)").settled("Name")) == "Salix ‘Name’ (acc. 3)"


@pytest.mark.parametrize("said", ["", "?", "'?'", "Ficus carica ?", "12"])
def test_settling_with_nothing_known_is_refused(said: str) -> None:
    with pytest.raises(Refused):
        parse("Ficus carica ?").settled(said)


def test_the_key_is_the_same_for_all_spellings_and_other_for_other_plants() -> None:
    spellings = ["Rheum x hybridum", "Rheum ×hybridum", "rheum hybridum", "RHEUM × HYBRIDUM"]
    assert {parse(spelling).key for spelling in spellings} == {"rheum hybridum"}
    others = ["Malus alba", "Malus 'Alba'", "Malus ?", "Malus Alba Group", "Malus 'Alba' (acc. 1)"]
    assert len({parse(other).key for other in others}) == len(others)


def test_the_method_key_keeps_the_sign_and_drops_the_variety() -> None:
    assert parse("Rheum x hybridum 'Name'").species_name == "Rheum × hybridum"
    assert parse("Pinus mugo ssp. mugo 'Name'").species_name == "Pinus mugo subsp. mugo"
    assert parse("Salix cf. caprea (acc. 3)").species_name == "Salix caprea"
    assert parse("Salix sp.").species_name == "Salix"


def test_names_sort_without_regard_to_signs_quotes_case_and_accents() -> None:
    typed = ["Malus 'Zoe'", "Malus 'Éclat'", "Malus 'eden'", "× Malosorbus", "Malus alba"]
    expected = ["× Malosorbus", "Malus alba", "Malus ‘Éclat’", "Malus ‘eden’", "Malus ‘Zoe’"]
    assert [str(name) for name in sorted(map(parse, typed))] == expected


def test_only_a_named_variety_is_a_cultivar() -> None:
    named = ["Malus 'Name'", "Rosa ICEBERG"]
    others = ["Malus ?", "Malus domestica", "Malus seedling FC-12", "Rosa Polyantha Group"]
    assert all(parse(text).is_cultivar for text in named)
    assert not any(parse(text).is_cultivar for text in others)


@pytest.mark.parametrize(
    "fields",
    [
        {"genus": "malus"},
        {"genus": "Malus", "species": "Alba"},
        {"genus": "Malus", "species": "sp"},
        {"genus": "Malus", "species_sign": "×"},
        {"genus": "Malus", "species": "alba", "rank": "var."},
        {"genus": "Malus", "group": "Alba"},
        {"genus": "Malus", "group": "alba Group"},
        {"genus": "Malus", "group": "Alba) Group"},
        {"genus": "Malus", "trade": "Alba"},
        {"genus": "Malus", "cultivar": "'Alba'"},
        {"genus": "Malus", "cultivar": "A b’ c ’d"},
        {"genus": "Malus", "cultivar": "Alba  Two"},
        {"genus": "Malus", "cultivar": "Alba", "variety_unknown": True},
        {"genus": "Malus", "tag": "whatever"},
        {"genus": "Malus", "tag": "(Alba Group)"},
        {"genus": "Malus", "tag": "(unknown)"},
        {"genus": "Malus", "tag": "seedling 'One'"},
        {"genus": "Malus", "sex": "f"},
        {"genus": "Malus", "parents": (PlantName("Malus"), PlantName("Malus"))},
        {"formula_sign": "×", "parents": (PlantName("Malus"), PlantName("Malus"))},
    ],
)
def test_fields_that_could_not_be_read_back_are_refused(fields: dict[str, object]) -> None:
    with pytest.raises(Refused):
        PlantName(**fields)  # type: ignore[arg-type]


# Names for the round trip: each field from a small grammar, or "".
_latin = st.text("abcdefghiklmnoprstuvxëïö", min_size=2, max_size=9)
_genus = _latin.map(str.capitalize)
_cultivar = st.one_of(
    st.text("abX ’'-.&éß2Жあ", min_size=1, max_size=14),
    st.text(min_size=1, max_size=10),
)
_tag = st.one_of(
    st.sampled_from(["sp.", "sp. (acc. 2026-014)", "seedling FC-12", "(acc. 7) clone 3"]),
    st.text("ab 1.’x×", max_size=8).map(lambda text: f"({text})"),
    st.text("ab 1.’x×?", max_size=8).map(lambda text: f"seedling {text}"),
)
_changes = [
    {"species": _latin},
    {"genus_sign": st.sampled_from("×+")},
    {"species_sign": st.just("×")},
    {"qualifier": st.sampled_from(["cf.", "aff."])},
    {"rank": st.sampled_from(["subsp.", "var.", "f."]), "infra": _latin},
    {"group": st.text("AB ab", max_size=8).map(lambda text: f"{text} Group")},
    {"trade": st.text("ABC 2&’X", min_size=2, max_size=10)},
    {"cultivar": _cultivar},
    {"variety_unknown": st.just(True)},
    {"tag": _tag},
    {"sex": st.sampled_from("♀♂")},
]


@st.composite
def plant_names(draw: st.DrawFn) -> PlantName:
    """A name with any of its fields, each kept only if it is allowed with those before it."""
    name = PlantName(draw(_genus))
    for change in _changes:
        if draw(st.booleans()):
            try:
                name = evolve(name, **draw(st.fixed_dictionaries(change)))
            except Refused:
                continue
    return name


@st.composite
def crosses(draw: st.DrawFn) -> PlantName:
    parents = draw(st.lists(plant_names(), min_size=2, max_size=3))
    kept = [parent for parent in parents if len(str(parent).split()) > 1]
    sign = draw(st.sampled_from(["×", "+"]))
    try:
        return PlantName(parents=tuple(kept), formula_sign=sign)
    except Refused:
        return parents[0]


@settings(max_examples=300, deadline=None, derandomize=True)
@given(st.one_of(plant_names(), crosses()))
def test_every_name_reads_back_as_itself(name: PlantName) -> None:
    assert parse(str(name)) == name
    assert hash(parse(str(name))) == hash(name)
    assert parse(str(name)).key == name.key


_words = ["Malus", "alba", "K.", "sp.", "seedling", "Group", "cv.", "ICE", "var.", "f", "Unknown"]
_pieces = st.sampled_from([*_words, *"Xx×+'\"‘’()?♀é7", "cf", "unknown", "variety"])
_typed = st.one_of(
    st.text(max_size=40),
    st.lists(_pieces, max_size=10).map(" ".join),
    st.lists(_pieces, max_size=10).map("".join),
    st.lists(st.one_of(_pieces, st.just(" ")), max_size=14).map("Malus ".__add__("").join),
)


@settings(max_examples=500, deadline=None, derandomize=True)
@given(_typed)
@example("Malus alba) Group 'Name'")
@example("Malus sp seedling group 'Dogs'")
@example("Malus cv. cf + alba sp. acc")
@example("AA AA ×AA 0AA")
def test_any_text_reads_back_as_itself_or_is_refused(text: str) -> None:
    assert isinstance(remarks(text), tuple)
    try:
        name = parse(text)
    except Refused:
        return
    assert parse(str(name)) == name
    assert all(parse(plant.species_name) for plant in name.parents or (name,))
    assert "".join(split_cultivar(text)).replace(" ", "") == clean(text).replace(" ", "")
