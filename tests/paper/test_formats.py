"""Label formats: what a file may say, and which file counts."""

from pathlib import Path

import pytest

from propagate.errors import NotFound, Refused
from propagate.paper.formats import format_names, read_format


def changed(folders, tmp_path: Path, old: str, new: str) -> list[Path]:
    """Folders of which the last has a copy of tray-a4 with one line changed."""
    text = (folders[0] / "tray-a4.toml").read_text(encoding="utf-8")
    assert old in text
    (tmp_path / "tray-a4.toml").write_text(text.replace(old, new, 1), encoding="utf-8")
    return [*folders, tmp_path]


def test_four_formats_are_shipped(folders):
    assert format_names(folders) == ["stake-a4", "stake-letter", "tray-a4", "tray-letter"]


def test_the_last_folder_wins(folders, tmp_path):
    both = changed(folders, tmp_path, "top_mm = 15.15", "top_mm = 16")
    assert read_format("tray-a4", both).grid.top_mm == 16
    assert read_format("tray-a4", folders).grid.top_mm == 15.15


def test_corners_follow_the_rows(folders):
    """Hand sum: place 3 is row 1, column 1: 4.65 + 101.6 and 15.15 + 38.1."""
    label_format = read_format("tray-a4", folders)
    assert label_format.corner_mm(3) == pytest.approx((106.25, 53.25))


@pytest.mark.parametrize(
    ("old", "new", "where"),
    [
        ("columns = 2", "columns = 3", "grid.columns: 3 labels end at 306.95 mm"),
        ("rows = 7", "rows = 8", "grid.rows"),
        ("rows = 7", "rows = 0", "grid.rows"),
        ("pitch_x_mm = 101.6", "pitch_x_mm = 90", "grid.pitch_x_mm"),
        ("columns = 2", "columns = 2\ncolour = 3", "grid.colour: this key is not known"),
        ("columns = 2\n", "", "grid.columns: this key is missing"),
        ("columns = 2", 'columns = "two"', "grid.columns: this is a whole|number"),
        ("width_mm = 210", "width_mm = nan", "page.width_mm: this is a number"),
        ("padding_mm = 2", "padding_mm = -2", "label.padding_mm: this cannot be negative"),
        ("padding_mm = 2", "padding_mm = 8", "boxes.heading: the box leaves"),
        ("padding_mm = 2", "padding_mm = 2\nburied_mm = 20", "boxes.code: the box leaves"),
        ("padding_mm = 2", "padding_mm = 2\npoint_mm = 3", "label.point_mm"),
        ("height_mm = 17", "height_mm = 19", "boxes.code: the box lies over the box heading"),
        ("[boxes.facts]", "[boxes.fax]", "boxes.fax: a label has no such box"),
        ("[boxes.qr]", "[boxes.nursery]", "boxes.qr: this section is missing"),
        ("at_foot = true", "at_foot = 1", "boxes.code.at_foot: this is true or false"),
        ("min_pt = 5", "min_pt = 60", "boxes.heading.min_pt"),
        ("template =", "templet =", "templet: this key is not known"),
    ],
)
def test_a_faulty_format_is_refused_with_file_key_and_reason(folders, tmp_path, old, new, where):
    with pytest.raises(Refused, match=where) as caught:
        read_format("tray-a4", changed(folders, tmp_path, old, new))
    assert "tray-a4.toml" in str(caught.value)


def test_a_file_that_is_no_toml_is_refused(tmp_path):
    (tmp_path / "mine.toml").write_text("columns = = 2")
    with pytest.raises(Refused, match=r"mine\.toml"):
        read_format("mine", [tmp_path])


def test_a_format_name_is_no_path(folders, tmp_path):
    (tmp_path / "outside.toml").write_text("x = 1")
    (tmp_path / "inner").mkdir()
    with pytest.raises(NotFound):
        read_format("../outside", [tmp_path / "inner"])
