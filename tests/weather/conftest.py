"""Weather files written out here, and a way to read them as the settings would."""

from collections.abc import Callable
from pathlib import Path

import pytest

from propagate.records.nursery import LoggerColumns, TempUnit, WeatherFile
from propagate.weather.files import FileReading, read_file

ReadText = Callable[..., FileReading]


@pytest.fixture
def read_text(tmp_path: Path) -> ReadText:
    """Write a file of this text (or these bytes) and read it."""

    def read(
        text: str | bytes,
        columns: LoggerColumns | None = None,
        unit: TempUnit | None = None,
        station: str = "",
    ) -> FileReading:
        content = text if isinstance(text, bytes) else text.encode()
        (tmp_path / "readings").write_bytes(content)
        file = WeatherFile("shed", "readings", unit=unit, columns=columns, station=station)
        return read_file(file, tmp_path)

    return read
