"""Readers fed by a fuzzer that looks which lines each input reaches: atheris.

`python -m tests.bench.fuzz [SECONDS] [READER ...]`, after `pip install atheris`. Each reader
runs in a process of its own for so many seconds (20 unless told), starting from sound inputs.
Anything but an answer or one of the program's own refusals, and any input that takes longer
than five seconds, ends the run with the input that did it.
"""

import datetime as dt
import subprocess
import sys
import tempfile
from collections.abc import Callable
from pathlib import Path

TODAY = dt.date(2026, 11, 25)
SLOWEST_SECONDS = 5
SOUND = {
    "names": [
        "Ribes nigrum 'Ben'",
        "× Sorbaronia fallax",
        "Salix alba var. vitellina × S. fragilis",
    ],
    "days": ["12 Mar 2027", "2026-11-25", "yesterday", "29 Feb"],
    "lengths": ["2,5 m", "1' 6\"", "50 cm", "18 in"],
    "codes": ["M7KD", "m7 kd"],
    "notebook": ["date,what,batch,plant,method,count\n2026-11-20,start,T1,fig,runner,40\n"],
    "settings": [
        'name = "Bench"\n[places.bench]\ntemp_c = [8, 25]\n[beds.row]\nplants_wanted = 6\n'
    ],
    "method": ['[[plant]]\nlatin = "Ribes nigrum"\n[[plant.stage]]\nname = "rooting"\n'],
    "logger": ["Time,Temp\n2026-11-01 14:00,4.5\n"],
    "station": ["STATION,DATE,TMAX,TMIN\nX,2026-11-01,90,20\n"],
    "book": ['{"id": "1", "kind": "Started", "body": {"batch": "M7KD"}}\n'],
}


def readers(folder: Path) -> dict[str, Callable[[str], object]]:
    """Each reader of words or files, by name; files are written in `folder` first."""
    from propagate import codes
    from propagate.actions.desk import library_only
    from propagate.days import read_day
    from propagate.lengths import read_length
    from propagate.library import Library
    from propagate.names import parse
    from propagate.paths import NURSERY_FILE, methods_folder
    from propagate.planning.notebook import read_notebook
    from propagate.records.nursery import LoggerColumns, WeatherFile
    from propagate.settings import read_settings
    from propagate.store.codec import load
    from propagate.weather.files import read_file

    library = library_only()
    logger = WeatherFile("l", "file", unit="C", columns=LoggerColumns("Time", "Temp", "Temp"))
    (folder / "methods").mkdir()

    def of_file(name: str, read: Callable[[], object]) -> Callable[[str], object]:
        def written(text: str) -> object:
            (folder / name).write_text(text, encoding="utf-8", errors="surrogatepass")
            return read()

        return written

    return {
        "names": parse,
        "days": lambda text: read_day(text, TODAY),
        "lengths": read_length,
        "codes": codes.read,
        "notebook": lambda text: read_notebook(text, "book.csv", library, TODAY),
        "settings": of_file(NURSERY_FILE, lambda: read_settings(folder)),
        "method": of_file(
            "methods/runner.toml",
            lambda: Library((methods_folder(), folder / "methods")).method("runner"),
        ),
        "logger": of_file("file", lambda: read_file(logger, folder)),
        "station": of_file("file", lambda: read_file(WeatherFile("s", "file"), folder)),
        "book": lambda text: load("Started", text),
    }


def fuzz(name: str, seconds: int) -> None:
    """Run one reader until the time is over; the fuzzer ends the process."""
    import atheris

    with atheris.instrument_imports(include=["propagate"]):
        folder = Path(tempfile.mkdtemp())
        read = readers(folder)[name]
    from propagate.errors import PropagateError

    def one(data: bytes) -> None:
        try:
            read(data.decode("utf-8", "replace"))
        except PropagateError as refusal:
            if not str(refusal):
                raise

    sound = folder / "sound"
    sound.mkdir()
    for at, text in enumerate(SOUND[name]):
        (sound / str(at)).write_text(text, encoding="utf-8")
    options = [f"-max_total_time={seconds}", f"-timeout={SLOWEST_SECONDS}", "-max_len=400"]
    atheris.Setup([sys.argv[0], *options, "-verbosity=0", "-print_final_stats=1", str(sound)], one)
    atheris.Fuzz()


def main() -> int:
    """Fuzz each reader in turn, and say how many inputs it read."""
    seconds = int(sys.argv[1]) if len(sys.argv) > 1 else 20
    failed = []
    for name in sys.argv[2:] or list(SOUND):
        asked = [sys.executable, "-m", "tests.bench.fuzz", "--reader", name, str(seconds)]
        done = subprocess.run(asked, check=False, capture_output=True, text=True, errors="replace")
        runs = [line.split()[-1] for line in done.stderr.splitlines() if "executed_units" in line]
        sys.stdout.write(f"{name:<10}{runs[0] if runs else '?':>10} inputs\n")
        sys.stdout.flush()
        if done.returncode:
            failed.append(name)
            sys.stdout.write(done.stderr[-2_000:] + "\n")
    sys.stdout.write(f"failed: {', '.join(failed)}\n" if failed else "none failed\n")
    return bool(failed)


if __name__ == "__main__":
    if "--reader" in sys.argv:
        fuzz(sys.argv[-2], int(sys.argv[-1]))
    sys.exit(main())
