"""What the nursery made, year by year and kind by kind, and what it was worth."""

import datetime as dt

from attrs import frozen

from propagate.names import PlantName


@frozen
class Yield:
    """What came of one kind in one year, or of all kinds where `plant` is None.

    `made` left their trays for pots, beds or people; `planted` and `given` are what came to
    use, and `value` is theirs, None where no price is known. `lost` counts all that died,
    cuttings that never rooted among them.
    """

    plant: PlantName | None
    started: int
    made: int
    planted: int
    given: int
    lost: int
    value: float | None


@frozen
class YearYield:
    """One calendar year: its kinds by name, and their sum."""

    year: int
    kinds: tuple[Yield, ...]
    total: Yield


@frozen
class Holding:
    """Plants of one kind that stand in pots here now, and what they are worth."""

    plant: PlantName
    plants: int
    value: float | None


@frozen
class Worth:
    """The answer to `worth`: every year of the book, and what stands here now.

    `here_value` is the sum over what stands here, None where no price is known of any.
    """

    as_of: dt.date
    years: tuple[YearYield, ...]
    here: tuple[Holding, ...]
    here_value: float | None
