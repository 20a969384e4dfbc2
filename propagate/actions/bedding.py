"""Beds: say what is wanted, and ask whether it will be there."""

import datetime as dt
from typing import Any

from attrs import evolve

from propagate.actions.answering import cases, groups_of
from propagate.actions.desk import Desk
from propagate.actions.meaning import spelled
from propagate.actions.recording import record
from propagate.actions.views import count_view
from propagate.days import written
from propagate.errors import NotFound, Refused
from propagate.lengths import read_area, read_length, read_size
from propagate.nearness import folded, nearest
from propagate.planning.beds import answer_beds
from propagate.planning.wants import unnamed_beds, usual_day, wants_of
from propagate.records.beds import BedForecast, BedsAnswer, Want
from propagate.records.events import Wanted
from propagate.records.nursery import Bed
from propagate.science.spacing import Pattern, plants_in_rows, plants_on, rows_apart_m


def beds(desk: Desk) -> BedsAnswer:
    """Whether the plants will come that the beds want, as of today."""
    groups = groups_of(desk, cases(desk))
    unnamed = unnamed_beds(desk.book, desk.nursery)
    return answer_beds(groups, wants(desk), unnamed, desk.nursery, desk.today)


def wants(desk: Desk) -> list[Want]:
    """Everything that is wanted, in the order in which it is served."""
    return wants_of(desk.book, desk.nursery, desk.library.resolve, desk.today)


def want(desk: Desk, said: Wanted) -> Wanted:
    """Write down what is wanted in a bed; return it as it stands in the book.

    Raises Refused for a day gone by or a succession without a step, and NotFound when
    something is to be taken back that is not wanted.
    """
    meant = evolve(said, bed=spelled(said.bed.strip(), known_beds(desk)))
    if not meant.bed:
        raise Refused("Say which bed it is for.")
    if not (meant.plant.species or meant.plant.parents or meant.plant.is_cultivar):
        raise Refused(f"Say which {meant.plant} is wanted; a genus alone is no plant to raise.")
    if meant.times > 1 and not meant.every_weeks:
        raise Refused("A succession needs its step too: --every 2 sows or plants each fortnight.")
    if not meant.count and (folded(meant.bed), str(meant.plant)) not in desk.book.wants:
        raise NotFound(f"Nothing is wanted of {meant.plant} in {meant.bed} by the book.")
    if meant.count and meant.by < desk.today:
        raise Refused(f"{written(meant.by)} is before today; say by when it is wanted.")
    record(desk, meant)
    return meant


def known_beds(desk: Desk) -> list[str]:
    """The beds that the settings and the book name."""
    named = [*desk.nursery.beds, *(state.said.bed for state in desk.book.wants.values())]
    return list({folded(name): name for name in reversed(named)}.values())


def room_in(desk: Desk, bed: str, plant: Any = None) -> int:
    """How many plants of a kind a bed of the settings takes beside what else is wanted there.

    Raises Refused where neither the settings nor the grower say.
    """
    known = {folded(one.name): one for one in desk.nursery.beds.values()}
    found: Bed | None = known.get(folded(bed))
    if found is None or found.takes is None:
        near = nearest(bed, desk.nursery.beds, count=1) if found is None else []
        offer = f'; did you mean "{near[0]}"?' if near else ""
        raise Refused(
            f'How many plants go into "{bed}" is not known; say COUNT, or --size and --spacing, '
            f"or give the bed in nursery.toml{offer or '.'}"
        )
    others = [
        state.said.count * state.said.times
        for (name, other), state in desk.book.wants.items()
        if name == folded(bed) and other != str(plant)
    ]
    return max(0, found.takes - sum(others))


def plants_measured(
    size: str, spacing: str, rows: str | None = None, triangle: bool = False
) -> int:
    """How many plants a bed takes: of length x width, of a row's length, or of an area.

    Raises Refused for what is no size or length, and where not one plant finds room.
    """
    pattern: Pattern = "triangle" if triangle else "square"
    apart_m = read_length(spacing)
    rows_m = read_length(rows) if rows else rows_apart_m(apart_m, pattern)
    try:
        count = plants_on(read_area(size), apart_m, rows_m)
    except Refused:
        single = not any(sign in size.lower() for sign in ("x", "×", "*", " by "))
        length_m, width_m = (read_length(size), rows_m) if single else read_size(size)
        count = plants_in_rows(length_m, width_m, apart_m, rows_m, pattern)
    if not count:
        raise Refused(f"At {spacing} not one plant finds room in {size}.")
    return count


def wanted_by(desk: Desk, bed: str) -> dt.date:
    """The day by which a bed is usually to be filled: its own, or the end of frost."""
    known = {folded(one.name): one for one in desk.nursery.beds.values()}
    found = known.get(folded(bed))
    return usual_day(desk.nursery, desk.today, found.by if found else None)


def beds_view(answer: BedsAnswer) -> dict[str, Any]:
    """The answer as JSON has it."""
    return {
        "as_of": answer.as_of.isoformat(),
        "beds": [bed_view(bed) for bed in answer.beds],
        "spare": [
            {"plant": str(spare.plant), **count_view(spare.plants)} for spare in answer.spare
        ],
        "unnamed": [
            {"bed": bed.bed, "wanted": bed.wanted, "planted": bed.planted, "note": bed.note}
            for bed in answer.unnamed
        ],
        "doubts": [{"batch": code, "what": said} for code, said in answer.doubts],
    }


def bed_view(bed: BedForecast) -> dict[str, Any]:
    """One bed's answer."""
    return {
        **want_view(bed.want),
        "plants": count_view(bed.plants),
        "filled": round(bed.filled, 4),
        "surely": bed.surely,
        "short": bed.short,
        "batches": [{"batch": code, "plants": count} for code, count in bed.batches],
    }


def want_view(want: Want) -> dict[str, Any]:
    """One want, a row of a succession by itself."""
    return {
        "bed": want.bed,
        "row": want.row or None,
        "plant": str(want.plant),
        "wanted": want.wanted,
        "by": want.by.isoformat(),
        "chance": want.chance,
        "priority": want.priority,
        "planted": want.planted,
    }
