"""The customer's edition of the stock sheet: what there is to give or sell, now and soon."""

import datetime as dt
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
    render_listing,
)
from propagate.paper.printing import Print
from propagate.paper.templates import shown_percent
from propagate.records.rights import FOR_SALE, PROTECTED, sentence
from propagate.records.worksheets import CustomerSheet, OnOffer

NAME = Column("Plant", "name")
POT = Column("In", "text", 27)
NOW = Column("Now", "number", 14)
SALE = Column("Of these for sale", "number", 18)
COMING = Column("Likely to come", "text", 32)
FROM = Column("From about", "text", 29)
CSV_HEADER = (
    "line", "plant", "common", "in", "now", "for_sale",
    "coming_low", "coming_likely", "coming_high", "coming_from", "protected", "cautions",
)  # fmt: skip
MONTHS = (
    "January", "February", "March", "April", "May", "June", "July", "August", "September",
    "October", "November", "December",
)  # fmt: skip


def render_customer_sheet(
    sheet: CustomerSheet, folders: Sequence[Path], *, paper: str = "a4"
) -> Print:
    """Draw the sheet upright on A4 or US Letter."""
    for_sale = any(plant.for_sale for plant in sheet.plants)
    columns = (NAME, POT, NOW, *((SALE,) if for_sale else ()), COMING, FROM)
    rows = tuple(_line(plant, sheet.as_of, for_sale) for plant in sheet.plants)
    listing = Listing(
        title="Plants to give or sell",
        subtitle=f"now, and likely up to {written(sheet.until)}",
        nursery=sheet.nursery,
        as_of=sheet.as_of,
        columns=columns,
        parts=(Part("", rows, total=_total(sheet, for_sale)),) if rows else (),
        nothing="There is nothing to give or sell at present; please ask again.",
        footnotes=tuple(_footnotes(sheet)),
    )
    return render_listing(listing, folders, paper, CSV_HEADER, _table(sheet))


def _footnotes(sheet: CustomerSheet) -> Iterator[str]:
    yield (
        "Now: what can be had today. To come: a likely number, and the least and the most it"
        f" will be with a chance of {shown_percent(sheet.chance)}. Plants are"
        " living things: please ask before you count on them."
    )
    if any(plant.for_sale for plant in sheet.plants):
        yield f"For sale: {FOR_SALE}."
    if any(plant.protected for plant in sheet.plants):
        yield f"† {sentence(PROTECTED)}"


def _line(plant: OnOffer, as_of: dt.date, for_sale: bool) -> Cells:
    sale = (count_cell(plant.for_sale),) if for_sale else ()
    return (
        name_cell(plant.name, plant.common, plant.cautions, mark="†" if plant.protected else ""),
        Cell(plant.container),
        count_cell(plant.now, strong=True),
        *sale,
        Cell(_coming(plant)),
        Cell(_about_when(plant, as_of)),
    )


def _coming(plant: OnOffer) -> str:
    if not plant.coming_high:
        return ""
    if plant.coming_low == plant.coming_high:
        return str(plant.coming)
    if not plant.coming:
        return f"up to {plant.coming_high}"
    return f"{plant.coming} ({plant.coming_low} to {plant.coming_high})"


def _about_when(plant: OnOffer, as_of: dt.date) -> str:
    """The month, for a customer is not served by a false exactness."""
    when = plant.coming_from
    if when is None or not plant.coming_high:
        return ""
    return f"{MONTHS[when.month - 1]} {when.year}"


def _total(sheet: CustomerSheet, for_sale: bool) -> Cells:
    now = sum(plant.now for plant in sheet.plants)
    sale = (count_cell(sum(plant.for_sale for plant in sheet.plants)),) if for_sale else ()
    return (Cell("All plants"), Cell(), count_cell(now), *sale, Cell(), Cell())


def _table(sheet: CustomerSheet) -> Iterator[tuple[CsvCell, ...]]:
    for plant in sheet.plants:
        yield (
            "plant", str(plant.name), plant.common, plant.container, plant.now, plant.for_sale,
            plant.coming_low, plant.coming, plant.coming_high,
            plant.coming_from.isoformat() if plant.coming_from and plant.coming_high else "",
            "yes" if plant.protected else "no", "; ".join(plant.cautions),
        )  # fmt: skip
    now = sum(plant.now for plant in sheet.plants)
    sale = sum(plant.for_sale for plant in sheet.plants)
    yield ("all", "", "", "", now, sale, "", "", "", "", "", "")
