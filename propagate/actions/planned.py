"""Starts that are only planned, from the words in which they are given."""

from collections.abc import Iterable

from propagate.actions.desk import Desk
from propagate.days import read_day_ahead
from propagate.errors import Refused
from propagate.numberwords import read_words
from propagate.records.space import PlannedStart


def planned_starts(
    desk: Desk, lines: Iterable[tuple[str, str, str, str]], container: str = "", place: str = ""
) -> list[PlannedStart]:
    """Planned starts from plant, method, count and day as typed.

    Raises NotFound for a plant or method that the library does not know, Refused for a count
    that is no whole number above 0 or a day that is none.
    """
    return [
        PlannedStart(
            desk.library.resolve(plant),
            desk.library.method_meant(method).id,
            _count(count),
            read_day_ahead(day, desk.today),
            container,
            place,
        )
        for plant, method, count, day in lines
    ]


def _count(typed: str) -> int:
    number = int(typed) if typed.isdecimal() else read_words(typed)
    if not number:
        raise Refused(f'"{typed}" is no number to start; give a whole one above 0.')
    return number
