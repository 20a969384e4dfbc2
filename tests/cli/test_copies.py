"""Backups, exports and restoring, as a grower calls them."""

from pathlib import Path


def test_a_backup_is_made_listed_and_put_back(done, call, currants: str, nursery: Path) -> None:
    assert call("backup", "--list").out == "There is no backup yet.\n"
    made = Path(done("backup")["file"])
    assert made.parent == nursery / "backups"
    done("lose", currants, 5)
    assert [line["what"] for line in done("backup", "--list")] == ["by-hand"]
    answer = call("restore")
    assert answer.out.startswith(f"Put back {made.name}, made ")
    assert ": the book has 2 entries, and had 3.\nWhat stood" in answer.out
    assert done("show", currants)[0]["accounts"] == {"rooting": 40}
    (kept,) = [line for line in done("backup", "--list") if line["what"] == "replaced"]
    assert done("restore", Path(kept["file"]).name)["entries"] == 3  # as the list names it


def test_a_backup_put_back_says_how_old_it_is(call, done, currants, nursery) -> None:
    made = Path(done("backup")["file"])
    made.rename(made.with_name("book-2026-11-20-120000.db"))
    answer = call("restore").out
    assert "book-2026-11-20-120000.db, made 20 Nov 2026" in answer
    assert "5 days ago: the book has 2 entries." in answer


def test_a_book_that_is_gone_is_not_begun_anew_beside_its_backups(
    call, done, currants, nursery
) -> None:
    made = Path(done("backup")["file"])
    (nursery / "book.db").unlink()
    answer = call("start", "fig", "hardwood-cutting", 4)
    assert answer.status == 2
    assert "The book book.db is not there. The latest backup is of" in answer.err
    assert f"propagate restore backups/{made.name}" in answer.err
    assert not (nursery / "book.db").exists()
    assert done("restore")["entries"] == 2
    assert done("show", currants)[0]["accounts"] == {"rooting": 40}


def test_an_export_is_restored_by_its_path(done, call, currants: str, tmp_path: Path) -> None:
    file = tmp_path / "book.jsonl"
    assert call("export", "-o", file).out == f"Wrote 2 entries to {file}.\n"
    done("lose", currants, 5)
    assert done("restore", file)["entries"] == 2


def test_a_book_is_verified(call, currants: str) -> None:
    assert call("verify").out == "The book is whole: 2 entries.\n"


def test_a_damaged_book_is_refused_with_the_way_back(call, currants: str, nursery: Path) -> None:
    call("backup")
    data = (nursery / "book.db").read_bytes()
    (nursery / "book.db").write_bytes(data[:9000])
    answer = call("due")
    assert (answer.status, answer.out) == (2, "")
    assert "put it back with: propagate restore backups/book-" in answer.err
    assert call("restore").status == 0
    assert call("due").status == 0


def test_the_one_who_writes_is_named(raw, nursery: Path, currants: str, tmp_path: Path) -> None:
    words = ("--nursery", nursery, "--today", "2026-11-25")
    assert raw(*words, "--by", "Ann", "lose", currants, 1).status == 0
    assert raw(*words, "export", "-o", tmp_path / "b.jsonl").status == 0
    assert '"by":"Ann"' in (tmp_path / "b.jsonl").read_text(encoding="utf-8")


def test_an_export_to_a_folder_and_a_place_that_is_none_are_refused(refused, nursery: Path) -> None:
    assert refused("export", "-o", ".") == ". is a folder; give the name of a file."
    assert refused("carry", "blackcurrant").startswith("Give the URL of a PostgreSQL database")
