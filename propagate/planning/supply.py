"""The plants that beds can draw on: what one species will have free by a day, as one pool.

A variety's plants go first to the beds that ask for it by name, for any other plant of the
kind will do for the rest; what they leave, and all other plants of the kind, is there for the
beds that take any. Beds of one rank are served in the order of their days, and each keeps what
it needs before the next may take, even where its plants come late.

What batches have in common (a grower's luck with a plant by a method) is kept: each method's
plants are counted given it, summed given it, and mixed at the end.
"""

import datetime as dt
from collections.abc import Callable, Collection, Iterable, Sequence
from functools import cached_property
from itertools import product

import numpy as np
from attrs import field, frozen

from propagate.ledger import GROWN, Kind
from propagate.names import PlantName
from propagate.planning.case import Case
from propagate.planning.groups import Group
from propagate.planning.wants import serves
from propagate.records.beds import Want
from propagate.records.nursery import Nursery
from propagate.science import counts
from propagate.science.pools import left_over, served
from propagate.science.take import beta_from_range
from propagate.science.timing import Array

MOST_NODES = 4_000
"""With more combinations of what the methods' batches share, small groups are mixed first."""

Chosen = Callable[[Case], bool]


def _served_by(want: Want) -> Chosen:
    return lambda case: serves(case.state.name, want.plant)


def _called(name: PlantName) -> Chosen:
    return lambda case: case.state.name == name


def _none_of(names: Collection[PlantName]) -> Chosen:
    return lambda case: case.state.name not in names


@frozen(eq=False)
class Pool:
    """Free plants given what is shared: weights (nodes,) and distributions (nodes, n + 1).

    `node` is, for each row, the node of the group in focus, 0 where none is.
    """

    weight: Array
    given: Array
    node: Array

    def left_over(self, kept: int) -> "Pool":
        """The pool after `kept` plants were taken off, as far as there are any."""
        return Pool(self.weight, left_over(self.given, kept), self.node)

    def mixed(self) -> Array:
        """The distribution when nothing of what is shared is known."""
        return counts.mixed(self.weight, self.given)


@frozen(eq=False)
class Supply:
    """All batches of one species, a group for each method, and the wants that draw on them.

    `wants` stand in the order in which they are served.
    """

    groups: Sequence[Group]
    wants: Sequence[Want]
    nursery: Nursery
    today: dt.date
    _made: dict[tuple[object, ...], Array] = field(factory=dict, repr=False)

    def get(self, want: Want) -> Array:
        """How many plants a want will get by its day: the distribution over 0..open."""
        pool = self.pool_for(want)
        return served(pool.mixed(), self.kept_before(want), want.open)

    def short_given(self, wants: Sequence[Want], focus: Group | None) -> Array:
        """P(m plants short of several wants served together | what a group's batches share).

        Shape (nodes of the group, open + 1); without a group one node.
        """
        first, wanted = wants[0], sum(want.open for want in wants)
        pool = self.pool_for(first, focus)
        got = served(pool.given, self.kept_before(first), wanted)
        nodes = len(focus.posterior.shared_weight) if focus else 1
        out = np.zeros((nodes, wanted + 1))
        np.add.at(out, pool.node.astype(np.int_), pool.weight[:, None] * got[:, ::-1])
        return np.asarray(out / out.sum(axis=1, keepdims=True), dtype=np.float64)

    def pool_for(self, want: Want, focus: Group | None = None) -> Pool:
        """What a want may draw on by its day, before the wants of the same kind ahead of it."""
        by = max(want.by, self.today)
        if want.plant in self._by_name:
            return self._pool(by, [_served_by(want)], [0], focus)
        return self._any_pool(by, focus)

    def kept_before(self, want: Want) -> int:
        """Plants kept for the wants ahead that draw on the same pool."""
        ahead = self.wants[: self.wants.index(want)]
        named = want.plant in self._by_name
        return sum(
            other.open
            for other in ahead
            if (other.plant == want.plant if named else other.plant not in self._by_name)
        )

    def spare(self) -> Iterable[tuple[Case, Array]]:
        """What is left for ever when all wants have theirs: a case of each kind, and the count.

        Where a bed takes any plant of the kind, they are one kind.
        """
        takes_any = sum(want.open for want in self.wants if want.plant not in self._by_name)
        cases = [case for group in self.groups for case in group.cases]
        if not cases:
            return
        if takes_any:
            yield cases[0], self._any_pool(None).left_over(takes_any).mixed()
            return
        for name in dict.fromkeys(case.state.name for case in cases):
            one = next(case for case in cases if case.state.name == name)
            kept = self._by_name.get(name, 0)
            pool = self._pool(None, [_called(name)], [kept])
            yield one, pool.mixed()

    @cached_property
    def _by_name(self) -> dict[PlantName, int]:
        """Plants kept for each kind that is asked for by name, where others are not as good.

        A species that has no other name in the book or the wants is not asked for by name.
        """
        kept: dict[PlantName, int] = {}
        for want in self.wants:
            if want.plant.is_cultivar:
                kept[want.plant] = kept.get(want.plant, 0) + want.open
        return kept

    def _any_pool(self, by: dt.date | None, focus: Group | None = None) -> Pool:
        """All plants of the species, less what is kept for the varieties asked for by name."""
        named = self._by_name
        kinds = [*(_called(name) for name in named), _none_of(named)]
        return self._pool(by, kinds, [*named.values(), 0], focus)

    def _pool(
        self,
        by: dt.date | None,
        kinds: Sequence[Chosen],
        kept: Sequence[int],
        focus: Group | None = None,
    ) -> Pool:
        """The sum over kinds of what each has beyond what is kept of it."""
        linked = self.groups if len(kinds) > 1 else ()
        index, weight, node = self._nodes(
            [g for g in self.groups if g in linked or g is focus], focus
        )
        parts = []
        for chosen, taken in zip(kinds, kept, strict=True):
            of_groups = []
            for at, group in enumerate(self.groups):
                which = tuple(n for n, case in enumerate(group.cases) if chosen(case))
                if which:
                    given = self._free(at, which, by)
                    rows = index.get(id(group))
                    mixed = counts.mixed(group.posterior.shared_weight, given)[None]
                    of_groups.append(mixed if rows is None else given[rows])
            if of_groups:
                parts.append(left_over(counts.total(_alike(of_groups, len(weight))), taken))
        given = counts.total(_alike(parts, len(weight))) if parts else np.ones((len(weight), 1))
        return Pool(weight, np.atleast_2d(given), node)

    def _nodes(
        self, kept: Sequence[Group], focus: Group | None
    ) -> tuple[dict[int, Array], Array, Array]:
        """All combinations of the nodes of some groups: rows of each, weight, that of the focus."""
        chosen = sorted(kept, key=lambda g: (g is not focus, -sum(c.state.living for c in g.cases)))
        sizes = np.cumprod([len(group.posterior.shared_weight) for group in chosen])
        chosen = [
            g for g, size in zip(chosen, sizes, strict=True) if size <= MOST_NODES or g is focus
        ]
        if not chosen:
            return {}, np.ones(1), np.zeros(1)
        grid = np.array(list(product(*(range(len(g.posterior.shared_weight)) for g in chosen))))
        rows = {id(group): grid[:, at] for at, group in enumerate(chosen)}
        weights = [g.posterior.shared_weight[rows[id(g)]] for g in chosen]
        weight = np.prod(weights, axis=0)
        node = rows[id(focus)] if focus is not None else np.zeros(len(weight))
        return rows, weight / weight.sum(), node

    def likely(self, at: int, position: int, by: dt.date) -> int:
        """The likely number of free plants of one batch of a group by a day."""
        given = self._free(at, (position,), by)
        return counts.quantile(counts.mixed(self.groups[at].posterior.shared_weight, given), 0.5)

    def _free(self, at: int, which: tuple[int, ...], by: dt.date | None) -> Array:
        key = (at, which, by)
        if key not in self._made:
            group = self.groups[at]
            self._made[key] = free_given_shared(group, which, by, self.nursery, self.today)
        return self._made[key]


def _alike(parts: Sequence[Array], nodes: int) -> list[Array]:
    """Arrays with as many rows each."""
    return [np.broadcast_to(part, (nodes, part.shape[-1])) for part in parts]


def free_given_shared(
    group: Group, which: Sequence[int], by: dt.date | None, nursery: Nursery, today: dt.date
) -> Array:
    """Plants free for beds of several batches together by a day, (nodes, n + 1).

    Free are those that can go out and establish, less what is promised, planted or given.
    """
    cases = [group.cases[at] for at in which]
    states = [case.state for case in cases]
    ready = sum(state.total(Kind.READY) for state in states)
    promised = sum(state.promised.total() for state in states)
    pmf = establishing(cases[0], _through(group, which, by, nursery, today))
    pmf = left_over(pmf, promised - ready)
    sure = max(0, ready - promised)
    return counts.shifted(pmf, sure, sure + pmf.shape[-1])


def _through(
    group: Group, which: Sequence[int], by: dt.date | None, nursery: Nursery, today: dt.date
) -> Array:
    """Plants beyond those found ready that can go out by a day (None: ever), if they establish."""
    if by is not None:
        return counts.total([group.ready_by(at, by, nursery, today) for at in which])
    states = [group.cases[at].state for at in which]
    growing = sum(state.total(*GROWN) - state.total(Kind.READY) for state in states)
    future = counts.total([group.more_by(at, None) for at in which])
    return counts.shifted(future, growing, growing + future.shape[-1])


def establishing(case: Case, pmf: Array) -> Array:
    """Rooted plants thinned to those that establish in their pots."""
    stage = case.record.establishing
    if stage is None or stage.take is None:
        return pmf
    a, b = beta_from_range(stage.take.low, stage.take.high)
    return counts.thinned(pmf, a / (a + b), a + b)
