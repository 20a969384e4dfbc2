"""What is short once everything that was started has come: the gaps that a plan closes."""

from collections.abc import Iterable, Sequence

import numpy as np

from propagate.planning.groups import Group
from propagate.planning.supply import Supply
from propagate.records.beds import Want
from propagate.records.plans import Gap
from propagate.science import counts
from propagate.science.timing import Array


def gaps_of(supplies: Iterable[Supply]) -> list[tuple[Gap, Supply]]:
    """Wants that are not certain enough, those of one plant, day and certainty together."""
    found: list[tuple[Gap, Supply]] = []
    for supply in supplies:
        together: dict[object, list[Want]] = {}
        for want in supply.wants:
            if want.open and counts.at_least(supply.get(want), want.open) < want.chance:
                key = (want.plant, want.by, want.chance, want.priority)
                together.setdefault(key, []).append(want)
        for wants in together.values():
            short = supply.short_given(wants, None)[0]
            found.append((Gap(tuple(wants), counts.quantile(short, wants[0].chance)), supply))
    return found


def short_of(gap: Gap, supply: Supply, group: Group | None) -> Array:
    """P(m plants of a gap are short | what a group shares), (nodes, open + 1)."""
    if not supply.groups:
        short = np.zeros((1, gap.open + 1))
        short[0, -1] = 1.0
        return short
    return supply.short_given(gap.wants, group)


def filled_without(wants: Sequence[Want], gaps: Sequence[Gap]) -> int:
    """How many wants need no start."""
    return len(wants) - sum(len(gap.wants) for gap in gaps)
