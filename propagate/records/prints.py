"""What goes on paper: everything a label or a sheet says, worked out before it is drawn."""

import datetime as dt

from attrs import frozen

from propagate.names import PlantName
from propagate.records.standing import Standing


@frozen
class TrayLabel:
    """All that one label says about its tray.

    `qr_text` is the code alone, or the nursery's own link ending in it.
    `early`, `likely` and `late` are the pot-on window, None once the batch is potted on.
    """

    code: str
    name: PlantName
    common: str
    method: str
    started: dt.date
    count: int
    propagules: str
    qr_text: str
    stock_plant: str = ""
    place: str = ""
    tray: str = ""
    nursery: str = ""
    pot_on_words: str = "pot on"
    early: dt.date | None = None
    likely: dt.date | None = None
    late: dt.date | None = None
    cautions: tuple[str, ...] = ()


@frozen
class Expected:
    """Plants expected, low - likely - high, of which promised, and what is left free."""

    low: int
    likely: int
    high: int
    promised: int
    free_low: int
    free_likely: int
    free_high: int


@frozen
class SheetRow:
    """One batch on the stock sheet."""

    code: str
    method: str
    started: dt.date
    count: int
    place: str
    standing: Standing
    expected: Expected
    early: dt.date
    likely: dt.date
    late: dt.date
    finished: bool = False
    trays: str = ""
    cautions: tuple[str, ...] = ()
    for_sale: int = 0

    @property
    def in_tray(self) -> bool:
        """Whether some of it are still to be potted on."""
        return self.standing.waiting + self.standing.rooted > 0


@frozen
class SheetGroup:
    """One plant on the stock sheet: its batches and their totals.

    `protected` says that the variety is marked as protected.
    """

    name: PlantName
    common: str
    rows: tuple[SheetRow, ...]
    started: int
    standing: Standing
    expected: Expected
    protected: bool = False


@frozen
class StockSheet:
    """The whole stock sheet; `first` and `last` bound the season line that strips are drawn on."""

    nursery: str
    as_of: dt.date
    chance: float
    first: dt.date
    last: dt.date
    groups: tuple[SheetGroup, ...]
    started: int
    standing: Standing

    @property
    def promised(self) -> int:
        """Plants promised of all batches together."""
        return sum(group.expected.promised for group in self.groups)

    @property
    def for_sale(self) -> int:
        """Plants marked for sale of all batches together."""
        return sum(row.for_sale for group in self.groups for row in group.rows)


@frozen
class CardStage:
    """One stage on a method card: how long, how many come through, and where that is from."""

    name: str
    weeks: str
    take: str
    ends: str
    origins: tuple[str, ...]


@frozen
class MethodCard:
    """One method record as a card to read or to pin above the bench; `name` None: any plant."""

    name: PlantName | None
    common: str
    method: str
    summary: str
    season: str
    facts: tuple[tuple[str, str], ...]
    stages: tuple[CardStage, ...]
    steps: tuple[str, ...]
    note: str
    reading: tuple[str, ...]
    cautions: tuple[str, ...]
    nursery: str = ""
