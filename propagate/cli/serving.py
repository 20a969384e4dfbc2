"""Starting the bench page. The pages load here, when they are wanted, and nowhere else."""

from typing import Any

import click

from propagate.cli.context import Call
from propagate.cli.group import command
from propagate.cli.say import say


@command("serve")
@click.option(
    "--port",
    type=click.IntRange(0, 65535),
    default=8000,
    show_default=True,
    metavar="N",
    help="Where to listen; 0 takes any free port.",
)
@click.option("--lan", is_flag=True, help="Open it to the phones on your network, with a code.")
@click.option("--forget", is_flag=True, help="Let every phone pair anew.")
@click.pass_obj
def serve_command(call: Call, /, **asked: Any) -> None:
    """Open the bench page: the daily round on a phone or a screen, without internet.

    It answers this machine alone; with --lan also the phones on the same network, after they
    were paired once with the code that is shown.
    """
    from propagate.web.serving import Opening, serve

    desk = call.desk()
    folder = desk.folder
    desk.close()
    serve(Opening(folder, call.fixed_today, **asked), say)
