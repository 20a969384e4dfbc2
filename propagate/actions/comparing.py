"""Two plans side by side: what each would start for the same beds."""

import datetime as dt
from typing import Any

from attrs import frozen

from propagate.actions.planning import plan_view
from propagate.days import written
from propagate.names import PlantName
from propagate.records.plans import Gap, Plan


@frozen
class ComparedRow:
    """What two plans do about the same want, in words."""

    beds: str
    plant: PlantName
    by: dt.date
    before: str
    after: str


Key = tuple[str, str, dt.date]


def compared(before: Plan, after: Plan) -> list[ComparedRow]:
    """A row for every want that either plan does something about, by day."""
    sides = [_sides(before), _sides(after)]
    gaps = {**_gaps(after), **_gaps(before)}
    rows = [
        ComparedRow(gap.beds, gap.plant, gap.by, *(side.get(key, "enough") for side in sides))
        for key, gap in gaps.items()
    ]
    return sorted(rows, key=lambda row: (row.by, row.beds, str(row.plant)))


def comparison_view(before: Plan, after: Plan) -> dict[str, Any]:
    """Both plans and the rows between them, as JSON has them."""
    return {
        "as_it_is": plan_view(before),
        "assumed": plan_view(after),
        "rows": [
            {
                "beds": row.beds,
                "plant": str(row.plant),
                "by": row.by.isoformat(),
                "as_it_is": row.before,
                "assumed": row.after,
            }
            for row in compared(before, after)
        ],
    }


def _key(gap: Gap) -> Key:
    return gap.beds, str(gap.plant), gap.by


def _gaps(plan: Plan) -> dict[Key, Gap]:
    found = [*(line.gap for line in plan.lines), *(missing.gap for missing in plan.missing)]
    return {_key(gap): gap for gap in found}


def _sides(plan: Plan) -> dict[Key, str]:
    """What a plan does about each gap, in words."""
    words: dict[Key, list[str]] = {}
    for line in plan.lines:
        said = f"{line.count} by {line.method_name}, {written(line.start)}"
        words.setdefault(_key(line.gap), []).append(said)
    for missing in plan.missing:
        words.setdefault(_key(missing.gap), []).append(f"{missing.plants} missing")
    return {key: "; ".join(each) for key, each in words.items()}
