"""Where the package for a database is not installed, one sentence says what to install."""

import importlib.util
import sys

import pytest

from propagate.errors import MissingTool


def test_a_missing_package_is_named_with_the_way_to_get_it(monkeypatch) -> None:
    monkeypatch.setitem(sys.modules, "psycopg", None)  # as if it were not installed
    found = importlib.util.find_spec("propagate.store.postgres")
    assert found is not None
    assert found.loader is not None
    with pytest.raises(MissingTool, match=r"pip install 'propagate\[postgres\]'"):
        found.loader.exec_module(importlib.util.module_from_spec(found))
