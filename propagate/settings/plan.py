"""The section [plan] of the settings: what a plan may use besides the bench."""

from propagate.records.nursery import PlanSettings
from propagate.settings.values import above_zero, close
from propagate.tables import Table


def read_plan(table: Table) -> PlanSettings:
    """The section, or its defaults where it is not there."""
    if not table.gives("plan"):
        return PlanSettings()
    inner = table.table("plan")
    found = PlanSettings(
        hours_per_week=above_zero(inner, "hours_per_week"),
        places=_texts(inner, "places"),
        per_mother=_numbers(inner, "per_mother"),
        mothers=_numbers(inner, "mothers"),
        minutes=_numbers(inner, "minutes"),
    )
    close(table, inner)
    return found


def _texts(table: Table, key: str) -> dict[str, str]:
    """A table of texts; none where it is not given."""
    if not table.gives(key):
        return {}
    inner = table.table(key)
    found = {name: inner.text(name) for name in inner.values}
    close(table, inner)
    return found


def _numbers(table: Table, key: str) -> dict[str, float]:
    """A table of numbers above 0; none where it is not given."""
    if not table.gives(key):
        return {}
    inner = table.table(key)
    found = {name: above_zero(inner, name) or 0.0 for name in inner.values}
    close(table, inner)
    return found
