"""A plant name as text with styles: what is italic, what upright, what in small capitals.

House style: one space after a hybrid sign, before genus and species alike (× Sorbaronia, Rheum
× hybridum). The ICN leaves the space free, and a reader far from the stick sees the sign better.
"""

from typing import TYPE_CHECKING, Literal

from attrs import frozen

if TYPE_CHECKING:
    from propagate.names.name import PlantName

Style = Literal["italic", "upright", "small-caps"]
UNKNOWN_VARIETY = "(variety unknown)"


@frozen
class Span:
    """A stretch of a name set in one style."""

    text: str
    style: Style


def spans(name: "PlantName") -> tuple[Span, ...]:
    """`name` in styled stretches; their texts joined are the name as plain text.

    Latin words are italic; signs, rank words, Group and cultivar upright (ICNCP 9th ed. 2016);
    the trade designation is in small capitals, so that nobody takes it for the cultivar.
    """
    return _joined(_formula(name) if name.parents else _pieces(name, name.genus))


def _formula(name: "PlantName") -> list[Span]:
    pieces: list[Span] = []
    for place, parent in enumerate(name.parents):
        if place:
            pieces.append(Span(name.formula_sign, "upright"))
        pieces += _pieces(parent, _short_genus(name.parents, place))
    return pieces


def _short_genus(parents: tuple["PlantName", ...], place: int) -> str:
    """The initial of a genus that stands in full before it (ICN Art. H.2), else the genus."""
    genus = parents[place].genus
    for earlier in parents[:place]:
        if earlier.genus[0] == genus[0]:
            return f"{genus[0]}." if earlier.genus == genus else genus
    return genus


def _pieces(name: "PlantName", genus: str) -> list[Span]:
    group = f"({name.group})" if name.group and name.cultivar else name.group
    pieces = [
        Span(name.genus_sign, "upright"),
        Span(genus, "italic"),
        Span(name.qualifier, "upright"),
        Span(name.species_sign, "upright"),
        Span(name.species, "italic"),
        Span(name.rank, "upright"),
        Span(name.infra, "italic"),
        Span(group, "upright"),
        Span(name.trade, "small-caps"),
        Span(f"‘{name.cultivar}’" if name.cultivar else "", "upright"),
        Span(UNKNOWN_VARIETY if name.variety_unknown else "", "upright"),
        Span(name.tag, "upright"),
        Span(name.sex, "upright"),
    ]
    return [piece for piece in pieces if piece.text]


def _joined(pieces: list[Span]) -> tuple[Span, ...]:
    """Put a space between pieces, and equal neighbours together; a space alone is upright."""
    joined = pieces[:1]
    for piece in pieces[1:]:
        last = joined[-1]
        if last.style == piece.style:
            joined[-1] = Span(f"{last.text} {piece.text}", piece.style)
        elif last.style == "upright":
            joined[-1] = Span(f"{last.text} ", "upright")
            joined.append(piece)
        elif piece.style == "upright":
            joined.append(Span(f" {piece.text}", "upright"))
        else:
            joined += [Span(" ", "upright"), piece]
    return tuple(joined)
