"""All trays at a glance, to find one by looking: each with its season and what will come."""

import datetime as dt

from attrs import frozen
from starlette.requests import Request
from starlette.responses import Response

from propagate.actions.answering import cases as all_cases
from propagate.actions.answering import forecast
from propagate.actions.desk import Desk
from propagate.actions.meaning import batches_meant
from propagate.actions.sharing import last_seq
from propagate.errors import PropagateError
from propagate.ledger import IN_TRAY
from propagate.planning.case import Case
from propagate.records.answers import BatchForecast
from propagate.web.forms import asked_number
from propagate.web.rendering import page
from propagate.web.strips import SeasonStrip, season_strip, year_around

MOST_TRAYS = 40


@frozen
class TrayLine:
    """One tray in the list."""

    case: Case
    answer: BatchForecast
    common: str
    strip: SeasonStrip


@frozen
class TrayList:
    """What the page shows of the trays asked for."""

    lines: tuple[TrayLine, ...]
    count: int
    more: int
    places: tuple[str, ...]
    today: dt.date
    trouble: str
    seen: int


def tray_list(desk: Desk, typed: str, place: str, skip: int) -> TrayList:
    """Living batches in order of their plants' names; those meant by what was typed."""
    every = all_cases(desk)
    living = [case for case in every if case.state.living]
    places = sorted({case.state.place for case in living if case.state.place}, key=str.casefold)
    wanted, trouble = living, ""
    if typed:
        try:
            codes = set(batches_meant(desk, typed))
            wanted = [case for case in every if case.state.code in codes]
        except PropagateError as error:
            wanted, trouble = [], str(error)
    if place:
        wanted = [case for case in wanted if case.state.place == place]
    wanted = sorted(wanted, key=lambda case: (case.state.name, case.state.on))
    shown = wanted[skip : skip + MOST_TRAYS]
    codes_shown = [case.state.code for case in shown]
    answers = {a.batch: a for a in forecast(desk, codes_shown).batches} if shown else {}
    return TrayList(
        lines=tuple(_line(desk, case, answers[case.state.code]) for case in shown),
        count=len(wanted),
        more=max(0, len(wanted) - skip - len(shown)),
        places=tuple(places),
        today=desk.today,
        trouble=trouble,
        seen=last_seq(desk.book),
    )


def _line(desk: Desk, case: Case, answer: BatchForecast) -> TrayLine:
    window = answer.pot_on if case.state.total(*IN_TRAY) else None
    strip = season_strip(case.state.on, window, desk.today, year_around(desk.today))
    return TrayLine(case, answer, desk.library.common_name(case.state.name), strip)


async def trays(request: Request) -> Response:
    """The list, searched by code, mark, tray or plant, or by place."""
    asked = request.query_params
    typed, place = asked.get("q", "").strip()[:200], asked.get("place", "")[:200]
    skip = asked_number(request, "skip")
    found = await request.app.state.bench.room.ask(lambda desk: tray_list(desk, typed, place, skip))
    return page(
        request,
        "trays.html",
        404 if found.trouble else 200,
        trays=found,
        typed=typed,
        place=place,
        skip=skip,
    )
