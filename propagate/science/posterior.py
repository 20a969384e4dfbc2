"""What is known of one batch after its sightings, given what is shared and altogether."""

import math
from collections.abc import Sequence
from functools import cached_property

import numpy as np
from attrs import frozen
from numpy.typing import NDArray

from propagate.science.counts import in_bins, mixed, shifted, stretched, thinned_by, tidy
from propagate.science.dates import EARLY_LIKELY_LATE, weighted_quantiles
from propagate.science.grid import SharedNodes, in_play, log_beta_weights, log_odds_nodes
from propagate.science.likelihood import Seen
from propagate.science.partly import rooted_since, told_by
from propagate.science.prior import Prior
from propagate.science.rooting import Waiting, chosen, rooted_of_takers
from propagate.science.scaling import MOST_ONE_BY_ONE
from propagate.science.sightings import Cells
from propagate.science.takers import TakeLaws
from propagate.science.timing import TINY, Array, log_sigmoid, score

SURE: float = 1e-12
"""When all but such a share of the takers have rooted, all have."""

FARTHEST: float = 600.0  # largest logarithm of a number that is met by a vanishing one

LIGHT: float = 1e-9
"""Shared nodes of less weight are left out where only the batch's own take is asked for."""


@frozen(eq=False)
class OwnTakes:
    """The law of a batch's own take, given each shared node that is not LIGHT.

    On nodes fine enough for batches of up to `most`; the batches of a group have it in common.
    """

    shared: SharedNodes
    shared_weight: Array
    most: int

    @cached_property
    def heavy(self) -> NDArray[np.bool_]:
        """Which shared nodes are not LIGHT."""
        return np.asarray(self.shared_weight > LIGHT)

    @cached_property
    def log_odds(self) -> Array:
        """Nodes of log odds of a batch's take."""
        return log_odds_nodes(self.most + float(self.shared.precision.max()))

    @cached_property
    def log_laws(self) -> Array:
        """Log of the mass on these nodes, (heavy shared nodes, nodes)."""
        take, precision = self.shared.take[self.heavy], self.shared.precision[self.heavy]
        return log_beta_weights(self.log_odds, take, precision)


@frozen(eq=False)
class BatchPosterior:
    """One batch of a group: what was seen of it, and the group's weights of what is shared.

    `laws` are those of the number of takers on the nodes of `shared`; `shared_weight`, flat
    over these nodes, is their posterior from the whole group. `own_takes` is the law of a take
    before it was looked at.
    """

    seen: Seen
    shared: SharedNodes
    laws: TakeLaws
    shared_weight: Array
    own_takes: OwnTakes

    @property
    def count(self) -> int:
        """Propagules that the batch started with."""
        return self.seen.count

    @property
    def cells(self) -> Cells:
        """The batch as the likelihood has it, in units where the tray is very large."""
        return self.seen.cells

    @property
    def known(self) -> int:
        """Propagules known to have rooted."""
        return self.seen.exact.known_rooted + self.seen.exact.surely_rooted

    @property
    def waiting(self) -> int:
        """Propagules not known to have rooted, died or gone."""
        return self.seen.exact.unresolved - self.seen.exact.surely_rooted

    def rooted_by(self, day: float) -> Array:
        """P(k rooted in all by `day`, k = 0..count); days from the start.

        A day before the last sighting gives the counts of that sighting's day. Plants that
        have rooted and left the tray are counted; see `sightings` for removals.
        """
        return mixed(self.shared_weight, self.given_shared(day))

    def given_shared(self, day: float) -> Array:
        """`rooted_by` for each shared node, shape (nodes, count + 1)."""
        return shifted(self.more_given_shared(day), self.known, self.count + 1)

    def more_given_shared(self, day: float) -> Array:
        """P(k more rooted by `day`, k = 0..waiting), shape (nodes, waiting + 1)."""
        return self._more(max(self.seen.prior.age_days(day), self.cells.latest_days))

    def more_by_own_days(self, days: Array) -> Array:
        """The same where each plant has a last day of its own, one of `days`, equally likely.

        So is counted what roots in time for all that must follow. A day before the last
        sighting is one by which none that waited then has rooted. Where a tray was sampled or
        potted on from unchecked, those that root by the last of the days are thinned by the
        mean chance to be in time, for how many are in time then hangs on what was seen.
        """
        ages = np.array([self.seen.prior.age_days(day) for day in days])
        if not self.cells.clues:
            return self._more(*ages.tolist())
        latest = max(float(ages.max()), self.cells.latest_days)
        return thinned_by(self._more(latest), self._in_time(ages, latest))

    def _in_time(self, ages: Array, latest: float) -> float:
        """Mean chance that one that roots by the latest age does so by an age of its own."""
        everything = slice(0, len(self.seen.log_days))
        _, by_then, _ = self._law_at([latest], everything)
        _, by_own, _ = self._law_at(ages.tolist(), everything)
        return float(np.sum(self._shift_mass * np.exp(np.minimum(by_own - by_then, 0.0))))

    def _more(self, *ages: float) -> Array:
        """`more_given_shared` where each plant has one of these ages as its last."""
        nodes = len(self.shared_weight)
        if self.waiting == 0 or self.cells.unresolved == 0:
            return np.tile(shifted(np.ones(1), 0, self.waiting + 1), (nodes, 1))
        rooted = self._rooted(ages)
        if self.cells.removed_since:
            rooted = in_bins(rooted, -(-(rooted.shape[-1] - 1) // MOST_ONE_BY_ONE))
            kept = (rooted.shape[-1] - 1) * self.cells.unresolved // self.cells.open
            rooted = chosen(rooted, kept)
        more = rooted[..., self.cells.surely_rooted :]
        return stretched(tidy(more.reshape(nodes, -1)), self.waiting + 1)

    def _rooted(self, ages: Sequence[float]) -> Array:
        """P(k of those open have rooted by their age, one of several), (nodes, k)."""
        if self._all_by(min(ages)):
            return np.asarray(self._takers.sum(axis=1), dtype=np.float64)
        unit = -(-self.cells.open // MOST_ONE_BY_ONE)
        takers = in_bins(self._takers, unit)
        size = takers.shape[-1] - 1
        out = np.zeros((len(takers), size + 1))
        kept = self._shifts_in_play
        log_waiting, log_rooted, log_not = self._law_at(ages, kept)
        weights = self.seen.early.log_weights(self.seen.shift)[:, kept]
        told = self._told(ages[0])
        for early, log_weight in enumerate(weights):
            nodes = self.shared.early_at == early
            for part, log_shift in enumerate(self.seen.log_shift[:, kept]):
                waiting = Waiting(log_weight + log_shift, log_waiting * unit, log_rooted, log_not)
                table = rooted_of_takers(
                    waiting, size, told, self._deaths(part), self.cells.surely_rooted
                )
                out[nodes] += takers[nodes, part] @ table
        return out

    def _all_by(self, age: float) -> bool:
        """Whether all but a SURE share of the takers will have rooted, however late the batch."""
        prior, latest = self.seen.prior, float(self.seen.log_days[-1])
        at = np.log([self.cells.last.age_days, max(age, self.cells.last.age_days)])
        waiting, waiting_then = log_sigmoid((latest - at) / prior.log_days_scale)
        return bool(waiting_then - waiting < math.log(SURE))

    def _law_at(self, ages: Sequence[float], shifts: slice) -> tuple[Array, Array, Array]:
        """Logs of a taker's chances: to wait at the last look, then to root in time, or not.

        In time is by an age of its own, one of several that are equally likely.
        """
        last, scale = self.cells.last.age_days, self.seen.prior.log_days_scale
        log_days = self.seen.log_days[shifts]
        log_waiting: Array = log_sigmoid(-score(last, log_days, scale))
        at = np.maximum(np.asarray(ages, dtype=np.float64)[:, None], last)
        log_not = log_sigmoid(-score(at, log_days, scale)) - log_waiting
        rooted = rooted_since(last, at, log_days, scale, log_waiting)
        log_rooted = np.log(np.maximum(rooted, TINY))
        return log_waiting, _log_mean(log_rooted), _log_mean(log_not)

    def _told(self, age: float) -> Array | None:
        if not self.cells.clues:
            return None
        log_days = self.seen.log_days[self._shifts_in_play]
        return told_by(self.cells, age, log_days, self.seen.prior.log_days_scale)

    def _deaths(self, part: int) -> Array | None:
        partly = self.seen.partly
        if partly is None or partly.deaths is None:
            return None
        return np.asarray(partly.deaths[part][:, self._shifts_in_play], dtype=np.float64)

    @cached_property
    def _takers(self) -> Array:
        """P(part, j takers of those open | shared), (nodes, parts, j)."""
        seen, cells = self.seen, self.cells
        length = seen.log_summed.shape[-1]
        log_chance = self.laws.log_chance(
            cells.known_rooted, length + int(seen.offset.max()), cells.told_of
        )
        each = np.stack([log_chance[:, at : at + length] for at in seen.offset], axis=1)
        logs = each + seen.log_takers(self.shared.early_at, self.shared.usage_at)
        weights = np.exp(logs - logs.max(axis=(1, 2), keepdims=True))
        return np.asarray(weights / weights.sum(axis=(1, 2), keepdims=True), dtype=np.float64)

    def pot_on_days(self, share: float) -> tuple[float, float, float]:
        """Early, likely and late day on which `share` of the takers have rooted.

        These are the 10 %, 50 % and 90 % points of  delay + exp(mu + u + s logit(share))  over
        the posterior of the batch's shift u; days from the start.
        """
        return days_of(self.seen.prior, np.array(self._shift_quantiles), share)

    @cached_property
    def _shift_quantiles(self) -> tuple[float, ...]:
        """Early, likely and late shift of the batch, in ln(days)."""
        shift = weighted_quantiles(self.seen.shift, self._shift_mass, EARLY_LIKELY_LATE)
        return tuple((shift * self.seen.prior.log_days_between).tolist())

    @cached_property
    def _shifts_in_play(self) -> slice:
        return in_play(np.log(np.maximum(self._shift_mass, TINY)))

    @cached_property
    def _shift_mass(self) -> Array:
        """Posterior of the shift on its nodes: given j takers, and these weighed."""
        seen = self.seen
        weights = seen.early.log_weights(seen.shift)
        if seen.nothing:
            given = np.bincount(self.shared.early_at, self.shared_weight, len(weights))
            return np.asarray(given @ np.exp(weights), dtype=np.float64)
        log_waiting: Array = log_sigmoid(
            -score(self.cells.last.age_days, seen.log_days, seen.prior.log_days_scale)
        )
        waiting = np.arange(seen.log_summed.shape[-1])[:, None] * log_waiting
        summed = seen.log_summed
        takers = self._takers_by_early
        best_summed, best = summed.max(axis=0), weights.max(axis=0)
        out = np.zeros(len(seen.shift))
        for part, log_shift in enumerate(seen.log_shift):
            logs = waiting + log_shift if seen.partly is None else seen.partly.log_table[part]
            table = np.exp(np.minimum(logs + best - best_summed[part][:, None], 0.0))
            behind = np.exp(np.minimum(best_summed[part] - summed[:, part], FARTHEST))
            out += (np.exp(weights - best) * ((takers[:, part] * behind) @ table)).sum(axis=0)
        return out

    @property
    def _takers_by_early(self) -> Array:
        """P(early node, part, j takers of those open)."""
        nodes = len(self.shared_weight)
        spread = np.zeros((len(self.shared.early.at), nodes))
        spread[self.shared.early_at, np.arange(nodes)] = self.shared_weight
        takers = self._takers
        return (spread @ takers.reshape(nodes, -1)).reshape(-1, *takers.shape[1:])

    def take_interval(self, chance: float = 0.8) -> tuple[float, float, float]:
        """Low, median and high of the share that will ever root, `chance` between the ends."""
        known, size = self.cells.known_rooted, self.cells.told_of
        heavy, nodes, laws = self.own_takes.heavy, self.own_takes.log_odds, self.own_takes.log_laws
        if self.seen.nothing and not known:
            mass = self.shared_weight[heavy] @ np.exp(laws)
            return shares_of(nodes, np.asarray(mass, dtype=np.float64), chance)
        weighed = self.shared_weight[heavy, None, None] * self._takers[heavy]
        number = _by_number(weighed, self.seen.offset)
        log_chance = self.laws.log_chance(known, number.shape[-1], size)[heavy]
        told = np.log(np.maximum(number, TINY)) - log_chance
        return shares_of(nodes, _mixed_takes(nodes, laws, told, known, size), chance)


def _log_mean(logs: Array) -> Array:
    """Log of the mean of what the rows are logarithms of."""
    summed = np.logaddexp.reduce(logs, axis=0) if len(logs) > 1 else logs[0]
    return np.asarray(summed - math.log(len(logs)), dtype=np.float64)


def _by_number(weighed: Array, offset: NDArray[np.int_]) -> Array:
    """(.., parts, j) summed to one axis of takers beyond the known ones."""
    length = weighed.shape[-1]
    out = np.zeros((*weighed.shape[:-2], length + int(offset.max())))
    for part, at in enumerate(offset):
        out[..., at : at + length] += weighed[..., part, :]
    return out


def _mixed_takes(nodes: Array, laws: Array, told: Array, known: int, size: int) -> Array:
    """Mass on nodes of take: for each law, weights of a number of takers, each with a Beta law."""
    number = known + np.arange(told.shape[-1])
    rest = size - number
    log_take, log_fail = log_sigmoid(nodes), log_sigmoid(-nodes)
    powers = number[:, None] * log_take + rest[:, None] * log_fail
    top = told.max(axis=0)
    scaled = np.exp(told - top) @ np.exp(powers + top[:, None])
    return np.asarray((np.exp(laws) * scaled).sum(axis=0), dtype=np.float64)


def days_of(prior: Prior, shift: Array, share: float) -> tuple[float, float, float]:
    """Days from the start on which `share` of the takers have rooted, for three shifts."""
    log_odds = math.log(share / (1 - share))
    log_days = prior.log_days_mean + shift + prior.log_days_scale * log_odds
    early, likely, late = (prior.delay_days + np.exp(log_days)).tolist()
    return early, likely, late


def shares_of(log_odds: Array, mass: Array, chance: float) -> tuple[float, float, float]:
    """Low, median and high of a share known by its mass on nodes of log odds."""
    tail = (1 - chance) / 2
    odds = weighted_quantiles(log_odds, mass, (tail, 0.5, 1 - tail))
    low, likely, high = (1 / (1 + np.exp(-odds))).tolist()
    return low, likely, high
