import csv
import io

import pytest

from propagate.errors import Refused
from propagate.paper.csvfiles import csv_bytes, unguard, write_rows

HEADER = ("plant", "count")


def test_lines_end_in_cr_lf_and_text_is_quoted():
    """RFC 4180 section 2, items 1, 5 and 7; numbers stay bare."""
    content = csv_bytes(HEADER, [('The "old", row', -5)])
    assert content == b'\xef\xbb\xbf"plant","count"\r\n"The ""old"", row",-5\r\n'


def test_the_byte_order_mark_is_skipped_by_its_readers():
    assert csv_bytes(HEADER, []).decode("utf-8-sig").startswith('"plant"')


def test_text_is_guarded_and_numbers_stay_numbers():
    text = csv_bytes(HEADER, [("=HYPERLINK(1)", -1.5)]).decode("utf-8-sig")
    _, row = csv.reader(io.StringIO(text, newline=""))
    assert row == ["'=HYPERLINK(1)", "-1.5"]
    assert unguard(row[0]) == "=HYPERLINK(1)"


def test_a_file_replaces_the_older_one_whole(tmp_path):
    path = write_rows(tmp_path / "a.csv", HEADER, [("old", 1)])
    write_rows(path, HEADER, [("new", 2)])
    assert b"new" in path.read_bytes()
    assert [one.name for one in tmp_path.iterdir()] == ["a.csv"]


def test_a_folder_that_is_missing_is_refused(tmp_path):
    with pytest.raises(Refused, match="cannot be written"):
        write_rows(tmp_path / "none" / "a.csv", HEADER, [])
