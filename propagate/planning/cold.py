"""Batches that stand in more cold than they bear."""

import datetime as dt
from collections.abc import Iterable, Iterator
from typing import Final

from propagate.days import written
from propagate.library import Library
from propagate.planning.case import Case
from propagate.records.answers import DueTask
from propagate.records.methods import MethodRecord, Plant
from propagate.weather.places import Temperatures
from propagate.weather.series import ONE_DAY
from propagate.worded import worded

LOOK_BACK_DAYS: Final = 7
"""A cold night is warned of for a week: later it has done its harm or none (memory)."""

POT_MARGIN_C: Final = 11.0
"""Roots in a pot stand in the cold air: a plant in one is taken to bear two USDA zones less,
20 °F (common practice)."""

HARD_FROST_C: Final = -2.2
"""Above this a frost is a light one, which leaves decide and not the roots: 28 °F (United
States National Weather Service; memory)."""


def cold_tasks(
    cases: Iterable[Case], library: Library, temps: Temperatures, today: dt.date
) -> list[DueTask]:
    """A job for each living batch whose place was lately colder than the batch bears.

    The minima are those logged in its place, else the open air's as felt there, since it came
    there and within the last LOOK_BACK_DAYS days.
    """
    return [
        task
        for case in cases
        for task in _cold_task(case, library.plant(case.state.name), temps, today)
    ]


def _cold_task(
    case: Case, plant: Plant | None, temps: Temperatures, today: dt.date
) -> Iterator[DueTask]:
    state = case.state
    bears = bears_c(plant, case.record)
    place = temps.at(state.place)
    record = place.record if place else None
    if bears is None or record is None or not state.living:
        return
    since = max(state.places[-1][0], today - ONE_DAY * LOOK_BACK_DAYS)
    coldest = record.coldest(since, today)
    if coldest is None or coldest[1] >= bears:
        return
    why = worded(
        "{coldest:.1f} °C on {day} ({source}); it bears {bears:g} °C",
        coldest=coldest[1],
        day=written(coldest[0]),
        source=record.source,
        bears=bears,
    )
    yield DueTask(today, state.code, state.name, "shelter from the cold", why, state.place)


def bears_c(plant: Plant | None, record: MethodRecord) -> float | None:
    """The lowest temperature that plants of a batch live through [°C], None where unknown.

    It is for roots in a pot; a plant that may only go out after the last frost bears none,
    whatever its kind.
    """
    establishing = record.establishing
    if establishing is not None and establishing.gate == "frost-free":
        return 0.0
    if plant is None or plant.hardy_c is None:
        return None
    if plant.hardy_c >= HARD_FROST_C:
        return plant.hardy_c
    return min(0.0, plant.hardy_c + POT_MARGIN_C)
