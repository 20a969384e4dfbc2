"""Why is this 12? The entries behind a figure, as a list that adds up."""

import click

from propagate.cli.context import Call, complete_batch, json_option
from propagate.cli.group import command
from propagate.cli.say import Columns, say, say_json, table
from propagate.cli.words import NO_BATCH, who_wrote
from propagate.days import written


@command("why")
@click.argument("what", required=False, metavar="[BATCH|PLANT]", shell_complete=complete_batch)
@click.argument("account", required=False, metavar="[ACCOUNT]")
@json_option
@click.pass_obj
def why_command(call: Call, /, what: str | None, account: str | None, as_json: bool) -> None:
    """Why a figure of a batch or a sheet is what it is: the entries that made it, added up.

    ACCOUNT is named as show or the stock sheet name it: rooted, potted, lost, "given: Hilda",
    or started, here, promised; without it all are explained. Write all for the whole book.
    """
    from propagate.actions.explaining import explain

    subject = "" if what in (None, "all") else what or ""
    explained = explain(call.desk(), subject, account or "")
    if as_json:
        say_json(explained.view())
        return
    if not explained.figures:
        say(NO_BATCH)
    several = len(explained.batches) > 1
    for at, figure in enumerate(explained.figures):
        if at:
            say()
        say(f"{figure.count} {figure.name}")
        rows = [
            [
                str(step.entry.seq),
                written(step.entry.on),
                step.batch if several else "",
                step.entry.said,
                f"{step.change:+d}",
                str(step.balance),
                who_wrote(step.entry.entered, step.entry.by, step.entry.device),
            ]
            for step in figure.steps
        ]
        table(Columns(["no#", "day", "batch", "what", "change#", "then#", "written down"], rows))
    if explained.taken_back:
        say()
        say("Taken back, and not counted:")
        for line in explained.taken_back:
            say(f"  no {line.seq}  {written(line.on)}  {line.said}  (by {line.void_why})")
