"""From a methods/*.toml file to Method records, refusing what the format does not know.

A stage of a plant's record is laid over the stage of the same name of the general record:
what the plant gives replaces, the rest is inherited.
"""

from collections.abc import Callable, Container
from typing import Final, TypeVar, cast, get_args

from attrs import evolve, frozen

from propagate.errors import Refused
from propagate.library.shelving import Shelf, shelf_of
from propagate.names import split_cultivar
from propagate.records.methods import (
    BASES,
    PHASES,
    Basis,
    Clock,
    Details,
    Figure,
    Gate,
    Method,
    MethodRecord,
    Mothering,
    Role,
    Season,
    Stage,
    Stand,
    Storage,
)
from propagate.tables import Table
from propagate.units import ChillModel

NUMBERED: Final = (
    "length_cm",
    "nodes",
    "per_mother",
    "medium_temp_c",
    "soak_hours",
    "seeds_per_gram",
    "germination_c",
)
"""Numbers of a record whose origin stands in its `details`."""

DETAILS_EXAMPLE: Final = 'details = { basis = "common practice" }'

Made = TypeVar("Made")

_STAND_IN: Final = Figure(1, 1, "memory")  # for a broken figure, in a record that is left out
_STORAGES: Final = tuple(kind for kind in get_args(Storage) if kind)
_ABSOLUTE_ZERO_C: Final = -273.15


@frozen
class Known:
    """What records may refer to: source keys, plant names and caution keys."""

    sources: Container[str]
    plants: Container[str]
    cautions: Container[str]


def read_method(
    table: Table, method_id: str, base: Method | None, known: Known
) -> tuple[Method | None, Shelf]:
    """One method, None when its general part cannot be used, and the shelf of its plants.

    `base` is the same method from a folder before this one: what the file leaves out is
    taken from there. Problems of the general part stay in `table`, the plants' on the shelf.
    """
    under = shelf_of(base) if base else None

    def read(inner: Table) -> MethodRecord:
        return _read_plant(inner, general, table.where, known)

    if not table.values and table.problems:  # it could not be read at all
        return None, Shelf((), read, under)
    general = _read_general(table, method_id, base, known)
    method = _read_words(table, base, general, known)
    plants = table.tables("plant", naming="latin")
    table.finish()
    shelf = Shelf(plants, read, under)
    return (evolve(method, records=shelf) if table.clean else None), shelf


def _read_words(table: Table, base: Method | None, general: MethodRecord, known: Known) -> Method:
    def text(key: str, optional: bool = False) -> str:
        return table.text(key, getattr(base, key) if base else "" if optional else None)

    cautions = table.texts("cautions", base.cautions if base else ())
    _check_known(table, "cautions", cautions, known.cautions, "cautions.toml")
    return Method(
        id=general.method,
        name=text("name"),
        summary=text("summary"),
        propagule=text("propagule"),
        propagules=text("propagules"),
        waiting=text("waiting"),
        taken=text("taken"),
        pot_on_words=text("pot_on_words"),
        steps=table.texts("steps", base.steps if base else None),
        medium=text("medium"),
        general=general,
        cautions=cautions,
        sever=table.flag("sever", base.sever if base else False),
        depth=text("depth", optional=True),
    )


def _read_general(table: Table, method_id: str, base: Method | None, known: Known) -> MethodRecord:
    before = base.general if base else MethodRecord(method_id, None, (), Season((), ()))
    if base is None and not table.gives("season"):
        table.complain("it is missing", "season")
    general = _read_record(table, before, known)
    return before if general == before else evolve(general, origin=table.where)


def _read_plant(table: Table, general: MethodRecord, origin: str, known: Known) -> MethodRecord:
    latin = table.text("latin")
    if latin and not _is_known(latin, known):
        table.complain(f'"{latin}" is not in plants.toml; add it there', "latin")
    inherited = evolve(general, plant=latin, note="", see=(), origin=origin)
    record = _read_record(table, inherited, known)
    table.finish()
    return record


def _is_known(latin: str, known: Known) -> bool:
    try:
        return latin in known.plants or split_cultivar(latin)[0] in known.plants
    except Refused:  # a quote left open
        return False


def _read_record(table: Table, under: MethodRecord, known: Known) -> MethodRecord:
    """A record laid over another, which gives whatever this one leaves out."""
    see = table.texts("see", under.see)
    _check_known(table, "see", see, known.sources, "sources.toml")
    stages = _read_stages(table, under.stages, known)
    # A slip in a stage, here or in the record beneath, is told where it stands and not again here.
    sound = table.clean and (not under.stages or _takes(under.stages) == 1)
    if sound and _takes(stages) != 1:
        table.complain('exactly one stage has role = "take"', "stage")
    return evolve(
        under,
        stages=stages,
        season=_read_season(table, under.season),
        steps=table.texts("steps", under.steps),
        length_cm=table.pair("length_cm", under.length_cm),
        nodes=table.pair("nodes", under.nodes),
        per_mother=table.pair("per_mother", under.per_mother),
        mothers=_read_mothers(table, known) if table.gives("mothers") else under.mothers,
        wound=table.text("wound", under.wound),
        hormone=table.text("hormone", under.hormone),
        medium=table.text("medium", under.medium),
        medium_temp_c=table.pair("medium_temp_c", under.medium_temp_c, lowest=_ABSOLUTE_ZERO_C),
        light=table.text("light", under.light),
        spacing=table.text("spacing", under.spacing),
        stand=_read_stand(table, known) if table.gives("stand") else under.stand,
        container=table.text("container", under.container),
        scarify=table.text("scarify", under.scarify),
        soak_hours=table.pair("soak_hours", under.soak_hours),
        seeds_per_gram=_read_seeds_per_gram(table, under.seeds_per_gram),
        storage=_read_storage(table, under.storage),
        germination_c=table.pair("germination_c", under.germination_c, lowest=_ABSOLUTE_ZERO_C),
        details=_read_details(table, known) or under.details,
        note=table.text("note", under.note),
        see=see,
    )


def _read_details(table: Table, known: Known) -> Details | None:
    """Where a record's other numbers are from; it must be said where there are any."""
    if not table.gives("details"):
        given = [key for key in NUMBERED if key in table.values]
        if given:
            table.complain(
                f"say where {', '.join(given)} is from, such as {DETAILS_EXAMPLE}", "details"
            )
        return None
    inner = table.table("details")
    basis, sources = _read_origin(inner, known)
    inner.finish()
    made = _made(inner, lambda: Details(basis, sources))
    table.take_over(inner)
    return made


def _read_stand(table: Table, known: Known) -> Stand | None:
    """The ground of a propagule; an empty table where a plant takes none."""
    inner = table.table("stand")
    if not inner.values:
        return None
    apart_cm = inner.pair("apart_cm", (1.0, 1.0)) or (1.0, 1.0)
    if not inner.gives("apart_cm"):
        inner.complain("it is missing; such as [5, 5]", "apart_cm")
    basis, sources = _read_origin(inner, known)
    inner.finish()
    made = _made(inner, lambda: Stand(apart_cm, basis, sources))
    table.take_over(inner)
    return made


def _read_mothers(table: Table, known: Known) -> Mothering | None:
    """How a plant serves as a mother; an empty table where it does not."""
    inner = table.table("mothers")
    if not inner.values:
        return None
    for key in ("after_years", "serves_years"):
        if not inner.gives(key):
            inner.complain("it is missing; such as [2, 3]", key)
    after = inner.pair("after_years", (1.0, 1.0)) or (1.0, 1.0)
    serves = inner.pair("serves_years", (1.0, 1.0)) or (1.0, 1.0)
    a_year, every = inner.pair("a_year", None), inner.number("every_years", 1.0)
    basis, sources = _read_origin(inner, known)
    inner.finish()
    made = _made(inner, lambda: Mothering(after, serves, basis, sources, a_year, every))
    table.take_over(inner)
    return made


def _read_origin(table: Table, known: Known) -> tuple[Basis, tuple[str, ...]]:
    """The basis and the source keys of a figure or of details."""
    basis = cast(Basis, table.choice("basis", BASES))
    sources = table.texts("source")
    _check_known(table, "source", sources, known.sources, "sources.toml")
    return basis, sources


def _made(table: Table, make: Callable[[], Made]) -> Made | None:
    """What `make` makes, None when the table or the record itself has something against it."""
    if not table.clean:
        return None
    try:
        return make()
    except ValueError as error:
        table.complain(str(error))
        return None


def _read_season(table: Table, default: Season) -> Season:
    if not table.gives("season"):
        return default
    inner = table.table("season")
    stages = inner.texts("stages", None)
    for stage in stages:
        if stage not in PHASES:
            inner.complain(f'"{stage}" is none of {", ".join(PHASES)}', "stages")
    months = inner.values.get("months")
    if not inner.gives("months") or not isinstance(months, list) or not months:
        inner.complain("the months are numbers such as [11, 12, 1], at least one", "months")
        months = []
    for month in months:
        if type(month) is not int or not 1 <= month <= 12:
            inner.complain(f"{month!r} is no month; 1 is January and 12 December", "months")
    inner.finish()
    table.take_over(inner)
    return Season(stages, tuple(months))


def _read_seeds_per_gram(
    table: Table, default: tuple[float, float] | None
) -> tuple[float, float] | None:
    seeds = table.pair("seeds_per_gram", default)
    if seeds is not None and seeds[0] == 0:
        table.complain(
            "a gram holds some seed; of nuts a part of one, such as 0.2", "seeds_per_gram"
        )
    return seeds


def _read_storage(table: Table, default: Storage) -> Storage:
    if not table.gives("storage"):
        return default
    return cast(Storage, table.choice("storage", _STORAGES))


def _takes(stages: tuple[Stage, ...]) -> int:
    return sum(stage.role == "take" for stage in stages)


def _read_stages(table: Table, under: tuple[Stage, ...], known: Known) -> tuple[Stage, ...]:
    """The stages under this heading laid over those of the record beneath.

    A treatment that only this record has goes before all others, in the order of the file.
    """
    stages = {stage.name: stage for stage in under}
    given: set[str] = set()
    for inner in table.tables("stage", naming="name"):
        name = inner.text("name")
        if name in given:
            inner.complain("a stage of this name stands here already", "name")
        given.add(name)
        stages[name] = _read_stage(inner, name, stages.get(name), known)
        table.take_over(inner)
    return tuple(sorted(stages.values(), key=lambda stage: stage.role != "treat"))


def _read_stage(table: Table, name: str, model: Stage | None, known: Known) -> Stage:
    """A stage laid over its model; one with problems is a stand-in that nobody will use."""
    under = model or Stage(name, "treat", _STAND_IN)
    for key in ("role", "weeks") if model is None else ():
        if not table.gives(key):
            table.complain("it is missing", key)
    stage = Stage(
        name=name,
        role=cast(Role, table.choice("role", get_args(Role), under.role)),
        weeks=_read_figure(table, "weeks", known) if table.gives("weeks") else under.weeks,
        take=_read_figure(table, "take", known) if table.gives("take") else under.take,
        clock=cast(Clock, table.choice("clock", get_args(Clock), under.clock)),
        gate=cast(Gate, table.choice("gate", get_args(Gate), under.gate)),
        share=table.number("share", under.share),
        ends=table.text("ends", under.ends),
        temp_c=table.pair("temp_c", under.temp_c, lowest=_ABSOLUTE_ZERO_C),
        chill=cast(ChillModel, table.choice("chill", get_args(ChillModel), under.chill)),
    )
    _check_shares(table, stage)
    table.finish()
    return stage


def _check_shares(table: Table, stage: Stage) -> None:
    if stage.weeks.low == 0:
        table.complain("a stage takes some time; low must be above 0", "weeks")
    if stage.role == "take" and stage.take is None:
        table.complain("it is missing", "take")
    if stage.take is not None and stage.take.high > 1:
        table.complain(f"a share lies between 0 and 1, {stage.take.high:g} is above 1", "take")
    if not 0 < stage.share <= 1:
        table.complain(f"a share lies between 0 and 1, {stage.share:g} does not", "share")


def _read_figure(table: Table, key: str, known: Known) -> Figure:
    inner = table.table(key)
    low, high = inner.number("low"), inner.number("high")
    basis, sources = _read_origin(inner, known)
    note, scored = inner.text("note", ""), inner.flag("scored", default=False)
    inner.finish()
    figure = _made(inner, lambda: Figure(low, high, basis, sources, note, scored))
    table.take_over(inner)
    return figure or _STAND_IN


def _check_known(
    table: Table, key: str, given: tuple[str, ...], known: Container[str], file: str
) -> None:
    for entry in given:
        if entry not in known:
            table.complain(f'"{entry}" is not in {file}; add it there', key)
