"""Starting a batch."""

from collections.abc import Iterable
from typing import TYPE_CHECKING, Any

import click
from attrs import evolve

from propagate.cli.context import Call, complete_method, json_option, on_option
from propagate.cli.counting import Count
from propagate.cli.group import command
from propagate.cli.say import note, say, say_json, say_text
from propagate.cli.tray import tell_next
from propagate.cli.words import batch_words
from propagate.errors import Refused

if TYPE_CHECKING:
    from propagate.actions.desk import Desk
    from propagate.ledger import BatchState
    from propagate.library import Library
    from propagate.names import PlantName
    from propagate.records.methods import Method


@command("start")
@click.argument("plant")
@click.argument("method", shell_complete=complete_method)
@click.argument("count", type=Count())
@on_option
@click.option("--place", default="", metavar="PLACE", help="Where the trays stand.")
@click.option("--from", "stock_plant", default="", metavar="STOCKPLANT", help="The mother plant.")
@click.option("--tray", "trays", multiple=True, metavar="NAME", help="A tray; may be repeated.")
@click.option("--mark", default="", metavar="MARK", help="Your own mark for the batch, as T1.")
@click.option("--note", "remark", default="", metavar="TEXT", help="Anything else.")
@json_option
@click.pass_obj
def start_command(
    call: Call,
    /,
    plant: str,
    method: str,
    count: int,
    on: str | None,
    as_json: bool,
    remark: str,
    **given: Any,
) -> None:
    """Start a batch: COUNT propagules of PLANT by METHOD.

    PLANT is a Latin or common name, with the variety in quotes where it has one:
    "blackcurrant 'Name'", "Ficus carica (variety unknown)". METHOD is hardwood-cutting, runner,
    seed, ... as the command methods lists them; a word of it that tells will do.
    """
    from propagate.actions.answering import forecast_batch
    from propagate.actions.meaning import spelled
    from propagate.actions.recording import BatchPlan, start_batch
    from propagate.actions.remarks import start_remarks
    from propagate.actions.views import batch_view

    desk = call.desk()
    name, way = _meant(desk.library, plant, method)
    plan = BatchPlan(name, way.id, count, call.day(on), note=remark, **given)
    plan = evolve(plan, place=spelled(plan.place, desk.nursery.places))
    state = start_batch(desk, plan)
    answer = forecast_batch(desk, state.code)
    if as_json:
        say_json(batch_view(answer))
    else:
        for lead, text in batch_words(answer, way.name):
            say_text(text, lead)
        tell_next(desk, state.code)
        say(f"  labels   propagate labels {state.code} -o labels.pdf")
        for caution in _cautions(desk, state):
            say_text(caution, "  caution  ")
    for remark in start_remarks(desk, plant, plan):
        note(f"Note: {remark}")


def _meant(library: "Library", plant: str, method: str) -> tuple["PlantName", "Method"]:
    """The plant and the method; says so when they were given the wrong way round."""
    if "-".join(plant.lower().split()) in library.ids:
        raise Refused(f'"{plant}" is a method; write: propagate start PLANT METHOD COUNT.')
    name = library.resolve(plant)
    return name, library.method_meant(method, name)


def _cautions(desk: "Desk", state: "BatchState") -> Iterable[str]:
    """What to mind, the first time this plant is raised by this method in this book."""

    def kind(one: "BatchState") -> tuple[str, str]:
        return one.name.species_name, one.started.method

    if any(
        kind(other) == kind(state) for other in desk.book.batches.values() if other is not state
    ):
        return ()
    return desk.library.cautions(state.started.method, state.name)
