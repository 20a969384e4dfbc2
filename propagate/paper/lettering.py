"""What stands in each box of a label, line by line."""

import datetime as dt
import re
from collections.abc import Iterable, Sequence

from attrs import frozen

from propagate.days import written, written_short
from propagate.errors import Refused
from propagate.names import PlantName
from propagate.paper.fitting import (
    Line,
    Run,
    Word,
    fit,
    fit_phrases,
    line_height_mm,
    words_of,
)
from propagate.paper.formats import Box, LabelFormat

DASH = " – "
_BINDS = re.compile(r"(?<!\S)([×+]|\w{1,6}\.) ")
_COMMON_BESIDE_NAME = 0.6  # type size of the common name over the name's, at most
_COMMON_MIN_PT = 6.5
_COMMON_LEAST_MAX_PT = 9.0
_LEAST_KEY_PT = 4.0
_WORTH_KEEPING = (
    0.85  # the common name may cost the name so little of its size, if it stays legible
)


_LEAST_WITH_TASK = 0.75
"""Days share their box with what is to be done then at this share of their size, or larger."""


@frozen
class Said:
    """The words of one label by the box they go into; `asked` is the code of the QR square."""

    heading: tuple[Run, ...]
    title: str
    common: str = ""
    code: str = ""
    facts: tuple[str, ...] = ()
    tray: str = ""
    task: str = ""
    window: tuple[str, str, str] | None = None
    nursery: str = ""
    cautions: tuple[str, ...] = ()
    qr_text: str = ""
    qr_must: bool = False


def letter(said: Said, label_format: LabelFormat) -> dict[str, list[Line]]:
    """Lines for every text box of the format; boxes with nothing to say are left out.

    Raises Refused when the name or the code cannot be set in their boxes at all.
    """
    boxes = label_format.boxes
    plain: dict[str, Sequence[str]] = {
        "facts": said.facts,
        "tray": [said.tray],
        "task": [said.task],
        "nursery": [said.nursery],
    }
    lines = {
        name: fit_phrases(
            phrases, boxes[name].text_area_mm, (boxes[name].max_pt, boxes[name].min_pt)
        )
        for name, phrases in plain.items()
        if name in boxes and any(phrases)
    }
    lines["heading"] = heading(said, boxes["heading"], label_format.legible_pt)
    if said.code:
        lines["code"] = _code(said, boxes["code"])
    if "dates" in boxes and said.window:
        lead = "" if "task" in boxes else said.task
        lines["dates"] = _dates(said.window, boxes["dates"], lead)
    if "caution" in boxes:
        lines["caution"] = _caution(said.cautions, boxes["caution"])
    return {name: block for name, block in lines.items() if block}


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


def heading(said: Said, box: Box, legible_pt: float) -> list[Line]:
    """The name as large as the box allows, the common name under it if there is room.

    The name has the first claim: the common name is dropped before the name becomes small.
    Raises Refused when the name does not fit at the smallest size.
    """
    words = words_of(said.heading)
    alone = fit(words, box.text_area_mm, (box.max_pt, box.min_pt), legible_pt=legible_pt)
    if not alone:
        raise Refused(f'The name "{said.title}" is too long for this label; take a larger format.')
    if not said.common:
        return alone
    size_pt = alone[0].size_pt
    least_pt = max(size_pt * _WORTH_KEEPING, min(legible_pt, size_pt))
    return _name_over_common(words, said.common, box, least_pt) or alone


def _name_over_common(words: list[Word], common: str, box: Box, least_pt: float) -> list[Line]:
    """Name and common name together, or nothing when the name would become small for it."""
    width, height = box.text_area_mm
    common_pt = max(min(box.max_pt, _COMMON_LEAST_MAX_PT), _COMMON_BESIDE_NAME * box.max_pt)
    while common_pt >= _COMMON_MIN_PT:
        room = (width, height - line_height_mm(common_pt))
        name = fit(words, room, (box.max_pt, least_pt)) if room[1] > 0 else []
        if name:
            largest = max(_COMMON_MIN_PT, min(common_pt, _COMMON_BESIDE_NAME * name[0].size_pt))
            below = fit_phrases(
                [common], (width, line_height_mm(largest)), (largest, _COMMON_MIN_PT)
            )
            return [*name, *below]
        common_pt -= 1
    return []


def _code(said: Said, box: Box) -> list[Line]:
    """The code on one line; a batch's is never made small, a mother's own name may be."""
    word = [(Run(said.code, "bold"),)]
    lines = fit(word, box.text_area_mm, (box.max_pt, box.min_pt))
    if len(lines) == 1:
        return lines
    if said.qr_must:
        raise Refused(f'The code "{said.code}" does not fit on one line of this label.')
    return fit(word, box.text_area_mm, (box.min_pt, _LEAST_KEY_PT))


def _dates(window: tuple[str, str, str], box: Box, lead: str) -> list[Line]:
    """The days, after what is to be done then where that fits without making them much smaller."""
    first, middle, last = window
    dash = DASH.rstrip()
    words: list[Word] = [(Run(middle, "bold"),)]
    if first:
        words = [(Run(first + dash),), (Run(middle, "bold"), Run(dash)), (Run(last),)]
    smallest_pt = max(box.min_pt, _LEAST_WITH_TASK * box.max_pt)
    with_task = [*words_of([Run(lead)]), *words] if lead else words
    lines = fit(with_task, box.text_area_mm, (box.max_pt, smallest_pt))
    lines = lines or fit(words, box.text_area_mm, (box.max_pt, box.min_pt))
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
