import datetime as dt
from collections.abc import Callable
from pathlib import Path

import pytest

from propagate.names import parse
from propagate.records.prints import (
    Expected,
    SheetGroup,
    SheetRow,
    StockSheet,
    TrayLabel,
)
from propagate.records.standing import Standing

LABELS_FOLDER = Path(__file__).parents[2] / "labels"


@pytest.fixture
def folders() -> list[Path]:
    return [LABELS_FOLDER]


@pytest.fixture
def make_label() -> Callable[..., TrayLabel]:
    """A label of a plain batch; keywords change any of its fields, `plant` its name."""

    def make(code: str = "M7KD", plant: str = "Ribes nigrum 'Alder Black'", **changes) -> TrayLabel:
        fields = {
            "common": "Blackcurrant",
            "method": "Hardwood cuttings",
            "started": dt.date(2026, 11, 12),
            "count": 40,
            "propagules": "cuttings",
            "qr_text": code,
            "stock_plant": "Old Row 3",
            "tray": "Tray 1 of 3",
            "nursery": "Alderbrook Hedge & Orchard Group",
            "pot_on_words": "lift and pot on",
            "early": dt.date(2027, 3, 10),
            "likely": dt.date(2027, 3, 28),
            "late": dt.date(2027, 4, 20),
        }
        return TrayLabel(code=code, name=parse(plant), **(fields | changes))

    return make


def row(code: str, standing: Standing, expected: Expected, **changes) -> SheetRow:
    fields = {
        "method": "Hardwood cuttings",
        "started": dt.date(2026, 11, 12),
        "count": sum(getattr(standing, key) for key in Standing.__slots__ if key[0] != "_"),
        "place": "Cold frame 2",
        "early": dt.date(2027, 3, 10),
        "likely": dt.date(2027, 3, 28),
        "late": dt.date(2027, 4, 20),
    }
    return SheetRow(code=code, standing=standing, expected=expected, **(fields | changes))


@pytest.fixture
def make_sheet() -> Callable[..., StockSheet]:
    """A sheet of two plants in three batches whose totals add up; keywords change its fields.

    Blackcurrant: 40 + 63 = 103 started; fig: 30 started; together 133.
    """

    def make(**changes) -> StockSheet:
        first = Standing(waiting=11, rooted=12, potted=13, lost=4)
        second = Standing(waiting=21, ready=22, planted=5, given=6, lost=7, miscounted=2)
        third = Standing(waiting=17, hardening=13)
        black = SheetGroup(
            name=parse("Ribes nigrum 'Alder Black'"),
            common="Blackcurrant",
            rows=(
                row("M7KD", first, Expected(25, 29, 33, 10, 15, 19, 23), trays="Tray 1, Tray 2"),
                row("CC7P", second, Expected(35, 41, 47, 0, 24, 30, 36)),
            ),
            started=103,
            standing=first + second,
            expected=Expected(62, 70, 78, 10, 41, 49, 57),
        )
        caution = "Sap: cover skin"
        fig = SheetGroup(
            name=parse("Ficus carica"),
            common="=Fig",
            rows=(row("WDWT", third, Expected(14, 19, 24, 5, 9, 14, 19), cautions=(caution,)),),
            started=30,
            standing=third,
            expected=Expected(14, 19, 24, 5, 9, 14, 19),
        )
        fields = {
            "nursery": "Alderbrook Hedge & Orchard Group",
            "as_of": dt.date(2027, 2, 3),
            "chance": 0.8,
            "first": dt.date(2026, 9, 1),
            "last": dt.date(2027, 8, 31),
            "groups": (black, fig),
            "started": 133,
            "standing": first + second + third,
        }
        return StockSheet(**(fields | changes))

    return make
