"""Where plants came from and where they went: a family of mother plants and batches."""

import datetime as dt
from typing import Literal

from attrs import field, frozen

from propagate.names import PlantName
from propagate.records.standing import Standing

KinKind = Literal["mother", "batch"]
GoneKind = Literal["bed", "person"]


@frozen
class Doubt:
    """What is suspected of a mother plant or batch: since when, of whom at first, and why.

    `entry` is the id of the entry that says so, `seq` its place in the order of writing;
    `about` is "health" or "name".
    """

    entry: str
    on: dt.date
    subject: str
    about: str
    why: str
    seq: int = 0


@frozen
class Gone:
    """Plants of one batch that left it for a bed or a person, on one day or several."""

    kind: GoneKind
    to: str
    count: int
    first: dt.date
    last: dt.date


@frozen
class Kin:
    """One mother plant or batch of a family.

    `parent` is the place of the one it came from in the list that both stand in, -1 for the
    first; `depth` counts the steps from that first one, a mother and a batch being a step each.
    """

    kind: KinKind
    key: str
    name: PlantName
    on: dt.date
    depth: int = 0
    parent: int = -1
    method: str = ""
    place: str = ""
    count: int = 0
    living: int = 0
    standing: Standing = field(factory=Standing)
    gone: tuple[Gone, ...] = ()
    promised: tuple[tuple[str, int], ...] = ()
    doubts: tuple[Doubt, ...] = ()
    reprint: bool = False


@frozen
class Destination:
    """A bed or a person with all that a family sent there, and from which batches."""

    kind: GoneKind
    to: str
    count: int
    batches: tuple[str, ...]


@frozen
class Family:
    """A mother plant or batch with all it came from and all that was raised from it.

    `above` runs from the oldest known down to the parent of the subject. `members` begins
    with the subject; each stands before its own, as in a drawn tree.
    """

    as_of: dt.date
    above: tuple[Kin, ...]
    members: tuple[Kin, ...]
    destinations: tuple[Destination, ...]

    @property
    def subject(self) -> Kin:
        """Whose family it is."""
        return self.members[0]

    @property
    def reprint(self) -> tuple[str, ...]:
        """Batches with labels out there that no longer say what is so."""
        return tuple(kin.key for kin in self.members if kin.reprint)


@frozen
class Arrival:
    """What came to a bed or a person out of one batch, and the line that batch came from.

    `above` runs from the oldest known down to the mother of the batch.
    """

    batch: Kin
    gone: Gone
    above: tuple[Kin, ...]


@frozen
class Arrivals:
    """Everything that a bed or a person got, by the day it came."""

    as_of: dt.date
    kind: GoneKind
    to: str
    arrivals: tuple[Arrival, ...]

    @property
    def count(self) -> int:
        """How many plants came in all."""
        return sum(arrival.gone.count for arrival in self.arrivals)
