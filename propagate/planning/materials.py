"""Pots, compost, sand, labels and rooting product for the weeks to come.

What stands in trays needs pots and compost when it is potted on, in number as the forecast
has it; what is planned yet also needs its tray filled, or its slit lined, when it is started.
"""

import datetime as dt
import math
from collections.abc import Iterable, Mapping, Sequence
from typing import Final

import numpy as np
from attrs import frozen

from propagate.ledger import Kind
from propagate.planning.benchspace import Question
from propagate.planning.case import Case
from propagate.planning.courses import Containers, course_of
from propagate.planning.groups import Group
from propagate.planning.space import SEED_TRAY, container_called, footprint_m2
from propagate.records.materials import Need
from propagate.records.methods import MethodRecord
from propagate.records.nursery import Container
from propagate.science.occupancy import Phase, Shared, totals

ENOUGH: Final = 0.9
"""How sure it is that what is bought is enough."""

SETTLING: Final = 0.15
"""Share that compost loses on watering in (common practice)."""

FILL_CM: Final = {
    "softwood-cutting": 5.0,
    "semi-ripe-cutting": 6.0,
    "leaf-bud-cutting": 6.0,
    "root-cutting": 8.0,
    "seed": 4.0,
}
"""Depth of the mix in a tray, by method; others are not struck in trays (common practice)."""

GRIT_SHARE: Final = 0.5
"""Sand or perlite in the mix for cuttings: equal parts (see methods/semi-ripe-cutting.toml)."""

SAND_L_PER_M: Final = 1.5
"""Sand to line a metre of slit for hardwood cuttings: some 5 cm wide, 3 cm deep (memory)."""

POWDER_G_EACH: Final = 0.05
"""Rooting powder for a cutting, with what is tipped out to dip in and thrown away (memory)."""

PLANTS_PER_LABEL: Final = 20
"""A label to every so many pots, and one at least to each tray (common practice)."""

NO_PRODUCT: Final = ("no ", "no,", "none", "not ", "made ", "makes ", "optional")
"""How a record begins what it says of rooting products when none is wanted."""

CM_PER_M: Final = 100.0
L_PER_M3: Final = 1000.0


@frozen(eq=False)
class Potting:
    """Plants of one batch to be potted within the time: a chance, and a law of their number."""

    group: Group
    at: int
    chance: float
    pot: Container

    @property
    def case(self) -> Case:
        """The batch with its record."""
        return self.group.cases[self.at]

    def phase(self, each: float = 1.0, per: int = 1) -> Phase:
        """So much for each `per` plants begun."""
        more = self.group.more_by(self.at, None)
        numbers = self.case.state.total(Kind.ROOTED) + np.arange(more.shape[1])
        return Phase(np.array([self.chance]), more, np.ceil(numbers / per) * each)


InHand = Mapping[str, float]
"""What there is already, by the name of the thing."""

COMPOST: Final = "potting compost"
GRIT: Final = "sharp sand or perlite"
LABELS: Final = "labels"
POWDER: Final = "rooting powder"


def needs(
    groups: Sequence[Group], question: Question, until: dt.date, planned: Sequence[Case]
) -> tuple[Need, ...]:
    """What is used up to a day, for batches of the book and for those only planned."""
    pottings = _pottings(groups, question, until)
    begun = [case for case in planned if case.state.on <= until]
    stock = question.nursery.in_hand
    return tuple(
        need
        for need in (
            *_pots(pottings, stock),
            *_compost(pottings, begun, question, stock),
            *_grit(begun, question, stock),
            *_labels(pottings, begun, question, stock),
            *_powder(begun, stock),
        )
        if need.enough > 0
    )


def _pottings(groups: Sequence[Group], question: Question, until: dt.date) -> list[Potting]:
    used = Containers(case for group in groups for case in group.cases)
    nursery, made = question.nursery, []
    for group in groups:
        for at, case in enumerate(group.cases):
            window = question.windows[case.state.code]
            course = course_of(group, at, window, nursery, question.today, [until])
            chance = course.potted_by(until) if case.record.establishing else 0.0
            if chance > 0:
                pot = container_called(nursery, used.of(case))
                made.append(Potting(group, at, chance, pot))
    return made


def _summed(parts: Iterable[tuple[Potting, Phase]], unit: float = 0.0) -> tuple[float, float]:
    """Expected and enough of what all take together."""
    by_group: dict[int, tuple[Group, list[list[Phase]]]] = {}
    for potting, phase in parts:
        by_group.setdefault(id(potting.group), (potting.group, []))[1].append([phase])
    shared = [Shared(group.posterior.shared_weight, phases) for group, phases in by_group.values()]
    law = totals(shared, 1, unit)
    return float(law.mean()[0]), float(law.quantile(ENOUGH)[0])


def _pots(pottings: Sequence[Potting], stock: InHand) -> Iterable[Need]:
    """Containers of each name."""
    by_name: dict[str, list[Potting]] = {}
    for potting in pottings:
        by_name.setdefault(potting.pot.name, []).append(potting)
    for name, members in sorted(by_name.items()):
        parts = [(member, member.phase(per=member.pot.cells)) for member in members]
        expected, enough = _summed(parts, unit=1.0)
        batches = ", ".join(member.case.state.code for member in members)
        why = f"to pot on {batches}"
        yield Need(name, "", expected, enough, stock.get(name, 0.0), why, "common practice")


def _compost(
    pottings: Sequence[Potting], begun: Sequence[Case], question: Question, stock: InHand
) -> Iterable[Need]:
    """Compost for the pots, with what it settles, and for the trays of what is planned."""
    parts = [(p, p.phase(each=(p.pot.litres or 0.0) / (1 - SETTLING))) for p in pottings]
    expected, enough = _summed(parts)
    trays_l = sum(_mix_l(case, question) * (1 - _grit_share(case)) for case in begun)
    why = f"what pots and trays take, and {SETTLING * 100:.0f} % for settling"
    both_l = (expected + trays_l, enough + trays_l)
    yield Need(COMPOST, "l", *both_l, stock.get(COMPOST, 0.0), why, "common practice")


def _grit(begun: Sequence[Case], question: Question, stock: InHand) -> Iterable[Need]:
    litres = sum(
        _mix_l(case, question) * _grit_share(case) + _slit_l(case, question) for case in begun
    )
    why = "half of the mix for cuttings, and to line the slits of hardwood ones"
    yield Need(GRIT, "l", litres, litres, stock.get(GRIT, 0.0), why, "memory")


def _labels(
    pottings: Sequence[Potting], begun: Sequence[Case], question: Question, stock: InHand
) -> Iterable[Need]:
    expected, enough = _summed([(p, p.phase(per=PLANTS_PER_LABEL)) for p in pottings], unit=1.0)
    trays = sum(_trays(case, question) for case in begun)
    why = f"one to a tray and to {PLANTS_PER_LABEL} plants potted"
    yield Need(
        LABELS, "", expected + trays, enough + trays, stock.get(LABELS, 0.0), why, "common practice"
    )


def _powder(begun: Sequence[Case], stock: InHand) -> Iterable[Need]:
    cuttings = sum(case.state.count for case in begun if wants_product(case.record))
    why = f"for {cuttings} cuttings; the label's own figure goes before this one"
    grams = cuttings * POWDER_G_EACH
    yield Need(POWDER, "g", grams, grams, stock.get(POWDER, 0.0), why, "memory")


def wants_product(record: MethodRecord) -> bool:
    """Whether a record speaks for a rooting product; where it says nothing, none is reckoned."""
    said = f"{record.hormone.casefold()} "
    return bool(record.hormone) and not said.startswith(NO_PRODUCT)


def _mix_l(case: Case, question: Question) -> float:
    """Mix for the tray of a planned start [l], 0 where it is not struck in one."""
    container = question.containers.get(case.state.code, "")
    if container:
        pot = container_called(question.nursery, container)
        return case.state.count * (pot.litres or 0.0)
    depth, stand = FILL_CM.get(case.method.id), case.record.stand
    if depth is None or stand is None:
        return 0.0
    return case.state.count * stand.m2 * depth / CM_PER_M * L_PER_M3


def _grit_share(case: Case) -> float:
    return GRIT_SHARE if case.method.id in FILL_CM and case.method.id != "seed" else 0.0


def _slit_l(case: Case, question: Question) -> float:
    """Sand for the slit of hardwood cuttings in open ground [l]."""
    slit = case.method.id == "hardwood-cutting" and case.record.stand
    if not slit or question.containers.get(case.state.code):
        return 0.0
    return case.state.count * slit.apart_cm[0] / CM_PER_M * SAND_L_PER_M


def _trays(case: Case, question: Question) -> int:
    """Trays, and so labels, of a planned start: one at least."""
    container = question.containers.get(case.state.code, "")
    if container:
        pot = container_called(question.nursery, container)
        return math.ceil(case.state.count / (pot.cells if pot.cells > 1 else PLANTS_PER_LABEL))
    if case.method.id in FILL_CM and case.record.stand:
        tray_m2 = footprint_m2(SEED_TRAY)
        return math.ceil(case.state.count * case.record.stand.m2 / tray_m2 - 1e-9)
    return 1
