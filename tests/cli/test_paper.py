"""Files the commands write: labels, the stock sheet, the calendar, the empty notebook."""

import csv
import datetime as dt
from pathlib import Path

import pytest
from icalendar import Calendar

STANDING = ["waiting", "rooted", "potted", "hardening", "ready", "planted", "given", "lost"]


@pytest.fixture
def season(done, currants, rosemary) -> str:
    """A currant and a rosemary batch; the rosemary has some ready, some hardening, some potted."""
    done("check", rosemary, "--rooted", 18, "--on", "2026-10-01")
    done("pot-on", rosemary, 15, "--on", "2026-10-02")
    done("harden", rosemary, 6, "--on", "2026-11-20")
    done("ready", rosemary, 2, "--on", "2026-11-24")
    return rosemary


def events_of(path: Path) -> list:
    return Calendar.from_ical(path.read_bytes()).walk("VEVENT")


def labels_in(path: Path) -> int:
    return path.read_text(encoding="utf-8").count('class="label')


def test_labels_come_one_for_each_tray_or_as_many_as_asked(call, tmp_path, currants) -> None:
    for extra, count in (((), 2), (("--copies", 5), 5)):
        assert call("labels", currants, "-o", tmp_path / "x.html", *extra).status == 0
        assert labels_in(tmp_path / "x.html") == count


def test_labels_take_any_format_of_the_nursery_and_begin_where_told(
    call, tmp_path, currants
) -> None:
    for name in ("tray-a4", "tray-letter", "stake-a4", "stake-letter"):
        options = ("--format", name, "--start-at", 3, "-o", tmp_path / f"{name}.html")
        answer = call("labels", currants, *options)
        assert answer.status == 0, answer
        assert "100 %" in answer.out


def test_labels_as_pdf(call, tmp_path, currants) -> None:
    path = tmp_path / "labels.pdf"
    assert call("labels", currants, "-o", path).status == 0
    assert path.read_bytes().startswith(b"%PDF-")


def test_the_sheet_as_a_page(call, tmp_path, season) -> None:
    assert call("sheet", "-o", tmp_path / "stock.html").status == 0
    assert season in (tmp_path / "stock.html").read_text(encoding="utf-8")


def test_the_sheet_as_a_table_says_what_the_ledger_says(call, done, tmp_path, season) -> None:
    assert call("sheet", "-o", tmp_path / "stock.csv").status == 0
    with (tmp_path / "stock.csv").open(encoding="utf-8-sig", newline="") as file:
        rows = {row["batch"]: row for row in csv.DictReader(file) if row["line"] == "batch"}
    for batch in done("forecast")["batches"]:
        row = rows[batch["batch"]]
        assert sum(int(row[key]) for key in STANDING) == int(row["started"]) == batch["count"]
        assert [int(row[key]) for key in ("low", "likely", "high")] == [
            batch["plants"][key] for key in ("low", "likely", "high")
        ]
        assert row["pot_on_likely"] == batch["pot_on"]["likely"]


def test_every_sheet_comes_as_a_file_and_as_json(call, done, tmp_path, season) -> None:
    for kind in ("stock", "customer", "jobs", "beds", "checks", "mothers", "origins"):
        for ending in ("html", "csv", "json"):
            path = tmp_path / f"{kind}.{ending}"
            assert call("sheet", kind, "-o", path).status == 0
            assert path.stat().st_size > 2
        told = done("sheet", kind)
        assert isinstance(told, list)
        with (tmp_path / f"{kind}.csv").open(encoding="utf-8-sig", newline="") as file:
            rows = list(csv.DictReader(file))
        assert [{key: str(value) for key, value in line.items()} for line in told] == rows


def test_a_customer_is_not_offered_what_is_promised_or_wanted_in_a_bed(done, season) -> None:
    def ready_now() -> int:
        lines = [line for line in done("sheet", "customer") if "rosmarinus" in line["plant"]]
        return sum(line["now"] for line in lines)

    assert ready_now() == 2  # as the season has it: two ready, others hardening and in pots
    done("promise", season, 1, "--to", "Hilda")
    assert ready_now() == 1
    done("want", "herb bank", "rosemary", 60, "--by", "2027-09-30")
    assert ready_now() == 0


def test_a_sheet_needs_a_file_or_json(refused) -> None:
    assert "-o FILE" in refused("sheet")
    assert "stock, customer" in refused("sheet", "cheks", "--json")
    assert "nowhere" in refused("sheet", "checks", "--place", "nowhere", "--json")


def test_what_is_for_sale_is_shown_with_who_has_the_say(call, done, refused, season) -> None:
    before = done("show", season)[0]["accounts"]
    assert done("offer", season, 4)["accounts"] == before  # an offer moves no plants
    done("give", season, 1)
    (shown,) = done("show", season)
    assert (shown["for_sale"], shown["protected"]) == (3, False)
    text = call("show", season).out
    assert "for sale 3" in text
    assert "plant-health authority" in text
    assert "for sale: 4" in call("history", season).out
    assert "cannot be for sale" in refused("offer", season, 99)
    for _ in range(2):
        assert call("undo").status == 0
    assert done("show", season)[0]["for_sale"] == 0


def test_a_protected_variety_is_said_to_be_so(call, done, nursery, currants, tmp_path) -> None:
    settings = nursery / "nursery.toml"
    told = settings.read_text(encoding="utf-8")
    settings.write_text('protected = ["blackcurrant"]\n' + told, encoding="utf-8")
    assert done("show", currants)[0]["protected"] is True
    assert "breeder's right" in call("show", currants).out
    assert call("sheet", "-o", tmp_path / "stock.html").status == 0
    assert "breeder" in (tmp_path / "stock.html").read_text(encoding="utf-8")
    settings.write_text('protected = ["Blakcurrent"]\n' + told, encoding="utf-8")
    answer = call("show", currants)
    assert answer.status == 2
    assert answer.err.startswith("nursery.toml, protected: ")


def test_the_calendar_is_one_all_day_event_a_job(call, done, tmp_path, season) -> None:
    path = tmp_path / "due.ics"
    assert call("due", "--ics", path).status == 0
    jobs = done("due")
    events = events_of(path)
    for event, job in zip(events, jobs, strict=True):
        day = dt.date.fromisoformat(job["date"])
        assert type(event["DTSTART"].dt) is dt.date  # RFC 5545, 3.6.1: a DATE is a whole day
        assert event["DTSTART"].dt == day
        assert event["DTEND"].dt == day + dt.timedelta(days=1)  # the end is not included
        assert job["batch"] in event["SUMMARY"]
        assert event["DESCRIPTION"] == job["why"]
        assert event["DTSTAMP"].dt.tzinfo is not None


def test_the_calendar_keeps_to_the_form_of_rfc_5545(call, tmp_path, season) -> None:
    path = tmp_path / "due.ics"
    assert call("due", "--ics", path).status == 0
    content = path.read_bytes()
    lines = content.split(b"\r\n")
    assert b"\n" not in content.replace(b"\r\n", b"")
    assert max(map(len, lines)) <= 75  # RFC 5545, 3.1: octets in a line
    calendar = Calendar.from_ical(content)
    assert calendar["VERSION"] == "2.0"
    assert calendar["PRODID"]


def test_jobs_keep_their_names_in_the_calendar_and_no_two_share_one(call, tmp_path, season) -> None:
    first, second = tmp_path / "first.ics", tmp_path / "second.ics"
    assert call("due", "--ics", first).status == 0
    assert call("due", "--ics", second, today="2026-11-26").status == 0
    uids = [event["UID"] for event in events_of(first)]
    assert len(set(uids)) == len(uids)
    assert [event["UID"] for event in events_of(second)] == uids
    plantings = [e for e in events_of(first) if str(e["SUMMARY"]).startswith("plant out")]
    assert len(plantings) == 3  # ready, hardening, potted: three lots of one batch


def test_a_job_keeps_its_name_when_its_day_moves(call, done, tmp_path, currants) -> None:
    def potting(name: str):
        assert call("due", "--ics", tmp_path / name).status == 0
        (event,) = [e for e in events_of(tmp_path / name) if "pot on" in e["SUMMARY"]]
        return event

    code = done("start", "rosemary", "semi-ripe-cutting", 24, "--on", "2026-09-20")["batch"]
    done("lose", currants, 40)
    before = potting("before.ics")
    done("check", code, "--rooted", 1, "--on", "2026-11-20")
    after = potting("after.ics")
    assert after["DTSTART"].dt != before["DTSTART"].dt
    assert after["UID"] == before["UID"]


def test_two_nurseries_do_not_share_names_in_one_calendar(raw, tmp_path) -> None:
    uids = []
    for name in ("one", "two"):
        folder = tmp_path / name
        assert raw("init", folder).status == 0
        there = ("--nursery", folder, "--today", "2026-11-25")
        assert raw(*there, "start", "fig", "hardwood-cutting", 4, "--on", "2026-11-20").status == 0
        assert raw(*there, "due", "--ics", folder / "due.ics").status == 0
        uids += [event["UID"] for event in events_of(folder / "due.ics")]
    assert len(set(uids)) == len(uids)


def test_the_template_can_be_filled_and_taken_in(call, done, tmp_path) -> None:
    path = tmp_path / "book.csv"
    assert call("template", path).status == 0
    assert "there already" in call("template", path).err
    with path.open(encoding="utf-8", newline="") as file:
        columns = next(csv.reader(file))
    line = {"date": "2026-08-10", "what": "start", "batch": "T1", "plant": "rosemary"}
    line |= {"method": "semi-ripe-cutting", "count": "24"}
    with path.open("a", encoding="utf-8", newline="") as file:
        csv.DictWriter(file, columns).writerow(line)
    assert done("import", path) == {"batches": 1, "events": 1}


def test_a_settled_name_lists_the_labels_to_print_anew(call, done, tmp_path) -> None:
    words = ("fig (variety unknown)", "hardwood-cutting", 6, "--on", "2026-11-20")
    code = done("start", *words, "--from", "wall fig")["batch"]
    other = done("start", "fig", "hardwood-cutting", 6, "--on", "2026-11-20")["batch"]
    for each in (code, other):
        assert call("labels", each, "-o", tmp_path / "x.html").status == 0

    told = done("name", "Wall Fig", "fig 'Chapel Brown'", "--why", "an old photograph")
    assert told == {"plant": "Ficus carica ‘Chapel Brown’", "reprint": [code]}

    def reprints() -> list[str]:
        return [job["batch"] for job in done("due") if job["action"] == "print a new label"]

    assert reprints() == [code]
    assert call("labels", code, "-o", tmp_path / "x.html").status == 0
    assert reprints() == []
    assert "Chapel Brown" in (tmp_path / "x.html").read_text(encoding="utf-8")


def test_a_name_settled_before_any_label_asks_for_none(call, done) -> None:
    code = done("start", "fig", "hardwood-cutting", 6, "--on", "2026-11-20")["batch"]
    assert done("name", code, "fig 'Chapel Brown'")["reprint"] == []


def test_a_mother_is_listed_with_her_batches(call, done) -> None:
    assert call("mother", "jet", "blackcurrant 'Alder Jet'", "--place", "walk").status == 0
    words = ("blackcurrant 'Alder Jet'", "hardwood-cutting", 4, "--from", "jet")
    code = done("start", *words)["batch"]
    (mother,) = done("mother")
    assert mother["stock_plant"] == "jet"
    assert mother["plant"] == "Ribes nigrum ‘Alder Jet’"
    assert mother["batches"] == [code]
