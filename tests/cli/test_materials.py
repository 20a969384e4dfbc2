"""The shopping list as commands tell it."""

import pytest


@pytest.fixture
def amounts(done):
    def of(*words: object) -> dict[str, dict]:
        return {need["item"]: need for need in done("materials", *words)["needs"]}

    return of


def test_a_planned_start_needs_its_slit_its_label_and_later_its_pots(amounts) -> None:
    """60 cuttings 15 cm apart are 9 m of slit, 1.5 l of sand to the metre."""
    plan = ("--plan", "blackcurrant", "hardwood-cutting", 60, "2026-12-01")
    soon = amounts(*plan)
    assert soon["sharp sand or perlite"]["enough"] == pytest.approx(13.5)
    assert soon["labels"]["enough"] == 1
    assert "9 cm pot" not in soon
    late = amounts(*plan, "--weeks", 80)
    assert 30 < late["9 cm pot"]["expected"] < late["9 cm pot"]["enough"] <= 60


def test_cuttings_in_a_tray_share_compost_and_grit(amounts) -> None:
    """100 at 5 x 5 cm are 0.25 m2; 6 cm deep that is 15 l, half of it grit."""
    need = amounts("--plan", "lavender", "semi-ripe-cutting", 100, "2026-12-01", "--weeks", 2)
    assert need["potting compost"]["enough"] == pytest.approx(7.5)
    assert need["sharp sand or perlite"]["enough"] == pytest.approx(7.5)
    assert need["labels"]["enough"] == 3  # 0.25 m2 is three seed trays of 38 x 24 cm


def test_what_is_in_hand_is_not_bought(amounts, nursery) -> None:
    settings = nursery / "nursery.toml"
    settings.write_text(settings.read_text() + '[in_hand]\nlabels = 5\n"potting compost" = 5\n')
    need = amounts("--plan", "lavender", "semi-ripe-cutting", 100, "2026-12-01", "--weeks", 2)
    assert need["labels"]["to_buy"] == 0
    assert need["potting compost"]["to_buy"] == 3


def test_the_cautions_are_told_with_what_they_are_for(call, done) -> None:
    plan = ("--plan", "camellia", "leaf-bud-cutting", 40, "2026-12-01")
    assert len(done("materials", *plan)["cautions"]) == 2
    told = call("materials", *plan).out
    assert "what the label says is the law" in told
    assert "Legionella" in told


@pytest.mark.parametrize("ending", ["pdf", "html", "csv"])
def test_the_list_is_printed(call, nursery, ending) -> None:
    path = nursery / f"list.{ending}"
    plan = ("--plan", "lavender", "semi-ripe-cutting", 100, "2026-12-01")
    assert call("materials", *plan, "-o", path).status == 0
    content = path.read_bytes()
    assert content.startswith(b"%PDF") if ending == "pdf" else b"potting compost" in content


def test_nothing_to_buy(call, refused, nursery) -> None:
    assert call("materials").out == "Nothing is needed until 17 Feb 2027.\n"
    assert "Nothing is needed" in refused("materials", "-o", nursery / "list.pdf")


@pytest.mark.parametrize("count", ["0", "some", "-3", "1.5"])
def test_a_planned_count_that_is_none_is_refused(refused, count) -> None:
    plan = ("--plan", "lavender", "semi-ripe-cutting", count, "2026-12-01")
    assert "is no number to start" in refused("materials", *plan)


def test_a_slip_in_the_settings_is_named(call, nursery) -> None:
    settings = nursery / "nursery.toml"
    settings.write_text(settings.read_text() + "[in_hand]\nlabels = -5\n")
    answer = call("materials")
    assert answer.status == 2
    assert "nursery.toml, in_hand, labels: -5 is below nought" in answer.err


def test_a_planned_start_takes_its_bench(done) -> None:
    plan = ("--plan", "lavender", "semi-ripe-cutting", 100, "2026-12-01", "--at", "cold frame")
    (place,) = done("bench", *plan)["places"]
    weeks = [week["expected_m2"] for week in place["weeks"]]
    assert weeks[0] == 0  # not struck yet
    assert weeks[2] == pytest.approx(0.25)
    assert max(weeks) > 0.4  # pots take more than the tray
