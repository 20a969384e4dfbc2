"""Label formats: what a file may say, and which file counts."""

from pathlib import Path

import pytest

from propagate.errors import NotFound, Refused
from propagate.paper.formatfiles import format_names, read_format
from propagate.paper.formats import legible_pt


def changed(folders, tmp_path: Path, old: str, new: str) -> list[Path]:
    """Folders of which the last has a copy of tray-a4 with one line changed."""
    text = (folders[0] / "tray-a4.toml").read_text(encoding="utf-8")
    assert old in text
    (tmp_path / "tray-a4.toml").write_text(text.replace(old, new, 1), encoding="utf-8")
    return [*folders, tmp_path]


KINDS = {"tray", "small", "stake", "loop", "fold", "tie", "bed", "mother"}


def test_every_kind_of_label_comes_on_both_papers_and_strips_for_rolls(folders):
    names = set(format_names(folders))
    assert {f"{kind}-{paper}" for kind in KINDS for paper in ("a4", "letter")} <= names
    assert {f"{kind}-roll" for kind in KINDS - {"small", "fold"}} <= names
    assert {f"strip-{width}" for width in (12, 18, 24, 36, 62)} <= names


def test_every_shipped_format_can_be_read(folders):
    for name in format_names(folders):
        label_format = read_format(name, folders)
        assert label_format.title
        if name.endswith("roll") or name.startswith("strip"):
            size = (label_format.label.width_mm, label_format.label.height_mm)
            assert (label_format.page.width_mm, label_format.page.height_mm) == size


def test_no_shipped_code_is_below_the_size_read_at_its_distance(folders):
    """A code that could shrink to nothing would be no good to copy by pencil."""
    for name in format_names(folders):
        label_format = read_format(name, folders)
        assert label_format.boxes["code"].min_pt >= 8
        assert label_format.boxes["heading"].max_pt >= label_format.legible_pt


def test_legible_type_follows_the_rule_of_one_in_two_hundred():
    """Hand sum: 5 mm capitals at 1 m (AS 1319 as charted: 1 m, 5 mm); 5 / 0.729 mm = 19.4 pt."""
    assert legible_pt(1.0) == pytest.approx(19.44, abs=0.01)


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
        ("gap_x_mm = 2.5", "gap_x_mm = -3", "grid.gap_x_mm: this cannot be negative"),
        ("columns = 2", "columns = 2\ncolour = 3", "grid.colour: this key is not known"),
        ("width_mm = 99.1\n", "", "label.width_mm: this key is missing"),
        ("columns = 2", 'columns = "two"', "grid.columns: this is a whole|number"),
        ('page = "a4"', 'page = "a5"', 'page: it is one of "a4, letter, label"'),
        ('page = "a4"', "page = {width_mm = 210}", "page.height_mm: this key is missing"),
        ("width_mm = 99.1", "width_mm = nan", "label.width_mm: this is a number"),
        ('page = "a4"', 'page = "a4"\noutline = [[0, 0], [900, 0], [0, 9]]', "outside the label"),
        ('page = "a4"', 'page = "a4"\noutline = [[0, 0]]', "three or more"),
        ('page = "a4"', 'page = "a4"\nread_at_m = 0', "read_at_m: a distance"),
        ('page = "a4"', 'page = "a4"\n[[marks]]\nkind = "hole"\nx_mm = 9\ny_mm = 9', "lies on"),
        ('page = "a4"', 'page = "a4"\n[[marks]]\nkind = "dot"\nx_mm = 9\ny_mm = 9', "hole or slit"),
        ("padding_mm = 2", "padding_mm = 2\nmirrored = true", "of the other face"),
        ("padding_mm = 2", "padding_mm = -2", "label.padding_mm: this cannot be negative"),
        ("padding_mm = 2", "padding_mm = 8", "boxes.heading: the box leaves"),
        ("padding_mm = 2", "padding_mm = 2\nburied_mm = 20", "boxes.code: the box leaves"),
        ("height_mm = 17", "height_mm = 19", "boxes.code: the box lies over the box heading"),
        ("[boxes.facts]", "[boxes.fax]", "boxes.fax: a label has no such box"),
        ("[boxes.code]", "[boxes.nursery]", "boxes.code: this section is missing"),
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


def own(tmp_path: Path, name: str, text: str) -> Path:
    (tmp_path / f"{name}.toml").write_text(text, encoding="utf-8")
    return tmp_path


def test_a_format_of_ones_own_takes_a_few_lines(folders, tmp_path):
    text = 'like = "tray-a4"\n[grid]\nrows = 4\n[label]\nheight_mm = 67.7\n'
    made = read_format("mine", [*folders, own(tmp_path, "mine", text)])
    assert (made.grid.columns, made.grid.rows, made.label.height_mm) == (2, 4, 67.7)


def test_boxes_stretch_with_a_label_of_another_size(folders, tmp_path):
    """Hand sum: tray-a4 is 99.1 mm wide with its QR from 76.1 to 97.1: twice that."""
    text = 'like = "tray-a4"\npage = "label"\n[label]\nwidth_mm = 198.2\n'
    made = read_format("mine", [*folders, own(tmp_path, "mine", text)])
    assert (made.boxes["qr"].left_mm, made.boxes["qr"].width_mm) == pytest.approx((152.2, 42))
    assert made.boxes["qr"].height_mm == 21
    assert made.boxes["heading"].max_pt == read_format("tray-a4", folders).boxes["heading"].max_pt


def test_a_shipped_format_can_be_set_right_without_copying_it(folders, tmp_path):
    text = 'like = "tray-a4"\n[grid]\ntop_mm = 16.2\n'
    made = read_format("tray-a4", [*folders, own(tmp_path, "tray-a4", text)])
    assert (made.grid.top_mm, made.grid.left_mm) == (16.2, 4.65)


def test_a_box_may_be_left_out(folders, tmp_path):
    text = 'like = "tray-a4"\n[boxes]\ntask = false\n'
    assert "task" not in read_format("mine", [*folders, own(tmp_path, "mine", text)]).boxes


@pytest.mark.parametrize(
    ("text", "words"), [('like = "mine"', "no label format"), ('like = "tray-a5"', "tray-a5")]
)
def test_like_what_is_not_there_is_refused(folders, tmp_path, text, words):
    with pytest.raises(NotFound, match=words):
        read_format("mine", [*folders, own(tmp_path, "mine", text)])


def test_formats_that_are_like_each_other_are_refused(folders, tmp_path):
    own(tmp_path, "one", 'like = "two"')
    with pytest.raises(Refused, match="like itself"):
        read_format("one", [*folders, own(tmp_path, "two", 'like = "one"')])


def test_the_back_of_a_sheet_runs_the_other_way(folders):
    """Turned over about its long edge, the first column of the front lies behind the last."""
    label_format = read_format("tie-letter", folders)
    left, top = label_format.corner_mm(0)
    back_left, back_top = label_format.corner_mm(0, back=True)
    assert (left + 95, top) == pytest.approx((215.9 - back_left, back_top))
