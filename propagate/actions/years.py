"""Years ahead for the mothers of the book, as an answer, as JSON and as a picture."""

from collections import Counter
from collections.abc import Sequence
from pathlib import Path
from typing import Any, Final

from attrs import evolve

from propagate.actions.answering import cases, groups_of
from propagate.actions.benches import planned_cases
from propagate.actions.desk import Desk
from propagate.actions.views import count_view
from propagate.errors import NotFound, Refused
from propagate.names import PlantName
from propagate.paper.printing import Written
from propagate.planning.years import TRIAL, Lineage, goal, lineage, years_ahead
from propagate.records.space import PlannedStart
from propagate.records.years import StockGoal, YearsAhead

QUARTER: Final = 0.25
"""Share kept as mothers where nobody says: a quarter."""


def years_of(
    desk: Desk,
    plant: str,
    method: str = "",
    *,
    mothers: int | None = None,
    years: int = 5,
    keep: float | None = None,
    target: int | None = None,
    sure: float = 0.8,
) -> YearsAhead:
    """The years ahead of one plant, from so many mothers, or as many as the book has of it.

    With a `target` the share to keep is the smallest that reaches it soonest, unless `keep`
    says otherwise. Raises NotFound for a plant or method the library does not know, Refused
    where its record says nothing of mothers or a number makes no sense.
    """
    name = desk.library.resolve(plant)
    way = desk.library.method_meant(method).id if method else _usual_method(desk, name)
    line = _line(desk, name, way, _mothers(desk, name) if mothers is None else mothers)
    found = goal(line, target, sure) if target is not None else None
    keeps = _keeps(found, keep, years)
    answer = years_ahead(line, keeps, desk.today, desk.nursery.chance)
    return evolve(answer, goal=found)


def every_kind(desk: Desk, years: int = 5, keep: float | None = None) -> list[YearsAhead]:
    """The same for each kind of which the book has mother plants, as it was last multiplied.

    Kinds whose records say nothing of mothers are left out.
    """
    made = []
    for name, mothers in sorted(_mothers_by_name(desk).items()):
        try:
            line = _line(desk, name, _usual_method(desk, name), mothers)
        except (NotFound, Refused):
            continue
        made.append(years_ahead(line, _keeps(None, keep, years), desk.today, desk.nursery.chance))
    return made


def _keeps(found: StockGoal | None, keep: float | None, years: int) -> tuple[float, ...]:
    if found is not None and keep is None:
        return found.keeps
    share = QUARTER if keep is None else keep
    if not 0 <= share <= 1:
        raise Refused(f"{share * 100:g} of 100 cannot be kept; give a number from 0 to 100.")
    return (share,) * years


def _line(desk: Desk, name: PlantName, method: str, mothers: int) -> Lineage:
    """The lineage of a plant, its take learned with all that the book knows."""
    trial = planned_cases(desk, [PlannedStart(name, method, TRIAL, desk.today)])
    (case,) = trial
    groups = groups_of(desk, [*cases(desk), *trial])
    group = next(g for g in groups if case in g.cases)
    said = () if mothers else ("the book has no mother of it: one is taken",)
    return lineage(group, group.cases.index(case), case.record, mothers or 1, said)


def _usual_method(desk: Desk, name: PlantName) -> str:
    """How the book multiplied a plant last, else the first method with a record of its own."""
    used = [
        (case.state.on, case.method.id)
        for case in cases(desk)
        if case.state.name.species_name == name.species_name and case.record.mothers
    ]
    if used:
        return max(used)[1]
    for key in desk.library.ids:
        match = desk.library.record(key, name)
        if match.record.mothers and match.record.plant is not None:
            return key
    raise NotFound(f"The library has no record of {name} by a method that needs a mother.")


def _mothers(desk: Desk, name: PlantName) -> int:
    """Mothers of exactly this name; of a species, those of all its varieties too."""
    mothers = _mothers_by_name(desk)
    if str(name) != name.species_name:
        return mothers[name]
    return sum(n for of, n in mothers.items() if of.species_name == name.species_name)


def _mothers_by_name(desk: Desk) -> Counter[PlantName]:
    return Counter(state.name for state in desk.book.stock_plants.values())


def years_view(answer: YearsAhead) -> dict[str, Any]:
    """The answer as JSON has it."""
    return {
        "as_of": answer.as_of.isoformat(),
        "plant": str(answer.plant),
        "method": answer.method,
        "mothers": answer.mothers,
        "growth": round(answer.growth, 4),
        "years": [
            {
                "by": year.by.isoformat(),
                "mothers": round(year.mothers, 2),
                "kept": round(year.kept, 2),
                "keep": round(keep, 4),
                "made": count_view(year.made),
                "out": count_view(year.out),
            }
            for year, keep in zip(answer.years, answer.keeps, strict=True)
        ],
        "goal": _goal_view(answer.goal),
        "said": list(answer.said),
    }


def _goal_view(found: StockGoal | None) -> dict[str, Any] | None:
    if found is None:
        return None
    return {
        "wanted": found.wanted,
        "sure": found.sure,
        "years": found.years,
        "chance": round(found.chance, 4),
    }


def print_years(desk: Desk, answers: Sequence[YearsAhead], path: Path) -> Written:
    """Draw the answers into a .svg, .pdf, .html or .csv file."""
    from propagate.paper.years import write_years

    return write_years(answers, desk.label_folders, path, desk.nursery.labels.sheet)
