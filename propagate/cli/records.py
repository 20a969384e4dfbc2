"""How good the book has been, told in words."""

from collections.abc import Iterable

from propagate.cli.say import Columns, say, say_text, table
from propagate.cli.words import counted
from propagate.records.scores import Tally, TrackRecord

FEW_BATCHES = 8
"""With fewer batches no verdict on the range is given: one miss more would turn it round."""


def tell_record(record: TrackRecord) -> None:
    """Print the record: a table of the tallies, then what it says of all plants."""
    for line in _begun(record):
        say_text(line)
    if not record.tallies:
        return
    say()
    _tell_tallies(record.tallies)
    say()
    for tally in record.tallies:
        if tally.plant is None:
            say_text(" ".join(_sentences(tally)))


def _begun(record: TrackRecord) -> Iterable[str]:
    ended = len({score.batch for score in record.scores})
    if not ended:
        yield (
            "No batch that can be judged yet: the book keeps what it foretells when a batch is "
            "started and at each full check, and judges it when nothing waits in the tray."
        )
    else:
        yield f"{counted(ended, 'batch')} of which the book foretold the plants can be judged."
    if record.open:
        yield f"Still waiting: {counted(record.open, 'batch')}."
    if record.set_aside:
        yield (
            f"Left out: {counted(record.set_aside, 'batch')}, because some left unrooted or the "
            "number was put right later."
        )


def _tell_tallies(tallies: Iterable[Tally]) -> None:
    every = list(tallies)
    alone = len({tally.plant for tally in every}) == 2
    shown = [tally for tally in every if not alone or tally.plant is not None]
    wide = Columns(
        [
            *("plant", "foretold", "batches#", "off by#", "library's middle#", "as last time#"),
            *("in range#", "window held#"),
        ],
        [
            [
                _plant(tally),
                tally.stage,
                str(tally.batches),
                _plants(tally.off_by),
                _plants(tally.off_by_library),
                _plants(tally.off_by_last_time),
                f"{tally.hits} of {tally.batches}",
                f"{tally.window_hits} of {tally.windows}" if tally.windows else "",
            ]
            for tally in shown
        ],
    )
    narrow = Columns(
        ["plant", "off by#", "others#", "in range#"],
        [
            [
                f"{_plant(tally)}\n{tally.stage}",
                _plants(tally.off_by),
                f"{_plants(tally.off_by_library)}\n{_plants(tally.off_by_last_time)}",
                f"{tally.hits} of {tally.batches}",
            ]
            for tally in shown
        ],
    )
    table(wide, narrow)


def _plant(tally: Tally) -> str:
    return "all" if tally.plant is None else str(tally.plant)


def _plants(figure: float) -> str:
    return f"{figure:.1f}"


def _sentences(tally: Tally) -> Iterable[str]:
    """What a tally says, in plain words."""
    yield (
        f"Foretold {tally.stage}, the likely number was off by {_plants(tally.off_by)} plants on "
        f"average ({_plants(tally.crps)} when its range is counted too, the score called CRPS); "
        f"the middle of the library's take would have been off by "
        f"{_plants(tally.off_by_library)}, the share of the last such batch by "
        f"{_plants(tally.off_by_last_time)}."
    )
    if abs(tally.too_many) >= 0.05:
        way = "many" if tally.too_many > 0 else "few"
        yield f"On the whole it said {_plants(abs(tally.too_many))} too {way}."
    yield (
        f"The range held what came in {tally.hits} of {tally.batches}, promised at least "
        f"{tally.chance * 10:.2g} times in 10{_verdict(tally)}."
    )
    if tally.windows:
        yield (
            f"The pot-on window held in {tally.window_hits} of {tally.windows}, as far as the "
            "looks tell; promised 8 times in 10."
        )


def _verdict(tally: Tally) -> str:
    if tally.batches < FEW_BATCHES:
        return ", of which so few batches say little"
    if tally.fits:
        return ", which fits"
    return ": too narrow" if tally.hit_high < tally.chance else ": wider than it need be"
