"""The nursery's settings: who, where, frosts, places, containers, beds, labels, weather."""

from typing import Final, Literal

from attrs import Factory, field, frozen, validators

from propagate.records.printers import PrinterFit
from propagate.science.spacing import Pattern, plants_in_rows, plants_on

Hemisphere = Literal["north", "south"]
MonthDay = tuple[int, int]
"""A day of any year as (month, day)."""


SET_POINT_SPAN_C: Final = 12.0
"""A place kept within so many degrees is as warm as its set-point says, day by day; a wider
range only bounds what the weather does there (memory)."""


@frozen
class Place:
    """Somewhere a batch can stand; a cold place (a fridge, an ice house) chills seed.

    `pots_to` is the place where its plants go once they are potted, empty where they stay.
    """

    name: str
    temp_c: tuple[float, float] | None = None
    cold: bool = False
    size_m2: float | None = None
    pots_to: str = ""
    note: str = ""

    @property
    def is_steady(self) -> bool:
        """Whether it is kept so even that its temperature is known without a reading."""
        return self.temp_c is not None and self.temp_c[1] - self.temp_c[0] <= SET_POINT_SPAN_C


TempUnit = Literal["C", "F", "tenths of C"]


@frozen
class LoggerColumns:
    """The columns of a logger's table: the day or moment, and what was read.

    Where each row is one reading, `low` and `high` are the same column. `form` is how the day
    is written, in the signs of `strptime`; empty for ISO 8601 (2026-11-25 14:00).
    """

    when: str
    low: str
    high: str
    form: str = ""

    @property
    def several_a_day(self) -> bool:
        """Whether the rows are readings within the day, to be reduced to its ends."""
        return self.low == self.high


@frozen
class WeatherFile:
    """A file of temperatures: a logger's table, or a public station's where `columns` is None.

    `place` is where it was read, empty for the open air. `unit` is None where the format of a
    station's file fixes it. `station` picks one out of a file that holds several.
    """

    name: str
    path: str
    place: str = ""
    unit: TempUnit | None = None
    columns: LoggerColumns | None = None
    station: str = ""


@frozen
class Normals:
    """Mean daily minima and maxima of the open air by month, January first, in °C.

    `spread_c` is the standard deviation of a season's mean temperature from year to year.
    """

    low_c: tuple[float, ...]
    high_c: tuple[float, ...]
    spread_c: float


@frozen
class Weather:
    """Where this nursery's temperatures come from, besides what is said of its places."""

    normals: Normals | None = None
    files: dict[str, WeatherFile] = Factory(dict)


@frozen
class Container:
    """A pot or tray the nursery owns, by the grower's own name for it.

    `litres` is what one pot, or one cell of a tray, takes. `size_cm` is the length and the
    width of bench that the whole of it covers; a round pot covers the square about it.
    """

    name: str
    litres: float | None = None
    cells: int = 1
    size_cm: tuple[float, float] | None = None


@frozen
class Spacing:
    """How far apart plants stand [m]: in the row, and from row to row."""

    apart_m: float
    rows_m: float
    pattern: Pattern = "square"


@frozen
class Bed:
    """Ground that wants filling: a hedge line, a row of currants.

    It is given by how many plants go in, or by its measure (`length_m` x `width_m`, or
    `area_m2` for any shape) and a spacing. `plant` and `by` make it a standing want.
    """

    name: str
    plants_wanted: int | None = None
    note: str = ""
    length_m: float | None = None
    width_m: float | None = None
    area_m2: float | None = None
    spacing: Spacing | None = None
    plant: str = ""
    by: MonthDay | None = None

    @property
    def takes(self) -> int | None:
        """How many plants go in, None where that is not said."""
        if self.plants_wanted is not None:
            return self.plants_wanted
        space = self.spacing
        if space is None:
            return None
        if self.length_m is not None:
            width = self.width_m or space.rows_m
            return plants_in_rows(self.length_m, width, space.apart_m, space.rows_m, space.pattern)
        return plants_on(self.area_m2, space.apart_m, space.rows_m) if self.area_m2 else None


@frozen
class LabelSettings:
    """How this nursery prints: its usual label, and a link to put before the code in the QR.

    `material` and `printing` say what labels are made of and how the black gets on them, as
    the table of how long they last has it; empty where nobody said. `printer` is what was
    measured on a calibration sheet, `roll_printer` the same for labels that are a page each.
    """

    format: str = "tray-a4"
    sheet: Literal["a4", "letter"] = "a4"
    label_url: str = ""
    material: str = ""
    printing: str = ""
    printer: PrinterFit = Factory(PrinterFit)
    roll_printer: PrinterFit = Factory(PrinterFit)


@frozen
class PlanSettings:
    """What a plan may use besides the bench, and what the grower knows better than the defaults.

    `hours_per_week` are hands; `places` says where batches of a method stand; `per_mother` how
    many propagules a mother gives in a year by each method; `mothers` how many plants stand
    under a mother's short name; `minutes` how long one propagule takes to set.
    """

    hours_per_week: float | None = None
    places: dict[str, str] = Factory(dict)
    per_mother: dict[str, float] = Factory(dict)
    mothers: dict[str, float] = Factory(dict)
    minutes: dict[str, float] = Factory(dict)


@frozen
class BookSettings:
    """Who writes in the book from here, on which device, and where it is kept.

    `url` is that of a PostgreSQL database; empty for the file in the nursery folder.
    """

    by: str = ""
    device: str = ""
    url: str = ""


def _share(instance: object, attribute: object, value: float) -> None:
    if not 0.5 <= value <= 0.99:
        raise ValueError(f"chance is {value:g}; give a share from 0.5 to 0.99, such as 0.8")


USUAL_CHANCE: Final = 0.8
"""How surely the truth lies from low to high of an answer, where nobody says another chance."""


@frozen
class Nursery:
    """Everything in nursery.toml: settings a person can read and edit.

    `frost_risk` is the chance of frost after planting out that is borne; where it is given and
    the open air's record is long enough, the two frost days are taken from there.
    `in_hand` is what there is of containers and materials, by name; `prices` what a plant is
    worth, by its name as typed, or by "any plant".
    `protected` names the plants or varieties that the grower marked as protected.
    """

    name: str
    hemisphere: Hemisphere = field(default="north", validator=validators.in_(("north", "south")))
    last_frost: MonthDay = (5, 10)
    first_frost: MonthDay = (10, 20)
    frost_risk: float | None = None
    leaf_fall: MonthDay = (11, 5)
    bud_break: MonthDay = (3, 25)
    chance: float = field(default=USUAL_CHANCE, validator=_share)
    check_every_weeks: int = 4
    places: dict[str, Place] = Factory(dict)
    containers: dict[str, Container] = Factory(dict)
    beds: dict[str, Bed] = Factory(dict)
    in_hand: dict[str, float] = Factory(dict)
    prices: dict[str, float] = Factory(dict)
    labels: LabelSettings = Factory(LabelSettings)
    weather: Weather = Factory(Weather)
    book: BookSettings = Factory(BookSettings)
    plan: PlanSettings = Factory(PlanSettings)
    protected: tuple[str, ...] = ()
