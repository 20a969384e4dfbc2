"""The bench as commands tell it: words, JSON, pictures, and what may not be."""

import pytest


@pytest.fixture
def small_bench(nursery, done) -> None:
    settings = nursery / "nursery.toml"
    text = settings.read_text().replace('[places."sand bed"]', '[places."sand bed"]\nsize_m2 = 2')
    settings.write_text(text)
    words = ("blackcurrant", "hardwood-cutting", 60, "--on", "2026-11-12", "--place", "sand bed")
    done("start", *words)


def test_a_bed_that_is_too_small_is_told_and_is_due(call, done, small_bench) -> None:
    (place,) = (p for p in done("bench")["places"] if p["place"] == "sand bed")
    assert place["size_m2"] == 2
    assert place["weeks"][0]["expected_m2"] == pytest.approx(60 * 0.15 * 0.3)
    assert place["weeks"][0]["overfull"] == 1
    assert place["overfull_from"] == "2026-11-25"
    assert "make room" in [task["action"] for task in done("due")]
    told = call("bench", "sand bed").out
    assert "sand bed is too small from 25 Nov 2026" in told
    assert "!!!!" in told


@pytest.mark.parametrize("ending", ["svg", "html", "csv", "pdf"])
def test_it_is_drawn(call, nursery, small_bench, ending) -> None:
    path = nursery / f"bench.{ending}"
    answer = call("bench", "-o", path)
    assert (answer.status, answer.err) == (0, "")
    content = path.read_bytes()
    assert content.startswith(b"%PDF") if ending == "pdf" else b"sand bed" in content


def test_an_empty_nursery_says_so(call) -> None:
    assert call("bench").out == "Nothing stands on any bench in the coming year.\n"


def test_a_place_that_holds_nothing_is_refused_with_the_nearest(refused, small_bench) -> None:
    assert 'Did you mean "sand bed"?' in refused("bench", "sand bad")


def test_a_picture_of_another_kind_is_refused(refused, nursery, small_bench) -> None:
    assert "should end in .svg" in refused("bench", "-o", nursery / "bench.png")
