"""What stands in each box of a label, line by line."""

import datetime as dt
import re
from collections.abc import Iterable

from propagate.days import written, written_short
from propagate.errors import Refused
from propagate.names import PlantName
from propagate.paper.fitting import (
    DOT,
    Line,
    Run,
    Word,
    fit,
    fit_phrases,
    line_height_mm,
    words_of,
)
from propagate.paper.formats import Box, LabelFormat
from propagate.records.prints import TrayLabel

DASH = " – "
_BINDS = re.compile(r"(?<!\S)([×+]|\w{1,6}\.) ")
_COMMON_PT = 9.0
_COMMON_MIN_PT = 6.5
_COMMON_BESIDE_NAME = 0.75  # type size of the common name over the name's, at most
_READABLE_NAME_PT = 10.0  # below this the common name gives up its line to the name


def letter(label: TrayLabel, label_format: LabelFormat) -> dict[str, list[Line]]:
    """Lines for every text box of the format; boxes with nothing to say are left out.

    Raises Refused when the name or the code cannot be set in their boxes at all.
    """
    plain = {
        "facts": facts(label),
        "tray": [label.tray],
        "task": [_sentence(label.pot_on_words)] if label.likely else [],
        "nursery": [label.nursery],
    }
    boxes = label_format.boxes
    lines = {
        name: fit_phrases(
            phrases, boxes[name].text_area_mm, (boxes[name].max_pt, boxes[name].min_pt)
        )
        for name, phrases in plain.items()
        if name in boxes and any(phrases)
    }
    lines["heading"] = heading(label.name, label.common, boxes["heading"])
    lines["code"] = _code(label.code, boxes["code"])
    if "dates" in boxes and label.early and label.likely and label.late:
        lines["dates"] = _dates(label.early, label.likely, label.late, boxes["dates"])
    if "caution" in boxes:
        lines["caution"] = _caution(label.cautions, boxes["caution"])
    return {name: block for name, block in lines.items() if block}


def facts(label: TrayLabel) -> list[str]:
    """Method; number and date; origin where known: a line each."""
    started = f"{label.count} {label.propagules}{DOT}{written(label.started)}"
    origin = [f"from {label.stock_plant}"] if label.stock_plant else []
    return [label.method, started, *origin]


def _sentence(words: str) -> str:
    """Words with a capital in front; the rest keeps its own."""
    return words[:1].upper() + words[1:]


def window_words(early: dt.date, likely: dt.date, late: dt.date) -> tuple[str, str, str]:
    """Early, likely and late in words; a year stands with the last date that falls in it.

    Where all three are one day, a season opens then: there are no words before and after it.
    """
    if early == late:
        return "", f"from {written(likely)}", ""
    return (
        written_short(early) if early.year == likely.year else written(early),
        written_short(likely) if likely.year == late.year else written(likely),
        written(late),
    )


def name_runs(name: PlantName) -> list[Run]:
    """The plant name in its proper styles; a selling name in capitals, drawn small.

    A hybrid sign, an initial or a rank word is never parted from the word after it.
    """
    return [
        Run(_BINDS.sub("\\1\u00a0", _drawn(span.text, span.style)), span.style)
        for span in name.spans()
    ]


def _drawn(text: str, style: str) -> str:
    return text.upper() if style == "small-caps" else text


def heading(name: PlantName, common: str, box: Box) -> list[Line]:
    """The plant name as large as the box allows, the common name under it if there is room.

    The name has the first claim: the common name is dropped before the name becomes small.
    Raises Refused when the name does not fit at the smallest size.
    """
    width, height = box.text_area_mm
    words = words_of(name_runs(name))
    if common:
        lines = _name_over_common(words, common, box)
        if lines:
            return lines
    lines = fit(words, (width, height), (box.max_pt, box.min_pt))
    if not lines:
        raise Refused(f'The name "{name}" is too long for this label; take a larger format.')
    return lines


def _name_over_common(words: list[Word], common: str, box: Box) -> list[Line]:
    """Name and common name together, or nothing when the name would become small for it."""
    width, height = box.text_area_mm
    common_pt = min(_COMMON_PT, box.max_pt)
    room = (width, height - line_height_mm(common_pt))
    name = fit(words, room, (box.max_pt, min(_READABLE_NAME_PT, box.max_pt)))
    if not name:
        return []
    largest = max(_COMMON_MIN_PT, min(common_pt, _COMMON_BESIDE_NAME * name[0].size_pt))
    below = fit_phrases([common], (width, line_height_mm(common_pt)), (largest, _COMMON_MIN_PT))
    return [*name, *below]


def _code(code: str, box: Box) -> list[Line]:
    """The batch code on one line; it is never cut."""
    lines = fit([(Run(code, "bold"),)], box.text_area_mm, (box.max_pt, box.min_pt))
    if len(lines) != 1:
        raise Refused(f'The code "{code}" does not fit on one line of this label.')
    return lines


def _dates(early: dt.date, likely: dt.date, late: dt.date, box: Box) -> list[Line]:
    first, middle, last = window_words(early, likely, late)
    dash = DASH.rstrip()
    words: list[Word] = [(Run(middle, "bold"),)]
    if first:
        words = [(Run(first + dash),), (Run(middle, "bold"), Run(dash)), (Run(last),)]
    lines = fit(words, box.text_area_mm, (box.max_pt, box.min_pt))
    if not lines:
        raise Refused(f'The dates "{first}{DASH}{middle}{DASH}{last}" do not fit on this label.')
    return lines


def _caution(cautions: Iterable[str], box: Box) -> list[Line]:
    """The first caution that fits whole; a cut warning would be worse than none."""
    for caution in cautions:
        lines = fit(words_of([Run(caution, "bold")]), box.text_area_mm, (box.max_pt, box.min_pt))
        if lines:
            return lines
    return []
