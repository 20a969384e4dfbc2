"""Counts as they are typed: in figures or in words."""

from typing import Any

import click

from propagate.numberwords import read_words


class _InWords(click.ParamType[Any]):
    """Reads a number said in words, and leaves figures to the type beside it."""

    name = "count"

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> Any:
        number = read_words(value) if isinstance(value, str) else None
        return super().convert(value if number is None else number, param, ctx)


class Count(_InWords, click.types.IntParamType):
    """A whole number."""


class Percent(click.ParamType[float]):
    """So many of 100: 60, 60 % or 7.5; `whole` refuses what was meant as a share of 1."""

    name = "percent"

    def __init__(self, *, whole: bool = False) -> None:
        self._whole = whole

    def convert(
        self, value: Any, param: click.Parameter | None, ctx: click.Context | None
    ) -> float:
        """The number as typed, from 0 to 100."""
        try:
            number = float(str(value).replace(",", ".").strip().removesuffix("%").strip())
        except ValueError:
            number = -1.0
        if not 0 <= number <= 100:
            self.fail(
                f"{str(value)!r} is not so many of 100; write a number from 0 to 100", param, ctx
            )
        if self._whole and 0 < number < 1:
            self.fail(
                f"{number:g} is less than 1 of 100; did you mean {100 * number:g}?", param, ctx
            )
        return number


class CountRange(_InWords, click.IntRange):
    """A whole number within a range."""
