"""Beds: what is wanted in them, and whether it will be there."""

from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from propagate.cli.context import Call, json_option, output_option
from propagate.cli.counting import CountRange
from propagate.cli.group import command
from propagate.cli.say import Columns, note, say, say_json, say_written, table
from propagate.cli.words import counted, range_short, range_tight
from propagate.days import written
from propagate.errors import Refused

if TYPE_CHECKING:
    from propagate.actions.desk import Desk
    from propagate.records.beds import BedForecast, BedsAnswer, Want

NOTHING_WANTED = (
    "Nothing is wanted yet; say, for example: "
    'propagate want "south hedge" hawthorn 60 --by "15 Mar"'
)


@command("beds")
@output_option("Draw it into FILE.svg, .pdf, .html or .csv.")
@json_option
@click.pass_obj
def beds_command(call: Call, /, path: Path | None, as_json: bool) -> None:
    """Tell whether there will be enough plants for the beds.

    For each bed: what is wanted by when, what stands there, how many will be there (low –
    likely – high), the chance that all are, and how many are short of the certainty asked
    for. Then what is free to give or sell once the beds have theirs.
    """
    from propagate.actions.bedding import beds, beds_view

    desk = call.desk()
    answer = beds(desk)
    if path is not None:
        from propagate.actions.printing import print_beds

        written_ = print_beds(desk, answer, path)
        say_written(written_.path, written_.notice)
    elif as_json:
        say_json(beds_view(answer))
    else:
        _tell(answer)


def _tell(answer: "BedsAnswer") -> None:
    if answer.beds:
        _tell_beds(answer.beds)
    elif not answer.unnamed:
        say(NOTHING_WANTED)
    for bed in answer.unnamed:
        planted = f", {bed.planted} planted" if bed.planted else ""
        said = f" ({bed.note})" if bed.note else ""
        say(f"{bed.bed} takes {bed.wanted} plants{planted}{said}; of what?")
        say(f'  propagate want "{bed.bed}" PLANT COUNT')
    if answer.spare and answer.beds:
        say()
        rows = [[str(one.plant), range_short(one.plants)] for one in answer.spare]
        table(Columns(["to give or sell", "plants#"], rows))
    for code, what in answer.doubts:
        note(f"Note: {code} is {what}; its plants are counted here all the same.")


def _tell_beds(beds: "tuple[BedForecast, ...]") -> None:
    table(_wide(beds), _narrow(beds))
    if any(bed.short for bed in beds):
        say("What to start for what is short: propagate plan")


def _wide(beds: "tuple[BedForecast, ...]") -> Columns:
    return Columns(
        ["bed", "plant", "by", "wanted#", "planted#", "there then#", "chance#", "short#", "from"],
        [
            [
                bed.want.name,
                str(bed.want.plant),
                written(bed.want.by),
                str(bed.want.wanted),
                str(bed.want.planted or ""),
                range_short(bed.plants),
                chance_words(bed.filled),
                str(bed.short or ""),
                ", ".join(f"{code} {count}" for code, count in bed.batches),
            ]
            for bed in beds
        ],
    )


def _narrow(beds: "tuple[BedForecast, ...]") -> Columns:
    """For a screen that is too narrow for all of it."""
    return Columns(
        ["bed", "wanted#", "there then#", "chance#", "short#"],
        [
            [
                f"{bed.want.name}\n{bed.want.plant}\nby {written(bed.want.by)}",
                str(bed.want.wanted),
                range_tight(bed.plants),
                chance_words(bed.filled),
                str(bed.short or ""),
            ]
            for bed in beds
        ],
    )


def chance_words(chance: float) -> str:
    """A chance in whole hundredths, never rounded to a certainty that it is not."""
    if chance >= 0.995:
        return "> 99 %" if chance < 1 - 1e-9 else "sure"
    return f"{chance * 100:.0f} %" if chance >= 0.005 else "< 1 %"


@command("want")
@click.argument("bed", required=False)
@click.argument("plant", required=False)
@click.argument("count", required=False, type=CountRange(min=0))
@click.option("--by", metavar="DATE", help="The day it is wanted by; else the end of frost.")
@click.option(
    "--chance",
    type=click.FloatRange(0, 100, min_open=True, max_open=True),
    metavar="PERCENT",
    help="How sure it is to be; 90 if not given.",
)
@click.option(
    "--priority", type=click.IntRange(min=1), metavar="N", help="1 is served first; usually 2."
)
@click.option("--every", type=CountRange(min=1), metavar="WEEKS", help="A row each so many weeks.")
@click.option("--times", type=CountRange(min=1), metavar="N", help="So many rows in all.")
@click.option("--since", metavar="DATE", help="Plants put there before that day do not count.")
@click.option("--size", metavar="LENGTH", help='Measure the bed: "6 m x 1.2 m", "30 m", "12 m2".')
@click.option("--spacing", metavar="LENGTH", help="How far plants stand apart: 40 cm, 18 in.")
@click.option("--rows", metavar="LENGTH", help="How far rows stand apart, if not as the plants do.")
@click.option("--triangle", is_flag=True, help="Rows set off by half a distance.")
@click.option("--note", "remark", default="", metavar="TEXT", help="Anything else.")
@json_option
@click.pass_obj
def want_command(
    call: Call, /, bed: str | None, plant: str | None, count: int | None, as_json: bool, **said: Any
) -> None:
    """Say that COUNT of PLANT are wanted in BED by a day; without words, list what is wanted.

    COUNT may be left out where the bed is measured, here or in nursery.toml. 0 takes a want
    back; said again it takes the place of what was said before. A species without a variety
    is content with any variety of it.
    """
    from propagate.actions.bedding import known_beds, want, wants
    from propagate.actions.remarks import new_name

    desk = call.desk()
    if bed is None:
        _list(wants(desk), as_json)
        return
    if plant is None:
        raise Refused(f'Say what is wanted in "{bed}"; write: propagate want BED PLANT COUNT.')
    known = known_beds(desk)
    given = want(desk, _wanted(call, desk, bed, plant, count, said))
    if as_json:
        _list([w for w in wants(desk) if w.bed == given.bed and w.plant == given.plant], as_json)
    elif not given.count:
        say(f"{given.plant} is no longer wanted in {given.bed}.")
    else:
        rows = (
            f", {counted(given.times, 'row')} {given.every_weeks} weeks apart"
            if given.times > 1
            else ""
        )
        sure = f"{given.chance * 100:.4g} %"
        say(f"{given.bed}: {given.count} {given.plant} by {written(given.by)}{rows}, {sure} sure.")
        say("  will they come?  propagate beds")
        for remark in new_name("bed", given.bed, known):
            note(f"Note: {remark}")


def _wanted(
    call: Call, desk: "Desk", bed: str, plant: str, count: int | None, said: dict[str, Any]
) -> Any:
    from propagate.actions.bedding import room_in, wanted_by
    from propagate.records.events import FULL_CHANCE, USUAL_PRIORITY, Wanted

    name = desk.library.resolve(plant)
    if count is None:
        count = _measured(said) if said["size"] else room_in(desk, bed, name)
    elif said["size"]:
        raise Refused("Give COUNT, or --size with --spacing, not both.")
    optional = {"since": call.day(said["since"])} if said["since"] else {}
    return Wanted(
        bed=bed,
        plant=name,
        count=count,
        by=call.day_ahead(said["by"]) or wanted_by(desk, bed),
        chance=said["chance"] / 100 if said["chance"] else FULL_CHANCE,
        priority=said["priority"] or USUAL_PRIORITY,
        every_weeks=said["every"] or 0,
        times=said["times"] or 1,
        note=said["remark"],
        **optional,
    )


def _measured(said: dict[str, Any]) -> int:
    """How many plants a bed takes by its measure and spacing."""
    from propagate.actions.bedding import plants_measured

    if not said["spacing"]:
        raise Refused("--size needs --spacing too: how far plants stand apart, such as 40 cm.")
    return plants_measured(said["size"], said["spacing"], said["rows"], said["triangle"])


def _list(wants: "list[Want]", as_json: bool) -> None:
    from propagate.actions.bedding import want_view

    if as_json:
        say_json([want_view(want) for want in wants])
    elif not wants:
        say(NOTHING_WANTED)
    else:
        headings = ["bed", "plant", "wanted#", "by", "sure#", "priority#", "planted#"]
        rows = [
            [
                want.name,
                str(want.plant),
                str(want.wanted),
                written(want.by),
                f"{want.chance * 100:.4g} %",
                str(want.priority),
                str(want.planted or ""),
            ]
            for want in wants
        ]
        table(Columns(headings, rows))
