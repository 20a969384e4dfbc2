import pytest

from propagate.errors import Refused
from propagate.paper.templates import fill, plain_number, shown_count, shown_percent


def test_the_last_folder_wins(tmp_path):
    first, last = tmp_path / "first", tmp_path / "last"
    for folder in (first, last):
        folder.mkdir()
        (folder / "a.html").write_text(folder.name)
    assert fill("a.html", [first, last]) == "last"
    assert fill("a.html", [first]) == "first"


@pytest.mark.parametrize(
    ("template", "words"),
    [
        ("{{ colour }}", "colour"),
        ("{% for %}", r"line 1"),
        ("{{ ''.__class__.__mro__ }}", "cannot be filled"),
        ('{% include "b.html" %}', r"b\.html"),
    ],
)
def test_a_faulty_template_is_refused(tmp_path, template, words):
    (tmp_path / "a.html").write_text(template)
    with pytest.raises(Refused, match=words):
        fill("a.html", [tmp_path])


def test_a_template_outside_the_folders_is_not_found(tmp_path):
    (tmp_path / "a.html").write_text("outside")
    (tmp_path / "inner").mkdir()
    with pytest.raises(Refused):
        fill("../a.html", [tmp_path / "inner"])


@pytest.mark.parametrize(("value", "text"), [(210, "210"), (1 / 3, "0.3333"), (4.65, "4.65")])
def test_lengths_are_written_plainly(value, text):
    assert plain_number(value) == text


def test_a_zero_is_a_dot_and_a_chance_a_percentage():
    assert (shown_count(0), shown_count(7)) == ("·", "7")
    assert shown_percent(0.8) == "80 %"
