"""The check that every total on a stock sheet is the sum of what stands above it."""

from collections.abc import Iterator

from attrs import fields

from propagate.errors import BrokenBook, Problem
from propagate.records.prints import Expected, SheetGroup, SheetRow, StockSheet
from propagate.records.standing import Standing

STANDING_KEYS = tuple(field.name for field in fields(Standing))


def check_totals(sheet: StockSheet) -> None:
    """Raise BrokenBook, naming each figure, unless all counts of the sheet add up.

    A row's standing adds up to the number started; each group's counts and promises to its
    rows', the sheet's counts to its groups'. Expected plants are no sums: their low and high
    are worked out for the group as a whole, so only their order is checked.
    """
    problems = list(_problems(sheet))
    if problems:
        raise BrokenBook("\n  ".join(["The stock sheet does not add up:", *map(str, problems)]))


def _problems(sheet: StockSheet) -> Iterator[Problem]:
    for group in sheet.groups:
        for row in group.rows:
            yield from _row_problems(row)
        yield from _group_problems(group)
    started = sum(group.started for group in sheet.groups)
    yield from _differs("all plants", "started", sheet.started, started)
    yield from _standing_differs(
        "all plants", sheet.standing, [group.standing for group in sheet.groups]
    )


def _row_problems(row: SheetRow) -> Iterator[Problem]:
    standing = sum(getattr(row.standing, key) for key in STANDING_KEYS)
    yield from _differs(row.code, "started", row.count, standing)
    yield from _order_problems(row.code, row.expected)


def _group_problems(group: SheetGroup) -> Iterator[Problem]:
    where = str(group.name)
    yield from _differs(where, "started", group.started, sum(row.count for row in group.rows))
    yield from _standing_differs(where, group.standing, [row.standing for row in group.rows])
    promised = sum(row.expected.promised for row in group.rows)
    yield from _differs(where, "promised", group.expected.promised, promised)
    yield from _order_problems(where, group.expected)


def _standing_differs(where: str, given: Standing, parts: list[Standing]) -> Iterator[Problem]:
    for key in STANDING_KEYS:
        total = sum(getattr(part, key) for part in parts)
        yield from _differs(where, key, getattr(given, key), total)


def _differs(where: str, key: str, given: int, total: int) -> Iterator[Problem]:
    if given != total:
        yield Problem(where, f"{key} is given as {given}, the parts make {total}")


def _order_problems(where: str, expected: Expected) -> Iterator[Problem]:
    if not expected.low <= expected.likely <= expected.high:
        yield Problem(where, "expected plants are not in order from low to high")
    if not expected.free_low <= expected.free_likely <= expected.free_high:
        yield Problem(where, "free plants are not in order from low to high")
