"""Where the data and the nursery are found."""

import pytest

from propagate import paths
from propagate.errors import NotFound


def test_a_checkout_has_its_data_beside_the_package():
    assert (paths.methods_folder() / "plants.toml").is_file()
    assert paths.labels_folder().name == "labels"


def test_an_installed_package_carries_its_data_inside(tmp_path, monkeypatch):
    package = tmp_path / "site" / "propagate"
    (package / "_shipped" / "methods").mkdir(parents=True)
    (tmp_path / "site" / "methods").mkdir()
    monkeypatch.setattr(paths, "_PACKAGE", package)
    assert paths.methods_folder() == package / "_shipped" / "methods"


def test_missing_data_is_said_in_one_sentence(tmp_path, monkeypatch):
    monkeypatch.setattr(paths, "_PACKAGE", tmp_path)
    with pytest.raises(NotFound, match="methods folder is missing"):
        paths.methods_folder()


def test_the_nearest_nursery_upwards_is_found(tmp_path):
    deep = tmp_path / "garden" / "notes" / "winter"
    deep.mkdir(parents=True)
    assert paths.find_nursery(deep) is None
    (tmp_path / "garden" / paths.NURSERY_FILE).touch()
    assert paths.find_nursery(deep) == (tmp_path / "garden").resolve()
