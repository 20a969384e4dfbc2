"""The shipped library as a whole: nothing broken, nothing dangling, nothing unsaid."""

import time
import tomllib
from itertools import chain

import pytest

from propagate.library import Library
from propagate.library.reading import NUMBERED
from propagate.names import parse
from propagate.paths import methods_folder

FOLDER = methods_folder()
CUTTINGS = ("hardwood", "semi-ripe", "softwood", "leaf-bud", "root")
LAYERS = ("simple", "tip", "air", "mound")
METHODS = (
    *(f"{kind}-cutting" for kind in CUTTINGS),
    *(f"{kind}-layering" for kind in LAYERS),
    *("division", "offset", "runner", "seed"),
)


@pytest.fixture(scope="module")
def library():
    return Library([FOLDER])


@pytest.fixture(scope="module")
def records(library):
    return library.search()


def entries(stem):
    return tomllib.loads((FOLDER / f"{stem}.toml").read_text(encoding="utf-8"))


def figures(record):
    for stage in record.stages:
        yield from (figure for figure in (stage.weeks, stage.take) if figure is not None)


def test_every_file_loads_without_a_problem(library):
    assert library.problems == ()


def test_every_method_is_there(library):
    assert {method.id for method in library.methods()} == set(METHODS)


def test_there_are_enough_records_over_enough_plants(records):
    own = [record for record in records if record.plant]
    assert len(own) >= 250
    assert len({record.plant for record in own}) >= 110


@pytest.mark.parametrize("method_id", METHODS)
def test_every_method_says_how_it_is_done(library, method_id):
    method = library.method(method_id)
    assert 4 <= len(method.steps) <= 7
    assert method.summary.count(". ") == 1
    assert method.medium
    assert method.depth
    assert method.cautions
    assert method.general.season.months
    assert method.general.establishing is not None
    assert all(record.taking.ends for record in (method.general, *method.records))


def test_every_bibliography_entry_is_used(library, records):
    named = {key for record in records for figure in figures(record) for key in figure.sources}
    named |= {key for record in records for key in record.see}
    named |= {key for record in records if record.details for key in record.details.sources}
    assert set(entries("sources")) == named


def test_seven_of_ten_figures_written_down_are_published():
    """Of the weeks and takes in the files themselves; what a record inherits counts once."""
    files = [entries(method_id) for method_id in METHODS]
    holders = [holder for file in files for holder in (file, *file.get("plant", ()))]
    basis = [
        stage[key]["basis"]
        for holder in holders
        for stage in holder.get("stage", ())
        for key in ("weeks", "take")
        if key in stage
    ]
    assert basis.count("published") >= 0.7 * len(basis)


def test_every_other_number_says_where_it_is_from(records):
    for record in records:
        given = [getattr(record, key) for key in NUMBERED]
        assert record.details is not None or not any(given), record.plant


def test_every_published_figure_names_a_source(records):
    published = [f for record in records for f in figures(record) if f.basis == "published"]
    assert len(published) > 100
    assert all(figure.sources for figure in published)


def test_every_caution_is_used(library):
    named = {key for method in library.methods() for key in method.cautions}
    named |= {key for plant in entries("plants").values() for key in plant.get("cautions", ())}
    assert set(entries("cautions")) == named


def test_every_plant_name_leads_back_to_its_plant(library):
    for latin, entry in entries("plants").items():
        names = [latin, *entry.get("synonyms", ()), *chain.from_iterable(entry["names"].values())]
        assert {library.resolve(name) for name in names} == {parse(latin)}


def test_every_plant_with_a_record_has_an_english_name(library, records):
    assert all(library.common_name(parse(record.plant)) for record in records if record.plant)


def test_no_share_is_certain_to_fail(records):
    assert all(record.taking.take.high > 0.1 for record in records)


def test_layers_are_severed_and_cuttings_are_not(library):
    severed = {method.id for method in library.methods() if method.sever}
    assert severed == {m for m in METHODS if "layering" in m} | {"runner"}


def test_what_stays_out_all_winter_is_lifted_while_dormant(library):
    gates = {method.id: method.general.taking.gate for method in library.methods()}
    assert gates["hardwood-cutting"] == "after growth"
    dormant = {method_id for method_id, gate in gates.items() if gate == "dormant"}
    assert dormant == {"simple-layering", "tip-layering", "mound-layering"}


@pytest.mark.parametrize("name", ["Ficus carica", "Citrus × limon", "Musa", "Fuchsia"])
def test_tender_plants_wait_for_the_last_frost(library, name):
    own = [library.record(m, parse(name)) for m in METHODS]
    gates = {match.record.establishing.gate for match in own if match.level != "method"}
    assert gates == {"frost-free"}


def test_the_whole_library_is_read_in_a_blink():
    started = time.process_time()
    Library([FOLDER]).methods()
    assert time.process_time() - started < 1.0  # 0.03 s on an idle machine


@pytest.mark.parametrize("method_id", [key for key in METHODS if key != "seed"])
def test_every_vegetative_method_says_how_a_plant_serves_as_a_mother(library, method_id):
    general = library.method(method_id).general
    assert general.mothers is not None
    low, high = general.a_year
    assert 0 < low <= high
    assert general.mothers.after_years[0] >= 1
    assert general.mothers.serves_years[0] >= 1


def test_no_seedling_is_the_mother_of_her_kind(library):
    assert library.method("seed").general.mothers is None


@pytest.mark.parametrize("method_id", METHODS)
def test_what_leaves_its_mother_at_once_stands_somewhere(library, method_id):
    on_mother = method_id in ("runner", *(f"{kind}-layering" for kind in LAYERS))
    assert (library.method(method_id).general.stand is None) == on_mother
