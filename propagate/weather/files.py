"""From the files named in the settings to daily temperatures, with all that was wrong."""

import csv
import gzip
import io
import zlib
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Final

from attrs import frozen

from propagate.csvcells import encoding_of
from propagate.errors import Problem, Refused
from propagate.records.nursery import WeatherFile
from propagate.weather.loggers import read_logger
from propagate.weather.readings import Readings
from propagate.weather.series import DailyTemps
from propagate.weather.stations import read_station

GZIP_MARK: Final = b"\x1f\x8b"
HEAD_BYTES: Final = 65536


@frozen(eq=False)
class FileReading:
    """What a file gave: its days, None when it gave none, and what was wrong or left out."""

    file: WeatherFile
    temps: DailyTemps | None
    problems: tuple[Problem, ...]
    left_out: dict[str, int]


def read_file(file: WeatherFile, folder: Path) -> FileReading:
    """Read a weather file, whose path is taken from the nursery's folder.

    Nothing is raised: a file that is missing or is no such file gives a problem and no days.
    """
    readings = Readings(file.path)
    temps = None
    try:
        with _opened(folder / file.path) as lines:
            if file.columns is None:
                read_station(lines, file, readings)
            else:
                read_logger(lines, file.columns, file.unit or "C", readings)
        temps = readings.daily(file.name)
        if temps is None:
            readings.complain("it has no temperature of any day")
    except OSError as error:
        readings.complain(f"it cannot be read: {error.strerror or error}")
    except (EOFError, zlib.error):
        readings.complain("it cannot be read: it is not whole, copy or fetch it again")
    except csv.Error as error:
        readings.complain(f"it is no table of comma-separated values: {error}")
    except Refused as error:
        readings.complain(str(error))
    return FileReading(file, temps, readings.told(), dict(readings.left_out))


@contextmanager
def _opened(path: Path) -> Iterator[Iterable[str]]:
    """A file as lines of text, unpacked when it is gzipped, in the encoding it seems to have."""
    try:
        raw = path.open("rb")
    except ValueError as error:  # a path with a sign that no file system takes
        raise Refused(f"it cannot be read: {error}") from None
    with raw:
        packed = raw.read(len(GZIP_MARK)) == GZIP_MARK
        raw.seek(0)
        content: gzip.GzipFile | io.BufferedReader = gzip.GzipFile(fileobj=raw) if packed else raw
        encoding = encoding_of(content.read(HEAD_BYTES))
        content.seek(0)
        with io.TextIOWrapper(content, encoding=encoding, errors="replace", newline="") as text:
            yield text
