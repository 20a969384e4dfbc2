"""Asking the method library."""

from pathlib import Path

import click

from propagate.cli.context import Call, json_option, output_option
from propagate.cli.group import command
from propagate.cli.say import Columns, say, say_json, say_text, say_written, table
from propagate.library import Library
from propagate.records.methods import MethodRecord
from propagate.records.nursery import Nursery
from propagate.records.prints import CardStage, MethodCard

CHECK = "check"


@command("methods")
@click.argument("words", nargs=-1)
@click.option("--month", type=click.IntRange(1, 12), metavar="1-12", help="Taken in that month.")
@output_option("Print the one record found as a card, into FILE.pdf or .html.")
@json_option
@click.pass_obj
def methods_command(
    call: Call, /, words: tuple[str, ...], month: int | None, path: Path | None, as_json: bool
) -> None:
    """Find what the library knows about plants and methods by WORDS; one find is shown whole.

    For example: propagate methods fig; propagate methods fig hardwood -o fig.pdf;
    propagate methods --month 11. And: propagate methods check, for records of your own.
    """
    from propagate.actions.asking import find_records, library_at
    from propagate.actions.views import record_view

    library, nursery = library_at(call.start)
    if words == (CHECK,):
        _check(library, as_json)
        return
    records = find_records(library, words, month, nursery)
    if path is not None:
        _print(call, records, path)
    elif as_json:
        say_json([record_view(record, library) for record in records])
    elif len(records) == 1:
        _card(records[0], library, nursery)
    else:
        _list(records, library, nursery)


def _list(records: tuple[MethodRecord, ...], library: Library, nursery: Nursery | None) -> None:
    from propagate.planning.cards import months_words, range_words, weeks_words

    if not records:
        say("Nothing is taken then.")
    wide, narrow = [], []
    for record in records:
        plant, months = _plant(record, library), months_words(record, nursery)
        weeks, take = weeks_words(*record.weeks), record.taking.take
        share = range_words(take.low, take.high, share=True) if take else ""
        wide.append([record.method, plant, weeks, share, months, record.basis])
        narrow.append([record.method, f"{plant}\n{months}; {record.basis}", weeks, share])
    table(
        Columns(["method", "plant", "weeks#", "take#", "months", "source"], wide),
        Columns(["method", "plant", "weeks#", "take#"], narrow),
    )


def _card(record: MethodRecord, library: Library, nursery: Nursery | None) -> None:
    from propagate.planning.cards import method_card

    card = method_card(library, record, nursery)
    common = f" ({card.common})" if card.common else ""
    say(f"{card.name}{common} — {card.method}" if card.name else card.method)
    say_text(card.summary)
    say()
    for label, text in (("Take", card.season), *card.facts):
        say_text(text, f"{label:<11}")
    say()
    for stage in card.stages:
        _stage(stage)
    say()
    for number, step in enumerate(card.steps, start=1):
        say_text(step, f"{number}. ")
    _remarks(card)


def _stage(stage: CardStage) -> None:
    take = f", take {stage.take}" if stage.take else ""
    ends = f", then {stage.ends}" if stage.ends else ""
    say(f"{stage.name}: {stage.weeks}{take}{ends}")
    for origin in stage.origins:
        say_text(origin, "  ")


def _remarks(card: MethodCard) -> None:
    for lead, texts in (
        ("", [card.note] if card.note else []),
        ("Caution: ", card.cautions),
        ("To read: ", card.reading),
    ):
        for text in texts:
            say()
            say_text(text, lead)


def _print(call: Call, records: tuple[MethodRecord, ...], path: Path) -> None:
    from propagate.actions.printing import print_card

    if len(records) != 1:
        raise click.UsageError(
            f"A card shows one record and {len(records)} were found; add the method or the plant."
        )
    written = print_card(call.start, records[0], path)
    say_written(written.path, written.notice)


def _check(library: Library, as_json: bool) -> None:
    """Say what is wrong in any record, and which record of the nursery's own now wins."""
    from propagate.actions.asking import own_records
    from propagate.errors import refuse_all

    own = own_records(library)
    if as_json:
        problems = [{"where": p.where, "what": p.what} for p in library.problems]
        say_json({"problems": problems, "own": [{"record": r, "why": why} for r, why in own]})
        return
    for record, why in own:
        say(f"{record}: {why}")
    refuse_all(library.problems, "These records are left out:")
    methods = library.methods()
    plants = sum(len(method.records) for method in methods)
    say(f"{len(methods)} methods and {plants} plant records, nothing wrong with any.")


def _plant(record: MethodRecord, library: Library) -> str:
    from propagate.names import parse

    if record.plant is None:
        return "(any plant)"
    common = library.common_name(parse(record.plant))
    return f"{record.plant} ({common})" if common else record.plant
