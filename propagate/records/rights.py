"""What to say of plants that are for sale or protected; whoever has the say is named, not replaced.

Only an authorised grower may issue what plant health asks to travel with a plant, so nothing
here makes or imitates it.
"""

from collections.abc import Iterable
from typing import Final

from propagate.names import PlantName

PROTECTED: Final = (
    "marked as protected: multiplying it for sale and selling it need leave of the holder of the"
    " breeder's right, in some countries any multiplying does; ask the holder or your plant"
    " variety office"
)
"""UPOV 1991, articles 14 and 15; 35 U.S.C. 161 to 164 for plant patents."""

FOR_SALE: Final = (
    "who sells plants, or sends them on, may need to be registered, a licence or a passport for"
    " them; ask your plant-health authority, whose rules go before anything printed here"
)
"""Regulation (EU) 2016/2031, articles 65 and 79 to 89, and the like elsewhere."""


def is_protected(name: PlantName, marked: Iterable[PlantName]) -> bool:
    """Whether a plant is one of those marked; a species that is marked means all its varieties."""
    return any(_covers(mark, name) for mark in marked)


def _covers(mark: PlantName, name: PlantName) -> bool:
    if mark.is_cultivar:
        same = (mark.cultivar, mark.trade) == (name.cultivar, name.trade)
        return same and mark.species_name == name.species_name
    return mark.species_name == name.species_name


def sentence(said: str) -> str:
    """One of these as a sentence of its own."""
    return f"{said[:1].upper()}{said[1:]}."


def rights_said(*, protected: bool, for_sale: int) -> tuple[tuple[str, str], ...]:
    """What `show` adds of a batch: a word that leads in, and the sentence."""
    said = []
    if for_sale:
        said.append(("for sale", f"{for_sale}; {FOR_SALE}"))
    if protected:
        said.append(("rights", PROTECTED))
    return tuple(said)
