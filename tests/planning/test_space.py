"""Bench that plants take, and what containers are taken for that nobody measured."""

import pytest
from attrs import evolve

from propagate.library import Library
from propagate.paths import methods_folder
from propagate.planning.space import container_called, footprint_m2, potted_m2, waiting_m2
from propagate.records.nursery import Container


@pytest.fixture
def measured(north):
    pots = (
        Container("9 cm pot", litres=0.4, size_cm=(9, 9)),
        Container("plug tray", litres=0.025, cells=84, size_cm=(54, 28)),
        Container("deep tray", cells=20, size_cm=(40, 30)),
    )
    return evolve(north, containers={pot.name: pot for pot in pots})


@pytest.fixture(scope="module")
def library() -> Library:
    return Library((methods_folder(),))


def test_what_the_settings_measure_is_taken_however_it_is_spelt(measured) -> None:
    assert container_called(measured, "9CM pot") == measured.containers["9 cm pot"]
    assert potted_m2(measured, 100, "9 cm pot") == pytest.approx(100 * 0.09 * 0.09)


def test_a_tray_begun_takes_a_whole_tray(measured) -> None:
    tray = 0.54 * 0.28
    assert potted_m2(measured, 84, "plug tray") == pytest.approx(tray)
    assert potted_m2(measured, 85, "plug tray") == pytest.approx(2 * tray)
    assert potted_m2(measured, 0, "plug tray") == 0


@pytest.mark.parametrize(
    ("name", "cells", "width_cm", "litres"),
    [
        ("", 1, 9, 0.5),  # nothing said: a 9 cm pot
        ("9 cm pots, square", 1, 9, 0.364),  # (9 / 12.6) ** 3
        ("13cm pot", 1, 13, 1.098),
        ("1 litre pot", 1, 12.6, 1),
        ("3 l", 1, 18.17, 3),  # the cube root of 3 is 1.442
        ("1,5-litre pot", 1, 14.42, 1.5),
        ("0 cm pot", 1, 9, 0.5),  # no size at all
        ("old jug", 1, 9, 0.5),
    ],
)
def test_a_pot_is_guessed_from_its_name(north, name, cells, width_cm, litres) -> None:
    pot = container_called(evolve(north, containers={}), name)
    assert (pot.cells, pot.litres) == (cells, pytest.approx(litres, rel=2e-3))
    assert footprint_m2(pot) == pytest.approx((width_cm / 100) ** 2, rel=2e-3)


@pytest.mark.parametrize("name", ["plug tray", "cells", "root trainers", "seed tray", "a box"])
def test_a_tray_that_nobody_measured_holds_many(north, name) -> None:
    pot = container_called(north, name)
    assert pot.cells >= 40
    assert potted_m2(north, 40, name) == footprint_m2(pot)


def test_a_tray_shares_the_usual_compost_over_its_cells(measured) -> None:
    """84 cells of 0.03 l on 54 x 28 cm are 16.7 l/m2; on 40 x 30 cm that is 2 l, in 20 cells."""
    assert container_called(measured, "deep tray").litres == pytest.approx(0.1)


def test_cuttings_stand_apart_as_their_record_says(measured, library) -> None:
    sticks = library.method("hardwood-cutting").general
    assert waiting_m2(measured, sticks, 40) == pytest.approx(40 * 0.15 * 0.30)
    assert waiting_m2(measured, sticks, 40, "plug tray") == pytest.approx(0.54 * 0.28)


@pytest.mark.parametrize(
    "way", ["runner", "simple-layering", "tip-layering", "air-layering", "mound-layering"]
)
def test_what_roots_on_its_mother_takes_no_bench(measured, library, way) -> None:
    assert waiting_m2(measured, library.method(way).general, 100) == 0


def test_fig_sticks_stand_a_hand_apart_as_their_own_record_says(measured, library) -> None:
    fig = library.record("hardwood-cutting", library.resolve("fig")).record
    assert waiting_m2(measured, fig, 24) == pytest.approx(0.24)
