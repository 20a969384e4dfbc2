"""What is wrong with the words of a command, as one plain sentence that shows how it goes."""

import re
from typing import Any

import click

BELOW_ZERO = re.compile(r"-\d+")
QUOTES = " (a name of several words stands in quotes)"


class WholeNumber(click.ParamType):
    """A whole number; one that is too small is refused where its meaning is known."""

    name = "whole number"

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> int:
        """Read what was typed; fails in plain words."""
        try:
            return int(value)
        except ValueError:
            self.fail(f'"{value}" is not a whole number', param, ctx)


WHOLE_NUMBER = WholeNumber()


def sentence(error: click.ClickException) -> str:
    """The one sentence for a command that was not understood."""
    if isinstance(error, click.UsageError) and error.ctx is not None:
        return f"{_what(error)}; {_how(error.ctx)}"
    return error.format_message()


def _what(error: click.UsageError) -> str:
    match error:
        case click.MissingParameter():
            return f"{_called(error.param)} is missing"
        case click.NoSuchOption() if BELOW_ZERO.fullmatch(error.option_name):
            return "No count can be below zero"
        case click.NoSuchOption():
            near = f" (did you mean {error.possibilities[0]}?)" if error.possibilities else ""
            return f"There is no option {error.option_name}{near}"
        case click.BadParameter():
            return f"{_called(error.param)}: {error.message.rstrip('.')}"
        case _:
            return error.format_message().rstrip(".")


def _how(ctx: click.Context) -> str:
    """How the command goes: its arguments and the options it cannot do without."""
    if isinstance(ctx.command, click.Group):
        return f"see: {ctx.command_path} --help"
    words = [ctx.command_path]
    for param in ctx.command.params:
        if isinstance(param, click.Argument):
            words.append(param.human_readable_name)
        elif param.required:
            words.append(f"{param.opts[0]} {param.human_readable_name}")
    named = "PLANT" in words
    return f"write: {' '.join(words)}{QUOTES if named else ''}"


def _called(param: click.Parameter | None) -> str:
    """A parameter by the name that help shows."""
    if isinstance(param, click.Option):
        return param.opts[0]
    return param.human_readable_name if param else "a word"
