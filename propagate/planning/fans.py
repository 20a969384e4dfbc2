"""What a fan shows: the past as the book knows it, then what will come, week by week.

forecast -> the batches' groups -> steps and checks of the past -> weeks to come -> the fan
"""

import datetime as dt
from collections.abc import Collection, Iterable, Sequence

from attrs import frozen

from propagate.days import written
from propagate.errors import Refused
from propagate.ledger import GROWN, IN_TRAY, BatchState, Kind, Look, net_into
from propagate.planning.case import RAISED, Case
from propagate.planning.groups import Group, Pmf
from propagate.planning.seasons import closing, into_gate, season_words
from propagate.records.answers import QUANTILES, BatchForecast, Forecast
from propagate.records.fans import Fan, FanDot, FanSeason, FanStep, FanWeek, FanWindow
from propagate.records.nursery import Nursery
from propagate.science import counts
from propagate.spans import span

FOUND = (*GROWN, Kind.PLANTED, Kind.GIVEN)
"""Where plants are that are known to have rooted, and live."""

NEARLY_ALL = 0.9
"""A fan ends when this share of the takers has rooted, late as it may be."""

ROOM = dt.timedelta(weeks=4)
"""A fan reaches at least so far beyond its day, and beyond the end of a finished batch."""

LONGEST = dt.timedelta(weeks=156)
"""And never further than this beyond its day, for nobody plans so far."""

WEEK = dt.timedelta(weeks=1)


@frozen
class Member:
    """One of the fan's batches: its group and place in it, its case, its answer."""

    group: Group
    at: int
    answer: BatchForecast

    @property
    def case(self) -> Case:
        """The batch with its method and record."""
        return self.group.cases[self.at]

    @property
    def state(self) -> BatchState:
        """The batch as its entries leave it."""
        return self.case.state


def make_fan(
    groups: Iterable[Group],
    forecast: Forecast,
    nursery: Nursery,
    *,
    first: dt.date | None = None,
    wanted: int | None = None,
) -> Fan:
    """The fan of a forecast for one batch, or for several batches of one plant.

    `groups` are those that the forecast was made from (or at least those of its batches).
    It begins on `first`, the day of the earliest start when that is None; `wanted` is a number
    of plants to mark. Raises Refused for a forecast of no batch or of several plants.
    """
    if len(forecast.totals) != 1:
        such = f", such as {forecast.batches[0].batch}" if forecast.batches else ""
        raise Refused(f"The drawing shows one batch or one plant; say which{such}.")
    members = _members(groups, forecast)
    states = [member.state for member in members]
    begin = min(state.on for state in states)
    if first is not None:
        begin = max(first, begin - LONGEST)
    end = max(_last_day(members, forecast), begin + WEEK)
    gate = _common_gate(members)
    return Fan(
        batch=states[0].code if len(states) == 1 else "",
        plant=forecast.totals[0].plant,
        title=_title(members),
        as_of=forecast.as_of,
        by=forecast.by,
        first=begin,
        last=end,
        count=sum(state.count for state in states),
        taken=members[0].case.method.taken,
        steps=tuple(_steps(states, begin)),
        weeks=tuple(_weeks(members, begin, end)),
        dots=tuple(dot for dot in _dots(states) if begin <= dot.date <= end),
        plants=forecast.totals[0].plants,
        windows=tuple(_windows(members)),
        seasons=tuple(_seasons(members, (begin, end), nursery)) if gate else (),
        season_words=season_words(members[0].case.record.taking.gate, nursery) if gate else "",
        wanted=wanted,
    )


def _members(groups: Iterable[Group], forecast: Forecast) -> list[Member]:
    """The batches in the order of the forecast."""
    where = {
        case.state.code: (group, at) for group in groups for at, case in enumerate(group.cases)
    }
    return [Member(*where[answer.batch], answer) for answer in forecast.batches]


def _title(members: Sequence[Member]) -> str:
    count = sum(member.state.count for member in members)
    starts = sorted({member.state.on for member in members})
    if len(members) > 1:
        days = span(written(starts[0]), written(starts[-1]))
        return f"{len(members)} batches, {count} started {days}"
    case = members[0].case
    what = case.method.propagule if count == 1 else case.method.propagules
    return f"{case.state.code}, {count} {what} started {written(starts[0])}"


def _last_day(members: Sequence[Member], forecast: Forecast) -> dt.date:
    """The last day that matters: asked for, or all windows past and nearly all that take rooted."""
    if forecast.by is not None:
        return forecast.by
    open_ended = [member for member in members if member.state.total(*IN_TRAY)]
    latest = max(move.on for member in members for move in member.state.moves)
    if not open_ended:
        return min(max(latest, forecast.as_of), latest + ROOM)
    days = [latest, forecast.as_of, *(member.answer.pot_on.late for member in open_ended)]
    days += [_nearly_all(member) for member in open_ended if member.state.total(Kind.WAITING)]
    end = max(days) + ROOM
    return min(end, max(forecast.as_of, latest) + LONGEST)


def _nearly_all(member: Member) -> dt.date:
    posterior = member.group.posterior.batch(member.at)
    days = min(posterior.pot_on_days(NEARLY_ALL)[1], LONGEST.days)
    return member.group.clocks[member.at].date(days)


def _steps(states: Sequence[BatchState], begin: dt.date) -> Iterable[FanStep]:
    """What was known on the first day, and on each later day on which that changed."""
    days = {move.on for state in states for move in state.moves if move.on > begin}
    last: FanStep | None = None
    for day in sorted({begin, *days}):
        step = FanStep(
            date=day,
            started=sum(_entered(state, day) for state in states),
            raised=sum(_held(state, FOUND, day) for state in states),
            potted=sum(_held(state, RAISED, day) for state in states),
        )
        if last is None or (step.started, step.raised, step.potted) != (
            last.started,
            last.raised,
            last.potted,
        ):
            yield step
        last = step


def _entered(state: BatchState, day: dt.date) -> int:
    return sum(move.count for move in state.moves if move.source is None and move.on <= day)


def _held(state: BatchState, kinds: Collection[Kind], day: dt.date) -> int:
    """Plants that stood in accounts of these kinds at the end of a day."""
    return net_into((move for move in state.moves if move.on <= day), kinds)


def _weeks(members: Sequence[Member], begin: dt.date, end: dt.date) -> Iterable[FanWeek]:
    """From the latest day that told anything, then by whole weeks from the first day."""
    told = [day for member in members for day in _told(member.state)]
    opens = min(max([begin, *told]), end)
    days = [opens]
    while (day := begin + ((days[-1] - begin) // WEEK + 1) * WEEK) < end:
        days.append(day)
    raised = sum(member.state.raised for member in members)
    return (_week(members, raised, day) for day in dict.fromkeys([*days, end]))


def _told(state: BatchState) -> Iterable[dt.date]:
    """The days on which something was seen of a batch, or its found ones became more or fewer."""
    yield from (look.on for look in state.looks if _counted(look))
    for move in state.moves:
        came_from = move.source is not None and move.source.kind in FOUND
        if came_from != (move.target.kind in FOUND):
            yield move.on


def _week(members: Sequence[Member], raised: int, day: dt.date) -> FanWeek:
    more = _more(members, day)
    return FanWeek(
        date=day,
        quantiles={
            share: raised + count
            for share, count in zip(QUANTILES, counts.quantiles(more, QUANTILES), strict=True)
        },
        mean=raised + counts.mean(more),
    )


def _more(members: Sequence[Member], day: dt.date) -> Pmf:
    """How many more will have rooted by a day; what batches of a group share is kept."""
    by_group: dict[int, list[Member]] = {}
    for member in members:
        by_group.setdefault(id(member.group), []).append(member)
    return counts.total(
        [
            of_group[0].group.total_by([member.at for member in of_group], day)
            for of_group in by_group.values()
        ]
    )


def _dots(states: Sequence[BatchState]) -> list[FanDot]:
    """Every check at which something was counted, in order of time."""
    dots = [_dot(look, state, states) for state in states for look in state.looks if _counted(look)]
    return sorted(dots, key=lambda dot: dot.date)


def _counted(look: Look) -> bool:
    """Whether a look found anything out: one may look into a tray and leave it at that."""
    return look.rooted is not None or look.dead > 0


def _dot(look: Look, state: BatchState, states: Sequence[BatchState]) -> FanDot:
    found = sum(_held(each, FOUND, look.on) for each in states)
    if look.sample is None or look.rooted is None:
        rooted = None if look.rooted is None else found
        return FanDot(look.on, rooted, look.dead, look.sample, found)
    day_before = look.on - dt.timedelta(days=1)
    tray = _held(state, IN_TRAY, max(day_before, state.on))
    more = max(0.0, look.rooted / look.sample * tray - look.known_rooted)
    return FanDot(look.on, look.rooted, look.dead, look.sample, found + more)


def _windows(members: Sequence[Member]) -> Iterable[FanWindow]:
    for member in members:
        if member.state.total(*IN_TRAY):
            words = member.case.method.pot_on_words
            yield FanWindow(member.state.code, words, member.answer.pot_on)


def _common_gate(members: Sequence[Member]) -> bool:
    """Whether all batches may be lifted in one and the same season, and some still wait for it."""
    gates = {member.case.record.taking.gate for member in members}
    return len(gates) == 1 and any(member.state.total(*IN_TRAY) for member in members)


def _seasons(
    members: Sequence[Member], span: tuple[dt.date, dt.date], nursery: Nursery
) -> Iterable[FanSeason]:
    """The seasons between two days in which the earliest of the batches may be lifted."""
    gate = members[0].case.record.taking.gate
    started = min(member.state.on for member in members)
    day, end = span
    while (opens := into_gate(day, started, gate, nursery, day)) <= end:
        closes = closing(opens, gate, nursery)
        if closes is None:
            return
        yield FanSeason(opens, min(closes, end))
        day = closes + dt.timedelta(days=1)
