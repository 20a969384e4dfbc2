"""Bench that plants take: in trays, rows and pots; what the grower did not measure is guessed.

A container is taken as the settings give it. What they leave out is read off its name
("9 cm pot", "1 litre pot"), and what the name does not say is usual in the trade.
"""

import math
import re
from typing import Final

from attrs import evolve

from propagate.nearness import folded
from propagate.records.methods import MethodRecord
from propagate.records.nursery import Container, Nursery
from propagate.units import CM2_PER_M2

USUAL_POT: Final = Container("9 cm pot", litres=0.5, size_cm=(9, 9))
"""Where nobody says into what plants are potted (common practice)."""

CELL_TRAY: Final = Container("cell tray", litres=0.03, cells=84, size_cm=(54, 28))
"""A tray of plugs or cells of the full size (common practice)."""

SEED_TRAY: Final = Container("seed tray", litres=0.1, cells=40, size_cm=(38, 24))
"""An open tray, some 4 cm deep, into which about forty are pricked out (common practice)."""

WIDTH_CM_OF_A_LITRE: Final = 12.6
"""Width of a round pot of one litre; of pots of one shape it grows with the cube root of what
they take. It follows from width x width x height / 1800 litres (see `science.quantities`), of
a pot nine tenths as high as wide (common practice)."""

_NUMBER = r"(\d+(?:[.,]\d+)?)\s*-?\s*"
_ACROSS = re.compile(_NUMBER + r"cm\b", re.IGNORECASE)
_TAKES = re.compile(_NUMBER + r"(?:l|litres?|liters?)\b", re.IGNORECASE)
_CELLS = re.compile(r"\b(?:plugs?|cells?|modules?|root ?trainers?)\b", re.IGNORECASE)
_TRAY = re.compile(r"\b(?:trays?|flats?|box(?:es)?)\b", re.IGNORECASE)


def container_called(nursery: Nursery, name: str) -> Container:
    """The container of this name with every measure filled in; the usual pot for no name."""
    known = {folded(pot.name): pot for pot in nursery.containers.values()}
    named = name if name.strip() else USUAL_POT.name
    given = known.get(folded(named), Container(named))
    model = _model(given)
    return Container(
        given.name, given.litres or model.litres, model.cells, given.size_cm or model.size_cm
    )


def footprint_m2(pot: Container) -> float:
    """Bench that the whole of a container covers [m2], every measure of which is filled in."""
    assert pot.size_cm is not None, pot
    return math.prod(pot.size_cm) / CM2_PER_M2


def potted_m2(nursery: Nursery, count: int, container: str = "") -> float:
    """Bench [m2] for so many plants in containers of a name; a tray begun is a whole tray."""
    pot = container_called(nursery, container)
    return math.ceil(count / pot.cells) * footprint_m2(pot)


def waiting_m2(nursery: Nursery, record: MethodRecord, count: int, container: str = "") -> float:
    """Bench or bed [m2] for so many propagules until they are potted on.

    They stand as far apart as their record says, or one to a pot or cell of a container that
    is named; what roots on its mother takes none.
    """
    if container.strip():
        return potted_m2(nursery, count, container)
    return count * record.stand.m2 if record.stand else 0.0


def _model(given: Container) -> Container:
    """What the trade would take a container to be, by its name and what was measured of it."""
    if given.cells > 1:
        return _with_cells(given)
    if folded(given.name) == folded(USUAL_POT.name):
        return USUAL_POT
    if _CELLS.search(given.name):
        return CELL_TRAY
    if _TRAY.search(given.name):
        return SEED_TRAY
    across, takes = _said(_ACROSS, given.name), given.litres or _said(_TAKES, given.name)
    if given.size_cm:
        across = math.sqrt(math.prod(given.size_cm))
    if not (across or takes):
        return USUAL_POT
    takes = takes or (across / WIDTH_CM_OF_A_LITRE) ** 3
    across = across or WIDTH_CM_OF_A_LITRE * takes ** (1 / 3)
    return Container(given.name, takes, 1, (across, across))


def _with_cells(given: Container) -> Container:
    """A tray with as many cells as it has, the usual compost shared out over its bench."""
    sized = evolve(given, size_cm=given.size_cm or CELL_TRAY.size_cm)
    whole_l = CELL_TRAY.cells * (CELL_TRAY.litres or 0) * footprint_m2(sized)
    return evolve(sized, litres=whole_l / footprint_m2(CELL_TRAY) / given.cells)


def _said(what: re.Pattern[str], name: str) -> float:
    """A measure in a name, 0 where it has none."""
    found = what.search(name)
    return float(found[1].replace(",", ".")) if found else 0.0
