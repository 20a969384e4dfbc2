"""Sentences that remember how they were made, so that a face can say them in another language.

A `Worded` is its English text and can stand wherever a text can: in JSON, on paper, in a
terminal. A face that speaks another language looks the pattern up and puts the values in anew.
"""

import datetime as dt
from collections.abc import Sequence
from typing import Any, Literal


class Worded(str):
    """An English text with the `pattern` and the `values` that it was made of.

    `many` is the pattern for other counts than 1, where there is one. Values may be Worded
    themselves. `parts` are what a plain row of texts is made of; its pattern is what parts them.
    """

    __slots__ = ("many", "parts", "pattern", "values")

    pattern: str
    many: str
    values: dict[str, Any]
    parts: tuple[str, ...]

    def __reduce__(self) -> tuple[type[str], tuple[str]]:
        """What is kept or sent away is the text alone."""
        return str, (str(self),)


def worded(pattern: str, /, **values: object) -> Worded:
    """A text with {values} put into it."""
    return _made(pattern.format(**values) if values else pattern, pattern, values)


def worded_count(one: str, many: str, count: int, /, **values: object) -> Worded:
    """A text that depends on a number, which stands in it as {count}."""
    values["count"] = count
    text = (one if count == 1 else many).format(**values)
    return _made(text, one, values, many=many)


def wording(pattern: str) -> str:
    """The pattern itself: marks it for catalogues where it is not yet known what goes into it."""
    return pattern


def in_a_row(parts: Sequence[str], between: str = ", ") -> Worded:
    """Several texts one after the other, with something between them that is no word."""
    return _made(between.join(parts), between, {}, parts=tuple(parts))


def _made(
    text: str, pattern: str, values: dict[str, Any], many: str = "", parts: tuple[str, ...] = ()
) -> Worded:
    made = Worded(text)
    made.pattern, made.values, made.many, made.parts = pattern, values, many, parts
    return made


DayStyle = Literal["whole", "short", "month"]


class WrittenDay(str):
    """A day as paper shows it in English: whole, without its year, or only its month."""

    __slots__ = ("day", "style")

    day: dt.date
    style: DayStyle

    def __reduce__(self) -> tuple[type[str], tuple[str]]:
        """What is kept or sent away is the text alone."""
        return str, (str(self),)


def written_day(text: str, day: dt.date, *, style: DayStyle = "whole") -> WrittenDay:
    """A text that is a day."""
    made = WrittenDay(text)
    made.day, made.style = day, style
    return made
