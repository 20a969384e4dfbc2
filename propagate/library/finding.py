"""Which plant a grower means: Latin or common name, any case, with or without a cultivar."""

import re
import unicodedata
from collections.abc import Iterable, Iterator
from typing import Final

from propagate.errors import NotFound, Problem, Refused
from propagate.names import PlantName, parse, split_cultivar
from propagate.nearness import nearest
from propagate.records.methods import Plant
from propagate.worded import worded

_HYBRID_SIGN: Final = re.compile(r"(^|\s)[x×](?=\s)", re.IGNORECASE)
_BINOMIAL: Final = re.compile(r"[A-Z][a-z]+( [x×])? [a-z-]{3,}")
_SMALL_BINOMIAL: Final = re.compile(r"[a-z]+( [x×])? [a-z-]+(us|a|um|is|ii|ae|ens|ans|or)")
_GENUS: Final = re.compile(r"[A-Z][a-z]+")

_TYPING_MISTAKE: Final = 0.9  # likeness from which two names are the same, one of them mistyped


def fold(text: str) -> str:
    """A name without case, accents, spaces, hyphens and hybrid signs, for comparing only."""
    plain = _HYBRID_SIGN.sub(" ", text).casefold()
    if not plain.isascii():
        plain = unicodedata.normalize("NFKD", plain)
    return plain if plain.isalnum() else "".join(filter(str.isalnum, plain))


def names_of(plant: Plant) -> tuple[str, ...]:
    """All names of a plant, the accepted Latin one first."""
    return (plant.latin, *plant.common, *plant.synonyms, *plant.other_names)


def forms(folded: str) -> Iterator[str]:
    """A folded name itself, then what it would be in the singular and in the plural."""
    yield folded
    if folded.endswith("ies"):
        yield folded[:-3] + "y"
    if folded.endswith("es"):
        yield folded[:-2]
    if folded.endswith("s"):
        yield folded[:-1]
    yield folded + "s"


class NameIndex:
    """Every name the library knows, pointing at the plant it means.

    Where two plants claim one name the first keeps it.
    """

    def __init__(self, plants: Iterable[Plant]) -> None:
        self._shared: list[Problem] = []
        self._plants: dict[str, Plant] = {}
        self._written: dict[str, str] = {}
        self._genera: set[str] = set()
        for plant in plants:
            self._genera.add(plant.latin.split()[0].casefold())
            for name in names_of(plant):
                self._add(name, plant)

    def plant(self, text: str) -> Plant | None:
        """The plant of this name, given without a cultivar; plural and singular both serve."""
        known = (self._plants.get(form) for form in forms(fold(text)))
        return next((plant for plant in known if plant is not None), None)

    def resolve(self, text: str) -> PlantName:
        """The accepted name of what was typed; see `Library.resolve`."""
        stem, rest = split_cultivar(text)
        plant = self.plant(stem)
        if plant is not None:
            return parse(f"{plant.latin} {rest}".strip())
        if self._looks_latin(stem, rest) and not self._near(stem, _TYPING_MISTAKE):
            return parse(text)
        near = self._near(stem, 0.7)
        said = worded('The library knows no plant called "{name}".', name=stem)
        if not near:
            said = worded("{said} Any will do by its Latin name, as in Ribes nigrum.", said=said)
        raise NotFound(said, near)

    def problems(self) -> tuple[Problem, ...]:
        """Names that two plants claim, and Latin names that are not written as one."""
        plants = {plant.latin for plant in self._plants.values()}
        odd = (Problem(f"plants.toml, {latin}", what) for latin in plants if (what := _odd(latin)))
        return (*self._shared, *odd)

    def _add(self, name: str, plant: Plant) -> None:
        owner = self._plants.setdefault(fold(name), plant)
        self._written.setdefault(fold(name), name)
        if owner is not plant:
            what = f'the name "{name}" belongs to {owner.latin} already'
            self._shared.append(Problem(f"plants.toml, {plant.latin}", what))

    def _near(self, stem: str, likeness: float) -> tuple[str, ...]:
        return tuple(
            self._written[form] for form in nearest(fold(stem), self._written, 3, likeness)
        )

    def _looks_latin(self, stem: str, rest: str) -> bool:
        words = stem.split()
        if words and words[0].casefold() in self._genera:
            return True
        binomial = _BINOMIAL.fullmatch(stem) or _SMALL_BINOMIAL.fullmatch(stem)
        return bool(binomial or (rest and _GENUS.fullmatch(stem)))


def _odd(latin: str) -> str:
    """What is wrong with the spelling of a Latin name, empty when nothing is."""
    try:
        right = str(parse(latin))
    except Refused as error:
        return str(error)
    return "" if right == latin else f'the name is written "{right}"'
