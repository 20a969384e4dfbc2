"""Sums of what several batches take up, week by week, with what they share kept.

A batch is in one of several phases, each with a chance that changes from week to week and a
law of what it then takes: bench in m2, or pots in number. Given what is shared the batches
are independent, so the characteristic functions of their laws are multiplied, mixed over what
is shared, and turned back: exact but for the size of a unit.
"""

from collections.abc import Sequence
from typing import Final

import numpy as np
from attrs import frozen

from propagate.science.counts import tidy
from propagate.science.timing import Array

UNITS: Final = 256
"""Steps into which the most that all together can take is cut."""

LIGHT: Final = 1e-4
"""Nodes of what is shared that weigh less than this together with all lighter ones are left
out; they move no figure by a step."""


@frozen(eq=False)
class Phase:
    """What a batch takes while it is in a phase.

    `chance`, (weeks,), is that of being in it; `mass`, (nodes, n) or (1, n), the law of an
    amount given what is shared, and `amounts`, (n,), what each of the n takes.
    """

    chance: Array
    mass: Array
    amounts: Array

    @property
    def most(self) -> float:
        """The most it can take, if it can be at all."""
        return float(self.amounts.max()) if self.chance.max() > 0 else 0.0

    def expected(self, weight: Array) -> Array:
        """Expected amount of each week, from the weights of what is shared."""
        given = np.broadcast_to(self.mass @ self.amounts, weight.shape)
        return np.asarray(self.chance * float(weight @ given))


@frozen(eq=False)
class Shared:
    """Batches that share something unknown: its weights (nodes,), and the phases of each."""

    weight: Array
    batches: Sequence[Sequence[Phase]]

    @property
    def most(self) -> float:
        """The most that all of them can take together."""
        return sum(max((phase.most for phase in phases), default=0.0) for phases in self.batches)


@frozen(eq=False)
class Totals:
    """The law of a sum in each week: `laws`, (weeks, steps), over multiples of `unit`."""

    laws: Array
    unit: float

    def mean(self) -> Array:
        """Expected amount of each week."""
        return np.asarray(self.laws @ np.arange(self.laws.shape[1]) * self.unit)

    def quantile(self, share: float) -> Array:
        """Smallest amount that is not passed with so much chance, of each week."""
        below = np.cumsum(self.laws, axis=1) >= share - 1e-9
        return np.asarray(below.argmax(axis=1) * self.unit, dtype=np.float64)

    def chance_above(self, amount: float) -> Array:
        """P(the sum is more than an amount), of each week."""
        steps = np.arange(self.laws.shape[1]) * self.unit
        return np.asarray(self.laws[:, steps > amount + self.unit / 2].sum(axis=1))


def totals(groups: Sequence[Shared], weeks: int, unit: float = 0.0) -> Totals:
    """The law of what all batches take together in each of so many weeks.

    Without a `unit` the most that is possible is cut into UNITS steps. An amount between two
    steps is shared out between them so that the mean stays exact.
    """
    most = sum(group.most for group in groups)
    if most <= 0:
        return Totals(np.ones((weeks, 1)), unit or 1.0)
    unit = unit or most / (UNITS - 1)
    steps = round(most / unit) + 1 + sum(len(group.batches) for group in groups)
    size = 1 << (steps - 1).bit_length()
    product = np.ones((weeks, size // 2 + 1), dtype=np.complex128)
    for group in groups:
        product *= _spectrum(group, weeks, size, unit)
    laws = np.fft.irfft(product, size, axis=1)
    return Totals(tidy(laws), unit)


def _spectrum(group: Shared, weeks: int, size: int, unit: float) -> Array:
    """Characteristic function of a group's sum, (weeks, frequencies).

    Weeks in which every chance is the same are worked out once.
    """
    chances = np.array([phase.chance for phases in group.batches for phase in phases])
    different, which = np.unique(chances.round(12), axis=1, return_inverse=True)
    heavy = _heavy(group)
    made = np.ones((different.shape[1], len(heavy), size // 2 + 1), dtype=np.complex128)
    rows = iter(different)
    for phases in group.batches:
        batch = np.ones((different.shape[1], 1, 1), dtype=np.complex128)
        for phase in phases:
            chance = next(rows)
            if not chance.any():  # it cannot be, and may be more than there are steps
                continue
            mass = phase.mass[heavy] if len(phase.mass) > 1 else phase.mass
            law = np.fft.rfft(_in_steps(mass, phase.amounts / unit, size), axis=1)
            batch = batch + chance[:, None, None] * (law - 1)
        made *= batch
    weight = group.weight[heavy] / group.weight[heavy].sum()
    mixed = np.einsum("n,wnf->wf", weight, made)
    return np.asarray(mixed[which.ravel()])


def _heavy(group: Shared) -> Array:
    """The nodes that count: one alone where nothing depends on what is shared."""
    if all(len(phase.mass) == 1 for phases in group.batches for phase in phases):
        return np.array([0])
    order = np.argsort(group.weight)
    light = np.cumsum(group.weight[order]) < LIGHT
    return np.sort(order[~light])


def _in_steps(mass: Array, places: Array, size: int) -> Array:
    """A law on any places as one on whole steps, (nodes, size); each mean stays."""
    below = np.floor(places + 1e-9).astype(int)
    part = np.clip(places - below, 0.0, 1.0)
    out = np.zeros((len(mass), size))
    for node, law in enumerate(mass):
        out[node] = np.bincount(below, law * (1 - part), size)
        out[node] += np.bincount(np.minimum(below + 1, size - 1), law * part, size)
    return out
