"""The import ladder: a module imports only from its own rung and those below it."""

import ast
import sys
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import pytest

import propagate

PACKAGE = Path(propagate.__file__).parent
RUNGS = {
    1: ("errors", "units", "worded", "abreast"),
    2: (
        *("names", "codes", "days", "tables", "nearness", "spans"),
        *("csvcells", "legible", "lengths", "lasting", "numberwords", "science"),
    ),
    3: ("records",),
    4: ("ledger", "library", "weather", "paths", "settings"),
    5: ("planning", "store", "paper"),
    6: ("actions",),
    7: ("cli", "web", "__main__"),
}
RUNG_OF = {part: rung for rung, parts in RUNGS.items() for part in parts}
HOMES = {
    "sqlite3": ("store",),
    "jinja2": ("paper", "web"),  # sheets and pages are both text with holes in it
    "markupsafe": ("web",),
    "starlette": ("web",),
    "uvicorn": ("web",),
    "babel": ("web",),
    "psycopg": ("store",),
    "weasyprint": ("paper",),
    "click": ("cli",),
    "rich": ("cli",),
    "numpy": ("science", "planning", "weather"),
    "scipy": ("planning",),
}
"""Packages that only some parts may import; scipy's solver is for plans alone."""

DOOR = "cli/serving.py"
"""The one door between the faces: the command `serve` starts the pages."""

MODULES = sorted(PACKAGE.rglob("*.py"))


def part_of(path: Path) -> str:
    """The part of the package a file belongs to: its folder, or itself at the top."""
    first = path.relative_to(PACKAGE).parts[0]
    return first.removesuffix(".py")


PARTS = {part_of(module) for module in MODULES}


def imported(source: str, package: str = "") -> Iterator[str]:
    """Dotted names of all that a source imports anywhere, also inside functions.

    `package` is the dotted package of the module, against which "from . import" is read.
    """
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.Import):
            yield from (name.name for name in node.names)
        elif isinstance(node, ast.ImportFrom):
            above = package.split(".")[: len(package.split(".")) - node.level + 1]
            base = ".".join(
                [*(above if node.level else []), *([node.module] if node.module else [])]
            )
            yield base
            yield from (f"{base}.{name.name}" for name in node.names)


@cache
def imports_of(path: Path) -> frozenset[str]:
    package = ".".join(["propagate", *path.relative_to(PACKAGE).parts[:-1]])
    return frozenset(imported(path.read_text(encoding="utf-8"), package))


def parts_imported(path: Path) -> set[str]:
    """The parts of this package that a file imports from."""
    inner = {name.split(".")[1] for name in imports_of(path) if name.startswith("propagate.")}
    return inner & PARTS


def named(path: Path) -> str:
    return str(path.relative_to(PACKAGE))


def inside(*parts: str) -> list[Path]:
    return [path for path in MODULES if part_of(path) in parts]


def test_every_part_has_its_rung() -> None:
    assert PARTS - {"__init__"} <= set(RUNG_OF)


@pytest.mark.parametrize("path", MODULES, ids=named)
def test_no_module_imports_upwards(path: Path) -> None:
    own = RUNG_OF.get(part_of(path), 0)
    climbs = {part for part in parts_imported(path) if RUNG_OF.get(part, 0) > own}
    assert climbs == set()


@pytest.mark.parametrize(("face", "other"), [("cli", "web"), ("web", "cli")])
def test_the_faces_never_import_each_other(face: str, other: str) -> None:
    crossing = [named(path) for path in inside(face) if other in parts_imported(path)]
    assert crossing == ([DOOR] if face == "cli" else [])


def test_the_command_that_opens_the_pages_loads_them_only_when_called() -> None:
    module = ast.parse((PACKAGE / DOOR).read_text(encoding="utf-8"))
    outside = "\n".join(ast.unparse(part) for part in module.body if not is_function(part))
    assert not any(name.startswith("propagate.web") for name in imported(outside))


def is_function(part: ast.stmt) -> bool:
    return isinstance(part, ast.FunctionDef)


@pytest.mark.parametrize("foreign", HOMES)
def test_a_package_is_imported_only_where_it_is_at_home(foreign: str) -> None:
    strays = [
        named(path)
        for path in MODULES
        if foreign in {name.split(".")[0] for name in imports_of(path)}
        and part_of(path) not in HOMES[foreign]
    ]
    assert strays == []


def test_science_knows_numbers_only() -> None:
    for path in inside("science"):
        outer = {name.split(".")[0] for name in imports_of(path)} - sys.stdlib_module_names
        assert outer <= {"attrs", "numpy", "propagate"}, named(path)
        assert parts_imported(path) <= {"errors", "units", "science"}, named(path)


def test_the_reader_of_imports_misses_none() -> None:
    source = """
import a.b, c
from d import e
from . import f
from ..g import h
if TYPE_CHECKING:
    import i
def later():
    from j.k import l as m
"""
    assert set(imported(source, "propagate.cli")) == {
        *("a.b", "c", "d", "d.e", "propagate.cli", "propagate.cli.f", "propagate.g"),
        *("propagate.g.h", "i", "j.k", "j.k.l"),
    }
