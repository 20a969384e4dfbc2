"""Years ahead as commands tell and draw them."""

import pytest


def test_one_plant_from_so_many_mothers(call, done) -> None:
    answer = done("years", "blackcurrant", "--mothers", 3, "--keep", 0, "--years", 2)
    assert (answer["mothers"], answer["method"]) == (3, "hardwood-cutting")
    first, second = answer["years"]
    assert first["by"] == "2027-11-25"
    assert 50 < first["made"]["mean"] < 110  # 3 mothers, 20 to 60 each, two in three take
    assert second["out"]["mean"] == pytest.approx(
        first["made"]["mean"] + second["made"]["mean"], rel=0.01
    )
    told = call("years", "blackcurrant", "--mothers", 3, "--by", "softwood-cutting").out
    assert "by softwood-cutting, from 3 mothers" in told


def test_a_target_and_how_many_to_keep(call, done) -> None:
    words = ("years", "blackcurrant", "--mothers", 1, "--target", 500)
    goal = done(*words)["goal"]
    assert goal["years"] >= 2
    assert goal["chance"] >= 0.8
    told = call(*words).out
    assert f"500 plants are out in {goal['years']} years" in told
    assert "as mothers" in told


def test_every_kind_of_mother_in_the_book(call, done) -> None:
    assert call("years").out.startswith("The book has no mother")
    done("mother", "jet", "blackcurrant 'Alder Jet'")
    done("mother", "old-oak", "oak")
    (only,) = done("years")
    assert only["plant"] == "Ribes nigrum ‘Alder Jet’"
    assert len(only["years"]) == 5
    assert "Alder Jet" in call("years").out


def test_the_mothers_of_a_species_are_those_of_its_varieties(done) -> None:
    done("mother", "jet", "blackcurrant 'Alder Jet'")
    done("mother", "ruby", "redcurrant 'Brook Ruby'")
    assert done("years", "blackcurrant")["mothers"] == 1


@pytest.mark.parametrize("ending", ["svg", "pdf", "html", "csv"])
def test_it_is_drawn(call, nursery, ending) -> None:
    path = nursery / f"years.{ending}"
    assert call("years", "blackcurrant", "--target", 200, "-o", path).status == 0
    content = path.read_bytes()
    assert content.startswith(b"%PDF") if ending == "pdf" else b"Ribes nigrum" in content


def test_each_figure_says_what_it_rests_on(done) -> None:
    gives, serves, live = done("years", "blackcurrant", "--mothers", 1)["said"]
    assert gives.startswith("a mother gives 20 to 60 a year (memory), of which ")
    assert "serves 8 to 12 (memory)" in serves
    assert "(memory)" in live


def test_seedlings_are_no_clones(refused) -> None:
    assert "seedlings differ" in refused("years", "hawthorn", "--by", "seed")


def test_what_makes_no_sense_is_refused(refused, nursery) -> None:
    assert "for one plant" in refused("years", "--target", 50)
    assert "no mother plant" in refused("years", "-o", nursery / "years.pdf")
    refused("years", "blackcurrant", "--keep", 120)
    refused("years", "no such plant")
