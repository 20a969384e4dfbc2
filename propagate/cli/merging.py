"""Two copies of the book: merge them, and settle what they told differently."""

from typing import TYPE_CHECKING

import click

from propagate.cli.context import Call, json_option
from propagate.cli.group import command
from propagate.cli.say import say, say_json, say_text
from propagate.cli.words import counted

if TYPE_CHECKING:
    from propagate.actions.merging import Question


@command("merge")
@click.argument("other", metavar="OTHER")
@json_option
@click.pass_obj
def merge_command(call: Call, /, other: str, as_json: bool) -> None:
    """Take in all that was written in OTHER, a copy of this book used apart.

    OTHER is a nursery folder, a book file, an exported book, or the URL of a database; it is
    only read. Merge on both sides, in any order and as often as you like: both then hold the
    same. Where the two told one thing twice, or what cannot both be so, you are asked.
    """
    from attrs import asdict

    from propagate.actions.merging import merge

    merged = merge(call.desk(), other)
    if as_json:
        say_json(asdict(merged))
        return
    say(f"Took in {counted(merged.entries, 'entry')}.")
    for new in merged.recoded:
        say_text(
            f"the batch of {new.plant} that {new.by} started is {new.now} now, for {new.was} "
            "is another batch's code: print its labels anew, or write the new code on the stick.",
            f"{new.was} -> {new.now}  ",
        )
    _ask(merged.questions)


@command("settle")
@click.argument("number", type=int, required=False)
@click.argument("answer", required=False)
@json_option
@click.pass_obj
def settle_command(call: Call, /, number: int | None, answer: str | None, as_json: bool) -> None:
    """Answer question NUMBER of a merge; without one, list what is to be settled.

    ANSWER is once or twice where two people may have told one thing twice: once takes the
    second back, twice leaves both. It is drop for an entry that cannot be so beside the
    others; should another entry be the wrong one, take that back with void instead.
    """
    from attrs import asdict

    from propagate.actions.merging import questions, settle

    desk = call.desk()
    if number is not None:
        settle(desk, number, answer or "")
    left = questions(desk.book)
    if as_json:
        say_json([asdict(question) for question in left])
    elif not left:
        say("Nothing is to be settled.")
    else:
        _ask(left)


def _ask(questions: "tuple[Question, ...]") -> None:
    for question in questions:
        answers = " or ".join(f"propagate settle {question.number} {a}" for a in question.answers)
        say_text(f"{question.said} ({answers})", f"{question.number:>5}  ")
