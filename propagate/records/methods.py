"""What the method library knows: figures with their basis, stages, methods, plant records."""

from collections.abc import Mapping, Sequence
from typing import Literal

from attrs import Factory, field, frozen, validators

from propagate.units import CM2_PER_M2, DAYS_PER_WEEK, ChillModel

Basis = Literal["published", "common practice", "memory"]
BASES: tuple[Basis, ...] = ("memory", "common practice", "published")  # weakest first

Role = Literal["treat", "take", "establish"]
"""treat: the grower keeps it so for a set time (warm, cold); take: it roots or comes up, or
fails; establish: it grows on in its pot until it can be planted."""

Clock = Literal["calendar", "warmth", "chill"]
Gate = Literal["any", "dormant", "after growth", "growing", "frost-free"]
"""The season in which a stage may end: any day; leaf fall to bud break; the same, but only
after a summer's growth; bud break to first frost; last frost to first frost."""
Storage = Literal["", "orthodox", "intermediate", "recalcitrant"]
"""How seed keeps: orthodox dries and keeps for years; intermediate bears some drying and keeps
for a few; recalcitrant dies when it dries. Empty where it is not known."""

PHASES = (
    "leaf fall",
    "dormant",
    "bud break",
    "soft growth",
    "firm growth",
    "ripe wood",
    "flowering",
    "after flowering",
    "ripe seed",
)
"""The states of a mother plant by which material is taken, in the order of a year."""


def _positive(instance: object, attribute: object, value: float) -> None:
    if value < 0:
        raise ValueError(f"{value:g} is below zero")


SCORED_EARLIER = 2.25
"""What a trial found rooted on the day it was scored may have rooted so many times sooner: as
wide a range as one number is read as (see `science.timing`), with that day at its late end."""

BENCH_LATER = 1.2
"""And a bench without the trial's mist and warmth may take so many times longer (memory)."""


@frozen
class Figure:
    """A range with its origin: 10 % of single cases fall below `low`, 10 % above `high`.

    Where `low` equals `high`, one number is all that is known, and whoever reckons with it
    widens it. `sources` are keys of methods/sources.toml; a published figure has at least one.
    Times that are `scored` are the days on which trials were looked at, each once: all that
    was found had come by then, nobody saw when.
    """

    low: float = field(validator=_positive)
    high: float = field(validator=_positive)
    basis: Basis = field(validator=validators.in_(BASES))
    sources: tuple[str, ...] = ()
    note: str = ""
    scored: bool = False

    def __attrs_post_init__(self) -> None:
        if self.low > self.high:
            raise ValueError(f"the range is upside down: low {self.low:g}, high {self.high:g}")
        if self.basis == "published" and not self.sources:
            raise ValueError("a published figure names its source; add source = ...")

    @property
    def soonest(self) -> float:
        """The early end to reckon with."""
        return self.low / SCORED_EARLIER if self.scored else self.low

    @property
    def latest(self) -> float:
        """The late end to reckon with."""
        return max(self.high, self.low * BENCH_LATER) if self.scored else self.high

    @property
    def middle(self) -> float:
        """Half way between its ends."""
        return (self.low + self.high) / 2


@frozen
class Stand:
    """The ground a propagule takes from its start until it is potted on.

    `apart_cm` is how far it stands from the next in its row, and how far the rows stand apart.
    """

    apart_cm: tuple[float, float]
    basis: Basis = field(validator=validators.in_(BASES))
    sources: tuple[str, ...] = ()

    def __attrs_post_init__(self) -> None:
        if not self.apart_cm[0] > 0:
            raise ValueError("what stands at no distance takes no ground; leave it out")
        if self.basis == "published" and not self.sources:
            raise ValueError("a published figure names its source; add source = ...")

    @property
    def m2(self) -> float:
        """Ground of one propagule [m2]."""
        return self.apart_cm[0] * self.apart_cm[1] / CM2_PER_M2


@frozen
class Mothering:
    """A plant as a mother: after how many years she may be one, and for how many she serves.

    `a_year` is what she gives each year where a record's `per_mother` does not say;
    `every_years` how often she can be used, as a clump that is divided every third year.
    """

    after_years: tuple[float, float]
    serves_years: tuple[float, float]
    basis: Basis = field(validator=validators.in_(BASES))
    sources: tuple[str, ...] = ()
    a_year: tuple[float, float] | None = None
    every_years: float = field(default=1.0, validator=_positive)

    def __attrs_post_init__(self) -> None:
        if self.basis == "published" and not self.sources:
            raise ValueError("a published figure names its source; add source = ...")
        if self.every_years < 1:
            raise ValueError(f"every {self.every_years:g} years is oftener than each year")


@frozen
class Details:
    """Where the numbers of a record come from that are not a stage's weeks or take.

    Lengths, temperatures, hours, yields and the like, also those in its texts.
    """

    basis: Basis = field(validator=validators.in_(BASES))
    sources: tuple[str, ...] = ()

    def __attrs_post_init__(self) -> None:
        if self.basis == "published" and not self.sources:
            raise ValueError("a published figure names its source; add source = ...")


@frozen
class Stage:
    """One leg of a batch's way, from start to a plant that can go out.

    `weeks` is how long one propagule spends in it; `take` the share that comes through
    (None: all). `gate` is the season in which the stage may end; `share` the part of the
    takers that must have passed before it is worth ending it for the batch. A stage whose
    `clock` is chill counts its cold as `chill` says.
    """

    name: str
    role: Role
    weeks: Figure
    take: Figure | None = None
    clock: Clock = "calendar"
    gate: Gate = "any"
    share: float = 0.8
    ends: str = ""
    temp_c: tuple[float, float] | None = None
    chill: ChillModel = "days"

    @property
    def middle_days(self) -> int:
        """Days until its end, by the middle of its weeks."""
        return round(self.weeks.middle * DAYS_PER_WEEK)


@frozen
class Season:
    """When a method's material is taken: phenological stages, and months of the north."""

    stages: tuple[str, ...]
    months: tuple[int, ...]


@frozen
class Plant:
    """A kind of plant the library knows, with the names people call it and its cautions.

    `common` are its English names, the usual one first; `other_names` those of any other
    language; `usual` is the usual one of each language, by its two letters; `synonyms` are
    older or rival Latin names. `hardy_c` is the cold that an established one lives through
    [°C], None where no number can be given; `hardiness` says it in words.
    """

    latin: str
    common: tuple[str, ...] = ()
    other_names: tuple[str, ...] = ()
    usual: Mapping[str, str] = Factory(dict)
    synonyms: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()
    hardiness: str = ""
    hardy_c: float | None = None
    note: str = ""


@frozen
class Caution:
    """Something to mind, and, where it must be known at the tray itself, the few words for it."""

    text: str
    short: str = ""


@frozen
class Source:
    """One entry of the bibliography."""

    key: str
    author: str
    title: str
    year: str = ""
    where: str = ""

    def cited(self) -> str:
        """Author, title and year in one line, as a card or a JSON answer prints it."""
        return ", ".join(part for part in (self.author, self.title, self.year) if part)


@frozen
class MethodRecord:
    """How one plant is multiplied by one method; `plant` None for the general record.

    `details` says where the numbers besides weeks and take are from.
    `mothers` says how the plant serves as a mother, None where no plant is one, as of seed.
    `stand` is the ground a propagule takes, None where it takes none, as a layer on its mother.
    `wound` says where bark is taken off, `medium_temp_c` how warm the medium is kept.
    `scarify` says how a hard coat is opened before sowing, empty where it need not be;
    `soak_hours` how long the seed lies in water then, `germination_c` the °C at which it comes
    up afterwards. `see` are sources that the note speaks of and that no figure rests on;
    `origin` is the file the record was read from.
    """

    method: str
    plant: str | None
    stages: tuple[Stage, ...]
    season: Season
    steps: tuple[str, ...] = ()
    length_cm: tuple[float, float] | None = None
    nodes: tuple[float, float] | None = None
    per_mother: tuple[float, float] | None = None
    mothers: Mothering | None = None
    wound: str = ""
    hormone: str = ""
    medium: str = ""
    medium_temp_c: tuple[float, float] | None = None
    light: str = ""
    spacing: str = ""
    stand: Stand | None = None
    container: str = ""
    scarify: str = ""
    soak_hours: tuple[float, float] | None = None
    seeds_per_gram: tuple[float, float] | None = None
    storage: Storage = ""
    germination_c: tuple[float, float] | None = None
    details: Details | None = None
    note: str = ""
    see: tuple[str, ...] = ()
    origin: str = ""

    @property
    def taking(self) -> Stage:
        """The stage in which propagules root or come up, or fail."""
        return next(stage for stage in self.stages if stage.role == "take")

    @property
    def treatments(self) -> tuple[Stage, ...]:
        """The warm and cold spells before it, in order."""
        return tuple(stage for stage in self.stages if stage.role == "treat")

    @property
    def establishing(self) -> Stage | None:
        """The stage in the pot, where the record has one."""
        return next((stage for stage in self.stages if stage.role == "establish"), None)

    @property
    def a_year(self) -> tuple[float, float] | None:
        """Propagules that a mother gives each year, None where that is not known."""
        if self.mothers is None:
            return None
        given = self.per_mother or self.mothers.a_year
        every = self.mothers.every_years
        return (given[0] / every, given[1] / every) if given else None

    @property
    def weeks(self) -> tuple[float, float]:
        """Weeks from the start until rooted or up, treatments included."""
        legs = (*self.treatments, self.taking)
        return sum(leg.weeks.low for leg in legs), sum(leg.weeks.high for leg in legs)

    @property
    def figures(self) -> tuple[Figure, ...]:
        """Every figure that the answer for this record rests on."""
        legs = (*self.treatments, self.taking)
        return tuple(f for leg in legs for f in (leg.weeks, leg.take) if f is not None)

    @property
    def basis(self) -> Basis:
        """The weakest basis among its figures: a record is as good as its worst number."""
        return min((f.basis for f in self.figures), key=BASES.index)


@frozen
class Method:
    """A way of multiplying plants, with its words, steps and general record."""

    id: str
    name: str
    summary: str
    propagule: str
    propagules: str
    waiting: str
    taken: str
    pot_on_words: str
    steps: tuple[str, ...]
    medium: str
    general: MethodRecord
    records: Sequence[MethodRecord] = ()
    cautions: tuple[str, ...] = ()
    sever: bool = False
    depth: str = ""
