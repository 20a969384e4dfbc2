"""What labels other than a tray's say: those of beds and of mother plants."""

import datetime as dt

from attrs import frozen

from propagate.names import PlantName


@frozen
class BedPlants:
    """Plants of one name that went into a bed, and the day the last of them did."""

    name: PlantName
    common: str
    count: int
    last: dt.date


@frozen
class BedLabel:
    """A bed's marker: its name, and what was planted in it by the book."""

    bed: str
    plants: tuple[BedPlants, ...]
    nursery: str = ""


@frozen
class MotherLabel:
    """A mother plant's tag: her name, and the short name by which batches are taken from her."""

    key: str
    name: PlantName
    common: str
    since: dt.date
    place: str = ""
    nursery: str = ""
    cautions: tuple[str, ...] = ()
