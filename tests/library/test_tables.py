"""One TOML table: values handed out checked, slips collected."""

import pytest

from propagate.tables import Table, read_table


def table(**values):
    return Table(values, "file.toml")


def said(found):
    return [str(problem) for problem in found.problems]


def test_what_is_right_comes_out_and_nothing_is_said():
    found = table(name=" runner ", sever=True, low=2, length_cm=[5, 10], steps=["Peg."], see="one")
    assert found.text("name") == "runner"
    assert found.flag("sever", False) is True
    assert found.number("low") == 2.0
    assert found.pair("length_cm", None) == (5.0, 10.0)
    assert found.texts("steps") == ("Peg.",)
    assert found.texts("see") == ("one",)
    found.finish()
    assert found.clean


def test_what_is_left_out_takes_its_default():
    found = table()
    assert found.text("note", "none") == "none"
    assert found.choice("gate", ("any", "dormant"), "dormant") == "dormant"
    assert found.pair("length_cm", (1, 2)) == (1, 2)
    assert found.texts("see") == ()
    assert found.clean


def test_reading_goes_on_after_a_slip():
    found = table(low="2", sever=1)
    assert (found.number("low"), found.flag("sever", False), found.text("name")) == (0.0, False, "")
    assert said(found) == [
        "file.toml, low: a number is wanted, not '2'",
        "file.toml, sever: true or false is wanted, not 1",
        "file.toml, name: it is missing",
    ]


def test_temperatures_may_lie_below_zero_where_lengths_may_not():
    found = table(temp_c=[-2, 2], length_cm=[-2, 2])
    assert found.pair("temp_c", None, lowest=-273.15) == (-2.0, 2.0)
    found.pair("length_cm", None)
    assert said(found) == ["file.toml, length_cm: -2 is below 0"]


def test_an_entry_that_is_no_table_is_counted_out():
    found = table(stage=[{"name": "rooting"}, 7])
    assert [inner.where for inner in found.tables("stage", "name")] == ["file.toml, stage rooting"]
    assert said(found) == ["file.toml, stage: entry 2 is not a table; write [[stage]]"]


@pytest.mark.parametrize("key", ["mediun", "xyzzy"])
def test_a_key_nobody_asked_for_is_unknown(key):
    found = table(**{key: 1})
    found.text("medium", "")
    found.finish()
    assert f"file.toml, {key}: unknown key" in said(found)[0]
    assert ('did you mean "medium"?' in said(found)[0]) == (key == "mediun")


def test_a_file_that_is_not_there_is_an_empty_table_with_a_problem(tmp_path):
    found = read_table(tmp_path / "gone.toml", "gone.toml")
    assert found.values == {}
    assert said(found)[0].startswith("gone.toml: it cannot be read")
