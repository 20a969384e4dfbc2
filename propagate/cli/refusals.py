"""What is wrong with the words of a command, as one plain sentence that shows how it goes."""

import re

import click

BELOW_ZERO = re.compile(r"-\d+")
IN_WORDS = {
    r"a valid integer( range)?": "a whole number in figures",
    r"a valid count": "a whole number, such as 40 or forty",
    r"not in the range (\d+)<=x<=(\d+)": r"not one of \1 to \2",
    r"not in the range x>=(\d+)": r"not \1 or more",
    r"Option '(-\S+)' requires an argument": r"\1 needs a word after it",
    r"Option '(-\S+)' requires (\d+) arguments": r"\1 needs \2 words after it",
}
EXTRA = re.compile(r"Got unexpected extra arguments? \((.+)\)")
USUAL = {
    "check": ("--rooted", "--dead"),
    "pot-on": ("--into",),
    "plant-out": ("--bed",),
    "lose": ("--cause",),
    "give": ("--to",),
    "want": ("--by",),
    "due": ("--weeks",),
}
"""Options that most who type the command want, so that they are shown with it."""
OTHER_WORDS = {
    **dict.fromkeys(("--date", "--day", "--when"), ("--on", "--by")),
    **dict.fromkeys(("--because", "--reason"), ("--why",)),
    **dict.fromkeys(("--who", "--name", "--person"), ("--to",)),
    **dict.fromkeys(("--pot", "--container"), ("--into",)),
    **dict.fromkeys(("--file", "--out"), ("--output",)),
    "--mother": ("--from",),
    "--where": ("--place",),
}
"""What people may type for an option, and what they may mean."""
NAMES = {"PLANT", "PLACE", "BED"}
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
            near = _meant(error)
            return f"There is no option {error.option_name}" + (
                f" (did you mean {near}?)" if near else ""
            )
        case click.BadParameter():
            return f"{_called(error.param)}: {_plain(error.message)}"
        case _ if extra := EXTRA.match(error.message):
            return f'"{extra[1]}" is too much'
        case _:
            return _plain(error.format_message())


def _meant(error: click.NoSuchOption) -> str:
    """The option that was meant, empty where none is like it."""
    known = [name for param in error.ctx.command.params for name in param.opts] if error.ctx else []
    same = OTHER_WORDS.get(error.option_name, ())
    return next((name for name in (*same, *(error.possibilities or ())) if name in known), "")


def _plain(message: str) -> str:
    """Words for what click says in signs: ranges, and numbers that are none."""
    for signs, words in IN_WORDS.items():
        message = re.sub(signs, words, message)
    return message.rstrip(".")


def _how(error: click.UsageError, ctx: click.Context) -> str:
    """How the command goes where its words are wrong, else where its options are explained."""
    about = getattr(error, "param", None)
    missing = isinstance(error, click.MissingParameter)
    unknown = isinstance(error, click.NoSuchOption) and not error.possibilities
    extra = EXTRA.match(error.message)
    shown = _takes_words(ctx) or ctx.info_name in USUAL
    if missing or isinstance(about, click.Argument) or ((unknown or extra) and shown):
        return f"write: {_pattern(ctx)}"
    return f"see: {ctx.command_path} --help"


def _takes_words(ctx: click.Context) -> bool:
    return any(isinstance(param, click.Argument) for param in ctx.command.params)


def _pattern(ctx: click.Context) -> str:
    """The command with its arguments, the options it cannot do without and the usual ones."""
    words = [ctx.command_path]
    for param in ctx.command.params:
        if isinstance(param, click.Argument):
            words.append(param.human_readable_name)
        elif param.required:
            words.append(f"{param.opts[0]} {param.metavar}")
        elif param.opts[0] in USUAL.get(ctx.info_name or "", ()):
            words.append(f"[{param.opts[0]} {param.metavar}]")
    return " ".join(words) + (QUOTES if NAMES.intersection(words) else "")


def _called(param: click.Parameter | None) -> str:
    """A parameter by the name that help shows."""
    if isinstance(param, click.Option):
        return param.opts[0]
    return param.human_readable_name if param else "a word"
