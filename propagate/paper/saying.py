"""What each kind of label says, before anything is measured."""

import unicodedata
from functools import singledispatch

from attrs import evolve

from propagate.days import written
from propagate.names import PlantName
from propagate.paper.fitting import DOT, Run
from propagate.paper.lettering import Said, name_runs, window_words
from propagate.records.labels import BedLabel, MotherLabel
from propagate.records.prints import TrayLabel

AnyLabel = TrayLabel | BedLabel | MotherLabel


def say(label: AnyLabel) -> Said:
    """The words of a label; letters and the marks on them are one character where one exists."""
    said = _say(label)
    runs = tuple(Run(_composed(run.text), run.style) for run in said.heading)
    return evolve(
        said,
        heading=runs,
        common=_composed(said.common),
        facts=tuple(_composed(fact) for fact in said.facts),
        tray=_composed(said.tray),
        nursery=_composed(said.nursery),
    )


def _composed(text: str) -> str:
    return " ".join(unicodedata.normalize("NFC", text).split(" "))


@singledispatch
def _say(label: object) -> Said:
    raise TypeError(f"{label!r} is no label")


@_say.register
def _(label: TrayLabel) -> Said:
    window = None
    if label.early and label.likely and label.late:
        window = window_words(label.early, label.likely, label.late)
    return Said(
        heading=tuple(name_runs(label.name)),
        title=str(label.name),
        common=label.common,
        code=label.code,
        facts=tuple(tray_facts(label)),
        tray=label.tray,
        task=_sentence(label.pot_on_words) if label.likely else "",
        window=window,
        nursery=label.nursery,
        cautions=label.cautions,
        qr_text=label.qr_text,
        qr_must=True,
    )


@_say.register
def _(label: MotherLabel) -> Said:
    where = [label.place] if label.place else []
    return Said(
        heading=tuple(name_runs(label.name)),
        title=str(label.name),
        common=label.common,
        code=label.key,
        facts=("mother plant", *where, f"in the book since {written(label.since)}"),
        nursery=label.nursery,
        cautions=label.cautions,
        qr_text=label.key,
    )


@_say.register
def _(label: BedLabel) -> Said:
    return Said(
        heading=(Run(label.bed, "bold"),),
        title=label.bed,
        facts=tuple(
            f"{one.count} {_plain(one.name, one.common)}{DOT}{written(one.last)}"
            for one in label.plants
        ),
        nursery=label.nursery,
        qr_text=label.bed,
    )


def _plain(name: PlantName, common: str) -> str:
    """A plant in a list: its common name where it has one, with the variety."""
    text = str(name)
    if not common:
        return text
    variety = text[text.index("‘") :] if "‘" in text else ""
    return f"{common} {variety}".strip()


def tray_facts(label: TrayLabel) -> list[str]:
    """Method; number and date; origin where known: a line each."""
    started = f"{label.count} {label.propagules}{DOT}{written(label.started)}"
    origin = [f"from {label.stock_plant}"] if label.stock_plant else []
    return [label.method, started, *origin]


def _sentence(words: str) -> str:
    """Words with a capital in front; the rest keeps its own."""
    return words[:1].upper() + words[1:]
