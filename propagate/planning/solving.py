"""What to start, as a mixed-integer programme, solved by HiGHS.

Columns are starts: one gap by one method in one week. Column c fills its gap alone when n_c
are started. Unknowns: x_c, how many are started (whole); y_c, whether the batch is made at all
(0 or 1); d_g, plants of gap g that are given up; z_s, how much larger a resource is (only
where the smallest relaxation is sought).

    least   sum c_c x_c + sum f_c y_c + sum P_g d_g + sum Q_s z_s
    so that sum_c in g (k_g / n_c) x_c + d_g >= k_g              for every gap g
            least_c y_c <= x_c <= n_c y_c                        for every column
            sum_c in g y_c <= 3                                  for every gap
            sum_c a_rc x_c - z_s <= b_r                          for every limit r of a resource s

Limits are the bench of a place in a week, mothers, and hours of a week.

A gap met by one start is met exactly, for x_c = n_c then. Of a gap split over several starts
the shares add up to one; whether that is as certain as asked is looked at afterwards.

Where there are many columns, the linear relaxation is solved first, and the programme over the
columns that it uses and their neighbours in time; the gap to the relaxation's bound is told.
"""

import time
from collections.abc import Callable
from typing import TYPE_CHECKING, Any, Final

import numpy as np
from attrs import evolve, frozen

from propagate.science.timing import Array

if TYPE_CHECKING:
    from scipy.sparse import csr_array

SPLITS: Final = 3
"""A gap is filled by no more starts than this."""

SMALLEST_PART: Final = 0.2
"""A start takes at least this share of what it would need alone; smaller ones are a nuisance."""

GIVEN_UP: Final = 1e4
"""Minutes that a plant given up counts for, above any work; divided by the gap's priority."""

ENLARGED: Final = 1e3
"""What a unit more of a resource counts for (a m2, a mother, an hour a week) where the smallest
relaxation is sought."""

ALL_AT_ONCE: Final = 250
"""So many columns are solved all together."""

NEIGHBOURS: Final = 2
CLOSE_ENOUGH: Final = 1e-3
SECONDS: Final = 10.0

Tell = Callable[[str], None]


@frozen(eq=False)
class Columns:
    """All starts that might be made: arrays over columns, sorted by gap, method and week."""

    gap: Array
    method: Array
    week: Array
    count: Array
    each: Array
    batch: Array

    def __len__(self) -> int:
        return len(self.gap)

    def only(self, kept: Array) -> "Columns":
        """Some of the columns."""
        return Columns(*(getattr(self, name)[kept] for name in _FIELDS))


_FIELDS = ("gap", "method", "week", "count", "each", "batch")


@frozen(eq=False)
class Task:
    """A whole programme: columns, plants wanted and their worth by gap, and the limits.

    `use` (limits, columns) is what one propagule takes of each limit, `limit` what there is.
    `resource` numbers what the limits belong to; with `stretch` each resource may be larger.
    Without `give_up` only the plants of gaps that no start can fill are given up.
    """

    columns: Columns
    wanted: Array
    worth: Array
    use: "csr_array"
    limit: Array
    resource: Array
    stretch: bool = False
    give_up: bool = True

    def only(self, kept: Array) -> "Task":
        """The same over some of the columns."""
        return evolve(self, columns=self.columns.only(kept), use=self.use[:, kept])


@frozen(eq=False)
class Solution:
    """How many to start of each column, plants given up of each gap.

    `bound` is a cost below which no plan can be; `cost` that of this one.
    """

    started: Array
    given_up: Array
    cost: float
    bound: float

    @property
    def above_bound(self) -> float:
        """How much dearer than the bound, as a share of it."""
        return max(0.0, self.cost - self.bound) / max(abs(self.bound), 1.0)


def solve(task: Task, *, seconds: float = SECONDS, tell: Tell = lambda _: None) -> Solution:
    """The cheapest plan, or one near it when time runs out; how near is told by its bound."""
    if not len(task.columns):
        lost = float(task.worth @ task.wanted)
        return Solution(np.zeros(0), task.wanted * 1.0, lost, lost)
    if len(task.columns) <= ALL_AT_ONCE:
        return _whole(task, seconds, None)
    tell(f"{len(task.columns)} possible starts; solving the relaxation")
    began = time.monotonic()
    x, bound = _relaxed(task)
    kept = _near(task.columns, x)
    tell(f"solving over {kept.sum()} of them")
    left = max(1.0, seconds - (time.monotonic() - began))
    found = _whole(task.only(kept), left, bound)
    started = np.zeros(len(task.columns))
    started[kept] = found.started
    return evolve(found, started=started)


def _near(columns: Columns, x: Array) -> Array:
    """Columns that the relaxation uses, and their neighbours of the same gap and method."""
    kept = np.zeros(len(columns), dtype=bool)
    for at in np.flatnonzero(x > 1e-6):
        low, high = max(0, at - NEIGHBOURS), at + NEIGHBOURS + 1
        same = (columns.gap[low:high] == columns.gap[at]) & (
            columns.method[low:high] == columns.method[at]
        )
        kept[low:high] |= same
    _keep_cheapest(columns, kept)
    return kept


def _keep_cheapest(columns: Columns, kept: Array) -> None:
    """Also the cheapest start of every gap, so that none is left without."""
    cost = columns.each * columns.count + columns.batch
    order = np.lexsort((cost, columns.gap))
    first = np.ones(len(order), dtype=bool)
    first[1:] = columns.gap[order][1:] != columns.gap[order][:-1]
    kept[order[first]] = True


def _relaxed(task: Task) -> tuple[Array, float]:
    """The linear relaxation: how many of each column, and the bound it gives."""
    from scipy.optimize import linprog
    from scipy.sparse import csr_array, hstack, identity

    columns, gaps = task.columns, len(task.wanted)
    # With y = x / n the batch's own cost is shared out over its propagules.
    each = columns.each + columns.batch / columns.count
    cost = np.concatenate([each, task.worth, _enlarging(task)])
    fill = hstack([_filling(task), identity(gaps), csr_array((gaps, _stretches(task)))])
    use = hstack([task.use, csr_array((len(task.limit), gaps)), _stretching(task)])
    rows = _stacked([-fill, use])
    most = np.concatenate([-task.wanted, task.limit])
    ends = [*((0.0, float(n)) for n in columns.count), *_given_up_ends(task)]
    ends += [(0.0, np.inf)] * _stretches(task)
    found = linprog(cost, A_ub=rows, b_ub=most, bounds=ends, method="highs")
    if found.x is None:
        return np.asarray(columns.count * 1.0), -np.inf
    return np.asarray(found.x[: len(columns)]), float(found.fun)


def _whole(task: Task, seconds: float, bound: float | None) -> Solution:
    """The mixed-integer programme over all columns of a task."""
    from scipy.optimize import Bounds, LinearConstraint, milp
    from scipy.sparse import csr_array, diags_array, hstack, identity

    columns, gaps, size = task.columns, len(task.wanted), len(task.columns)
    rest = gaps + _stretches(task)
    cost = np.concatenate([columns.each, columns.batch, task.worth, _enlarging(task)])
    none = csr_array((size, rest))
    no_batch, no_stretch = csr_array((gaps, size)), csr_array((gaps, _stretches(task)))
    fill = hstack([_filling(task), no_batch, identity(gaps), no_stretch])
    choose = hstack([csr_array((gaps, size)), _of_gap(task), csr_array((gaps, rest))])
    at_most = hstack([identity(size), -diags_array(columns.count * 1.0), none])
    at_least = hstack([identity(size), -diags_array(_least(columns)), none])
    limits = hstack([task.use, csr_array((len(task.limit), size + gaps)), _stretching(task)])
    ends = _given_up_ends(task)
    top = [columns.count * 1.0, np.ones(size), [end for _, end in ends]]
    found: Any = milp(
        cost,
        constraints=[
            LinearConstraint(fill.tocsr(), lb=task.wanted),
            LinearConstraint(choose.tocsr(), ub=np.full(gaps, SPLITS)),
            LinearConstraint(at_most.tocsr(), ub=np.zeros(size)),
            LinearConstraint(at_least.tocsr(), lb=np.zeros(size)),
            *([LinearConstraint(limits.tocsr(), ub=task.limit)] if len(task.limit) else []),
        ],
        bounds=Bounds(0, np.concatenate([*top, np.full(_stretches(task), np.inf)])),
        integrality=np.concatenate([np.ones(2 * size), np.zeros(rest)]),
        options={"time_limit": seconds, "mip_rel_gap": CLOSE_ENOUGH},
    )
    if found.x is None:  # no time for even one plan: give everything up
        lost = float(task.worth @ task.wanted)
        return Solution(np.zeros(size), task.wanted * 1.0, lost, bound or 0.0)
    x = np.rint(found.x[:size])
    given_up = found.x[2 * size : 2 * size + gaps]
    proven = found.mip_dual_bound if bound is None else bound
    return Solution(x, np.round(given_up, 6), float(found.fun), float(proven))


def _least(columns: Columns) -> Array:
    return np.asarray(np.ceil(columns.count * SMALLEST_PART), dtype=np.float64)


def _stacked(parts: list[Any]) -> Any:
    from scipy.sparse import vstack

    return vstack(parts).tocsr()


def _of_gap(task: Task) -> Any:
    from scipy.sparse import csr_array

    columns = task.columns
    size = len(columns)
    shape = (len(task.wanted), size)
    return csr_array((np.ones(size), (columns.gap, np.arange(size))), shape=shape)


def _filling(task: Task) -> Any:
    """What one propagule of each column fills of its gap, in plants: (gaps, columns)."""
    from scipy.sparse import csr_array

    columns = task.columns
    size = len(columns)
    share = task.wanted[columns.gap] / columns.count
    shape = (len(task.wanted), size)
    return csr_array((share, (columns.gap, np.arange(size))), shape=shape)


def _stretches(task: Task) -> int:
    return int(task.resource.max()) + 1 if task.stretch and len(task.resource) else 0


def _stretching(task: Task) -> Any:
    """A resource that is made larger is larger in every week."""
    from scipy.sparse import csr_array

    rows, resources = len(task.limit), _stretches(task)
    if not resources:
        return csr_array((rows, 0))
    more = (-np.ones(rows), (np.arange(rows), task.resource))
    return csr_array(more, shape=(rows, resources))


def _enlarging(task: Task) -> Array:
    return np.full(_stretches(task), ENLARGED)


def _given_up_ends(task: Task) -> list[tuple[float, float]]:
    """Plants may be given up, or only those of gaps that no start can fill."""
    able = np.zeros(len(task.wanted), dtype=bool)
    able[task.columns.gap] = True
    return [
        (0.0, float(wanted) if task.give_up or not can else 0.0)
        for wanted, can in zip(task.wanted, able, strict=True)
    ]
