"""What can happen in a nursery: one frozen class an event, and the entry that dates it.

Events carry what the grower said, never what follows from it; the ledger works out which
account the plants leave, so that a late entry may change it.
"""

import datetime as dt
from collections.abc import Callable
from typing import Any, Final

from attrs import Attribute, field, frozen

from propagate.errors import Refused
from propagate.names import PlantName
from propagate.records.given import ForecastGiven


def _at_least(least: int) -> Callable[[object, "Attribute[Any]", int | None], None]:
    def check(_: object, attribute: "Attribute[Any]", value: int | None) -> None:
        if value is not None and value < least:
            raise Refused(f"{attribute.name} is {value}; it must be {least} or more.")

    return check


_NONE_OR_MORE = _at_least(0)
_ONE_OR_MORE = _at_least(1)


@frozen
class Started:
    """A batch comes into the book: propagules of one plant, by one method, on one day.

    `parted_from` is the end of the id of the entry that started the batch they stood in before
    they went somewhere else, empty for most.
    """

    batch: str
    plant: PlantName
    method: str
    count: int = field(validator=_ONE_OR_MORE)
    place: str = ""
    stock_plant: str = ""
    trays: tuple[str, ...] = ()
    mark: str = ""
    note: str = ""
    parted_from: str = ""


@frozen
class Parted:
    """So many of a batch are a batch of their own, `into`, as if they had been started so.

    They leave the one and enter the other by this one entry, so that none is lost or made
    whatever becomes of the other's start. It is dated on the day that both were started, so
    that no plant counts twice on any day.
    """

    batch: str
    count: int = field(validator=_ONE_OR_MORE)
    into: str


@frozen
class Checked:
    """A look into the tray: how many stand rooted, how many were found dead and taken out.

    `rooted` is the number that stand rooted in the tray now, None when not counted;
    `dead` the number found dead this time, nought when they were looked for and none was
    found, None when nobody says. With `sample`, both are out of so many lifted
    and put back. Without it, all that is neither rooted nor dead was seen still waiting.
    """

    batch: str
    rooted: int | None = field(default=None, validator=_NONE_OR_MORE)
    dead: int | None = field(default=None, validator=_NONE_OR_MORE)
    sample: int | None = field(default=None, validator=_ONE_OR_MORE)


@frozen
class PottedOn:
    """Rooted propagules leave the tray for pots."""

    batch: str
    count: int = field(validator=_ONE_OR_MORE)
    container: str = ""


@frozen
class HardenedOff:
    """Potted plants move out by day to get used to the open air."""

    batch: str
    count: int = field(validator=_ONE_OR_MORE)


@frozen
class MadeReady:
    """Plants are found strong enough for a bed or a new owner."""

    batch: str
    count: int = field(validator=_ONE_OR_MORE)


@frozen
class PlantedOut:
    """Plants go into a bed, where they leave the propagation book."""

    batch: str
    count: int = field(validator=_ONE_OR_MORE)
    bed: str = ""
    account: str = ""


@frozen
class Given:
    """Plants leave the nursery as a gift or a sale."""

    batch: str
    count: int = field(validator=_ONE_OR_MORE)
    to: str = ""
    account: str = ""


@frozen
class Promised:
    """Plants still here are spoken for, so they are not free; a gift to the same redeems."""

    batch: str
    count: int = field(validator=_ONE_OR_MORE)
    to: str


@frozen
class Offered:
    """So many plants of a batch are for sale from this day on; 0 takes them off again.

    Who sells may need leave that who gives does not, so a batch for sale says so.
    """

    batch: str
    count: int = field(validator=_NONE_OR_MORE)


@frozen
class Lost:
    """Propagules or plants died or went missing, outside a check."""

    batch: str
    count: int = field(validator=_ONE_OR_MORE)
    cause: str = ""
    account: str = ""


@frozen
class Moved:
    """The batch stands somewhere else from this day on, or in other trays.

    An empty `place` leaves it where it was, no `trays` in those it had.
    """

    batch: str
    place: str
    trays: tuple[str, ...] = ()


@frozen
class Recounted:
    """The book's number was wrong: so many are alive here, and this is why it differed."""

    batch: str
    count: int = field(validator=_NONE_OR_MORE)
    why: str


@frozen
class StepDone:
    """A step that moves no plants was done, such as severing a layer from its mother."""

    batch: str
    step: str


@frozen
class StockPlantAdded:
    """A mother plant is known to the book under a short name of the grower's choice.

    `batch` names the batch it was raised from, where that is in the book too.
    """

    stock_plant: str
    plant: PlantName
    batch: str = ""
    place: str = ""
    note: str = ""


@frozen
class NameSettled:
    """What a mother plant or a batch really is, once somebody knows."""

    plant: PlantName
    stock_plant: str = ""
    batch: str = ""
    why: str = ""


FULL_CHANCE: Final = 0.9
"""The certainty with which a want is to be filled, where nobody says another."""

USUAL_PRIORITY: Final = 2
"""The rank of a want among others: 1 goes first."""


def _is_share(_: object, attribute: "Attribute[Any]", value: float) -> None:
    if not 0 < value < 1:
        raise Refused(f"{attribute.name} is {value:g}; it lies between 0 and 1, such as 0.9.")


@frozen
class Wanted:
    """So many plants are wanted in a bed by a day, and how sure that is to be.

    Said again for the same bed and plant it takes the place of what was said before; 0 takes
    it back. A succession wants `count` anew `times` times, `every_weeks` apart, the first by
    `by`. Plants put into the bed before `since` do not count.
    """

    bed: str
    plant: PlantName
    count: int = field(validator=_NONE_OR_MORE)
    by: dt.date
    chance: float = field(default=FULL_CHANCE, validator=_is_share)
    priority: int = field(default=USUAL_PRIORITY, validator=_ONE_OR_MORE)
    every_weeks: int = field(default=0, validator=_NONE_OR_MORE)
    times: int = field(default=1, validator=_ONE_OR_MORE)
    since: dt.date = dt.date.min
    note: str = ""


@frozen
class Suspected:
    """A mother plant or a batch may be diseased, or not what its name says, and why.

    It holds for all that was raised from it, before or after. `about` is "health" or "name".
    """

    why: str
    stock_plant: str = ""
    batch: str = ""
    about: str = "health"


@frozen
class Cleared:
    """What was suspected of a mother plant or a batch did not come true, and how it is known."""

    why: str
    stock_plant: str = ""
    batch: str = ""


@frozen
class LabelsPrinted:
    """Labels with these batches' names are out there, and may need a reprint some day.

    `windows` are the pot-on dates they say, one a batch as "early/likely/late", empty for a
    label without; `material` and `printing` are what the nursery then printed on, and how.
    """

    batches: tuple[str, ...]
    format: str
    copies: int = field(default=1, validator=_ONE_OR_MORE)
    windows: tuple[str, ...] = ()
    material: str = ""
    printing: str = ""


@frozen
class Voided:
    """An earlier entry was a mistake; it stays in the book and counts no more."""

    entry: str
    why: str = ""


@frozen
class Recoded:
    """Two copies of the book gave one code to two batches: the later batch has this code now.

    `start` is the id of the entry that started it, `was` the code that its labels may bear.
    """

    start: str
    batch: str
    was: str


@frozen
class Doubted:
    """Two entries made in two copies may tell of one thing twice; the grower is to say."""

    first: str
    second: str


@frozen
class Settled:
    """Two entries that were doubted tell of two things: both happened."""

    first: str
    second: str


Event = (
    Started
    | Parted
    | Checked
    | PottedOn
    | HardenedOff
    | MadeReady
    | PlantedOut
    | Given
    | Promised
    | Offered
    | Lost
    | Moved
    | Recounted
    | StepDone
    | StockPlantAdded
    | NameSettled
    | Wanted
    | Suspected
    | Cleared
    | LabelsPrinted
    | ForecastGiven
    | Voided
    | Recoded
    | Doubted
    | Settled
)

OF_THE_BOOK = (Voided, ForecastGiven, Recoded, Doubted)
"""What the book writes by itself or about other entries; not what happened to plants."""


@frozen
class Entry:
    """One line of the journal: an event, the day it happened, and when it was written down.

    `seq` is its place in the order of writing, which is the order of the ids; `id` is its name
    in every copy of the book. `by` says who entered it and `device` on what, `request` which
    request of a program brought it; each is empty where nobody said. `about` holds, for each
    batch that the event speaks of, the end of the id of the entry that started it: a code is
    what stands on the label, this is what it meant in the copy where the entry was written.
    """

    seq: int
    id: str
    on: dt.date
    entered: dt.datetime
    event: Event
    by: str = ""
    device: str = ""
    request: str = ""
    about: str = ""


@frozen
class Hand:
    """Whose hand holds the pencil: who, on which device, and for which request of a program."""

    by: str = ""
    device: str = ""
    request: str = ""


def id_end(entry_id: str) -> str:
    """The last group of an entry's id, by which other entries point at it."""
    return entry_id.rpartition("-")[2]
