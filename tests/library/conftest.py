"""A small library of one method, written to a folder of its own, for tests to break."""

from collections.abc import Callable
from pathlib import Path

import pytest

METHOD = """
name = "hardwood cutting"
summary = "A leafless shoot is set in the ground. It is lifted when dormant again."
propagule = "cutting"
propagules = "cuttings"
waiting = "rooting"
taken = "rooted"
pot_on_words = "lift and pot on"
medium = "sandy soil"
cautions = ["knife"]
steps = ["Cut.", "Set."]
season = { stages = ["dormant"], months = [11, 12] }

[[stage]]
name = "rooting"
role = "take"
gate = "dormant"
weeks = { low = 12, high = 24, basis = "memory" }
take = { low = 0.5, high = 0.9, basis = "memory" }

[[stage]]
name = "establishing"
role = "establish"
weeks = { low = 6, high = 16, basis = "memory" }

[[plant]]
latin = "Ribes nigrum"
length_cm = [20, 25]
details = { basis = "memory" }
    [[plant.stage]]
    name = "rooting"
    take = { low = 0.77, high = 0.95, basis = "published", source = "asanica" }

[[plant]]
latin = "Ribes rubrum"
    [[plant.stage]]
    name = "rooting"
    weeks = { low = 2, high = 20, basis = "common practice" }
"""
PLANTS = """
["Ribes nigrum"]
names = { en = ["blackcurrant", "black currant"], fr = ["cassis"] }
cautions = ["clean"]
["Ribes rubrum"]
names = { en = ["redcurrant"] }
synonyms = ["Ribes sativum"]
["Ficus carica"]
names = { en = ["fig"] }
cautions = ["fig-sap"]
"""
SOURCES = """
[asanica]
author = "Asanica et al."
title = "Currant cuttings"
year = "2017"
"""
CAUTIONS = """
[knife]
text = "Cut away from the thumb."
[fig-sap]
text = "Sap burns in the sun."
[clean]
text = "Only from clean bushes."
"""


@pytest.fixture
def shelf(tmp_path: Path) -> Callable[..., Path]:
    """Write the small library into `folder`, each named file in place of the one above."""

    def write(folder: str = "methods", **files: str) -> Path:
        contents = {"plants": PLANTS, "sources": SOURCES, "cautions": CAUTIONS}
        contents |= {"hardwood-cutting": METHOD} | {
            stem.replace("_", "-"): text for stem, text in files.items()
        }
        return only(tmp_path / folder, contents)

    return write


@pytest.fixture
def own_shelf(tmp_path: Path) -> Callable[..., Path]:
    """Write only the named files, as a nursery's own methods folder."""

    def write(**files: str) -> Path:
        contents = {stem.replace("_", "-"): text for stem, text in files.items()}
        return only(tmp_path / "garden" / "methods", contents)

    return write


@pytest.fixture
def method_text() -> str:
    return METHOD


def only(folder: Path, contents: dict[str, str]) -> Path:
    folder.mkdir(parents=True)
    for stem, text in contents.items():
        (folder / f"{stem}.toml").write_text(text, encoding="utf-8")
    return folder
