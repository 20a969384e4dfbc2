"""Twenty names as the codes have them set, and their wrong forms.

Rules: International Code of Nomenclature for Cultivated Plants (ICNCP), 9th edition 2016, Scripta
Horticulturae 18: cultivar Art. 2, Group Art. 3, graft-chimaera Art. 5; International Code of
Nomenclature for algae, fungi, and plants (ICN), Art. H.2 (formulas) and H.3 (hybrid sign). The
names come from summaries of these codes and from teaching pages: Cornell University HORT 243
(cultivar, quotes), Penn State arboretum guide (italics), ICN Art. H.2 (Kunzea). Rows 7, 11,
14, 16 and 17 and most wrong forms are built from the same rules, from memory.

Marks: _italic_, ^small capitals^. The ICN leaves the space after × and + free: our house style
has one, so rows 9, 10, 11 and 15 are written with a space here.
"""

import pytest

from propagate.errors import Refused
from propagate.names import parse, remarks

CORRECT = [
    ("Cryptomeria japonica 'Elegans'", "_Cryptomeria japonica_ ‘Elegans’"),
    ("Chamaecyparis lawsoniana 'Golden Wonder'", "_Chamaecyparis lawsoniana_ ‘Golden Wonder’"),
    ("Berberis thunbergii 'Crimson Pygmy'", "_Berberis thunbergii_ ‘Crimson Pygmy’"),
    ("Magnolia 'Elizabeth'", "_Magnolia_ ‘Elizabeth’"),
    ("Rosa ICEBERG 'Korbin'", "_Rosa_ ^ICEBERG^ ‘Korbin’"),
    ("Rhododendron boothii Mishmiense Group", "_Rhododendron boothii_ Mishmiense Group"),
    (
        "Brassica oleracea (Capitata Group) 'Brunswick'",
        "_Brassica oleracea_ (Capitata Group) ‘Brunswick’",
    ),
    ("Abelia x grandiflora", "_Abelia_ × _grandiflora_"),
    ("Magnolia ×soulangeana 'Lennei'", "_Magnolia_ × _soulangeana_ ‘Lennei’"),
    ("×Sorbaronia", "× _Sorbaronia_"),
    ("×Cuprocyparis leylandii 'Castlewellan'", "× _Cuprocyparis leylandii_ ‘Castlewellan’"),
    ("Kunzea linearis x K. robusta", "_Kunzea linearis_ × _K. robusta_"),
    ("Salix aurita ♀ × S. caprea ♂", "_Salix aurita_ ♀ × _S. caprea_ ♂"),
    ("Pinus mugo subsp. mugo", "_Pinus mugo_ subsp. _mugo_"),
    ("+Laburnocytisus 'Adamii'", "+ _Laburnocytisus_ ‘Adamii’"),
    ("Salix sp. (acc. 2026-014)", "_Salix_ sp. (acc. 2026-014)"),
    ("Ficus carica seedling FC-12", "_Ficus carica_ seedling FC-12"),
    ("Pinus densiflora 'Akebono'", "_Pinus densiflora_ ‘Akebono’"),
    ("Camellia japonica 'R.L. Wheeler'", "_Camellia japonica_ ‘R.L. Wheeler’"),
    ("Malus domestica 'Mère de Ménage'", "_Malus domestica_ ‘Mère de Ménage’"),
]


@pytest.mark.parametrize(("typed", "expected"), CORRECT)
def test_the_name_is_set_as_the_codes_ask(typed: str, expected: str) -> None:
    marks = {"italic": "_", "upright": "", "small-caps": "^"}
    spans = parse(typed).spans()
    assert "".join(f"{marks[s.style]}{s.text}{marks[s.style]}" for s in spans) == expected
    assert remarks(typed) == ()


# Wrong forms that can be understood: set right, with a word of advice.
MENDED = [
    ('Cryptomeria japonica "Elegans"', "Cryptomeria japonica ‘Elegans’"),
    ("Berberis thunbergii cv. 'Crimson Pygmy'", "Berberis thunbergii ‘Crimson Pygmy’"),
    ('Magnolia "Elizabeth"', "Magnolia ‘Elizabeth’"),
    ("Rhododendron boothii 'Mishmiense Group'", "Rhododendron boothii Mishmiense Group"),
    ("Rhododendron boothii mishmiense group", "Rhododendron boothii Mishmiense Group"),
    ("Abelia X Grandiflora", "Abelia × grandiflora"),
    ("Abelia x-grandiflora", "Abelia × grandiflora"),
    ("X Sorbaronia", "× Sorbaronia"),
    ("Kunzea linearis × robusta", "Kunzea linearis × K. robusta"),
    ("Pinus mugo ssp mugo", "Pinus mugo subsp. mugo"),
    ("Pinus mugo var pumilio", "Pinus mugo var. pumilio"),
    ("Salix 'Unknown'", "Salix (variety unknown)"),
    ("Pinus Densiflora 'Akebono'", "Pinus densiflora ‘Akebono’"),
]


@pytest.mark.parametrize(("wrong", "right"), MENDED)
def test_a_wrong_form_is_mended_with_advice(wrong: str, right: str) -> None:
    assert str(parse(wrong)) == right
    assert remarks(wrong)


# Wrong forms that stay as they are, for the writer may mean them: advice only.
@pytest.mark.parametrize(
    "doubtful", ["Chamaecyparis lawsoniana 'golden wonder'", "Ficus carica 'FC-12'"]
)
def test_a_doubtful_form_is_kept_with_advice(doubtful: str) -> None:
    assert parse(doubtful).cultivar == doubtful.split("'")[1]
    assert remarks(doubtful)


@pytest.mark.parametrize(
    "wrong",
    [
        "Chamaecyparis lawsoniana Golden Wonder",
        "Brassica oleracea 'Capitata Group Brunswick'",
        "Magnolia soulangeana x 'Lennei'",
        "Sorb×aronia",
    ],
)
def test_a_form_with_two_readings_is_refused(wrong: str) -> None:
    with pytest.raises(Refused):
        parse(wrong)


@pytest.mark.parametrize(("letters", "is_long"), [(30, False), (31, True)])
def test_a_cultivar_has_thirty_characters_not_counting_spaces(letters: int, is_long: bool) -> None:
    """ICNCP on epithets named from 1996 on: spaces and the quotes are not counted."""
    epithet = "Two W" + "o" * (letters - 8) + " More"
    assert len(epithet) - epithet.count(" ") == letters
    assert bool(remarks(f"Malus '{epithet}'")) is is_long
