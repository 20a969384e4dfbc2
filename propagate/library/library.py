"""The method library: records read on demand from the shipped folder and the nursery's own."""

from collections.abc import Mapping, Sequence
from functools import cached_property
from pathlib import Path
from typing import Literal

from attrs import evolve, frozen

from propagate.errors import NotFound, Problem, Refused
from propagate.library.citing import source_line
from propagate.library.finding import NameIndex, fold, forms, names_of
from propagate.library.merging import genus_record
from propagate.library.reading import Known, read_method
from propagate.library.reference import REFERENCE_FILES, Reference
from propagate.library.shelving import Shelf, shelf_of
from propagate.names import PlantName, split_cultivar
from propagate.nearness import nearest
from propagate.records.methods import Caution, Figure, Method, MethodRecord, Plant
from propagate.tables import read_table
from propagate.worded import worded, worded_count, wording


@frozen
class Match:
    """The record that serves a plant, how near it is, and one sentence that says so."""

    record: MethodRecord
    level: Literal["species", "genus", "method"]
    said: str


class Library:
    """Methods and plants of one or more folders; a later folder overrides and adds.

    A method's file is read when the method is first asked for. Broken records are left out
    and named in `problems`.
    """

    def __init__(self, folders: Sequence[Path]) -> None:
        self._folders = [(folder, _said(folder, at)) for at, folder in enumerate(folders)]
        self._reference = Reference(self._folders)
        self._read: dict[str, tuple[Method | None, list[Problem]]] = {}
        self._shelves: dict[str, list[Shelf]] = {}
        self._matches: dict[tuple[str, PlantName], Match] = {}

    @cached_property
    def ids(self) -> tuple[str, ...]:
        """The ids of all methods, in alphabetical order; no method's file is opened for it."""
        stems = {path.stem for folder, _ in self._folders for path in folder.glob("*.toml")}
        return tuple(sorted(stems - set(REFERENCE_FILES)))

    @property
    def problems(self) -> tuple[Problem, ...]:
        """Everything wrong in any of the files; reads all of them."""
        in_methods = [
            problem
            for method_id in self.ids
            for problem in (*self._load(method_id)[1], *self._in_plants(method_id))
        ]
        in_names = self._index.problems()
        # Reading those has read what they refer to, so the rest is complete only now.
        return (*self._reference.problems, *in_names, *in_methods)

    def methods(self) -> tuple[Method, ...]:
        """All methods that can be used."""
        loaded = (self._load(method_id)[0] for method_id in self.ids)
        return tuple(method for method in loaded if method is not None)

    def method(self, method_id: str) -> Method:
        """The method of this id.

        Raises NotFound with the nearest ids, or Refused when its file cannot be used.
        """
        if method_id not in self.ids:
            raise NotFound(
                worded('The library knows no method called "{name}".', name=method_id),
                self._near(method_id),
            )
        method, problems = self._load(method_id)
        if method is None:
            reasons = "\n  ".join(str(problem) for problem in problems)
            raise Refused(f"The method {method_id} cannot be used.\n  {reasons}")
        return method

    def method_meant(self, text: str, plant: PlantName | None = None) -> Method:
        """The method as a person writes it: "hardwood cuttings", or "hardwood" where one is.

        Raises NotFound and Refused as `method` does; where no name is near, the methods that
        have a record for `plant` are offered.
        """
        key = "-".join(text.lower().split())
        if key not in self.ids:
            key = key.removesuffix("s")
        begun = [method_id for method_id in self.ids if f"{method_id}-".startswith(f"{key}-")]
        try:
            return self.method(begun[0] if len(begun) == 1 else text)
        except NotFound as unknown:
            if unknown.near or plant is None:
                raise
            usual = [m for m in self.ids if self.record(m, plant).level == "species"]
            raise NotFound(
                worded(
                    "{said} For this plant it has {methods}.",
                    said=unknown.said,
                    methods=", ".join(usual or self.ids),
                )
            ) from None

    def _near(self, text: str) -> Sequence[str]:
        """The ids that have a word in them, else those most like it: layer, simple-layering."""
        word = "-".join(text.lower().split()).removesuffix("s")
        having = [method_id for method_id in self.ids if len(word) > 3 and word in method_id]
        return having or nearest(text, self.ids, likeness=0.5)

    def record(self, method_id: str, name: PlantName) -> Match:
        """The record for a plant: its cultivar's or species', its genus', or the general one."""
        asked = method_id, name
        if asked not in self._matches:
            self._matches[asked] = self._match(method_id, name)
        return self._matches[asked]

    def _match(self, method_id: str, name: PlantName) -> Match:
        method = self.method(method_id)
        shelf = shelf_of(method)
        for latin in self._spellings(name):
            if record := shelf.of(latin):
                said = _said_of(wording("The record for {plant} by {method}."), latin, method)
                return Match(record, "species", said)
        relatives = (latin for latin in shelf.names() if latin.split()[0] == name.genus)
        kin = [record for latin in relatives if (record := shelf.of(latin))]
        if kin:
            said = _said_of(
                wording(
                    "No record for {plant} by {method}; the genus {genus} is used ({records})."
                ),
                name.species_name,
                method,
                genus=name.genus,
                records=worded_count("{count} record", "{count} records", len(kin)),
            )
            return Match(genus_record(name.genus, kin), "genus", said)
        said = _said_of(
            wording("No record for {plant} by {method}; the method's general range is used."),
            name.species_name,
            method,
        )
        return Match(method.general, "method", said)

    def resolve(self, text: str) -> PlantName:
        """The plant that is meant by a Latin or common name, with or without a cultivar.

        An unknown name that looks Latin is taken as given, because a grower may have any
        plant. Raises NotFound with the nearest names otherwise.
        """
        return self._index.resolve(text)

    def names(self) -> tuple[str, ...]:
        """Every name of every plant the library knows, Latin and common."""
        plants = self._reference.plants.values()
        return tuple(name for plant in plants for name in names_of(plant))

    def plant(self, name: PlantName) -> Plant | None:
        """What the library knows of this species, None when it has no entry."""
        return self._plant(name.species_name)

    def common_name(self, name: PlantName) -> str:
        """The usual English name of a species, empty when the library has none."""
        plant = self.plant(name)
        return plant.common[0] if plant and plant.common else ""

    def common_names(self, name: PlantName) -> Mapping[str, str]:
        """The usual name of a species in each language that the library has one of."""
        plant = self.plant(name)
        return plant.usual if plant else {}

    def cautions(self, method_id: str, name: PlantName | None) -> tuple[str, ...]:
        """What to mind with this method and this plant; the genus' cautions where it is unknown."""
        return tuple(caution.text for caution in self._cautions(method_id, name))

    def caution(self, key: str) -> str:
        """One caution by its key in cautions.toml."""
        return self._reference.cautions[key].text

    def short_cautions(self, method_id: str, name: PlantName) -> tuple[str, ...]:
        """Of the same, what must be known at the tray, in the few words that fit a label."""
        return tuple(c.short for c in self._cautions(method_id, name) if c.short)

    def plant_cautions(self, name: PlantName) -> tuple[str, ...]:
        """What must be known of a plant wherever it stands, in the few words that fit a label."""
        return tuple(c.short for c in self._cautions(None, name) if c.short)

    def _cautions(self, method_id: str | None, name: PlantName | None) -> list[Caution]:
        plant = self.plant(name) if name else None
        kin = [plant] if plant else self._plants_of(name.genus) if name else []
        of_method = self.method(method_id).cautions if method_id else ()
        keys = [*of_method, *(key for one in kin for key in one.cautions)]
        return [self._reference.cautions[key] for key in dict.fromkeys(keys)]

    def source_line(self, item: Figure | MethodRecord) -> str:
        """The citations behind a figure or a record, in one line."""
        return source_line(item, self._reference.sources)

    def details_line(self, record: MethodRecord) -> str:
        """Where a record's numbers besides weeks and take are from, empty when it has none."""
        if record.details is None:
            return ""
        cited = [self._reference.sources[key].cited() for key in record.details.sources]
        return "; ".join([record.details.basis, *cited])

    def reading(self, record: MethodRecord) -> tuple[str, ...]:
        """What to read further about a record, a citation each."""
        sources = (self._reference.sources[key] for key in record.see)
        return tuple(", ".join(filter(None, (s.cited(), s.where))) for s in sources)

    def search(self, words: Sequence[str] = ()) -> tuple[MethodRecord, ...]:
        """Records whose plant or method has all these words in its names.

        Where no name has them as whole words, parts of words serve. Without words: every
        general record and every plant's.
        """
        listed = [
            (record, self._words_of(record, method))
            for method in self.methods()
            for record in (method.general, *method.records)
        ]
        wanted = [fold(word) for word in words]
        whole = [
            record
            for record, known in listed
            if all(not known.isdisjoint(forms(word)) for word in wanted)
        ]
        partly = (
            record
            for record, known in listed
            if all(any(word in one for one in known) for word in wanted)
        )
        return tuple(whole or partly)

    @cached_property
    def _index(self) -> NameIndex:
        return NameIndex(self._reference.plants.values())

    def _words_of(self, record: MethodRecord, method: Method) -> set[str]:
        """The names of a record's plant and method, and each word of them, folded."""
        plant = self._reference.plants.get(split_cultivar(record.plant or "-")[0])
        names = [method.id, record.plant or "", *(names_of(plant) if plant else ())]
        words = [word for name in names for word in name.replace("-", " ").split()]
        return {fold(word) for word in (*names, *words)} - {""}

    def _plant(self, species_name: str) -> Plant | None:
        # Most names are accepted ones; the index of all spellings is not made for those.
        return self._reference.plants.get(species_name) or self._index.plant(species_name)

    def _latin(self, species_name: str) -> str:
        plant = self._plant(species_name)
        return plant.latin if plant else species_name

    def _spellings(self, name: PlantName) -> tuple[str, ...]:
        """Names under which a record may stand: with cultivar, with rank, species alone."""
        ranked = self._latin(name.species_name)
        species = self._latin(evolve(name, qualifier="", rank="", infra="").species_name)
        return f"{species} '{name.cultivar}'", ranked, species

    def _plants_of(self, genus: str) -> list[Plant]:
        plants = self._reference.plants.values()
        return [plant for plant in plants if plant.latin.split()[0] == genus]

    def _in_plants(self, method_id: str) -> list[Problem]:
        shelves = self._shelves.get(method_id, [])
        return [problem for shelf in shelves for problem in shelf.problems]

    def _load(self, method_id: str) -> tuple[Method | None, list[Problem]]:
        """A method and what is wrong with its general part, in any folder."""
        if method_id not in self._read:
            self._read[method_id] = self._read_files(method_id)
        return self._read[method_id]

    def _read_files(self, method_id: str) -> tuple[Method | None, list[Problem]]:
        reference = self._reference
        known = Known(reference.sources, reference.plants, reference.cautions)
        method: Method | None = None
        problems: list[Problem] = []
        for folder, said in self._folders:
            path = folder / f"{method_id}.toml"
            if path.is_file():
                table = read_table(path, f"{said}/{path.name}")
                read, shelf = read_method(table, method_id, method, known)
                problems.extend(table.problems)
                self._shelves.setdefault(method_id, []).append(shelf)
                method = read or method
        return method, problems


def _said_of(pattern: str, plant: object, method: Method, **more: object) -> str:
    return worded(pattern, plant=plant, method=worded(method.name), **more)


def _said(folder: Path, at: int) -> str:
    """How messages name a folder: the first is the shipped one, others carry their nursery."""
    return folder.name if at == 0 else f"{folder.parent.name}/{folder.name}"
