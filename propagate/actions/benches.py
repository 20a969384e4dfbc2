"""Bench space: what each place will hold, as an answer, as JSON and as a picture."""

from collections.abc import Sequence
from pathlib import Path
from typing import Any

from propagate.actions.answering import case_of, cases, groups_of
from propagate.actions.desk import Desk
from propagate.errors import NotFound
from propagate.ledger import fold
from propagate.nearness import folded, nearest
from propagate.paper.printing import Written
from propagate.planning.benchspace import Question, bench_space
from propagate.planning.case import Case
from propagate.planning.forecasting import pot_on_windows
from propagate.planning.groups import Group
from propagate.records.events import Entry, Started
from propagate.records.space import BenchSpace, PlaceSpace, PlannedStart


def bench(
    desk: Desk, places: Sequence[str] = (), planned: Sequence[PlannedStart] = ()
) -> BenchSpace:
    """What each place (or each of some) holds over the coming year.

    `planned` are starts that are not in the book yet. Raises NotFound for a place in which
    nothing stands or will.
    """
    every = [*cases(desk), *planned_cases(desk, planned)]
    groups = groups_of(desk, every)
    return _only(bench_space(groups, question_of(desk, groups, planned)), places)


def question_of(desk: Desk, groups: Sequence[Group], planned: Sequence[PlannedStart]) -> Question:
    """What planning has to know to say what batches take, those only planned among them."""
    windows = pot_on_windows(groups, desk.nursery, desk.today)
    return Question(
        nursery=desk.nursery,
        today=desk.today,
        windows={case.state.code: window for case, window in windows},
        containers={code: start.container for code, start in coded(planned)},
    )


def _only(answer: BenchSpace, names: Sequence[str]) -> BenchSpace:
    if not names:
        return answer
    by_name = {folded(space.place): space for space in answer.places}
    for name in names:
        if folded(name) not in by_name:
            known = [space.place for space in answer.places]
            raise NotFound(f'Nothing stands or will stand in "{name}".', nearest(name, known))
    return BenchSpace(answer.as_of, tuple(by_name[folded(name)] for name in names))


def planned_cases(desk: Desk, planned: Sequence[PlannedStart]) -> list[Case]:
    """Starts that are only planned, as the batches they would be."""
    entries = [
        Entry(seq, str(seq), start.on, desk.now, _started(code, start))
        for seq, (code, start) in enumerate(coded(planned), start=1)
    ]
    return [case_of(desk, state) for state in fold(entries).batches.values()]


def coded(planned: Sequence[PlannedStart]) -> list[tuple[str, PlannedStart]]:
    """Planned starts, each with the words that stand for its code: plan 1, plan 2."""
    return [(f"plan {number}", start) for number, start in enumerate(planned, start=1)]


def _started(code: str, start: PlannedStart) -> Started:
    return Started(code, start.plant, start.method, start.count, start.place)


def bench_view(answer: BenchSpace) -> dict[str, Any]:
    """The answer as JSON has it, areas in m2."""
    return {
        "as_of": answer.as_of.isoformat(),
        "places": [_place_view(space) for space in answer.places],
    }


def _place_view(space: PlaceSpace) -> dict[str, Any]:
    overfull = space.overfull
    return {
        "place": space.place,
        "size_m2": space.size_m2,
        "overfull_from": overfull.date.isoformat() if overfull else None,
        "weeks": [
            {
                "date": week.date.isoformat(),
                "expected_m2": round(week.expected_m2, 3),
                "high_m2": round(week.high_m2, 3),
                "overfull": None if week.overfull is None else round(week.overfull, 4),
            }
            for week in space.weeks
        ],
        "batches": [
            {
                "batch": part.batch,
                "plant": str(part.plant),
                "now_m2": round(part.now_m2, 3),
                "fullest_m2": round(part.fullest_m2, 3),
            }
            for part in space.batches
        ],
    }


def print_bench(desk: Desk, answer: BenchSpace, path: Path) -> Written:
    """Draw the answer into a .svg, .pdf, .html or .csv file."""
    from propagate.paper.benches import write_bench

    return write_bench(answer, desk.label_folders, path, desk.nursery.labels.sheet)


def bench_svg(desk: Desk, answer: BenchSpace) -> str:
    """The answer as a picture that needs nothing around it."""
    from propagate.paper.benches import bench_svg as svg

    return svg(answer, desk.label_folders)
