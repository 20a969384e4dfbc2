"""Mother plants and names."""

from typing import TYPE_CHECKING

import click

from propagate.cli.context import Call, json_option, on_option
from propagate.cli.group import command
from propagate.cli.say import Columns, say, say_json, table
from propagate.days import written
from propagate.errors import Refused
from propagate.nearness import folded

if TYPE_CHECKING:
    from propagate.ledger import StockPlantState


@command("mother")
@click.argument("key", required=False)
@click.argument("plant", required=False)
@click.option("--place", default="", metavar="PLACE", help="Where she grows.")
@click.option("--batch", default="", metavar="BATCH", help="The batch she was raised from.")
@click.option("--note", "remark", default="", metavar="TEXT", help="Anything else.")
@on_option
@json_option
@click.pass_obj
def mother_command(
    call: Call,
    /,
    key: str | None,
    plant: str | None,
    place: str,
    batch: str,
    remark: str,
    on: str | None,
    as_json: bool,
) -> None:
    """Add the mother plant PLANT under your short name KEY for her; without PLANT, show her.

    Without both, list all.
    """
    from propagate.actions.answering import mothers

    desk = call.desk()
    if key and plant:
        from propagate.actions.meaning import as_known, batch_meant
        from propagate.actions.recording import record
        from propagate.records.events import StockPlantAdded

        name = desk.library.resolve(plant)
        code = batch_meant(desk, batch) if batch else ""
        mother = StockPlantAdded(key, name, code, place, remark)
        record(desk, as_known(desk, mother), call.day(on))
        if as_json:
            say_json({"stock_plant": key, "plant": str(name), "batches": []})
        else:
            say(f"{key} is in the book: {name}.")
    elif key and not (found := [row for row in mothers(desk) if folded(row[0]) == folded(key)]):
        raise Refused(f'Say what "{key}" is; write: propagate mother KEY PLANT.')
    else:
        _list(found if key else mothers(desk), as_json)


def _list(rows: "list[tuple[str, StockPlantState, list[str]]]", as_json: bool) -> None:
    if as_json:
        say_json([{"stock_plant": key, "plant": str(s.name), "batches": c} for key, s, c in rows])
        return
    if not rows:
        say("There are no mother plants in the book yet; write: propagate mother KEY PLANT.")
        return
    cells = [[key, str(s.name), s.added.place, " ".join(codes)] for key, s, codes in rows]
    table(Columns(["mother", "plant", "place", "batches"], cells))


@command("name")
@click.argument("subject", metavar="MOTHER|BATCH")
@click.argument("plant")
@click.option("--why", default="", metavar="REASON", help="How it is known now.")
@json_option
@click.pass_obj
def name_command(call: Call, /, subject: str, plant: str, why: str, as_json: bool) -> None:
    """Say what a mother plant or a batch really is.

    Everything taken from that mother takes the name too; labels that are out there with the
    old name are listed for a reprint.
    """
    from propagate.actions.meaning import subject_meant
    from propagate.actions.recording import settle_name

    desk = call.desk()
    name = desk.library.resolve(plant)
    subject = subject_meant(desk, subject)
    reprint = settle_name(desk, subject, name, why)
    if as_json:
        say_json({"plant": str(name), "reprint": list(reprint)})
        return
    say(f"{subject} is {name} from now on ({written(call.today)}).")
    if reprint:
        say(f"Labels with the old name: {' '.join(reprint)}")
        say(f"  propagate labels {' '.join(reprint)} -o labels.pdf")
