"""Will we make it? The forecasts laid against the wants, bed by bed.

wants -> species -> supplies -> what each bed gets, its chance, the batches meant for it, spare
"""

import datetime as dt
from collections.abc import Iterable, Sequence

from propagate.names import PlantName
from propagate.planning.groups import Group
from propagate.planning.plantcounts import plant_count
from propagate.planning.reprints import doubt_said
from propagate.planning.supply import Supply
from propagate.planning.wants import serves
from propagate.records.beds import BedForecast, BedsAnswer, Spare, UnnamedBed, Want
from propagate.records.nursery import Nursery
from propagate.science import counts
from propagate.science.timing import Array
from propagate.worded import in_a_row


def answer_beds(
    groups: Sequence[Group],
    wants: Sequence[Want],
    unnamed: Sequence[UnnamedBed],
    nursery: Nursery,
    today: dt.date,
) -> BedsAnswer:
    """Lay what will come against what is wanted; `wants` in the order they are served."""
    supplies = make_supplies(groups, wants, nursery, today)
    beds: list[BedForecast] = []
    spare: list[Spare] = []
    for supply in supplies.values():
        meant = assigned(supply)
        beds.extend(
            bed_forecast(want, supply.get(want), nursery.chance, meant[want])
            for want in supply.wants
        )
        spare.extend(_spare(supply, nursery.chance))
    order = {want: at for at, want in enumerate(wants)}
    beds.sort(key=lambda bed: order[bed.want])
    spare.sort(key=lambda one: one.plant)
    return BedsAnswer(today, tuple(beds), tuple(spare), tuple(unnamed), tuple(_doubts(groups)))


def make_supplies(
    groups: Sequence[Group], wants: Sequence[Want], nursery: Nursery, today: dt.date
) -> dict[str, Supply]:
    """What each species has, with the wants that draw on it, by the species' name."""
    names = dict.fromkeys(
        [*(want.plant.species_name for want in wants), *(group.species for group in groups)]
    )
    return {
        name: Supply(
            [group for group in groups if group.species == name],
            [want for want in wants if want.plant.species_name == name],
            nursery,
            today,
        )
        for name in names
    }


def bed_forecast(
    want: Want, got: Array, chance: float, batches: Sequence[tuple[str, int]] = ()
) -> BedForecast:
    """What will stand in a bed, from the distribution of what it gets besides the planted."""
    surely = counts.quantile(got, 1 - want.chance) if want.open else 0
    return BedForecast(
        want=want,
        plants=plant_count(got, want.planted, chance),
        filled=min(1.0, counts.at_least(got, want.open)),
        surely=want.planted + surely,
        batches=tuple(batches),
    )


def assigned(supply: Supply) -> dict[Want, list[tuple[str, int]]]:
    """Which batches are meant for which want, by their likely numbers; the readiest go first.

    A batch may serve several wants and a want be served by several batches. Batches of a
    variety that a bed asks for by name go to other beds last.
    """
    meant: dict[Want, list[tuple[str, int]]] = {want: [] for want in supply.wants}
    used: dict[str, int] = {}
    by_name = [want for want in supply.wants if want.plant.is_cultivar]
    takes_any = [want for want in supply.wants if not want.plant.is_cultivar]
    asked = {want.plant for want in by_name}
    for want in (*by_name, *takes_any):
        still = want.open
        for code, free in _batches_for(supply, want, asked):
            take = min(still, free - used.get(code, 0))
            if take > 0:
                used[code] = used.get(code, 0) + take
                meant[want].append((code, take))
                still -= take
    return meant


def _batches_for(supply: Supply, want: Want, asked: set[PlantName]) -> Iterable[tuple[str, int]]:
    """Batches that serve a want, with their likely free plants by its day; readiest first."""
    by = max(want.by, supply.today)
    found = [
        (case.state.name in asked and case.state.name != want.plant, case.state.on, code, free)
        for number, group in enumerate(supply.groups)
        for at, case in enumerate(group.cases)
        if serves(case.state.name, want.plant) and case.state.living
        for code, free in [(case.state.code, supply.likely(number, at, by))]
    ]
    return [(code, free) for *_, code, free in sorted(found)]


def _doubts(groups: Sequence[Group]) -> Iterable[tuple[str, str]]:
    """Batches with plants left of which something is suspected, and what."""
    for group in groups:
        for state in (case.state for case in group.cases):
            if state.doubts and state.living:
                yield state.code, in_a_row([doubt_said(doubt) for doubt in state.doubts], "; ")


def _spare(supply: Supply, chance: float) -> Iterable[Spare]:
    any_kind = [want.plant for want in supply.wants if not want.plant.is_cultivar]
    for case, pmf in supply.spare():
        name = any_kind[0] if any_kind else case.state.name
        count = plant_count(pmf, 0, chance)
        if count.high:
            yield Spare(name, count)
