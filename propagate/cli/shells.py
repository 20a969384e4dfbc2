"""Completion for shells."""

import click
from click.shell_completion import get_completion_class

from propagate.cli.group import command, program
from propagate.cli.say import say


@command("completion")
@click.argument("shell", metavar="bash|zsh|fish", type=click.Choice(["bash", "zsh", "fish"]))
def completion_command(shell: str) -> None:
    """Print the script that lets your shell complete commands, codes and methods.

    For bash: propagate completion bash >> ~/.bashrc
    """
    kind = get_completion_class(shell)
    assert kind is not None  # one of the choices above
    say(kind(program, {}, "propagate", "_PROPAGATE_COMPLETE").source())
