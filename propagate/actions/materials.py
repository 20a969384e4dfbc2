"""The shopping list: what is used in the weeks to come, as an answer, as JSON and on paper."""

import datetime as dt
from collections.abc import Sequence
from pathlib import Path
from typing import Any, Final

from propagate.actions.answering import cases, groups_of
from propagate.actions.benches import planned_cases, question_of
from propagate.actions.desk import Desk
from propagate.errors import Refused
from propagate.paper.printing import Written, write
from propagate.planning.materials import COMPOST, POWDER, needs
from propagate.records.materials import Need, Shopping
from propagate.records.space import PlannedStart

CAUTIONS: Final = {COMPOST: "compost-dust", POWDER: "rooting-hormone"}
"""What to mind with a thing, by its key in cautions.toml."""


def materials(desk: Desk, weeks: int, planned: Sequence[PlannedStart] = ()) -> Shopping:
    """What is used within so many weeks, for the book's batches and for planned starts."""
    extra = planned_cases(desk, planned)
    groups = groups_of(desk, [*cases(desk), *extra])
    question = question_of(desk, groups, planned)
    until = desk.today + dt.timedelta(weeks=weeks)
    wanted = needs(groups, question, until, extra)
    cautions = [desk.library.caution(CAUTIONS[n.item]) for n in wanted if n.item in CAUTIONS]
    return Shopping(desk.today, until, wanted, tuple(cautions))


def materials_view(answer: Shopping) -> dict[str, Any]:
    """The answer as JSON has it."""
    return {
        "as_of": answer.as_of.isoformat(),
        "until": answer.until.isoformat(),
        "needs": [_need_view(need) for need in answer.needs],
        "cautions": list(answer.cautions),
    }


def _need_view(need: Need) -> dict[str, Any]:
    return {
        "item": need.item,
        "unit": need.unit,
        "expected": round(need.expected, 2),
        "enough": round(need.enough, 2),
        "in_hand": need.in_hand,
        "to_buy": need.to_buy,
        "why": need.why,
        "basis": need.basis,
    }


def print_materials(desk: Desk, answer: Shopping, path: Path) -> Written:
    """Write the list as PDF, HTML or CSV, by the ending of the file's name."""
    from propagate.paper.shopping import render_shopping

    if not answer.needs:
        raise Refused("Nothing is needed in that time, so there is no list to print.")
    return write(
        render_shopping(answer, desk.nursery.name, desk.label_folders, desk.nursery.labels.sheet),
        path,
    )
