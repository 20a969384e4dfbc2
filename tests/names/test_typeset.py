"""How a name is set: what is italic, what upright, what in small capitals."""

import pytest

from propagate.names import Span, parse


def marked(text: str) -> str:
    """The spans of a name with _italic_ and ^small capitals^ marked."""
    marks = {"italic": "_", "upright": "", "small-caps": "^"}
    return "".join(f"{marks[s.style]}{s.text}{marks[s.style]}" for s in parse(text).spans())


def test_latin_is_italic_and_the_cultivar_upright() -> None:
    assert parse("Ribes nigrum 'Ben Name'").spans() == (
        Span("Ribes nigrum", "italic"),
        Span(" ‘Ben Name’", "upright"),
    )


@pytest.mark.parametrize(
    ("typed", "expected"),
    [
        ("Salix", "_Salix_"),
        ("x Sorbaronia fallax", "× _Sorbaronia fallax_"),
        ("Rheum x hybridum", "_Rheum_ × _hybridum_"),
        ("Salix cf. caprea", "_Salix_ cf. _caprea_"),
        ("Pinus mugo var. pumilio 'Name'", "_Pinus mugo_ var. _pumilio_ ‘Name’"),
        ("Rosa ICEBERG 'Korbin'", "_Rosa_ ^ICEBERG^ ‘Korbin’"),
        ("Rosa PINK", "_Rosa_ ^PINK^"),
        ("Ficus carica ?", "_Ficus carica_ (variety unknown)"),
        ("Salix caprea ♀ (acc. 3)", "_Salix caprea_ (acc. 3) ♀"),
        ("Malus 'One' x M. 'Two'", "_Malus_ ‘One’ × _M._ ‘Two’"),
        (
            "Laburnum anagyroides + Cytisus purpureus",
            "_Laburnum anagyroides_ + _Cytisus purpureus_",
        ),
    ],
)
def test_each_part_has_its_style(typed: str, expected: str) -> None:
    assert marked(typed) == expected


def test_a_space_between_two_faces_belongs_to_neither() -> None:
    faces = parse("Rosa ICEBERG 'Korbin'").spans()
    assert [span.text for span in faces] == ["Rosa", " ", "ICEBERG", " ‘Korbin’"]


def test_the_texts_of_the_spans_are_the_name() -> None:
    name = parse("Brassica oleracea var. capitata (Capitata Group) NAME 'Brunswick' (acc. 3)")
    assert "".join(span.text for span in name.spans()) == str(name)
