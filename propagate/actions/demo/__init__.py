"""The demo: an invented season of a village hedge-and-orchard group, booked like a real one.

Its year runs from autumn to autumn in the north; for the south every day is half a year
earlier, so that the seasons fit.
"""

import csv
import datetime as dt
import io
from collections.abc import Callable, Iterable
from importlib.resources import files
from pathlib import Path
from tempfile import TemporaryDirectory

from propagate.actions.answering import due
from propagate.actions.bedding import beds
from propagate.actions.calendars import write_calendar, write_plan_calendar
from propagate.actions.coding import batch_code
from propagate.actions.desk import Desk
from propagate.actions.founding import found_nursery
from propagate.actions.importing import import_notebook
from propagate.actions.planning import plan
from propagate.actions.printing import print_beds, print_labels, print_plan
from propagate.actions.recording import Dated, record, record_all, settle_name
from propagate.actions.sheets import print_sheet
from propagate.actions.takingback import void
from propagate.paper.printing import NEEDS_PANGO
from propagate.paths import NURSERY_FILE
from propagate.records import events
from propagate.settings import COMMON_FROSTS

LAST_DAY = dt.date(2026, 11, 20)
"""The day of the demo, in the north."""

CARDS = ("jobs", "checks", "customer")
"""The sheets that the demo prints besides the stock sheet."""

Tell = Callable[[str], None]


def make_demo(folder: Path, hemisphere: str, tell: Tell, now: dt.datetime) -> list[str]:
    """Make the demo nursery in a folder that is none yet; return what there is to see.

    `tell` is given a line for each step as it is done.
    """
    found_nursery(folder, "Alderbrook", hemisphere)
    (folder / NURSERY_FILE).write_text(_settings(hemisphere), encoding="utf-8")
    today = mirrored(LAST_DAY, hemisphere)
    with Desk(folder, today, now) as desk:
        tell("Writing the season into the book ...")
        _book_the_season(desk, hemisphere)
        tell("Printing labels ...")
        labels = print_labels(desk, _codes(desk), folder / "labels.pdf")
        stakes = print_labels(
            desk, _codes(desk)[:12], folder / "stakes.pdf", format_name="stake-a4", copies=1
        )
        _settle_the_fig(desk)
        tell("Printing the stock sheet ...")
        sheets = [print_sheet(desk, folder / f"stock.{kind}") for kind in ("pdf", "html", "csv")]
        tell("Printing cards for the shed and a list for customers ...")
        cards = [print_sheet(desk, folder / f"{kind}.pdf", kind) for kind in CARDS]
        write_calendar(desk, due(desk), folder / "due.ics")
        tell("Drawing the beds and the plan ...")
        drawn = print_beds(desk, beds(desk), folder / "beds.pdf")
        starts = plan(desk)
        planned = print_plan(desk, starts, folder / "plan.pdf")
        write_plan_calendar(desk, starts, folder / "plan.ics")
    notices = {w.notice for w in (labels, stakes, *sheets, *cards, drawn, planned) if w.notice}
    if labels.path.suffix == ".html":
        notices = {NEEDS_PANGO.format(name="HTML")}  # once is enough
    also = ", ".join(sheet.path.name for sheet in sheets if sheet.path != sheets[0].path)
    at = f"propagate --nursery {folder} --today {today}"
    return [
        *sorted(notices),
        f"The demo nursery is in {folder}, as of {today}:",
        f"  tray labels   {labels.path}",
        f"  stake tags    {stakes.path}",
        f"  stock sheet   {sheets[0].path}  (also {also})",
        f"  week's jobs   {cards[0].path}",
        f"  check cards   {cards[1].path}",
        f"  for customers {cards[2].path}",
        f"  beds          {drawn.path}",
        f"  plan          {planned.path}  (also plan.ics)",
        f"  calendar      {folder / 'due.ics'}",
        "Try:",
        f"  {at} due",
        f"  {at} forecast",
        f"  {at} beds",
        f"  {at} plan",
        f"  {at} show rosemary",
    ]


def mirrored(day: dt.date, hemisphere: str) -> dt.date:
    """A day of the demo's northern year as it falls in a hemisphere."""
    from dateutil.relativedelta import relativedelta

    return day if hemisphere == "north" else day - relativedelta(months=6)


def season_csv(hemisphere: str) -> str:
    """The season's notebook with its days in the hemisphere's own year."""
    rows = list(csv.reader(io.StringIO(_data("season.csv"))))
    out = io.StringIO()
    writer = csv.writer(out)
    writer.writerow(rows[0])
    for row in rows[1:]:
        day = mirrored(dt.date.fromisoformat(row[0]), hemisphere)
        writer.writerow([day.isoformat(), *row[1:]])
    return out.getvalue()


def _book_the_season(desk: Desk, hemisphere: str) -> None:
    """Take the notebook in, then one late entry, and one slip that is taken back."""
    with TemporaryDirectory() as scratch:
        notebook = Path(scratch) / "season.csv"
        notebook.write_text(season_csv(hemisphere), encoding="utf-8")
        import_notebook(desk, notebook)

    def on(year: int, month: int, day: int) -> dt.date:
        return mirrored(dt.date(year, month, day), hemisphere)

    late = events.Lost(batch_code(desk.book, "WILL"), 4, "rabbits")
    record(desk, late, on(2026, 3, 20))  # written down in November, it happened in March
    slip = record(desk, events.Given(batch_code(desk.book, "COMF"), 9, "Hilda"), on(2026, 6, 1))
    void(desk, slip.seq, "was the same as the gift of 30 May")
    record_all(desk, lambda _: list(_wanted(desk, hemisphere)))


def _wanted(desk: Desk, hemisphere: str) -> Iterable[Dated]:
    """What the beds want, said on the day of the demo."""
    for row in csv.DictReader(io.StringIO(_data("wants.csv"))):
        said = events.Wanted(
            bed=row["bed"],
            plant=desk.library.resolve(row["plant"]),
            count=int(row["count"]),
            by=mirrored(dt.date.fromisoformat(row["by"]), hemisphere),
            priority=int(row["priority"]),
            every_weeks=int(row["every_weeks"]),
            times=int(row["times"]),
        )
        yield Dated(said, desk.today)


def _settle_the_fig(desk: Desk) -> None:
    """Somebody recognised the old fig, after its labels were printed."""
    name = desk.library.resolve("fig 'Chapel Brown'")
    settle_name(desk, "chapel-fig", name, "an old photograph has its name on the back")


def _codes(desk: Desk) -> list[str]:
    return [code for code, state in desk.book.batches.items() if state.living]


def _settings(hemisphere: str) -> str:
    days = {
        key: f"{month:02d}-{day:02d}" for key, (month, day) in COMMON_FROSTS[hemisphere].items()
    }
    return _data("nursery.toml").format(hemisphere=hemisphere, **days)


def _data(name: str) -> str:
    return (files(__package__) / name).read_text(encoding="utf-8")
