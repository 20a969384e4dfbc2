"""What is wrong with the words of a command, as one plain sentence that shows how it goes."""

import re

import click

BELOW_ZERO = re.compile(r"-\d+")
IN_WORDS = {
    r"a valid integer( range)?": "a whole number",
    r"not in the range (\d+)<=x<=(\d+)": r"not one of \1 to \2",
    r"not in the range x>=(\d+)": r"not \1 or more",
    r"Option '(-\S+)' requires an argument": r"\1 needs a word after it",
    r"Option '(-\S+)' requires (\d+) arguments": r"\1 needs \2 words after it",
}
QUOTES = " (a name of several words stands in quotes)"


def sentence(error: click.ClickException) -> str:
    """The one sentence for a command that was not understood."""
    if isinstance(error, click.UsageError) and error.ctx is not None:
        return f"{_what(error)}; {_how(error, error.ctx)}."
    if isinstance(error, click.BadOptionUsage):
        return f"{_plain(error.format_message())}."
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
            return f"{_called(error.param)}: {_plain(error.message)}"
        case _:
            return _plain(error.format_message())


def _plain(message: str) -> str:
    """Words for what click says in signs: ranges, and numbers that are none."""
    for signs, words in IN_WORDS.items():
        message = re.sub(signs, words, message)
    return message.rstrip(".")


def _how(error: click.UsageError, ctx: click.Context) -> str:
    """How the command goes where its words are wrong, else where its options are explained."""
    about = getattr(error, "param", None)
    missing = isinstance(error, click.MissingParameter)
    number = isinstance(error, click.NoSuchOption) and BELOW_ZERO.fullmatch(error.option_name)
    if missing or number or isinstance(about, click.Argument):
        return f"write: {_pattern(ctx)}"
    return f"see: {ctx.command_path} --help"


def _pattern(ctx: click.Context) -> str:
    """The command with its arguments and the options it cannot do without."""
    words = [ctx.command_path]
    for param in ctx.command.params:
        if isinstance(param, click.Argument):
            words.append(param.human_readable_name)
        elif param.required:
            words.append(f"{param.opts[0]} {param.metavar}")
    return " ".join(words) + (QUOTES if "PLANT" in words else "")


def _called(param: click.Parameter | None) -> str:
    """A parameter by the name that help shows."""
    if isinstance(param, click.Option):
        return param.opts[0]
    return param.human_readable_name if param else "a word"
