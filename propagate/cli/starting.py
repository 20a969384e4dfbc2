"""Starting a batch."""

from typing import Any

import click

from propagate.cli.context import Call, complete_method, json_option, on_option
from propagate.cli.group import command
from propagate.cli.say import note, say, say_json
from propagate.cli.words import batch_words


@command("start")
@click.argument("plant")
@click.argument("method", shell_complete=complete_method)
@click.argument("count", type=int)
@on_option
@click.option("--place", default="", metavar="P", help="Where the trays stand.")
@click.option("--from", "stock_plant", default="", metavar="STOCKPLANT", help="The mother plant.")
@click.option("--tray", "trays", multiple=True, metavar="NAME", help="A tray; may be repeated.")
@click.option("--mark", default="", metavar="M", help="Your own mark for the batch, as T1.")
@click.option("--note", "remark", default="", metavar="T", help="Anything else.")
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
    "blackcurrant 'Name'", "Ficus carica (variety unknown)".
    """
    from propagate.actions.answering import forecast_batch
    from propagate.actions.recording import BatchPlan, start_batch
    from propagate.actions.views import batch_view

    desk = call.desk()
    name, way = desk.library.resolve(plant), desk.library.method(method)
    plan = BatchPlan(name, way.id, count, call.day(on), note=remark, **given)
    state = start_batch(desk, plan)
    answer = forecast_batch(desk, state.code)
    if as_json:
        say_json(batch_view(answer))
        return
    for line in batch_words(answer, way.name):
        say(line)
    say(f"  labels   propagate labels {state.code} -o labels.pdf")
    for caution in desk.library.cautions(way.id, name):
        say(f"  caution  {caution}")
    _remarks(call, plant, plan)


def _remarks(call: Call, /, typed: str, plan: Any) -> None:
    """Say what may be a slip, without standing in the way."""
    from propagate.actions.answering import start_remarks

    for remark in start_remarks(call.desk(), typed, plan):
        note(f"Note: {remark}")
