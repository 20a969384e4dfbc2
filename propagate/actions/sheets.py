"""Every sheet that people pin up or take home, by its name, as a print ready to be written."""

import datetime as dt
import json
from collections.abc import Callable
from pathlib import Path
from typing import Final

from attrs import frozen

from propagate.actions.answering import cases, due, forecast, windows
from propagate.actions.bedding import beds
from propagate.actions.desk import Desk
from propagate.actions.labelling import short_cautions
from propagate.actions.rights import protection
from propagate.errors import NotFound, Refused
from propagate.nearness import folded, nearest
from propagate.paper.checkcards import render_check_cards
from propagate.paper.customers import render_customer_sheet
from propagate.paper.files import replace_file
from propagate.paper.jobcards import render_job_card
from propagate.paper.motherbooks import render_mother_register
from propagate.paper.origins import render_origins
from propagate.paper.plantings import render_planting_list
from propagate.paper.printing import Draw, Print, Written, write
from propagate.paper.sheets import render_sheet
from propagate.planning.benches import Said
from propagate.planning.case import Case
from propagate.planning.checkcards import check_cards
from propagate.planning.customers import customer_sheet, leaving_by
from propagate.planning.jobcards import job_card
from propagate.planning.motherbooks import mother_register
from propagate.planning.origins import origin_book
from propagate.planning.plantings import planting_list
from propagate.planning.sheets import stock_sheet
from propagate.records import events
from propagate.records.prints import StockSheet
from propagate.worded import worded


@frozen
class Wanted:
    """What is asked of a sheet besides its kind.

    `place` keeps a job or check card to one place. `weeks` is how far ahead it looks, None for
    what is usual for its kind. `paper` is "a4" or "letter", empty for what the settings say.
    """

    place: str = ""
    weeks: int | None = None
    paper: str = ""


def make_print(desk: Desk, kind: str = "stock", wanted: Wanted | None = None) -> Print:
    """Draw a sheet of one of KINDS, as of the desk's day.

    Raises NotFound for another kind or a place where nothing stands.
    """
    if kind not in KINDS:
        known = ", ".join(KINDS)
        raise NotFound(f'There is no sheet "{kind}"; there are: {known}.', nearest(kind, KINDS))
    return KINDS[kind].draw(desk, wanted or Wanted())


def sheet_print(desk: Desk, kind: str, wanted: Wanted) -> Draw:
    """A sheet of one of KINDS, ready to be drawn; raises what `make_print` does."""
    printed = make_print(desk, kind, wanted)
    return lambda path: write(printed, path)


def print_sheet(
    desk: Desk, path: Path, kind: str = "stock", wanted: Wanted | None = None
) -> Written:
    """Write a sheet as PDF, HTML, CSV or JSON, by the ending of the file's name."""
    printed = make_print(desk, kind, wanted)
    if path.suffix.lower() == ".json":
        lines = json.dumps(printed.lines(), ensure_ascii=False, indent=1)
        return Written(replace_file(path, f"{lines}\n".encode()))
    return write(printed, path)


def make_sheet(desk: Desk) -> StockSheet:
    """The figures of the stock sheet as of today."""
    every = cases(desk)
    if not every:
        raise Refused(worded("There is no batch in the book yet, so there is no stock to list."))
    said = _said(desk, every)
    return stock_sheet(every, forecast(desk), desk.nursery, said, protection(desk))


def _stock(desk: Desk, wanted: Wanted) -> Print:
    return render_sheet(make_sheet(desk), desk.label_folders, paper=_paper(desk, wanted))


def _customer(desk: Desk, wanted: Wanted) -> Print:
    every, until = cases(desk), _until(desk, wanted, CUSTOMER_WEEKS)
    leaving = leaving_by(windows(desk), desk.nursery, desk.today, until)
    sheet = customer_sheet(
        every,
        leaving,
        forecast(desk, tuple(leaving)) if leaving else forecast(desk),
        desk.nursery,
        _said(desk, every),
        until,
        _containers(desk),
        {each.plant: each.plants for each in beds(desk).spare},
        protection(desk),
    )
    return render_customer_sheet(sheet, desk.label_folders, paper=_paper(desk, wanted))


def _jobs(desk: Desk, wanted: Wanted) -> Print:
    every = cases(desk)
    if wanted.place:
        _standing_at(every, wanted.place)  # refuses a place that there is not
    here = folded(wanted.place)
    tasks = [task for task in due(desk) if not here or folded(task.place) == here]
    until = _until(desk, wanted, JOB_WEEKS)
    card = job_card(tasks, every, desk.nursery, _said(desk, every), desk.today, until)
    return render_job_card(card, desk.label_folders, paper=_paper(desk, wanted))


def _beds(desk: Desk, wanted: Wanted) -> Print:
    until = _until(desk, wanted, BED_WEEKS)
    said = _said(desk, cases(desk))
    answer = beds(desk)
    planting = planting_list(windows(desk), desk.nursery, said, desk.today, until, answer)
    return render_planting_list(planting, desk.label_folders, paper=_paper(desk, wanted))


def _checks(desk: Desk, wanted: Wanted) -> Print:
    every = _standing_at(cases(desk), wanted.place)
    cards = check_cards(every, desk.nursery, _said(desk, every), desk.today)
    return render_check_cards(cards, desk.label_folders, paper=_paper(desk, wanted))


def _mothers(desk: Desk, wanted: Wanted) -> Print:
    book, library = desk.book, desk.library
    register = mother_register(
        book.stock_plants,
        list(book.batches.values()),
        library.common_name,
        desk.nursery.name,
        desk.today,
    )
    return render_mother_register(register, desk.label_folders, paper=_paper(desk, wanted))


def _origins(desk: Desk, wanted: Wanted) -> Print:
    every = cases(desk)
    book = origin_book(
        every,
        desk.book.stock_plants,
        _said(desk, every),
        desk.nursery.name,
        desk.today,
        protection(desk),
    )
    return render_origins(book, desk.label_folders, paper=_paper(desk, wanted))


@frozen
class Kind:
    """One kind of sheet: how it is drawn, and a line that says what it is for."""

    draw: Callable[[Desk, Wanted], Print]
    said: str


JOB_WEEKS: Final = 1
BED_WEEKS: Final = 12
CUSTOMER_WEEKS: Final = 26

KINDS: Final = {
    "stock": Kind(_stock, "every batch with its counts, what will come of it, and when"),
    "customer": Kind(_customer, "what is free to give or sell, now and soon"),
    "jobs": Kind(_jobs, "the week's jobs, place by place"),
    "beds": Kind(_beds, "what stands in each bed, and what can go there"),
    "checks": Kind(_checks, "a card for each bench, with boxes to fill in"),
    "mothers": Kind(_mothers, "the register of mother plants"),
    "origins": Kind(_origins, "where each batch came from and where its plants went"),
}


def _said(desk: Desk, every: list[Case]) -> Said:
    """What the library says of each batch's plant."""
    library = desk.library
    return {
        case.state.code: (
            library.common_name(case.state.name),
            short_cautions(desk, case),
        )
        for case in every
    }


def _paper(desk: Desk, wanted: Wanted) -> str:
    return wanted.paper or desk.nursery.labels.sheet


def _until(desk: Desk, wanted: Wanted, usual_weeks: int) -> dt.date:
    weeks = usual_weeks if wanted.weeks is None else wanted.weeks
    return desk.today + dt.timedelta(weeks=weeks)


def _standing_at(every: list[Case], place: str) -> list[Case]:
    """The batches at a place, in whatever case it is written; all of them for no place."""
    if not place:
        return every
    found = [case for case in every if folded(case.state.place) == folded(place)]
    if not found:
        places = {case.state.place for case in every if case.state.place and case.state.living}
        near = nearest(place, places) or tuple(sorted(places))[:3]
        raise NotFound(worded('Nothing in the book stands at "{place}".', place=place), near)
    return found


def _containers(desk: Desk) -> dict[str, str]:
    """By batch code, the pot that its plants went into last, where it was said."""
    potted = (e.event for e in desk.book.effective() if isinstance(e.event, events.PottedOn))
    return {event.batch: event.container for event in potted if event.container}
