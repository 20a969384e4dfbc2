"""How answers are put in words, the same in every command."""

import datetime as dt

from propagate.days import written, written_short
from propagate.records.answers import BatchForecast, DueTask, PlantCount, PotOn
from propagate.records.families import Doubt

NO_BATCH = "There is no batch in this book yet; propagate start --help says how to begin."


def range_words(plants: PlantCount) -> str:
    """A count with its spread: 28 likely (22 to 33, 8 times in 10)."""
    if plants.low == plants.high:
        return f"{plants.likely}"
    times = f"{plants.chance * 10:.2g} times in 10"
    return f"{plants.likely} likely ({plants.low} to {plants.high}, {times})"


def range_short(plants: PlantCount) -> str:
    """A count with its spread for a table's cell: 22 – 28 – 33."""
    if plants.low == plants.high:
        return str(plants.likely)
    return f"{plants.low} – {plants.likely} – {plants.high}"


def range_tight(plants: PlantCount) -> str:
    """The same for a narrow table: 22–28–33."""
    return range_short(plants).replace(" ", "")


def window_words(window: PotOn) -> str:
    """A window of days: 17 Jul 2026 likely (15 Jul to 18 Jul)."""
    if window.early == window.late:
        return written(window.likely)
    return f"{written(window.likely)} likely ({span_words(window.early, window.late)})"


def window_short(window: PotOn) -> str:
    """A window of days for a table's cell: 17 Jul 2026 (15 Jul to 18 Jul)."""
    return window_words(window).replace(" likely", "")


def window_stacked(window: PotOn) -> str:
    """The same for a narrow table, in two lines and without the years of the window's ends."""
    if window.early == window.late:
        return written(window.likely)
    ends = f"{written_short(window.early)}–{written_short(window.late)}"
    return f"{written(window.likely)}\n{ends}"


def span_words(first: dt.date, last: dt.date) -> str:
    """Two days with their years where these differ: 15 Jul to 18 Jul."""
    said = written_short if first.year == last.year else written
    return f"{said(first)} to {said(last)}"


def accounts_words(accounts: dict[str, int]) -> str:
    """Where the plants stand: 20 rooting, 12 rooted, 3 lost."""
    return ", ".join(f"{count} {name}" for name, count in accounts.items() if count) or "none left"


def doubt_words(doubt: Doubt, key: str = "") -> str:
    """What is suspected, in words that stand out: SUSPECT since 3 Mar 2027: galls (jet-bush).

    Of another than the one it was said of, `key`, only through whom it came.
    """
    lead = "NAME IN DOUBT" if doubt.about == "name" else "SUSPECT"
    if key not in ("", doubt.subject):
        return f"{lead} through {doubt.subject}"
    about = "" if key else f" ({doubt.subject})"
    return f"{lead} since {written(doubt.on)}: {doubt.why}{about}"


def who_wrote(entered: dt.datetime, by: str, device: str) -> str:
    """When an entry was written down, by this clock, and by whom on which device."""
    when = entered.astimezone()  # a book keeps the world's time, people their own
    who = f" {by}" if by else ""
    where = f" on {device}" if device else ""
    return f"{written(when.date())} {when:%H:%M}{who}{where}"


def gone_to(kind: str, to: str) -> str:
    """Where plants went: planted in the south row, to Hilda."""
    if kind == "bed":
        return f"planted in {to}" if to else "planted, no bed named"
    return f"to {to}" if to else "given, nobody named"


def counted(count: int, noun: str) -> str:
    """A number with its noun: 1 batch, 2 batches, 3 entries."""
    plural = f"{noun}es" if noun.endswith("ch") else f"{noun}s"
    if noun.endswith("y") and noun[-2] not in "aeiou":
        plural = f"{noun[:-1]}ies"
    return f"{count} {noun if count == 1 else plural}"


def task_words(task: DueTask, today: dt.date) -> str:
    """A job in a few words: pot on, 5 Nov 2027."""
    return f"{task.action}, {written(task.date) if task.date > today else 'now'}"


def batch_words(
    answer: BatchForecast, method_name: str, *, in_tray: bool = True
) -> list[tuple[str, str]]:
    """A batch's answer in a few lines, each with what leads it in.

    When to pot on is not said of a batch that has nothing left in the tray.
    """
    free = answer.free
    spread = f" ({free.low} to {free.high})" if free.low != free.high else ""
    begun = f"{method_name}, {answer.count} started {written(answer.started)}"
    pot_on = [
        ("  pot on   ", window_words(answer.pot_on)),
        ("           ", answer.pot_on.why),
    ]
    return [
        ("", f"{answer.batch}  {answer.plant}  {begun}"),
        ("  stands   ", accounts_words(answer.accounts)),
        *(pot_on if in_tray else ()),
        ("  plants   ", range_words(answer.plants)),
        ("  free     ", f"{free.likely}{' likely' if spread else ''}{spread} to plant or give"),
    ]
