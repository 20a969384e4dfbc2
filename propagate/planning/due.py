"""What is to be done in the nursery, soonest first, each job with its reason."""

import datetime as dt
from collections.abc import Callable, Iterable

from attrs import frozen

from propagate.days import written
from propagate.ledger import IN_TRAY, Kind
from propagate.planning.case import Case, Spell, in_cold, spells
from propagate.planning.leaving import fit_on, planting_gate
from propagate.planning.readiness import HARDEN_DAYS
from propagate.planning.reprints import doubt_said, reprint
from propagate.planning.seasons import closing, season_words
from propagate.records.answers import DueTask, PotOn
from propagate.records.methods import Figure, Stage
from propagate.records.nursery import Nursery
from propagate.spans import span, time_words
from propagate.units import DAYS_PER_WEEK
from propagate.worded import in_a_row, worded, wording

SEVER_BEFORE_DAYS = 21
"""A layer is cut free some three weeks before it is lifted (common practice), sooner where
the whole rooting takes only a few weeks."""

OVER_LATE_DAYS = 28
"""Four weeks past the late day, what still waits is worth a decision (common practice)."""

FADING_AHEAD_DAYS = 366
"""A label that fades in some years is no job yet; one that fades within a year is."""

ENOUGH_ROOTED = 0.8
"""Once so many of those in a tray are known to be rooted, looking again tells little."""

Tasks = Iterable[DueTask]


@frozen
class Job:
    """A batch to look at for jobs: its case, its pot-on window, the nursery and the day.

    The window is not known, and not asked for, where nothing is left in the tray.
    """

    case: Case
    window_if_any: PotOn | None
    nursery: Nursery
    today: dt.date

    @property
    def window(self) -> PotOn:
        """The days on which it is worth potting on what is in the tray."""
        assert self.window_if_any is not None, self.case.state.code
        return self.window_if_any

    @property
    def spells(self) -> tuple[Spell, ...]:
        """Its treatments on the calendar."""
        return spells(self.case, self.nursery)

    @property
    def left_over(self) -> bool:
        """Whether the batch is done but for some that never moved."""
        state = self.case.state
        if not state.total(Kind.WAITING) or state.raised <= state.total(Kind.ROOTED):
            return False
        return self.window.late + dt.timedelta(days=OVER_LATE_DAYS) <= self.today

    def task(
        self,
        date: dt.date,
        action: str,
        why: str,
        until: dt.date | None = None,
        *,
        lot: object = "",
    ) -> DueTask:
        """Make a job for this batch; `lot` tells it apart from others of its kind."""
        state = self.case.state
        place, plant = state.place, state.name
        return DueTask(date, state.code, plant, action, why, place, until, str(lot))

    def fit_on(self, kind: Kind) -> dt.date | None:
        """The day on which those that came last into an account may be planted out."""
        return fit_on(self.case, kind, self.nursery, self.today)


def due_tasks(
    cases: Iterable[tuple[Case, PotOn | None]], nursery: Nursery, today: dt.date
) -> list[DueTask]:
    """Every job that follows from the state of the batches, by day, then batch.

    Each comes with its pot-on window; where the tray is empty none is needed.
    """
    jobs = [Job(case, window, nursery, today) for case, window in cases]
    tasks = [task for job in jobs for rule in RULES for task in rule(job)]
    return sorted(tasks, key=lambda task: (task.date, task.batch, task.action))


def _check(job: Job) -> Tasks:
    state = job.case.state
    waiting, rooted = state.total(Kind.WAITING), state.total(Kind.ROOTED)
    every = dt.timedelta(weeks=job.nursery.check_every_weeks)
    treated_until = job.spells[-1].ends if job.spells else state.on
    if not waiting or job.today >= job.window.likely or job.left_over:
        return
    if job.spells and job.today < treated_until:
        date = (state.last_check or state.on) + every
        if date < treated_until:
            yield job.task(date, "check", worded("still damp? look for mould and early sprouts"))
        return
    date, why = _next_look(job, treated_until, every)
    enough = rooted >= ENOUGH_ROOTED * (waiting + rooted)
    if not enough and date + every / 2 < job.window.likely:
        yield job.task(date, "check", why)


def _next_look(job: Job, treated_until: dt.date, every: dt.timedelta) -> tuple[dt.date, str]:
    """When to look for roots, and why then: once the first may be there, then in turn."""
    state, taking = job.case.state, job.case.record.taking
    by_calendar = treated_until + dt.timedelta(days=round(taking.weeks.soonest * DAYS_PER_WEEK))
    first = job.window.first or by_calendar
    if state.last_check is None or state.last_check + every < first:
        return first, worded(
            "the first may be {taken} ({weeks})",
            taken=worded(job.case.method.taken),
            weeks=_meant_at(taking) if job.window.first else _weeks(taking.weeks),
        )
    return state.last_check + every, worded(
        "{count} still {waiting}, last look {day}",
        count=state.total(Kind.WAITING),
        waiting=worded(job.case.method.waiting),
        day=written(state.last_check),
    )


def _pot_on(job: Job) -> Tasks:
    state, method = job.case.state, job.case.method
    rooted = state.total(Kind.ROOTED)
    if not state.total(*IN_TRAY) or (job.left_over and not rooted):
        return
    window = job.window
    taken = job.case.last_taken
    date = max(window.likely, taken or window.likely)
    lifted = state.total(Kind.PLANTED, Kind.GIVEN) and not job.case.last_into(Kind.POTTED)
    action = "lift the rest" if lifted else method.pot_on_words
    until = max(date, window.late, closing(date, job.case.record.taking.gate, job.nursery) or date)
    yield job.task(date, action, _why_pot_on(job, rooted, taken), until)


def _why_pot_on(job: Job, rooted: int, taken: dt.date | None) -> str:
    window, word = job.window, worded(job.case.method.taken)
    if rooted and taken:
        return worded(
            "{count} {account} left, the others went on {day}",
            count=rooted,
            account=word,
            day=written(taken),
        )
    known = worded("{count} {account}", count=rooted, account=word)
    if window.early == window.late:  # the day of the job itself says it
        if not rooted:
            return window.why
        season = season_words(job.case.record.taking.gate, job.nursery)
        return in_a_row([known, season], "; ") if season else known
    days = span(written(window.early), written(window.late))
    if rooted:
        return in_a_row([known, days], "; ")
    return worded("{days}: {why}", days=days, why=window.why)


def _sever(job: Job) -> Tasks:
    state = job.case.state
    tray = state.total(*IN_TRAY)
    if job.case.method.sever and tray and "severed" not in state.steps and not job.left_over:
        likely = job.window.likely
        before = min(SEVER_BEFORE_DAYS, (likely - state.on).days // 4)
        date = likely - dt.timedelta(days=before)
        why = worded("cut from the mother {days} days before lifting", days=before)
        yield job.task(date, "sever", why, max(date, job.window.late))


def _treat(job: Job) -> Tasks:
    if not job.case.state.total(Kind.WAITING):
        return
    cold = [spell for spell in job.spells if spell.stage.name == "cold"]
    begun = [spell for spell in cold if spell.begun and not spell.outdoors]
    if begun and in_cold(job.case.state, job.nursery):
        why = worded("the cold spell that began on {day} is over", day=written(begun[-1].begins))
        yield job.task(begun[-1].ends, "move to warmth", why, lot=len(begun))
    for number, spell in enumerate(cold, start=1):
        if not spell.begun and not spell.outdoors:
            why = worded(
                "cold spell of {days} days, until {day}",
                days=spell.stage.middle_days,
                day=written(spell.ends),
            )
            yield job.task(spell.due, "move to the fridge", why, lot=number)


def _grow_on(job: Job) -> Tasks:
    """Potted plants: harden off the tender ones, plant out the hardy ones once established."""
    establishing, potted = job.case.record.establishing, job.case.last_into(Kind.POTTED)
    out = job.fit_on(Kind.POTTED)
    if not establishing or not potted or not out or not job.case.state.total(Kind.POTTED):
        return
    weeks = establishing.weeks
    why = worded(
        "potted {day}, established after {weeks}", day=written(potted), weeks=_weeks(weeks)
    )
    words = season_words(establishing.gate, job.nursery)
    why = in_a_row([why, words], "; ") if words else why
    if establishing.gate == "frost-free":
        yield job.task(max(potted, out - dt.timedelta(days=HARDEN_DAYS)), "harden off", why)
    else:
        until = potted + dt.timedelta(days=round(weeks.high * DAYS_PER_WEEK))
        yield job.task(out, "plant out", why, max(out, until), lot=Kind.POTTED)


def _plant_out(job: Job) -> Tasks:
    words = season_words(planting_gate(job.case), job.nursery)
    for kind, said in (
        (Kind.HARDENING, wording("{count} hardening off since {day}")),
        (Kind.READY, wording("{count} ready since {day}")),
    ):
        count, since, date = job.case.state.total(kind), job.case.last_into(kind), job.fit_on(kind)
        if count and since and date:
            why = worded(said, count=count, day=written(since))
            why = in_a_row([why, words], "; ") if words else why
            yield job.task(date, "plant out", why, lot=kind)


def _empty(job: Job) -> Tasks:
    if job.left_over:
        waiting = job.case.state.total(Kind.WAITING)
        date = job.window.late + dt.timedelta(days=OVER_LATE_DAYS)
        why = worded(
            "{count} still {waiting} long after the others: keep or lose",
            count=waiting,
            waiting=worded(job.case.method.waiting),
        )
        yield job.task(date, "empty the tray", why)


def _reprint(job: Job) -> Tasks:
    void = reprint(job.case.state, job.window_if_any, job.today)
    if void and void.date <= job.today + dt.timedelta(days=FADING_AHEAD_DAYS):
        yield job.task(void.date, "print a new label", void.why)


def _keep_apart(job: Job) -> Tasks:
    """What is suspect stays where it is until somebody knows: no plant of it should go out."""
    state = job.case.state
    if state.doubts and state.living:
        ill = any(doubt.about == "health" for doubt in state.doubts)
        action = "keep apart, take no cuttings" if ill else "give none away"
        why = in_a_row([doubt_said(doubt) for doubt in state.doubts], "; ")
        yield job.task(job.today, action, why)


def _meant_at(stage: Stage) -> str:
    """How long the record says that a stage takes, and in which warmth."""
    time = _weeks(stage.weeks)
    if stage.temp_c is None:
        return time
    low, high = (f"{end:g}" for end in stage.temp_c)
    return worded("{time} at {warmth} °C", time=time, warmth=span(low, high))


def _weeks(weeks: Figure) -> str:
    return time_words(weeks.low, weeks.high, scored=weeks.scored)


RULES: tuple[Callable[[Job], Tasks], ...] = (
    _check,
    _pot_on,
    _sever,
    _treat,
    _grow_on,
    _plant_out,
    _empty,
    _keep_apart,
    _reprint,
)
"""Each looks at one batch and says which jobs of one kind follow."""
