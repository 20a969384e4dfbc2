"""Labels: print them, list the rack of formats, calibrate the printer, tell how long they last."""

from pathlib import Path
from typing import Any

import click

from propagate.cli.context import Call, complete_batch, json_option, output_option
from propagate.cli.counting import Count
from propagate.cli.group import command
from propagate.cli.say import Columns, note, say, say_json, say_written, table
from propagate.cli.words import NO_BATCH
from propagate.errors import Refused
from propagate.lasting import MATERIALS, PRINTINGS, months_said

ALL_GOOD = "All labels that are out there are good."
NOTHING_ALIVE = "No batch has plants alive, so there is no label to print."
AT_FULL_SIZE = "; print it at 100 %, not fitted to the page"


@command("labels")
@click.argument("batches", nargs=-1, metavar="[BATCH]...", shell_complete=complete_batch)
@click.option("--mother", "mothers", multiple=True, metavar="KEY", help="Tag of a mother plant.")
@click.option("--bed", "beds", multiple=True, metavar="BED", help="Marker of a bed.")
@click.option("--all", "every", is_flag=True, help="All batches with plants alive.")
@click.option("--reprint", is_flag=True, help="Labels no longer good; without -o, list them.")
@click.option("--format", "format_name", default="", metavar="NAME", help="The kind of label.")
@click.option("--copies", type=Count(), metavar="N", help="So many each; else one for each tray.")
@click.option("--per-pot", is_flag=True, help="One for each plant that stands in a pot.")
@click.option("--start-at", type=int, default=1, metavar="K", help="First free place of the sheet.")
@click.option("--both-sides", is_flag=True, help="The same on the back; else blank, for pencil.")
@click.option("--crop-marks", is_flag=True, help="Short lines in the margins to cut by.")
@click.option("--archive", is_flag=True, help="A PDF of the kind made to be kept (PDF/A).")
@click.option("--formats", is_flag=True, help="List the label formats; with -o, draw them.")
@click.option("--calibrate", is_flag=True, help="The sheet that shows what your printer does.")
@click.option("--lasting", is_flag=True, help="How long labels last outdoors, with sources.")
@output_option("The file to write; its ending (.pdf or .html) says what kind.")
@json_option
@click.pass_obj
def labels_command(call: Call, /, as_json: bool, path: Path | None, **given: Any) -> None:
    """Print labels for batches, given by code, mark, tray or plant, into FILE.pdf (or .html).

    Mother plants and beds have labels too. A format of your own, or a better one, takes a few
    lines in the folder `labels` of your nursery.
    """
    if given["lasting"]:
        _say_lasting(as_json)
    elif given["formats"]:
        _show_rack(call, path, as_json)
    elif given["reprint"] and path is None:
        _tell_spent(call, as_json)
    elif path is None:
        what = "--calibrate" if given["calibrate"] else "BATCH..."
        raise Refused(f"-o is missing; write: propagate labels {what} -o FILE.pdf.")
    elif given["calibrate"]:
        from propagate.actions.printing import print_calibration

        written = print_calibration(call.start, path, given["format_name"])
        say_written(written.path, written.notice, AT_FULL_SIZE)
    else:
        _print(call, path, given)


def _print(call: Call, path: Path, given: dict[str, Any]) -> None:
    from propagate.actions.labelling import LabelOrder, living_batches, void_labels
    from propagate.actions.printing import LabelFinish, print_order

    desk = call.desk()
    batches = given["batches"]
    if given["every"]:
        batches = (*batches, *living_batches(desk))
        if not batches:
            say(NOTHING_ALIVE if desk.book.batches else NO_BATCH)
            return
    if given["reprint"]:
        batches = (*batches, *(task.batch for task in void_labels(desk)))
        if not batches:
            say(ALL_GOOD)
            return
    order = LabelOrder(batches, given["mothers"], given["beds"], given["copies"], given["per_pot"])
    written = print_order(
        desk,
        order,
        path,
        format_name=given["format_name"],
        start_at=given["start_at"],
        finish=LabelFinish(given["both_sides"], given["crop_marks"], given["archive"]),
    )
    say_written(written.path, written.notice, AT_FULL_SIZE)


def _tell_spent(call: Call, as_json: bool) -> None:
    from propagate.actions.labelling import void_labels

    tasks = void_labels(call.desk())
    if as_json:
        say_json([{"batch": t.batch, "plant": str(t.plant), "why": t.why} for t in tasks])
        return
    if not tasks:
        say(ALL_GOOD)
        return
    table(Columns(["batch", "plant", "why"], [[t.batch, str(t.plant), t.why] for t in tasks]))
    note("print them with: propagate labels --reprint -o labels.pdf")


def _show_rack(call: Call, path: Path | None, as_json: bool) -> None:
    from propagate.actions.printing import label_rack, print_rack

    if path is not None:
        written = print_rack(call.start, path)
        say_written(written.path, written.notice)
        return
    formats = label_rack(call.start)
    if as_json:
        say_json(
            [
                {
                    "format": one.name,
                    "title": one.title,
                    "width_mm": round(one.label.width_mm, 2),
                    "height_mm": round(one.label.height_mm, 2),
                    "per_page": one.per_page,
                    "page_mm": [one.page.width_mm, one.page.height_mm],
                    "read_at_m": one.read_at_m,
                }
                for one in formats
            ]
        )
        return
    rows = [
        [
            one.name,
            one.title,
            f"{one.label.width_mm:g} x {one.label.height_mm:g}",
            one.comes,
            f"{one.read_at_m:g} m",
        ]
        for one in formats
    ]
    table(Columns(["format", "what it is", "mm", "comes", "read at#"], rows))
    note("see them drawn with: propagate labels --formats -o formats.pdf")


def _say_lasting(as_json: bool) -> None:
    tables = {"material": MATERIALS, "print": PRINTINGS}
    if as_json:
        say_json(
            {
                key: {
                    word: {"months": list(life.months), "basis": life.basis, "source": life.source}
                    for word, life in known.items()
                }
                for key, known in tables.items()
            }
        )
        return
    rows = [
        [key, word, months_said(life.months), life.basis, life.source]
        for key, known in tables.items()
        for word, life in known.items()
    ]
    table(Columns(["setting", "word", "lasts outdoors", "basis", "source"], rows))
    note("years vary with sun and handling; the book goes by the shorter end of what goes first")
