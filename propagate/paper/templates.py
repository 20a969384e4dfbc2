"""Jinja2 templates out of the label folders."""

from collections.abc import Sequence
from functools import lru_cache
from pathlib import Path
from typing import TYPE_CHECKING, Any

from propagate.errors import Refused

if TYPE_CHECKING:
    from jinja2 import Environment


def fill(template: str, folders: Sequence[Path], **values: Any) -> str:
    """Fill a template; where two folders hold it, the last folder wins.

    Raises Refused, with file and line, when a template is missing or faulty.
    """
    import jinja2

    try:
        return _environment(tuple(folders)).get_template(template).render(values)
    except jinja2.TemplateNotFound as fault:
        looked = ", ".join(str(folder) for folder in folders)
        raise Refused(f'There is no template "{fault.name}" in {looked}.') from fault
    except jinja2.TemplateSyntaxError as fault:
        where = f"{fault.filename or fault.name}, line {fault.lineno}"
        raise Refused(f"{where}: {fault.message}.") from fault
    except (jinja2.TemplateError, TypeError, ValueError) as fault:
        raise Refused(f'The template "{template}" cannot be filled: {fault}.') from fault


@lru_cache(maxsize=4)
def _environment(folders: tuple[Path, ...]) -> "Environment":
    """Names come from people, so all is escaped; folders may be shared, so it is sandboxed."""
    from jinja2 import FileSystemLoader, StrictUndefined
    from jinja2.sandbox import ImmutableSandboxedEnvironment

    environment = ImmutableSandboxedEnvironment(
        loader=FileSystemLoader([str(folder) for folder in reversed(folders)]),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    environment.filters.update(num=plain_number, count=shown_count, percent=shown_percent)
    return environment


def plain_number(value: float) -> str:
    """A length for CSS or SVG: at most four decimals, no rounding dust, no exponent."""
    return f"{value:.4f}".rstrip("0").rstrip(".")


def shown_count(number: int) -> str:
    """A count for a table, where a dot is quieter than a zero."""
    return str(number) if number else "·"


def shown_percent(chance: float) -> str:
    """A probability as a whole percentage."""
    return f"{chance:.0%}".replace("%", " %")
