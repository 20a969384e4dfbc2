"""The command line: words in, words or JSON out. Everything else happens in the actions."""

import io
import os
import sys
from collections.abc import Sequence

import click

from propagate.cli import letters
from propagate.cli.group import program
from propagate.errors import PropagateError
from propagate.legible import shown, told_shortly

DONE, REFUSED = 0, 2


def run(arguments: Sequence[str]) -> int:
    """Run one command; return 0 when done, 2 when refused with a sentence on standard error."""
    _print_anything()
    try:
        result = program.main(list(arguments), prog_name="propagate", standalone_mode=False)
        sys.stdout.flush()  # a pipe that has gone shows here, not after the last line of Python
    except click.exceptions.NoArgsIsHelpError as error:
        click.echo(error.ctx.get_help() if error.ctx else str(error))
        return REFUSED
    except click.ClickException as error:
        from propagate.cli.refusals import sentence

        click.echo(shown(told_shortly(sentence(error))), err=True)
        return REFUSED
    except PropagateError as error:
        click.echo(shown(told_shortly(str(error))), err=True)
        return REFUSED
    except (click.Abort, KeyboardInterrupt):
        click.echo("Stopped; nothing more was written.", err=True)
        return REFUSED
    except BrokenPipeError:
        # The reader of a pipe has gone, which is its right; there is nobody left to tell.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return DONE
    return result if isinstance(result, int) else DONE


def _print_anything() -> None:
    """Let a screen that lacks a letter, such as ’ or →, show a plain one instead of failing."""
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors=letters.NAME)
