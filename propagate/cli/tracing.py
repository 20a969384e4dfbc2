"""Trace plants back and forward, and say what is suspected of them."""

from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import click

from propagate.cli.context import Call, complete_batch, json_option, output_option, why_option
from propagate.cli.group import command
from propagate.cli.say import say, say_json, say_text, say_written
from propagate.cli.words import counted, doubt_words, gone_to
from propagate.days import written
from propagate.records.families import Arrivals, Family, Gone, Kin

if TYPE_CHECKING:
    from propagate.actions.desk import Desk

DEEPEST_DRAWN = 60
"""Steps down to which branches are drawn; below it a number says how deep a line stands."""


@command("trace")
@click.argument("what", metavar="MOTHER|BATCH|BED|PERSON", shell_complete=complete_batch)
@click.option(
    "--kind",
    type=click.Choice(["mother", "batch", "bed", "person"]),
    help="Which of them, where several are called so.",
)
@output_option("Draw the family: a .svg, .pdf or .html file; .csv for a table.")
@json_option
@click.pass_obj
def trace_command(
    call: Call, /, what: str, kind: str | None, path: Path | None, as_json: bool
) -> None:
    """Trace plants back to their mother plant, and on to the beds and people they went to.

    Give a mother plant, a batch, a bed or a person.
    """
    from propagate.actions.tracing import trace, trace_view

    desk = call.desk()
    answer = trace(desk, what, kind or "")
    if path is not None:
        _draw(desk, answer, path)
    elif as_json:
        say_json(trace_view(answer))
    elif isinstance(answer, Arrivals):
        for line in arrival_lines(answer):
            say(line)
    else:
        for line in family_lines(answer):
            say(line)


def _draw(desk: "Desk", answer: Family | Arrivals, path: Path) -> None:
    from propagate.actions.printing import print_family
    from propagate.errors import Refused

    if isinstance(answer, Arrivals):
        raise Refused(
            f'The {answer.kind} "{answer.to}" has no tree of its own; draw that of a mother '
            "plant or a batch."
        )
    printed = print_family(desk, answer, path)
    say_written(printed.path, printed.notice)


def family_lines(family: Family) -> Iterator[str]:
    """A family as a tree of text, what became of it, and which labels to print anew."""
    for kin in family.above:
        yield f"{'  ' * min(kin.depth, DEEPEST_DRAWN)}{kin_words(kin)}"
    if family.above:
        yield ""
    for kin, lead, below in _branches(family):
        yield lead + kin_words(kin)
        yield from (f"{below}{gone_words(gone)}" for gone in kin.gone)
        yield from (f"{below}{count} promised to {to}" for to, count in kin.promised)
    yield from _summary(family)


def _branches(family: Family) -> Iterator[tuple[Kin, str, str]]:
    """Each member with the lines of the tree before it, and before what hangs below it."""
    last_child: dict[int, int] = {kin.parent: at for at, kin in enumerate(family.members)}
    below: dict[int, str] = {}
    for at, kin in enumerate(family.members):
        if kin.parent < 0:
            below[at] = ""
            yield kin, "", _hang("", leaf=at not in last_child)
            continue
        if kin.depth > DEEPEST_DRAWN:
            below[at] = f"{kin.depth} … "
            yield kin, below[at], below[at] + "    "
            continue
        last = last_child[kin.parent] == at
        lead = below[kin.parent]
        below[at] = lead + ("   " if last else "│  ")
        yield kin, lead + ("└─ " if last else "├─ "), _hang(below[at], leaf=at not in last_child)


def _hang(lead: str, *, leaf: bool) -> str:
    return lead + ("   " if leaf else "│  ") + "→ "


def kin_words(kin: Kin) -> str:
    """One mother plant or batch in a line."""
    doubts = "".join(f"  {doubt_words(doubt, kin.key)}" for doubt in kin.doubts)
    label = "  (print a new label)" if kin.reprint else ""
    if kin.kind == "mother":
        return f"{kin.key}  {kin.name}, mother plant{doubts}"
    stands = f"{kin.living} here" if kin.living else "none left here"
    begun = f"{kin.count} by {kin.method} {written(kin.on)}"
    return f"{kin.key}  {kin.name}, {begun}; {stands}{doubts}{label}"


def gone_words(gone: Gone) -> str:
    """What went to a bed or a person, and when."""
    days = written(gone.first)
    if gone.last != gone.first:
        days = f"{days} to {written(gone.last)}"
    return f"{gone.count} {gone_to(gone.kind, gone.to)}, {days}"


def _summary(family: Family) -> Iterable[str]:
    batches = [kin for kin in family.members if kin.kind == "batch"]
    mothers = [kin for kin in family.members if kin.kind == "mother"]
    living = sum(kin.living for kin in batches)
    found = f"{counted(len(mothers), 'mother plant')}, " if mothers else ""
    yield ""
    yield f"{found}{counted(len(batches), 'batch')}; {counted(living, 'plant')} still here"
    for destination in family.destinations:
        to = gone_to(destination.kind, destination.to)
        yield f"  {destination.count} {to}  from {_codes(destination.batches)}"
    if family.reprint:
        yield f"Labels to print anew: {' '.join(family.reprint)}"


def _codes(codes: tuple[str, ...], most: int = 12) -> str:
    rest = f" and {len(codes) - most} more" if len(codes) > most else ""
    return " ".join(codes[:most]) + rest


def arrival_lines(answer: Arrivals) -> Iterator[str]:
    """What a bed or a person got, each with the line it came from, the nearest mother first."""
    yield f"{counted(answer.count, 'plant')} {gone_to(answer.kind, answer.to)}"
    for arrival in answer.arrivals:
        days = gone_words(arrival.gone).rsplit(", ", 1)[1]
        yield f"{arrival.gone.count}  {days}  out of {kin_words(arrival.batch)}"
        for kin in reversed(arrival.above):
            yield f"     ← {kin_words(kin)}"


@command("suspect")
@click.argument("subject", metavar="MOTHER|BATCH")
@why_option("What speaks for it.")
@click.option("--name", "misnamed", is_flag=True, help="Not a disease: the name may be wrong.")
@json_option
@click.pass_obj
def suspect_command(call: Call, /, subject: str, why: str, misnamed: bool, as_json: bool) -> None:
    """Say that a mother plant or a batch may be diseased, or misnamed.

    Lists all that was raised from it, the beds and people it went to, and the labels to print
    anew. It holds for later batches too, until clear or undo. Once the true name is known,
    use name instead.
    """
    from propagate.actions.meaning import subject_meant
    from propagate.actions.recording import suspect

    desk = call.desk()
    key = subject_meant(desk, subject)
    suspect(desk, key, why, "name" if misnamed else "health")
    _tell_kin(desk, key, as_json)


@command("clear")
@click.argument("subject", metavar="MOTHER|BATCH")
@why_option("How it is known.")
@json_option
@click.pass_obj
def clear_command(call: Call, /, subject: str, why: str, as_json: bool) -> None:
    """Lift what was suspected of a mother plant or a batch, and of all raised from it."""
    from propagate.actions.meaning import subject_meant
    from propagate.actions.recording import clear

    desk = call.desk()
    key = subject_meant(desk, subject)
    clear(desk, key, why)
    if not as_json:
        say(f"Cleared: {key}, and all raised from it.")
    _tell_kin(desk, key, as_json)


def _tell_kin(desk: "Desk", key: str, as_json: bool) -> None:
    from propagate.actions.tracing import family_of, trace_view

    answer = family_of(desk, "mother" if key in desk.book.stock_plants else "batch", key)
    if as_json:
        say_json(trace_view(answer))
        return
    for line in family_lines(answer):
        say(line)
    if answer.reprint:
        say_text(f"  propagate labels {' '.join(answer.reprint)} -o labels.pdf")
