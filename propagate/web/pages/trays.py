"""All trays at a glance, to find one by looking: each with its season and what will come."""

import datetime as dt
from collections.abc import Mapping, Sequence

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
from propagate.names import PlantName
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
    names: Mapping[str, str]
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
    every = desk.remember("by name", lambda: sorted(all_cases(desk), key=_by_name))
    living = [case for case in every if case.state.living]
    places = sorted({case.state.place for case in living if case.state.place}, key=str.casefold)
    wanted, trouble = living, ""
    if typed:
        try:
            codes = set(batches_meant(desk, typed))
            wanted = [case for case in every if case.state.code in codes]
        except PropagateError as error:
            wanted, trouble = [], error.said
    if place:
        wanted = [case for case in wanted if case.state.place == place]
    shown = wanted[skip : skip + MOST_TRAYS]
    answers = answers_of(desk, [case.state.code for case in shown])
    return TrayList(
        lines=tuple(_line(desk, case, answers[case.state.code]) for case in shown),
        count=len(wanted),
        more=max(0, len(wanted) - skip - len(shown)),
        places=tuple(places),
        today=desk.today,
        trouble=trouble,
        seen=last_seq(desk.book),
    )


def _by_name(case: Case) -> tuple[PlantName, dt.date]:
    return case.state.name, case.state.on


def answers_of(desk: Desk, codes: Sequence[str]) -> dict[str, BatchForecast]:
    """The answers for some batches; those given since the book last changed are kept."""
    kept: dict[str, BatchForecast] = desk.remember("answers", dict)
    if missing := [code for code in codes if code not in kept]:
        kept.update((answer.batch, answer) for answer in forecast(desk, missing).batches)
    return kept


def _line(desk: Desk, case: Case, answer: BatchForecast) -> TrayLine:
    window = answer.pot_on if case.state.total(*IN_TRAY) else None
    strip = season_strip(case.state.on, window, desk.today, year_around(desk.today))
    return TrayLine(case, answer, desk.library.common_names(case.state.name), strip)


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
