"""The plant records of a method, each read when it is asked for.

A method's file may hold hundreds, and a day's questions touch a few.
"""

from collections.abc import Callable, Iterator, Sequence
from typing import overload

from propagate.errors import Problem
from propagate.records.methods import Method, MethodRecord
from propagate.tables import Table


class Shelf(Sequence[MethodRecord]):
    """Records by plant: those of a file laid over those of the folder before it.

    Broken ones are left out.
    """

    def __init__(
        self, tables: Sequence[Table], read: Callable[[Table], MethodRecord], under: "Shelf | None"
    ) -> None:
        self._read, self._under, self._all = read, under, tuple(tables)
        self._tables: dict[str, Table] = {}
        self._again: list[Table] = []
        self._done: dict[str, MethodRecord | None] = {}
        for table in tables:
            latin = table.values.get("latin")
            if isinstance(latin, str) and latin not in self._tables:
                self._tables[latin] = table
            else:
                self._again.append(table)

    def of(self, latin: str) -> MethodRecord | None:
        """The record under exactly this name, None when there is none that can be used."""
        if latin not in self._done:
            own = self._own(self._tables[latin]) if latin in self._tables else None
            self._done[latin] = own or (self._under.of(latin) if self._under else None)
        return self._done[latin]

    def names(self) -> tuple[str, ...]:
        """The names under which records stand, in the order of the files."""
        before = self._under.names() if self._under else ()
        return tuple(dict.fromkeys((*before, *self._tables)))

    @property
    def problems(self) -> tuple[Problem, ...]:
        """What is wrong with any record of this file; reads all of them."""
        list(self)
        for table in self._again:  # without a name, or the second of one
            self._own(table)
            if isinstance(table.values.get("latin"), str):
                table.complain("this plant has a record in this file already", "latin")
        self._again = []
        return tuple(problem for table in self._all for problem in table.problems)

    def __iter__(self) -> Iterator[MethodRecord]:
        return (record for name in self.names() if (record := self.of(name)) is not None)

    def __len__(self) -> int:
        return len(list(iter(self)))

    @overload
    def __getitem__(self, at: int) -> MethodRecord: ...
    @overload
    def __getitem__(self, at: slice) -> Sequence[MethodRecord]: ...
    def __getitem__(self, at: int | slice) -> MethodRecord | Sequence[MethodRecord]:
        return list(iter(self))[at]

    def _own(self, table: Table) -> MethodRecord | None:
        record = self._read(table)
        return record if table.clean else None


def shelf_of(method: Method) -> Shelf:
    """The shelf of a method that was read from a file."""
    assert isinstance(method.records, Shelf)
    return method.records
