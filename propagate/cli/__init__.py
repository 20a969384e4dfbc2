"""The command line: words in, words or JSON out. Everything else happens in the actions."""

import sys
from collections.abc import Sequence

import click

from propagate.cli.group import program
from propagate.errors import PropagateError

DONE, REFUSED = 0, 2


def run(arguments: Sequence[str]) -> int:
    """Run one command; return 0 when done, 2 when refused with a sentence on standard error."""
    try:
        result = program.main(list(arguments), prog_name="propagate", standalone_mode=False)
    except click.exceptions.NoArgsIsHelpError as error:
        click.echo(error.ctx.get_help() if error.ctx else str(error))
        return REFUSED
    except click.UsageError as error:
        where = f" Try: {error.ctx.command_path} --help" if error.ctx else ""
        click.echo(f"{error.format_message()}{where}", err=True)
        return REFUSED
    except (PropagateError, click.ClickException) as error:
        click.echo(_sentence(error), err=True)
        return REFUSED
    except (click.Abort, KeyboardInterrupt):
        click.echo("Stopped; nothing more was written.", err=True)
        return REFUSED
    except BrokenPipeError:
        sys.stderr.close()  # the reader of a pipe has gone, which is its right
        return DONE
    return result if isinstance(result, int) else DONE


def _sentence(error: Exception) -> str:
    return error.format_message() if isinstance(error, click.ClickException) else str(error)
