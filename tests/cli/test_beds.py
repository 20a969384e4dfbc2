"""The commands `want` and `beds` as a grower types them."""

import pytest


def test_a_want_is_said_listed_and_answered(done, call, currants) -> None:
    (said,) = done("want", "south hedge", "blackcurrant", 20, "--by", "15 Mar 2028")
    assert said == {
        "bed": "south hedge",
        "row": None,
        "plant": "Ribes nigrum",
        "wanted": 20,
        "by": "2028-03-15",
        "chance": 0.9,
        "priority": 2,
        "planted": 0,
    }
    assert done("want") == [said]
    answer = done("beds")
    (bed,) = answer["beds"]
    assert said.items() <= bed.items()
    assert 0 < bed["filled"] <= 1
    assert bed["batches"] == [{"batch": currants, "plants": 20}]
    assert bed["plants"]["low"] <= bed["plants"]["likely"] <= 20
    text = call("beds").out
    assert "south hedge" in text
    assert "15 Mar 2028" in text


def test_a_bed_called_nearly_like_another_is_remarked(call) -> None:
    assert call("want", "south hedge", "hawthorn", 20, "--by", "15 Mar").err == ""
    said = call("want", "south hegde", "hawthorn", 20, "--by", "15 Mar")
    assert 'there was no bed "south hegde" so far, but one called "south hedge"' in said.err
    call("want", "bed 1", "hawthorn", 5, "--by", "15 Mar")
    assert call("want", "bed 2", "hawthorn", 5, "--by", "15 Mar").err == ""


def test_a_succession_is_said_in_weeks(done) -> None:
    rows = done("want", "plot", "strawberry", 5, "--by", "1 Mar", "--every", 2, "--times", 3)
    assert [(row["row"], row["by"]) for row in rows] == [
        *((1, "2027-03-01"), (2, "2027-03-15"), (3, "2027-03-29"))
    ]


def test_a_count_may_be_measured(done) -> None:
    (said,) = done("want", "herbs", "rosemary", "--size", "6 m x 1.2 m", "--spacing", "40 cm")
    assert (said["wanted"], said["by"]) == (45, "2027-05-10")


@pytest.mark.parametrize(
    ("words", "why"),
    [
        (("hedge",), 'Say what is wanted in "hedge"'),
        (("hedge", "hawthorn"), 'How many plants go into "hedge" is not known'),
        (("hedge", "hawthorn", 5, "--size", "3 m", "--spacing", "1 m"), "not both"),
        (("hedge", "hawthorn", "--size", "3 m"), "--size needs --spacing"),
        (("hedge", "hawthorn", "--size", "3", "--spacing", "1 m"), "cannot be read as a length"),
        (("hedge", "hawthron", 5), 'Did you mean "hawthorn"'),
        (("hedge", "Ribes", 5), "Say which Ribes is wanted"),
        (("hedge", "hawthorn", 0), "Nothing is wanted of Crataegus monogyna in hedge"),
        (("hedge", "hawthorn", 5, "--times", 3), "needs its step"),
        (("hedge", "hawthorn", 5, "--chance", 100), "100"),
    ],
)
def test_a_want_that_cannot_be_so_is_refused(refused, words, why) -> None:
    assert why in refused("want", *words)


def test_nothing_wanted_is_said_with_what_to_do(call) -> None:
    assert "propagate want" in call("beds").out
    assert "propagate want" in call("want").out


def test_the_history_tells_what_was_wanted(call, done) -> None:
    done("want", "hedge", "hawthorn", 5)
    assert "want 5 of Crataegus monogyna in hedge" in call("history").out


def test_plants_that_are_suspect_are_counted_and_named(call, done, nursery) -> None:
    assert call("mother", "jet", "blackcurrant").status == 0
    code = done("start", "blackcurrant", "hardwood-cutting", 40, "--from", "jet")["batch"]
    call("want", "fruit row", "blackcurrant", 10, "--by", "2028-03-01")
    assert "suspect" not in call("beds").err
    call("suspect", "jet", "--why", "big bud")
    said = f"{code} is suspect: big bud (jet); its plants are counted here all the same."
    assert said in call("beds").err
    assert done("beds")["doubts"] == [{"batch": code, "what": "suspect: big bud (jet)"}]
    assert call("beds", "-o", nursery / "beds.svg").status == 0
    drawn = (nursery / "beds.svg").read_text("utf-8")
    assert f"Suspect, but counted here all the same: {code}." in drawn
