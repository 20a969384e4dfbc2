"""The command `plan` as a grower types it."""

import pytest

KEYS = {"line", "plant", "method", "count", "start", "last_start", "place", "container"} | {
    *("mother", "mothers", "gives", "chance", "pot_on", "ready", "tray_m2", "pots_m2"),
    *("pots_place", "hours", "short", "beds", "why"),
}


@pytest.fixture
def wanted(done) -> None:
    done("want", "row", "blackcurrant", 30, "--by", "15 Mar 2028")


def test_a_plan_is_told_in_words_and_in_json(call, done, wanted) -> None:
    answer = done("plan")
    (line,) = answer["lines"]
    assert set(line) == KEYS
    assert (line["plant"], line["short"]) == ("Ribes nigrum", 30)
    assert line["chance"] >= 0.9
    assert answer["missing"] == []
    text = call("plan").out
    assert f"{line['count']} Ribes nigrum by" in text
    assert "the fewest that fill it" in text


def test_where_nothing_is_wanted_the_plan_says_how_to_want_something(call) -> None:
    assert call("plan").out.startswith("Nothing is wanted yet; say, for example: propagate want")


def test_a_plan_is_printed_and_put_in_a_calendar(call, wanted, tmp_path) -> None:
    for name in ("plan.html", "plan.csv", "plan.svg"):
        assert call("plan", "-o", tmp_path / name).status == 0
        assert "Ribes nigrum" in (tmp_path / name).read_text(encoding="utf-8-sig")
    assert call("plan", "--ics", tmp_path / "plan.ics").status == 0
    events = (tmp_path / "plan.ics").read_text(encoding="utf-8")
    assert events.count("BEGIN:VEVENT") == 1
    assert "Ribes nigrum" in events


def test_a_line_is_taken_up_with_its_labels(done, call, wanted, tmp_path) -> None:
    line = done("plan")["lines"][0]
    labels = tmp_path / "labels.html"
    words = ("--accept", 1, "--on", line["start"], "--labels", labels)
    (batch,) = done("plan", *words)
    assert (batch["count"], batch["started"]) == (line["count"], line["start"])
    assert batch["batch"] in labels.read_text(encoding="utf-8")
    assert done("plan")["lines"] == []


def test_what_if_stands_beside_what_is(call, done, wanted) -> None:
    answer = done("plan", "--assume", "95 % sure")
    before, after = answer["as_it_is"]["lines"][0], answer["assumed"]["lines"][0]
    assert after["count"] > before["count"]
    assert answer["rows"][0]["beds"] == "row"
    text = call("plan", "--assume", "95 % sure").out
    assert "as it is" in text
    assert done("plan")["lines"][0]["count"] == before["count"]


@pytest.mark.parametrize(
    ("words", "why"),
    [
        (("--accept", 7), "no line 7"),
        (("--assume", "luck"), "nothing that can be assumed"),
        (("--assume", "95 % sure", "--accept", 1), "cannot be accepted"),
        (("--labels", "labels.pdf"), "go with --accept"),
        (("-o", "plan.png"), "should end in"),
    ],
)
def test_a_slip_is_refused(refused, wanted, words, why) -> None:
    assert why in refused("plan", *words)
