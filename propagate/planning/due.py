"""What is to be done in the nursery, soonest first, each job with its reason."""

import datetime as dt
from collections.abc import Callable, Iterable

from propagate.days import written
from propagate.ledger import IN_TRAY, Kind
from propagate.planning.case import Case, in_cold, spells
from propagate.planning.seasons import season_of, season_words
from propagate.records.answers import BatchForecast, DueTask
from propagate.records.nursery import Nursery
from propagate.science.dates import into_season
from propagate.units import DAYS_PER_WEEK

SEVER_BEFORE_DAYS = 21
"""A layer is cut free some three weeks before it is lifted (common practice), sooner where
the whole rooting takes only a few weeks."""

HARDEN_DAYS = 14
"""Hardening off takes about two weeks (common practice)."""

OVER_LATE_DAYS = 28
"""Four weeks past the late day, what still waits is worth a decision (common practice)."""

Tasks = Iterable[DueTask]


def due_tasks(
    cases: Iterable[tuple[Case, BatchForecast]], nursery: Nursery, today: dt.date
) -> list[DueTask]:
    """Every job that follows from the state of the batches, by day, then batch."""
    tasks = [
        task
        for case, answer in cases
        for rule in RULES
        for task in rule(case, answer, nursery, today)
    ]
    return sorted(tasks, key=lambda task: (task.date, task.batch, task.action))


def _task(case: Case, date: dt.date, action: str, why: str) -> DueTask:
    state = case.state
    return DueTask(date, state.code, state.name, action, why, state.place)


def _check(case: Case, answer: BatchForecast, nursery: Nursery, today: dt.date) -> Tasks:
    waiting = case.state.total(Kind.WAITING)
    if not waiting:
        return
    every = dt.timedelta(weeks=nursery.check_every_weeks)
    made = spells(case, nursery)
    last = case.state.last_check
    if made and today < made[-1].ends:
        date = (last or case.state.on) + every
        if date < made[-1].ends:
            yield _task(case, date, "check", "still damp? look for mould and early sprouts")
        return
    begins = made[-1].ends if made else case.state.on
    first = begins + dt.timedelta(days=round(case.record.taking.weeks.low * DAYS_PER_WEEK))
    if last is None or last + every < first:
        weeks = case.record.taking.weeks
        why = f"{weeks.low:g} to {weeks.high:g} weeks to be {case.method.taken}: the first may be"
        yield _task(case, first, "check", why)
    else:
        why = f"{waiting} still {case.method.waiting}; last looked at on {written(last)}"
        yield _task(case, last + every, "check", why)


def _pot_on(case: Case, answer: BatchForecast, nursery: Nursery, today: dt.date) -> Tasks:
    tray = case.state.total(*IN_TRAY)
    if tray and answer.plants.likely > case.state.raised - case.state.total(Kind.ROOTED):
        window = answer.pot_on
        why = f"{written(window.early)} to {written(window.late)}: {window.why}"
        yield _task(case, window.likely, case.method.pot_on_words, why)


def _sever(case: Case, answer: BatchForecast, nursery: Nursery, today: dt.date) -> Tasks:
    if not case.method.sever or "severed" in case.state.steps or not case.state.total(*IN_TRAY):
        return
    whole = (answer.pot_on.likely - case.state.on).days
    before = min(SEVER_BEFORE_DAYS, whole // 4)
    date = answer.pot_on.likely - dt.timedelta(days=before)
    yield _task(case, date, "sever", f"cut from the mother {before} days before lifting")


def _treat(case: Case, answer: BatchForecast, nursery: Nursery, today: dt.date) -> Tasks:
    if not case.state.total(Kind.WAITING):
        return
    made = spells(case, nursery)
    for spell in made:
        cold = spell.stage.name == "cold"
        if cold and not spell.begun:
            days = (spell.ends - spell.begins).days
            why = f"cold spell of {days} days, until {written(spell.ends)}"
            yield _task(case, spell.begins, "move to the fridge", why)
        if cold and spell.begun and spell == made[-1] and in_cold(case.state, nursery):
            why = f"the cold spell that began on {written(spell.begins)} is over"
            yield _task(case, spell.ends, "move to warmth", why)


def _harden(case: Case, answer: BatchForecast, nursery: Nursery, today: dt.date) -> Tasks:
    establishing, potted = case.record.establishing, case.last_into(Kind.POTTED)
    if not establishing or not potted or not case.state.total(Kind.POTTED):
        return
    weeks = establishing.weeks
    grown = potted + dt.timedelta(days=round((weeks.low + weeks.high) / 2 * DAYS_PER_WEEK))
    why = f"potted on {written(potted)}, {weeks.low:g} to {weeks.high:g} weeks to establish"
    season = season_of(establishing.gate, nursery)
    out = into_season(grown, *season) if season else grown
    if establishing.gate == "frost-free":
        harden = max(potted, out - dt.timedelta(days=HARDEN_DAYS))
        why = f"{why}; out {season_words(establishing.gate, nursery)}"
        yield _task(case, harden, "harden off", why)
    else:
        words = season_words(establishing.gate, nursery)
        yield _task(case, out, "plant out", f"{why}{'; ' + words if words else ''}")


def _plant_out(case: Case, answer: BatchForecast, nursery: Nursery, today: dt.date) -> Tasks:
    gate = case.record.establishing.gate if case.record.establishing else "any"
    season = season_of(gate, nursery)
    words = season_words(gate, nursery)
    hardened, ready = case.last_into(Kind.HARDENING), case.last_into(Kind.READY)
    for kind, since, wait, said in (
        (Kind.HARDENING, hardened, HARDEN_DAYS, "hardening off since"),
        (Kind.READY, ready, 0, "ready since"),
    ):
        count = case.state.total(kind)
        if count and since:
            date = since + dt.timedelta(days=wait)
            date = into_season(date, *season) if season else date
            why = f"{count} {said} {written(since)}{'; ' + words if words else ''}"
            yield _task(case, date, "plant out", why)


def _finish(case: Case, answer: BatchForecast, nursery: Nursery, today: dt.date) -> Tasks:
    waiting, late = case.state.total(Kind.WAITING), answer.pot_on.late
    date = late + dt.timedelta(days=OVER_LATE_DAYS)
    if waiting and date <= today and case.state.raised:
        why = f"{waiting} still {case.method.waiting}, late day was {written(late)}: keep or lose"
        yield _task(case, date, "empty the tray", why)


def _reprint(case: Case, answer: BatchForecast, nursery: Nursery, today: dt.date) -> Tasks:
    if case.state.needs_reprint and case.state.living:
        yield _task(case, today, "print a new label", f"its name is now {case.state.name}")


RULES: tuple[Callable[[Case, BatchForecast, Nursery, dt.date], Tasks], ...] = (
    _check,
    _pot_on,
    _sever,
    _treat,
    _harden,
    _plant_out,
    _finish,
    _reprint,
)
"""Each looks at one batch and says which jobs of one kind follow."""
