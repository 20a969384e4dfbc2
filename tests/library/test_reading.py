"""What the reader refuses: each message names the file, the key and the reason."""

import pytest

from propagate.errors import Refused
from propagate.library import Library

FILE = "methods/hardwood-cutting.toml"
ROOTING = f"{FILE}, stage rooting"
NIGRUM = f"{FILE}, plant Ribes nigrum"

# What is wrong, the text replaced, its replacement, where the problem is said to be, and why.
SLIPS = [
    (
        "unknown key",
        'medium = "sandy soil"',
        'medium = "x"\nmediun = "y"',
        f"{FILE}, mediun",
        'unknown key; did you mean "medium"?',
    ),
    ("missing key", 'taken = "rooted"\n', "", f"{FILE}, taken", "it is missing"),
    ("empty text", 'taken = "rooted"', 'taken = " "', f"{FILE}, taken", "it is empty"),
    ("wrong type", 'taken = "rooted"', "taken = 3", f"{FILE}, taken", "a text is wanted, not 3"),
    ("no steps", 'steps = ["Cut.", "Set."]', "steps = []", f"{FILE}, steps", "it is empty"),
    ("a step that is no text", '"Set."]', "7]", f"{FILE}, steps", "each entry is a text, 7 is not"),
    (
        "upside down",
        "low = 12, high = 24",
        "low = 24, high = 12",
        f"{ROOTING}, weeks",
        "the range is upside down: low 24, high 12",
    ),
    ("negative", "low = 12", "low = -1", f"{ROOTING}, weeks", "-1 is below zero"),
    (
        "no time at all",
        "low = 12",
        "low = 0",
        f"{ROOTING}, weeks",
        "a stage takes some time; low must be above 0",
    ),
    (
        "not a number",
        "low = 12",
        "low = nan",
        f"{ROOTING}, weeks, low",
        "nan is not a finite number",
    ),
    (
        "text for number",
        "low = 12",
        'low = "12"',
        f"{ROOTING}, weeks, low",
        "a number is wanted, not '12'",
    ),
    (
        "truth for number",
        "low = 12",
        "low = true",
        f"{ROOTING}, weeks, low",
        "a number is wanted, not True",
    ),
    (
        "take above one",
        "low = 0.5, high = 0.9",
        "low = 50, high = 90",
        f"{ROOTING}, take",
        "a share lies between 0 and 1, 90 is above 1",
    ),
    ("take below zero", "low = 0.5", "low = -0.5", f"{ROOTING}, take", "-0.5 is below zero"),
    (
        "no weeks",
        'weeks = { low = 12, high = 24, basis = "memory" }\n',
        "",
        f"{ROOTING}, weeks",
        "it is missing",
    ),
    (
        "no take",
        'take = { low = 0.5, high = 0.9, basis = "memory" }\n',
        "",
        f"{ROOTING}, take",
        "it is missing",
    ),
    (
        "no basis",
        'low = 12, high = 24, basis = "memory"',
        "low = 12, high = 24",
        f"{ROOTING}, weeks, basis",
        "it is missing",
    ),
    (
        "unknown basis",
        'high = 24, basis = "memory"',
        'high = 24, basis = "hearsay"',
        f"{ROOTING}, weeks, basis",
        '"hearsay" is none of memory, common practice, published',
    ),
    (
        "unknown role",
        'role = "take"',
        'role = "rot"',
        f"{ROOTING}, role",
        '"rot" is none of treat, take, establish',
    ),
    (
        "unknown gate",
        'gate = "dormant"',
        'gate = "dormand"',
        f"{ROOTING}, gate",
        'did you mean "dormant"?',
    ),
    (
        "unknown clock",
        'gate = "dormant"',
        'clock = "sundial"',
        f"{ROOTING}, clock",
        '"sundial" is none of calendar, warmth, chill',
    ),
    (
        "unknown unit of chill",
        'gate = "dormant"',
        'clock = "chill"\nchill = "portion"',
        f"{ROOTING}, chill",
        'did you mean "portions"?',
    ),
    (
        "share above one",
        'gate = "dormant"',
        "share = 80",
        f"{ROOTING}, share",
        "a share lies between 0 and 1, 80 does not",
    ),
    (
        "two takes",
        'role = "establish"',
        'role = "take"\ntake = { low = 0, high = 1, basis = "memory" }',
        f"{FILE}, stage",
        'exactly one stage has role = "take"',
    ),
    (
        "month 13",
        "months = [11, 12]",
        "months = [11, 13]",
        f"{FILE}, season, months",
        "13 is no month; 1 is January and 12 December",
    ),
    (
        "months empty",
        "months = [11, 12]",
        "months = []",
        f"{FILE}, season, months",
        "the months are numbers such as [11, 12, 1], at least one",
    ),
    (
        "unknown phase",
        '["dormant"]',
        '["asleep"]',
        f"{FILE}, season, stages",
        '"asleep" is none of leaf fall, dormant',
    ),
    (
        "no season",
        'season = { stages = ["dormant"], months = [11, 12] }',
        "",
        f"{FILE}, season",
        "it is missing",
    ),
    (
        "unknown caution",
        '["knife"]',
        '["nife"]',
        f"{FILE}, cautions",
        '"nife" is not in cautions.toml; add it there',
    ),
    (
        "no source",
        ', source = "asanica"',
        "",
        f"{NIGRUM}, stage rooting, take",
        "a published figure names its source; add source = ...",
    ),
    (
        "unknown source",
        '"asanica"',
        '"asinica"',
        f"{NIGRUM}, stage rooting, take, source",
        '"asinica" is not in sources.toml; add it there',
    ),
    (
        "unknown further source",
        "length_cm = [20, 25]",
        'see = ["nobody"]',
        f"{NIGRUM}, see",
        '"nobody" is not in sources.toml; add it there',
    ),
    (
        "unknown plant",
        'latin = "Ribes nigrum"',
        'latin = "Ribes nigrun"',
        f"{FILE}, plant Ribes nigrun, latin",
        '"Ribes nigrun" is not in plants.toml; add it there',
    ),
    (
        "open quote",
        'latin = "Ribes nigrum"',
        """latin = "Ribes 'nigrum\"""",
        f"{FILE}, plant Ribes 'nigrum, latin",
        "is not in plants.toml",
    ),
    (
        "same stage twice",
        'name = "establishing"',
        'name = "rooting"',
        f"{ROOTING}, name",
        "a stage of this name stands here already",
    ),
    (
        "twice",
        'latin = "Ribes rubrum"',
        'latin = "Ribes nigrum"',
        f"{NIGRUM}, latin",
        "this plant has a record in this file already",
    ),
    (
        "length of one number",
        "[20, 25]",
        "[20]",
        f"{NIGRUM}, length_cm",
        "a list of two numbers is wanted, such as [20, 25], not [20]",
    ),
    (
        "length upside down",
        "[20, 25]",
        "[25, 20]",
        f"{NIGRUM}, length_cm",
        "the range is upside down: 25 to 20",
    ),
    ("length below zero", "[20, 25]", "[-1, 20]", f"{NIGRUM}, length_cm", "-1 is below 0"),
    (
        "storage unknown",
        "length_cm = [20, 25]",
        'storage = "orthodocs"',
        f"{NIGRUM}, storage",
        '"orthodocs" is none of orthodox, intermediate, recalcitrant; did you mean "orthodox"?',
    ),
    (
        "storage empty",
        "length_cm = [20, 25]",
        'storage = ""',
        f"{NIGRUM}, storage",
        "it is empty",
    ),
    (
        "soaking upside down",
        "length_cm = [20, 25]",
        "soak_hours = [48, 24]",
        f"{NIGRUM}, soak_hours",
        "the range is upside down: 48 to 24",
    ),
    (
        "soaking of one number",
        "length_cm = [20, 25]",
        "soak_hours = 24",
        f"{NIGRUM}, soak_hours",
        "a list of two numbers is wanted, such as [20, 25], not 24",
    ),
    (
        "no seed in a gram",
        "length_cm = [20, 25]",
        "seeds_per_gram = [0, 3]",
        f"{NIGRUM}, seeds_per_gram",
        "a gram holds some seed; of nuts a part of one, such as 0.2",
    ),
    (
        "colder than can be",
        "length_cm = [20, 25]",
        "germination_c = [-300, 20]",
        f"{NIGRUM}, germination_c",
        "-300 is below -273.15",
    ),
    (
        "scarifying without words",
        "length_cm = [20, 25]",
        "scarify = true",
        f"{NIGRUM}, scarify",
        "a text is wanted, not True",
    ),
    (
        "stage of plant misspelt",
        "length_cm = [20, 25]",
        "lenght_cm = [20, 25]",
        f"{NIGRUM}, lenght_cm",
        'unknown key; did you mean "length_cm"?',
    ),
    (
        "a stand without its distance",
        'medium = "sandy soil"',
        'medium = "x"\nstand = { basis = "memory" }',
        f"{FILE}, stand, apart_cm",
        "it is missing; such as [5, 5]",
    ),
    (
        "a stand at no distance",
        'medium = "sandy soil"',
        'medium = "x"\nstand = { apart_cm = [0, 5], basis = "memory" }',
        f"{FILE}, stand",
        "what stands at no distance takes no ground; leave it out",
    ),
    (
        "a mother who never serves",
        'medium = "sandy soil"',
        'medium = "x"\nmothers = { after_years = [1, 2], basis = "memory" }',
        f"{FILE}, mothers, serves_years",
        "it is missing; such as [2, 3]",
    ),
    (
        "a mother used oftener than each year",
        'medium = "sandy soil"',
        'medium = "x"\nmothers = { after_years = [1, 2], serves_years = [3, 4], '
        'every_years = 0.5, basis = "memory" }',
        f"{FILE}, mothers",
        "every 0.5 years is oftener than each year",
    ),
    (
        "a published stand without its source",
        'medium = "sandy soil"',
        'medium = "x"\nstand = { apart_cm = [5, 5], basis = "published" }',
        f"{FILE}, stand",
        "a published figure names its source; add source = ...",
    ),
]


@pytest.mark.parametrize(
    ("old", "new", "where", "what"), [slip[1:] for slip in SLIPS], ids=[slip[0] for slip in SLIPS]
)
def test_a_slip_is_named_with_file_key_and_reason(shelf, method_text, old, new, where, what):
    assert old in method_text
    library = Library([shelf(hardwood_cutting=method_text.replace(old, new, 1))])
    found = {problem.where: problem.what for problem in library.problems}
    assert what in found.get(where, "nothing"), found


def test_all_slips_of_a_file_are_named_together(shelf, method_text):
    broken = method_text.replace("low = 12", "low = 99").replace('"asanica"', '"nobody"')
    assert len(Library([shelf(hardwood_cutting=broken)]).problems) == 2


def test_a_broken_plant_is_left_out_and_the_others_serve(shelf, method_text):
    library = Library([shelf(hardwood_cutting=method_text.replace('"asanica"', '"nobody"'))])
    assert [record.plant for record in library.method("hardwood-cutting").records] == [
        "Ribes rubrum"
    ]


def test_a_method_without_a_usable_general_record_is_refused_with_its_reasons(shelf, method_text):
    library = Library([shelf(hardwood_cutting=method_text.replace('taken = "rooted"\n', ""))])
    with pytest.raises(Refused, match=r"hardwood-cutting\.toml, taken: it is missing"):
        library.method("hardwood-cutting")
    assert library.methods() == ()


def test_a_file_that_is_no_toml_is_named_with_its_line(shelf):
    library = Library([shelf(hardwood_cutting="name = \n")])
    assert [problem.where for problem in library.problems] == [f"{FILE}, line 1"]
    assert "texts and days stand in quotes" in library.problems[0].what


def test_a_file_that_is_no_text_is_a_problem_and_no_crash(shelf):
    folder = shelf()
    (folder / "hardwood-cutting.toml").write_bytes(b"\xff\xfe\x00")
    assert [problem.where for problem in Library([folder]).problems] == [FILE]


def test_what_a_plant_leaves_out_is_inherited(shelf):
    nigrum, rubrum = Library([shelf()]).method("hardwood-cutting").records
    assert (nigrum.taking.weeks.low, nigrum.taking.gate) == (12, "dormant")
    assert (rubrum.taking.weeks.low, rubrum.taking.take.low) == (2, 0.5)
    assert nigrum.season.months == (11, 12)
    assert nigrum.establishing.weeks.high == 16


def test_a_treatment_that_only_a_plant_has_comes_first(shelf, method_text):
    cold = """
    [[plant.stage]]
    name = "cold"
    role = "treat"
    clock = "chill"
    chill = "portions"
    weeks = { low = 8, high = 8, basis = "memory" }
"""
    *_, rubrum = (
        Library([shelf(hardwood_cutting=method_text + cold)]).method("hardwood-cutting").records
    )
    assert [stage.chill for stage in rubrum.stages] == ["portions", "days", "days"]
    assert [stage.name for stage in rubrum.stages] == ["cold", "rooting", "establishing"]
    assert rubrum.weeks == (10, 28)


def test_seed_facts_are_read_and_stay_empty_where_none_are_given(shelf, method_text):
    facts = """length_cm = [20, 25]
scarify = "Nick the coat."
soak_hours = [12, 24]
seeds_per_gram = [0.2, 0.3]
storage = "recalcitrant"
germination_c = [-1, 5]"""
    broad = method_text.replace("length_cm = [20, 25]", facts)
    nigrum, rubrum = Library([shelf(hardwood_cutting=broad)]).method("hardwood-cutting").records
    assert (nigrum.scarify, nigrum.storage) == ("Nick the coat.", "recalcitrant")
    assert (nigrum.soak_hours, nigrum.seeds_per_gram) == ((12, 24), (0.2, 0.3))
    assert nigrum.germination_c == (-1, 5)
    assert (rubrum.scarify, rubrum.storage) == ("", "")
    assert rubrum.soak_hours is rubrum.seeds_per_gram is rubrum.germination_c is None
