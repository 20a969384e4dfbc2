"""One tray: what it is, what will come of it, and all that can be done to it."""

import datetime as dt
from collections.abc import Mapping
from typing import Any

from attrs import frozen
from markupsafe import Markup
from starlette.requests import Request
from starlette.responses import JSONResponse, RedirectResponse, Response

from propagate.actions.answering import cases as all_cases
from propagate.actions.answering import due, fan
from propagate.actions.desk import Desk
from propagate.actions.labelling import short_cautions
from propagate.actions.meaning import batch_meant, known_words
from propagate.actions.remarks import event_remarks
from propagate.actions.sharing import Outdated, Seen, last_seq, seen_of
from propagate.actions.telling import HistoryLine, history
from propagate.actions.warming import due_so_far
from propagate.errors import PropagateError
from propagate.ledger import IN_TRAY, Kind
from propagate.paper.fans import small_fan_svg
from propagate.paper.screens import screen_fan_svg
from propagate.planning.case import Case
from propagate.records.answers import BatchForecast, DueTask
from propagate.records.fans import Fan
from propagate.web.deeds import DEEDS, SEVER, Deed, deed_of
from propagate.web.forms import Form, asked_number, new_key, read_form, seen_text
from propagate.web.keeper import keeper
from propagate.web.pages.trays import answers_of
from propagate.web.rendering import page, reader, wants_data
from propagate.web.speech import marked
from propagate.web.strips import SeasonStrip, season_strip
from propagate.web.writing import Done, refuse_unknown, write_deed, write_undo

CAUSES = ("rot", "dried out", "mice", "slugs", "frost", "dropped")
"""Offered where plants are written off; any other word is taken too."""


@frozen
class TrayView:
    """Everything the page of one tray shows."""

    case: Case
    answer: BatchForecast
    names: Mapping[str, str]
    cautions: tuple[str, ...]
    deeds: tuple[Deed, ...]
    offers: dict[str, tuple[str, ...]]
    jobs: tuple[DueTask, ...]
    strip: SeasonStrip
    fan: Markup
    seen: Seen
    today: dt.date
    last: HistoryLine | None

    @property
    def waiting(self) -> int:
        """Propagules in the tray not known to have rooted."""
        return self.case.state.total(Kind.WAITING)

    @property
    def rooted(self) -> int:
        """Those in the tray known to have rooted."""
        return self.case.state.total(Kind.ROOTED)

    @property
    def in_tray(self) -> int:
        """All that stand in the tray."""
        return self.case.state.total(*IN_TRAY)


def tray_view(desk: Desk, code: str, *, warming: bool = False) -> TrayView:
    """The page of one batch; raises NotFound when the book has none of this code.

    While a large book is `warming`, its jobs come from what is known so far.
    """
    state = desk.book.batch(code)
    case = next(case for case in all_cases(desk) if case.state is state)
    answer = answers_of(desk, [code])[code]
    deeds = [deed for deed in DEEDS.values() if deed.fits(state)]
    severs = case.method.sever and "severed" not in state.steps and SEVER.fits(state)
    lines = [line for line in history(desk, code) if line.kind != "ForecastGiven"]
    window = answer.pot_on if state.total(*IN_TRAY) else None
    jobs = due_so_far(desk) if warming else due(desk)
    return TrayView(
        case=case,
        answer=answer,
        names=desk.library.common_names(state.name),
        cautions=short_cautions(desk, case),
        deeds=(*deeds, SEVER) if severs else tuple(deeds),
        offers=_offers(desk),
        jobs=tuple(task for task in jobs if task.batch == code),
        strip=season_strip(state.on, window, desk.today),
        fan=Markup(small_fan_svg(fan_of(desk, code), desk.label_folders, height_mm=13)),
        seen=seen_of(desk.book, code),
        today=desk.today,
        last=max(lines, key=lambda line: line.seq, default=None),
    )


def fan_of(desk: Desk, code: str) -> Fan:
    """The fan of a batch, drawn from the same figures until somebody writes."""
    return desk.remember(f"fan of {code}", lambda: fan(desk, [code]))


def _offers(desk: Desk) -> dict[str, tuple[str, ...]]:
    """Words to choose from: those of the settings, and people and places the book has met."""
    book = desk.book
    places = dict.fromkeys(state.place for state in book.batches.values() if state.place)
    people = dict.fromkeys(
        account.detail
        for state in book.batches.values()
        for account in state.balances
        if account.kind == Kind.GIVEN and account.detail
    )
    beds = dict.fromkeys(
        account.detail
        for state in book.batches.values()
        for account in state.balances
        if account.kind == Kind.PLANTED and account.detail
    )
    known = known_words(desk)
    return {
        "place": tuple(dict.fromkeys([*known["place"], *places])),
        "bed": tuple(dict.fromkeys([*known["bed"], *beds])),
        "container": tuple(known["container"]),
        "to": tuple(people)[:20],
        "cause": CAUSES,
    }


async def tray(request: Request) -> Response:
    """The page of the tray that a label's link names, in small or capital letters."""
    typed = request.path_params["code"][:40]
    bench = request.app.state.bench
    try:
        code = await bench.room.ask(lambda desk: batch_meant(desk, typed))
    except PropagateError as error:
        latest = await bench.room.latest()
        return page(request, "find.html", 404, typed=typed, trouble=error.said, seen=latest)
    if code != typed:
        return RedirectResponse(f"/T/{code}", 303)
    return await _show(request, code)


async def _show(request: Request, code: str, status: int = 200, **more: Any) -> Response:
    room = request.app.state.bench.room
    view = await room.ask(lambda desk: tray_view(desk, code, warming=room.warming))
    given: dict[str, Any] = {"trouble": "", "changes": (), "open_deed": "", "typed": {}, **more}
    done, taken = asked_number(request, "done"), asked_number(request, "taken")
    told, remarks = await room.ask(lambda desk: _told(desk, done or taken))
    return page(
        request,
        "tray.html",
        status,
        tray=view,
        key=new_key,
        seen_text=seen_text,
        remarks=remarks if done else (),
        done=told if done else None,
        taken=told if taken else None,
        **given,
    )


def _told(desk: Desk, seq: int) -> tuple[HistoryLine | None, tuple[str, ...]]:
    """What an entry says and what may be a slip in it; None when there is none of this number."""
    entry = next((entry for entry in desk.book.entries if entry.seq == seq), None)
    if entry is None:
        return None, ()
    line = next((line for line in history(desk) if line.seq == seq), None)
    return line, tuple(event_remarks(desk, entry.event, entry.on))


async def do(request: Request) -> Response:
    """Write down what was done at a tray; answers a person with a page, the script in JSON."""
    bench = request.app.state.bench
    code = request.path_params["code"][:40]
    form = Form({}, ())
    try:
        form = await read_form(request)
        deed = refuse_unknown(deed_of(request.path_params["deed"]))
        code = await bench.room.ask(lambda desk: batch_meant(desk, code))
        done = await bench.room.write(
            keeper(request), lambda desk: write_deed(desk, code, deed, form)
        )
    except PropagateError as error:
        return await _refused(request, code, form, error)
    return answered(request, done, f"/T/{done.code}?done={done.seq}#done")


def answered(request: Request, done: Done, address: str) -> Response:
    """Say that something was written."""
    if wants_data(request):
        speech = reader(request)
        return JSONResponse(
            {
                "written": speech.tell(done.said),
                "batch": done.code,
                "entry": done.seq,
                "seen": done.seen,
                "remarks": [speech.tell(remark) for remark in done.remarks],
            }
        )
    return RedirectResponse(address, 303)


async def _refused(request: Request, code: str, form: Form, error: PropagateError) -> Response:
    """Say why nothing was written, with what was typed still there to be put right."""
    changes = error.changes if isinstance(error, Outdated) else ()
    status, speech = 409 if changes else 422, reader(request)
    if wants_data(request):
        told = {"refused": speech.tell(error.said), "changes": [speech.tell(c) for c in changes]}
        return JSONResponse(told, status)
    try:
        return await _show(
            request,
            code,
            status,
            trouble=error.said,
            changes=changes,
            open_deed=request.path_params["deed"],
            typed=form.values,
        )
    except PropagateError:
        latest = await request.app.state.bench.room.latest()
        return page(request, "find.html", 404, typed=code, trouble=error.said, seen=latest)


async def undo(request: Request) -> Response:
    """Take one entry back."""
    bench, seq = request.app.state.bench, request.path_params["seq"]
    try:
        form = await read_form(request)
        done = await bench.room.write(keeper(request), lambda desk: write_undo(desk, seq, form))
    except PropagateError as error:
        if wants_data(request):
            return JSONResponse({"refused": reader(request).tell(error.said), "changes": []}, 422)
        latest = await bench.room.latest()
        return page(request, "find.html", 422, typed="", trouble=error.said, seen=latest)
    still_there = await bench.room.ask(lambda desk: done.code in desk.book.batches)
    address = f"/T/{done.code}?taken={done.seq}#done" if still_there else "/?taken=1"
    return answered(request, done, address)


async def outlook(request: Request) -> Response:
    """The fan of one tray at full size, and the same as a table."""
    bench, code = request.app.state.bench, request.path_params["code"][:40]
    speech = reader(request)

    def drawn(desk: Desk) -> tuple[str, Fan, Markup, BatchForecast, int]:
        found = batch_meant(desk, code)
        made = fan_of(desk, found)
        title = f"{made.plant}: {speech.text(marked('What will come'))}"
        svg = screen_fan_svg(made, desk.label_folders, title=title, month=speech.short_month)
        return found, made, Markup(svg), answers_of(desk, [found])[found], last_seq(desk.book)

    try:
        found, made, svg, answer, seen = await bench.room.ask(drawn)
    except PropagateError as error:
        latest = await bench.room.latest()
        return page(request, "find.html", 404, typed=code, trouble=error.said, seen=latest)
    weeks = made.weeks[:: max(1, len(made.weeks) // 14)]
    return page(
        request,
        "outlook.html",
        code=found,
        fan=made,
        weeks=weeks if weeks[-1] is made.weeks[-1] else (*weeks, made.weeks[-1]),
        svg=svg,
        answer=answer,
        seen=seen,
    )


async def tray_history(request: Request) -> Response:
    """Every entry about one tray, and why each figure is what it is."""
    bench, code = request.app.state.bench, request.path_params["code"][:40]

    def told(desk: Desk) -> tuple[str, list[HistoryLine], int]:
        found = batch_meant(desk, code)
        return found, history(desk, found), last_seq(desk.book)

    try:
        found, lines, seen = await bench.room.ask(told)
    except PropagateError as error:
        latest = await bench.room.latest()
        return page(request, "find.html", 404, typed=code, trouble=error.said, seen=latest)
    return page(
        request,
        "history.html",
        code=found,
        lines=[line for line in lines if line.kind != "ForecastGiven"],
        key=new_key,
        seen=seen,
    )
