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


class CountRange(_InWords, click.IntRange):
    """A whole number within a range."""
