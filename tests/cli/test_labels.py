"""Labels of every kind, and what is told of them."""

import json

from propagate.errors import BrokenBook


def test_the_rack_is_listed_with_sizes(raw) -> None:
    listed = json.loads(raw("labels", "--formats", "--json").out)
    by_name = {one["format"]: one for one in listed}
    assert by_name["tray-a4"]["per_page"] == 14
    assert by_name["strip-12"]["page_mm"] == [110, 12]
    assert "tie-letter" in raw("labels", "--formats").out


def test_the_rack_can_be_seen(raw, tmp_path) -> None:
    assert raw("labels", "--formats", "-o", tmp_path / "rack.html").status == 0
    page = (tmp_path / "rack.html").read_text(encoding="utf-8")
    assert "stake-a4" in page
    assert "stake-letter" not in page


def test_a_format_of_the_nursery_is_listed_and_used(call, nursery, currants, tmp_path) -> None:
    (nursery / "labels").mkdir()
    (nursery / "labels" / "mine.toml").write_text('like = "tray-a4"\ntitle = "Mine"\n')
    assert "Mine" in call("labels", "--formats").out
    assert call("labels", currants, "--format", "mine", "-o", tmp_path / "x.html").status == 0


def test_a_kind_alone_is_the_one_on_the_nurserys_sheet(call, done, currants, tmp_path) -> None:
    assert call("labels", currants, "--format", "stake", "-o", tmp_path / "x.html").status == 0
    assert "print labels (stake-a4)" in call("history", currants).out


def test_how_long_labels_last_is_told_with_sources(raw) -> None:
    told = json.loads(raw("labels", "--lasting", "--json").out)
    assert told["print"]["dye-inkjet"]["basis"] == "memory"
    assert "polyester" in raw("labels", "--lasting").out


def test_the_calibration_sheet_needs_no_nursery(raw, tmp_path, monkeypatch) -> None:
    monkeypatch.chdir(tmp_path)
    assert raw("labels", "--calibrate", "-o", tmp_path / "cal.html").status == 0
    assert "Calibration sheet" in (tmp_path / "cal.html").read_text(encoding="utf-8")


def test_mothers_and_beds_have_labels_of_their_own(call, done, tmp_path) -> None:
    assert call("mother", "jet", "blackcurrant 'Alder Jet'", "--place", "walk").status == 0
    code = done("start", "blackcurrant 'Alder Jet'", "hardwood-cutting", 9, "--from", "jet")[
        "batch"
    ]
    done("pot-on", code, 5)
    done("plant-out", code, 3, "--bed", "South hedge")
    path = tmp_path / "x.html"
    assert call("labels", "--mother", "Jet", "-o", path).status == 0
    page = path.read_text(encoding="utf-8")
    assert "mother plant · walk" in page
    assert call("labels", "--bed", "south hedge", "-o", path).status == 0
    page = path.read_text(encoding="utf-8")
    assert "<b>South hedge</b>" in page
    assert "3 blackcurrant ‘Alder Jet’" in page
    assert call("labels", code, "--per-pot", "-o", path).status == 0
    assert path.read_text(encoding="utf-8").count('class="label"') == 2


def test_what_has_no_label_is_refused(call, currants, tmp_path) -> None:
    for words, said in (
        (("--bed", "moon"), 'no bed "moon"'),
        (("--mother", "nobody"), 'no mother plant "nobody"'),
        ((currants, "--per-pot"), "nothing in pots yet"),
        ((), "Say which labels"),
    ):
        answer = call("labels", *words, "-o", tmp_path / "x.html")
        assert (answer.status, said in answer.err) == (2, True), answer
        assert not (tmp_path / "x.html").exists()


def test_labels_that_fade_are_told_of_and_come_up_in_due(call, done, nursery, currants, tmp_path):
    settings = nursery / "nursery.toml"
    text = settings.read_text(encoding="utf-8")
    settings.write_text(
        text.replace("[labels]", '[labels]\nmaterial = "paper"\nprint = "dye-inkjet"'),
        encoding="utf-8",
    )
    answer = call("labels", currants, "-o", tmp_path / "x.html")
    assert "dye-inkjet on paper lasts 1 to 4 weeks" in answer.err
    assert len(answer.err.strip().splitlines()) == 1
    (job,) = [job for job in done("due") if job["action"] == "print a new label"]
    assert (job["batch"], job["date"]) == (currants, "2026-12-03")
    assert done("labels", "--reprint") == []
    later = call("labels", "--reprint", "--json", today="2026-12-03")
    assert [one["batch"] for one in later.json] == [currants]
    again = call("labels", "--reprint", "-o", tmp_path / "y.html", today="2026-12-03")
    assert again.status == 0
    assert call("labels", "--reprint", "--json", today="2026-12-03").json == []


def test_settings_of_labels_are_read_strictly(call, nursery) -> None:
    settings = nursery / "nursery.toml"
    text = settings.read_text(encoding="utf-8")
    for line, said in (
        ('material = "silk"', '"silk" is none of'),
        ("[labels.printer]\nacross_mm = [170, 90]", "no printer's doing"),
        ("[labels.printer]\nleft_mm = [20, 55]", "no printer's doing"),
        ("[labels.printer]\nleft_mm = 20", "planned and measured"),
        ("[labels.printer]\nwidth_mm = [20, 20]", "unknown key"),
    ):
        settings.write_text(f"{text}\n{line}\n", encoding="utf-8")
        answer = call("due")
        assert (answer.status, said in answer.err) == (2, True), answer


def test_a_batch_split_over_two_trays_keeps_its_history_and_has_a_label_for_each(
    call, done, currants, tmp_path
) -> None:
    done("check", currants, "--rooted", 6, "--dead", 2, "--on", "2026-11-20")
    before = done("forecast", currants)["batches"][0]["plants"]
    said = call("move", currants, "--tray", "left", "--tray", "right").out
    assert "now in left, right" in said
    (shown,) = done("show", "right")
    assert (shown["batch"], shown["trays"]) == (currants, ["left", "right"])
    assert done("forecast", currants)["batches"][0]["plants"] == before
    assert call("labels", currants, "-o", tmp_path / "two.html").status == 0
    text = (tmp_path / "two.html").read_text("utf-8")
    assert "left" in text
    assert "right" in text


def test_labels_of_a_book_that_can_only_be_read_are_printed_with_a_word(
    call, currants, tmp_path, monkeypatch
) -> None:
    def unwritable(*_: object) -> None:
        raise BrokenBook("The book can be read here but not written.")

    monkeypatch.setattr("propagate.actions.printing.note_labels", unwritable)
    answer = call("labels", currants, "-o", tmp_path / "x.html")
    assert answer.status == 0
    assert (tmp_path / "x.html").is_file()
    assert answer.err.startswith("The book does not know that these were printed. The book can be")


def test_a_bed_that_is_only_wanted_so_far_has_a_marker_too(call, nursery) -> None:
    call("want", "south hedge", "hawthorn", 60, "--by", "15 Mar 2027")
    answer = call("labels", "--bed", "South Hedge", "-o", nursery / "bed.html")
    assert answer.status == 0, answer.err
    assert "south hedge" in (nursery / "bed.html").read_text("utf-8")
