"""What a line of a worksheet is about, and the order in which places follow each other."""

from collections.abc import Iterable

from propagate.planning.case import Case
from propagate.records.nursery import Nursery
from propagate.records.worksheets import Subject

Said = dict[str, tuple[str, tuple[str, ...]]]
"""By batch code: the usual English name of its plant, and short cautions."""


def subject_of(case: Case, said: Said) -> Subject:
    """The batch as a line names it."""
    common, cautions = said[case.state.code]
    return Subject(case.state.code, case.state.name, common, cautions)


def in_order(places: Iterable[str], nursery: Nursery) -> list[str]:
    """Places once each: as the settings list them, then the others by name, no place last."""
    known = {name: at for at, name in enumerate(nursery.places)}
    return sorted(set(places), key=lambda p: (not p, known.get(p, len(known)), p.casefold()))
