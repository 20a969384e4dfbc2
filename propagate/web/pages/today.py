"""The daily round: what is to be done today, place by place, and the way to any tray."""

import datetime as dt
from collections.abc import Iterable, Sequence
from itertools import groupby

from attrs import frozen
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response

from propagate.actions.answering import due
from propagate.actions.desk import Desk
from propagate.actions.meaning import batches_meant
from propagate.actions.sharing import last_seq
from propagate.actions.warming import Progress, due_so_far, progress
from propagate.errors import PropagateError
from propagate.records.answers import DueTask
from propagate.web.forms import asked_number
from propagate.web.rendering import page

SOON_DAYS = 14
MOST_JOBS = 40
MOST_SOON = 12

DEED_OF = {
    "check": "check",
    "pot on": "pot-on",
    "lift": "pot-on",
    "lift the rest": "pot-on",
    "sever": "sever",
    "harden off": "harden",
    "plant out": "plant-out",
    "move to warmth": "move",
    "move to the fridge": "move",
    "empty the tray": "check",
}
"""The form on the tray page in which a job is written down."""


@frozen
class Round:
    """What the page shows: jobs by place, how many more there are, and what comes soon."""

    today: dt.date
    places: tuple[tuple[str, tuple[DueTask, ...]], ...]
    more: int
    count: int
    soon: tuple[DueTask, ...]
    every_place: tuple[str, ...]
    here: str
    batches: int
    seen: int
    learned: Progress | None


def round_of(desk: Desk, place: str, skip: int, *, warming: bool = False) -> Round:
    """The round of the desk's day, in one place or, when that is empty, everywhere.

    While a large book is `warming`, what is known so far, and how far that is.
    """
    tasks = due_so_far(desk) if warming else due(desk)
    open_now = [task for task in tasks if task.date <= desk.today]
    wanted = [task for task in open_now if not place or task.place == place]
    until = desk.today + dt.timedelta(days=SOON_DAYS)
    soon = [t for t in tasks if desk.today < t.date <= until and (not place or t.place == place)]
    by_place = sorted(wanted, key=lambda task: (task.place == "", task.place.casefold(), task.date))
    shown = by_place[skip : skip + MOST_JOBS]
    return Round(
        today=desk.today,
        places=tuple(_by_place(shown)),
        more=max(0, len(by_place) - skip - len(shown)),
        count=len(wanted),
        soon=tuple(soon[:MOST_SOON]),
        every_place=tuple(
            sorted({task.place for task in open_now if task.place}, key=str.casefold)
        ),
        here=place,
        batches=len(desk.book.batches),
        seen=last_seq(desk.book),
        learned=progress(desk) if warming else None,
    )


def _by_place(tasks: Iterable[DueTask]) -> Iterable[tuple[str, tuple[DueTask, ...]]]:
    for place, group in groupby(tasks, key=lambda task: task.place):
        yield place, tuple(group)


async def today(request: Request) -> Response:
    """The first page."""
    place = request.query_params.get("place", "")[:200]
    skip = asked_number(request, "skip")
    room = request.app.state.bench.room
    answer = await room.ask(lambda desk: round_of(desk, place, skip, warming=room.warming))
    return page(request, "today.html", round=answer, skip=skip, deed_of=deed_address)


def deed_address(task: DueTask) -> str:
    """Where a job is written down."""
    if task.action == "print a new label":
        return f"/print?tray={task.batch}"
    deed = DEED_OF.get(task.action, "pot-on")
    return f"/T/{task.batch}#{deed}"


async def find_tray(request: Request) -> Response:
    """From what was typed to the tray: a code, a mark, a tray's name or a plant."""
    typed = request.query_params.get("code", "").strip()[:200]
    bench = request.app.state.bench

    def meant(desk: Desk) -> tuple[Sequence[str], str, int]:
        if not typed:
            return (), "", last_seq(desk.book)
        try:
            return batches_meant(desk, typed), "", last_seq(desk.book)
        except PropagateError as error:
            return (), error.said, last_seq(desk.book)

    codes, trouble, seen = await bench.room.ask(meant)
    if len(codes) == 1:
        return RedirectResponse(f"/T/{codes[0]}", 303)
    if codes:
        from urllib.parse import quote

        return RedirectResponse(f"/trays?q={quote(typed)}", 303)
    status = 404 if trouble else 200
    return page(request, "find.html", status, typed=typed, trouble=trouble, seen=seen)
