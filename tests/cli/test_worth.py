"""What was made, planted and given, by year and kind."""

import pytest


@pytest.fixture
def season(done, currants) -> None:
    """Of 40 struck in 2026, 30 are potted in 2027, 16 of them go out; mice take 3 in the tray."""
    done("check", currants, "--rooted", 32, "--dead", 4, "--on", "2027-10-01", today="2027-12-31")
    done("pot-on", currants, 30, "--on", "2027-11-10", today="2027-12-31")
    done("plant-out", currants, 10, "--bed", "row", "--on", "2027-11-20", today="2027-12-31")
    done("give", currants, 6, "--to", "Hilda", "--on", "2027-11-21", today="2027-12-31")
    done("lose", currants, 3, "--cause", "mice", "--on", "2027-12-01", today="2027-12-31")


def priced(nursery, text: str) -> None:
    settings = nursery / "nursery.toml"
    settings.write_text(f"{settings.read_text()}\n[prices]\n{text}\n")


def test_each_year_has_its_own(done, season) -> None:
    answer = done("worth", today="2027-12-31")
    later, earlier = answer["years"]
    assert (later["year"], earlier["year"]) == (2027, 2026)
    assert earlier["total"]["started"] == 40
    assert earlier["total"]["made"] == 0
    counts = {k: later["total"][k] for k in ("started", "made", "planted", "given", "lost")}
    assert counts == {"started": 0, "made": 30, "planted": 10, "given": 6, "lost": 7}
    assert later["total"]["value"] is None
    assert answer["here"] == [{"plant": "Ribes nigrum", "plants": 14, "value": None}]


def test_nothing_after_today_is_told(done, season) -> None:
    assert [year["year"] for year in done("worth", today="2026-12-31")["years"]] == [2026]


def test_a_plant_has_its_own_price_before_that_of_any(done, nursery, season, rosemary) -> None:
    priced(nursery, '"any plant" = 2\nblackcurrant = 3.5')
    answer = done("worth", today="2027-12-31")
    assert answer["years"][0]["total"]["value"] == pytest.approx(16 * 3.5)
    assert answer["here_value"] == pytest.approx(14 * 3.5)


def test_it_is_told_and_written(call, nursery, season) -> None:
    priced(nursery, '"Any Plant" = 2')
    told = call("worth", today="2027-12-31").out
    assert "32.00" in told
    assert "in pots here on 31 Dec 2027, worth 28.00" in told
    path = nursery / "worth.csv"
    assert call("worth", "-o", path, today="2027-12-31").status == 0
    assert '2027,"Ribes nigrum",0,30,10,6,7,32.0' in path.read_text("utf-8-sig")


def test_only_some_plants_or_one_year(done, season, rosemary) -> None:
    assert len(done("worth", "rosemary", today="2027-12-31")["years"]) == 1
    assert [y["year"] for y in done("worth", "--year", 2027, today="2027-12-31")["years"]] == [2027]


def test_what_cannot_be_is_refused(refused, nursery, season) -> None:
    assert "Nothing is in the book for 1999" in refused("worth", "--year", 1999)
    assert "should end in .csv" in refused("worth", "-o", nursery / "worth.pdf")
    refused("worth", "no such plant")
    priced(nursery, '"no such plant" = 2')
    assert 'prices, "no such plant"' in refused("worth")


def test_an_empty_book_says_so(call) -> None:
    assert call("worth").out.startswith("There is no batch")
