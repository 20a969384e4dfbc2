"""The check card of a bench: what should stand there, and boxes big enough for wet hands."""

from collections.abc import Iterator, Sequence
from pathlib import Path

from propagate.days import written
from propagate.paper.csvfiles import Cell as CsvCell
from propagate.paper.listings import (
    Cell,
    Cells,
    Column,
    Listing,
    Part,
    count_cell,
    name_cell,
    place_words,
    render_listing,
)
from propagate.paper.printing import Print
from propagate.records.worksheets import CheckCard, CheckCards, TrayCheck

COLUMNS = (
    Column("Seen", "tick", 9),
    Column("Batch", "code", 18),
    Column("Plant, and what to type"),
    Column("Waiting", "number", 14),
    Column("Rooted", "number", 13),
    Column("In pots", "number", 13),
    Column("Rooted now", "box", 18),
    Column("Dead now", "box", 18),
    Column("Lifted, if not all", "box", 18),
)
CSV_HEADER = (
    "line", "place", "batch", "plant", "common", "trays", "waiting", "rooted", "in_pots",
    "last_check", "type",
)  # fmt: skip
FOOTNOTES = (
    "Rooted now: all that stand rooted in the tray, found before or not. Dead now: what you take"
    " out this time; of potted plants too. Lifted: only where some were lifted at random and put"
    " back (add: --sample and that number).",
)


def render_check_cards(cards: CheckCards, folders: Sequence[Path], *, paper: str = "a4") -> Print:
    """Draw the cards upright on A4 or US Letter, each place on a page of its own."""
    listing = Listing(
        title="Check card",
        nursery=cards.nursery,
        as_of=cards.as_of,
        columns=COLUMNS,
        parts=tuple(_part(card) for card in cards.cards),
        nothing="Nothing stands here that could be counted.",
        footnotes=FOOTNOTES,
        apart=True,
        roomy=True,
    )
    return render_listing(listing, folders, paper, CSV_HEADER, _table(cards))


def _part(card: CheckCard) -> Part:
    waiting, rooted, pots = _sums(card)
    total = (
        Cell(), Cell(), Cell("together"),
        count_cell(waiting), count_cell(rooted), count_cell(pots),
        Cell(), Cell(), Cell(),
    )  # fmt: skip
    return Part(place_words(card.place), tuple(map(_line, card.checks)), total=total)


def _sums(card: CheckCard) -> tuple[int, int, int]:
    checks = card.checks
    return (
        sum(check.waiting for check in checks),
        sum(check.rooted for check in checks),
        sum(check.pots for check in checks),
    )


def _line(check: TrayCheck) -> Cells:
    about = check.subject
    last = f"last look {written(check.last_check)}" if check.last_check else "not looked at yet"
    said = (check.trays, last) if check.waiting or check.rooted else (check.trays,)
    return (
        Cell(),
        Cell(about.code),
        name_cell(
            about.name,
            about.common,
            about.cautions,
            under=(" · ".join(filter(None, said)),),
            typed=check.typed,
        ),
        count_cell(check.waiting),
        count_cell(check.rooted),
        count_cell(check.pots),
        Cell(),
        Cell(),
        Cell(),
    )


def _table(cards: CheckCards) -> Iterator[tuple[CsvCell, ...]]:
    for card in cards.cards:
        for check in card.checks:
            about = check.subject
            yield (
                "batch", card.place, about.code, str(about.name), about.common, check.trays,
                check.waiting, check.rooted, check.pots,
                check.last_check.isoformat() if check.last_check else "", "; ".join(check.typed),
            )  # fmt: skip
        yield ("place", card.place, "", "", "", "", *_sums(card), "", "")
