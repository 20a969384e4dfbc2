"""The planting-out list: what the beds want, what stands in them, and what can go there."""

import datetime as dt
from collections import Counter
from collections.abc import Iterable, Mapping, Sequence

from propagate.ledger import Kind
from propagate.names import PlantName
from propagate.planning.benches import Said, subject_of
from propagate.planning.case import Case
from propagate.planning.leaving import Lot, lots
from propagate.planning.typed import plant_out_typed
from propagate.records.answers import PotOn
from propagate.records.beds import BedsAnswer
from propagate.records.nursery import Nursery
from propagate.records.worksheets import BedPlan, Planted, PlantingList, ToPlant

Windows = Sequence[tuple[Case, PotOn]]


def planting_list(
    windows: Windows,
    nursery: Nursery,
    said: Said,
    today: dt.date,
    until: dt.date,
    answer: BedsAnswer,
) -> PlantingList:
    """The list up to `until`, with what `answer` says that the beds want and what is meant for it.

    A batch that is meant for no bed goes where plants of its name stand already, in a bed that
    wants more and of which nobody said what.
    """
    cases = [case for case, _ in windows]
    planted, wanted = _planted(cases, said), wanted_in(answer)
    names = list(dict.fromkeys([*nursery.beds, *wanted, *sorted(planted)]))
    meant = {**beds_by_kin(cases, planted, wanted), **_meant(answer)}
    ready = [
        (meant.get(case.state.code, ""), line)
        for case, window in windows
        for line in _to_plant(case, window, nursery, said, today, until, meant)
    ]
    ready.sort(key=lambda pair: (pair[1].from_day, pair[1].subject.name, pair[1].subject.code))
    return PlantingList(
        nursery=nursery.name,
        as_of=today,
        until=until,
        beds=tuple(
            BedPlan(
                bed=name,
                wanted=wanted.get(name),
                planted=tuple(planted.get(name, ())),
                to_plant=tuple(line for bed, line in ready if bed == name),
                note=nursery.beds[name].note if name in nursery.beds else "",
            )
            for name in names
        ),
        unplaced=tuple(line for bed, line in ready if bed not in names),
    )


def wanted_in(answer: BedsAnswer) -> dict[str, int]:
    """How many plants each bed wants in all, of whatever kind and by whatever day."""
    wanted = Counter({bed.bed: bed.wanted for bed in answer.unnamed})
    for each in answer.beds:
        wanted[each.want.bed] += each.want.wanted
    return dict(wanted)


def _meant(answer: BedsAnswer) -> dict[str, str]:
    """The bed of a batch: of several that wait for it, the one that is served first."""
    meant: dict[str, str] = {}
    for each in answer.beds:
        for code, count in each.batches:
            if count:
                meant.setdefault(code, each.want.bed)
    return meant


def beds_by_kin(
    cases: Iterable[Case], planted: Mapping[str, Sequence[Planted]], wanted: Mapping[str, int]
) -> dict[str, str]:
    """The bed with a gap where plants of a batch's own name stand, where there is just one."""
    by_name: dict[PlantName, list[str]] = {}
    for name, count in wanted.items():
        stand = planted.get(name, ())
        if sum(lot.count for lot in stand) < count:
            for plant in {lot.subject.name for lot in stand}:
                by_name.setdefault(plant, []).append(name)
    found = {case.state.code: by_name.get(case.state.name, []) for case in cases}
    return {code: beds[0] for code, beds in found.items() if len(beds) == 1}


def _planted(cases: Sequence[Case], said: Said) -> dict[str, list[Planted]]:
    """What stands in each bed, by its name; plants put out nowhere in particular under ""."""
    standing: dict[str, list[Planted]] = {}
    for case in sorted(cases, key=lambda case: (case.state.name, case.state.code)):
        for account, count in sorted(case.state.balances.items()):
            if account.kind is Kind.PLANTED and count:
                days = [move.on for move in case.state.moves if move.target == account]
                lot = Planted(subject_of(case, said), count, max(days))
                standing.setdefault(account.detail, []).append(lot)
    return standing


def _to_plant(
    case: Case,
    window: PotOn,
    nursery: Nursery,
    said: Said,
    today: dt.date,
    until: dt.date,
    meant: Mapping[str, str],
) -> Iterable[ToPlant]:
    """The lots of a batch that are fit by `until`; promises are kept from the soonest first."""
    owed = case.state.promised.total()
    for lot in lots(case, window, nursery, today):
        count = _plantable(case, lot)
        kept = min(owed, count)
        owed -= kept
        if count and lot.fit_on <= until:
            yield ToPlant(
                subject=subject_of(case, said),
                place=case.state.place,
                count=count,
                promised=kept,
                from_day=max(lot.fit_on, today),
                early=lot.fit_on > today,
                typed=plant_out_typed(case.state.code, meant.get(case.state.code, "")),
            )


def _plantable(case: Case, lot: Lot) -> int:
    """How many of a lot can be planted; from the tray only the rooted that need no pot."""
    if Kind.ROOTED not in lot.kinds:
        return lot.count
    return 0 if case.record.establishing else case.state.total(Kind.ROOTED)
