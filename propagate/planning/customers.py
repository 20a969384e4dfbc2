"""What a nursery has to give or sell, told without its inner workings."""

import datetime as dt
from collections.abc import Callable, Collection, Mapping, Sequence
from itertools import groupby

from attrs import evolve, frozen

from propagate.ledger import GROWN, Kind
from propagate.names import PlantName
from propagate.planning.benches import Said
from propagate.planning.case import Case
from propagate.planning.leaving import Lot, lots
from propagate.planning.wants import serves
from propagate.records.answers import Forecast, PlantCount, PlantTotal, PotOn
from propagate.records.nursery import Nursery
from propagate.records.worksheets import CustomerSheet, OnOffer

Windows = Sequence[tuple[Case, PotOn]]


def leaving_by(
    windows: Windows, nursery: Nursery, today: dt.date, until: dt.date
) -> dict[str, list[Lot]]:
    """By batch code, the lots that are fit to go by a day.

    Batches without any are left out, and those that are suspected of something.
    """
    found = {
        case.state.code: [lot for lot in lots(case, window, nursery, today) if lot.fit_on <= until]
        for case, window in windows
        if not case.state.doubts
    }
    return {code: leaving for code, leaving in found.items() if leaving}


def customer_sheet(
    cases: Sequence[Case],
    leaving: Mapping[str, Sequence[Lot]],
    forecast: Forecast,
    nursery: Nursery,
    said: Said,
    until: dt.date,
    containers: Mapping[str, str],
    spare: Mapping[PlantName, PlantCount],
    is_protected: Callable[[PlantName], bool] = lambda _: False,
) -> CustomerSheet:
    """Every plant of which something is free by `until`.

    `forecast` answers for the batches of `leaving` alone, so that its totals by plant hold
    no plants that come later than that; `containers` are the pots they went into, by code, and
    `spare` is what no bed of the nursery's own wants.
    """
    totals = {total.plant: total for total in forecast.totals}
    chosen = [case for case in cases if case.state.code in leaving]
    chosen.sort(key=lambda case: case.state.name)
    left = {plant: _Free(count.low, count.likely, count.high) for plant, count in spare.items()}
    plants = []
    for name, members in groupby(chosen, key=lambda case: case.state.name):
        own = list(members)
        key = _kept_under(name, left)
        free = _within(totals[name], left[key]) if key else _Free(0, 0, 0)
        offered = _on_offer(own, leaving, free, forecast.as_of)
        if key:
            left[key] = left[key].less(offered)
        if offered.now or offered.coming_high:
            plants.append(_dressed(offered, own, said, containers, is_protected(name)))
    return CustomerSheet(nursery.name, forecast.as_of, until, nursery.chance, tuple(plants))


@frozen
class _Free:
    """Plants that are neither planted, given, promised nor wanted by a bed."""

    low: int
    likely: int
    high: int

    def less(self, offered: OnOffer) -> "_Free":
        """What is left for the other varieties of a species."""
        return _Free(
            max(0, self.low - offered.now - offered.coming_low),
            max(0, self.likely - offered.now - offered.coming),
            max(0, self.high - offered.now - offered.coming_high),
        )


def _kept_under(name: PlantName, spare: Collection[PlantName]) -> PlantName | None:
    """The plant under which what is spare of a name stands: itself, or all of its species."""
    return next((plant for plant in [name, *spare] if plant in spare and serves(name, plant)), None)


def _within(total: PlantTotal, spare: _Free) -> _Free:
    """What is free by the day asked for, and no more than will ever be spare."""
    free = total.free
    return _Free(
        min(free.low, spare.low), min(free.likely, spare.likely), min(free.high, spare.high)
    )


def _on_offer(
    cases: Sequence[Case],
    leaving: Mapping[str, Sequence[Lot]],
    free: _Free,
    today: dt.date,
) -> OnOffer:
    """The numbers of one plant; what is promised is taken off those that are fit already.

    Of these only so many are there now as are free with some certainty (the low number): some
    in pots may not have established, and what a bed waits for may not all come from the tray.
    """
    every = [lot for case in cases for lot in leaving[case.state.code]]
    promised = sum(case.state.promised.total() for case in cases)
    fit = sum(lot.count for lot in every if lot.fit_on <= today and _in_pots(lot))
    now = min(free.low, max(0, fit - promised))
    later = [lot.fit_on for lot in every if lot.fit_on > today or not _in_pots(lot)]
    coming = free.likely - now if later else 0
    return OnOffer(
        name=cases[0].state.name,
        common="",
        now=now,
        coming_low=max(0, free.low - now) if later else 0,
        coming=coming,
        coming_high=max(coming, free.high - now) if later else 0,
        coming_from=max(min(later), today) if later else None,
        for_sale=min(now, sum(case.state.for_sale for case in cases)),
        container="",
        cautions=(),
    )


def _in_pots(lot: Lot) -> bool:
    return Kind.ROOTED not in lot.kinds


def _dressed(
    offered: OnOffer,
    cases: Sequence[Case],
    said: Said,
    containers: Mapping[str, str],
    protected: bool,
) -> OnOffer:
    """The same with all that is said of the plant."""
    codes = [case.state.code for case in cases]
    pots = dict.fromkeys(containers.get(c.state.code, "") for c in cases if c.state.total(*GROWN))
    cautions = dict.fromkeys(caution for code in codes for caution in said[code][1])
    return evolve(
        offered,
        common=said[codes[0]][0],
        container=", ".join(filter(None, pots)),
        cautions=tuple(cautions),
        protected=protected,
    )
