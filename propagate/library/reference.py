"""The tables that records refer to: plants.toml, sources.toml and cautions.toml.

They are read once, when first needed. A nursery's own files add entries or replace those
of the same heading.
"""

from collections.abc import Callable, Sequence
from functools import cached_property
from pathlib import Path
from typing import Final, TypeVar

from propagate.errors import Problem
from propagate.records.methods import Caution, Plant, Source
from propagate.tables import Table, read_table

REFERENCE_FILES: Final = ("plants", "sources", "cautions")

Entry = TypeVar("Entry")


class Reference:
    """Plants, sources and cautions of all folders, the later folder's entry winning."""

    def __init__(self, folders: Sequence[tuple[Path, str]]) -> None:
        self._folders = folders
        self.problems: list[Problem] = []

    @cached_property
    def sources(self) -> dict[str, Source]:
        """Bibliography entries by key."""
        return self._read("sources", _read_source)

    @cached_property
    def cautions(self) -> dict[str, Caution]:
        """Cautions by key."""
        return self._read("cautions", _read_caution)

    @cached_property
    def plants(self) -> dict[str, Plant]:
        """Kinds of plants by accepted Latin name."""
        return self._read("plants", self._read_plant)

    def _read(self, stem: str, read: Callable[[str, Table], Entry]) -> dict[str, Entry]:
        entries: dict[str, Entry] = {}
        for folder, said in self._folders:
            path = folder / f"{stem}.toml"
            if not path.is_file():
                continue
            whole = read_table(path, f"{said}/{path.name}")
            for key, table in whole.named_tables():
                entry = read(key, table)
                table.finish()
                if table.clean:
                    entries[key] = entry
                whole.take_over(table)
            self.problems.extend(whole.problems)
        return entries

    def _read_plant(self, latin: str, table: Table) -> Plant:
        names = table.table("names")
        languages = {language: names.texts(language) for language in names.values}
        usual = {language: called[0] for language, called in languages.items() if called}
        table.take_over(names)
        cautions = table.texts("cautions")
        for key in cautions:
            if key not in self.cautions:
                table.complain(f'"{key}" is not in cautions.toml; add it there', "cautions")
        return Plant(
            latin=latin,
            common=languages.pop("en", ()),
            other_names=tuple(name for names in languages.values() for name in names),
            usual=usual,
            synonyms=table.texts("synonyms"),
            cautions=cautions,
            hardiness=table.text("hardiness", ""),
            hardy_c=table.number("hardy_c") if table.gives("hardy_c") else None,
            note=table.text("note", ""),
        )


def _read_caution(key: str, table: Table) -> Caution:
    return Caution(table.text("text"), table.text("short", ""))


def _read_source(key: str, table: Table) -> Source:
    return Source(
        key=key,
        author=table.text("author"),
        title=table.text("title"),
        year=table.text("year", ""),
        where=table.text("where", ""),
    )
