"""The settings file of a nursery, read strictly into a Nursery."""

from pathlib import Path
from typing import get_args

from propagate.errors import refuse_all
from propagate.paths import NURSERY_FILE
from propagate.records.nursery import USUAL_CHANCE, Container, Hemisphere, Nursery, Place
from propagate.settings.beds import read_beds
from propagate.settings.book import REFUSAL, read_book
from propagate.settings.labels import read_labels
from propagate.settings.plan import read_plan
from propagate.settings.text import COMMON_FROSTS
from propagate.settings.values import above_zero, close, day, section, whole
from propagate.settings.weather import read_weather
from propagate.tables import Table, read_table
from propagate.worded import worded

COLDEST_C = -60.0  # colder is no place for plants, but a slip
LEAST_FROST_RISK, MOST_FROST_RISK = 0.01, 0.5


def read_settings(folder: Path) -> Nursery:
    """The nursery of this folder.

    Raises Refused, naming file and key, when nursery.toml says something it cannot say.
    """
    table = read_table(folder / NURSERY_FILE, NURSERY_FILE)
    refuse_all(table.problems, REFUSAL)
    nursery = _read_nursery(table)
    refuse_all(table.problems, REFUSAL)
    return nursery


def _chance(table: Table) -> float:
    """The chance of the range from low to high that answers give."""
    chance = table.number("chance", USUAL_CHANCE)
    if 0.5 <= chance <= 0.99:
        return chance
    table.complain(
        worded("{chance:g} is no useful chance; give one from 0.5 to 0.99", chance=chance),
        "chance",
    )
    return USUAL_CHANCE


def _read_nursery(table: Table) -> Nursery:
    hemisphere = table.choice("hemisphere", get_args(Hemisphere), "north")
    days = COMMON_FROSTS[hemisphere]
    name = table.text("name")
    places = {place.name: place for place in _read_places(table)}
    nursery = Nursery(
        name=name or "Nursery",
        hemisphere="south" if hemisphere == "south" else "north",
        last_frost=day(table, "last_frost", days),
        first_frost=day(table, "first_frost", days),
        frost_risk=_frost_risk(table),
        leaf_fall=day(table, "leaf_fall", days),
        bud_break=day(table, "bud_break", days),
        chance=_chance(table),
        check_every_weeks=whole(table, "check_every_weeks", 4) or 4,
        places=places,
        containers={pot.name: pot for pot in _read_containers(table)},
        beds={bed.name: bed for bed in read_beds(table)},
        in_hand=_read_amounts(table, "in_hand"),
        prices=_read_amounts(table, "prices"),
        labels=read_labels(table),
        weather=read_weather(table, places),
        book=read_book(table),
        plan=read_plan(table),
        protected=table.texts("protected"),
    )
    table.finish()
    return nursery


def _frost_risk(table: Table) -> float | None:
    if not table.gives("frost_risk"):
        return None
    risk = table.number("frost_risk")
    if not LEAST_FROST_RISK <= risk <= MOST_FROST_RISK:
        table.complain(
            worded("{risk:g} is no useful chance of frost; give one from 0.01 to 0.5", risk=risk),
            "frost_risk",
        )
    return risk


def _read_places(table: Table) -> list[Place]:
    places = []
    for name, inner in section(table, "places"):
        temp_c, cold = inner.pair("temp_c", None, lowest=COLDEST_C), inner.flag("cold", False)
        size_m2 = above_zero(inner, "size_m2")
        pots_to = inner.text("pots_to", "")
        if pots_to and pots_to not in table.values["places"]:
            inner.complain(
                worded('there is no place "{place}" in these settings', place=pots_to), "pots_to"
            )
        places.append(Place(name, temp_c, cold, size_m2, pots_to, inner.text("note", "")))
        close(table, inner)
    return places


def _read_containers(table: Table) -> list[Container]:
    pots = []
    for name, inner in section(table, "containers"):
        litres, cells = above_zero(inner, "litres"), whole(inner, "cells")
        pots.append(Container(name, litres, cells or 1, _read_size(inner)))
        close(table, inner)
    return pots


def _read_size(table: Table) -> tuple[float, float] | None:
    """Length and width on the bench, or the width across of what is round or square."""
    sizes = table.sizes("size_cm")
    across = above_zero(table, "across_cm")
    if sizes and across:
        table.complain(worded("give either size_cm or across_cm, not both"))
    return (across, across) if across else sizes


def _read_amounts(table: Table, key: str) -> dict[str, float]:
    """Numbers by name, none below nought."""
    if not table.gives(key):
        return {}
    inner = table.table(key)
    amounts = {name: inner.number(name) for name in inner.values}
    for name, amount in amounts.items():
        if amount < 0:
            inner.complain(worded("{amount:g} is below nought", amount=amount), name)
    close(table, inner)
    return amounts
