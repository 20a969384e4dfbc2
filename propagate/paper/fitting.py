"""Set text into a box: as large as it goes, then more lines, never over the edge."""

import math
import unicodedata
from collections.abc import Iterable, Iterator, Sequence
from functools import lru_cache
from itertools import pairwise
from typing import Final

from attrs import frozen

from propagate.paper.widths import width_em
from propagate.units import mm_from_points

LEADING: Final = 1.17  # line height over type size; a DejaVu Sans line is 1.164 em high
SIZE_STEP_PT: Final = 0.5
DOT: Final = " · "
_WORTH_A_LINE: Final = 1.2  # one more line must make the letters a fifth larger
SMALL_CAP: Final = 0.82  # drawn as capitals of this size, so that every face has them
SMALL_CAP_SPACE_EM: Final = 0.06


@frozen
class Run:
    """A stretch of text in one style: "upright", "italic", "small-caps" or "bold"."""

    text: str
    style: str = "upright"


Word = tuple[Run, ...]
"""What must stay together on a line; more than one run where the style changes inside it."""


@frozen
class Line:
    """One line as it will be printed, at one type size [pt]."""

    runs: tuple[Run, ...]
    size_pt: float

    @property
    def height_mm(self) -> float:
        """Height of the line [mm], its leading included."""
        return line_height_mm(self.size_pt)

    @property
    def text(self) -> str:
        """The words of the line without their styles."""
        return "".join(run.text for run in self.runs)


def line_height_mm(size_pt: float) -> float:
    """Height [mm] that a line of this type size [pt] takes."""
    return mm_from_points(size_pt * LEADING)


def sizes_pt(largest: float, smallest: float) -> Iterator[float]:
    """Type sizes [pt] from the largest down to the smallest, in even steps."""
    size = largest
    while size > smallest > 0:
        yield size
        size -= SIZE_STEP_PT
    if smallest > 0:
        yield smallest


def width_mm(word: Sequence[Run], size_pt: float) -> float:
    """Width [mm] of runs set one after the other."""
    return mm_from_points(size_pt * word_em(tuple(word)))


@lru_cache(maxsize=20_000)
def word_em(word: Word) -> float:
    """Width [em] of runs set one after the other, the same at every size."""
    return sum(map(_run_em, word))


def _run_em(run: Run) -> float:
    if run.style == "small-caps":
        return width_em(run.text) * SMALL_CAP + SMALL_CAP_SPACE_EM * len(run.text)
    return width_em(run.text, bold=run.style == "bold")


def words_of(runs: Iterable[Run]) -> list[Word]:
    """Split runs at their spaces, not at no-break spaces nor where only the style changes."""
    words: list[Word] = []
    pending: list[Run] = []
    for run in runs:
        for position, part in enumerate(run.text.split(" ")):
            if position and pending:
                words.append(tuple(pending))
                pending = []
            if part:
                pending.append(Run(part, run.style))
    return [*words, tuple(pending)] if pending else words


def wrap(words: Sequence[Word], box_mm: float, size_pt: float, joint: str = " ") -> list[Line]:
    """Fill lines of `box_mm` with words; a word too long for a line is cut between letters."""
    lines: list[list[Run]] = []
    room_em = box_em = box_mm / mm_from_points(size_pt)
    for word in words:
        if lines:
            joined = (_joint(joint, lines[-1][-1], word[0]), *word)
            joined_em = word_em(joined)
            if joined_em <= room_em:
                lines[-1].extend(joined)
                room_em -= joined_em
                continue
        for piece in _pieces(word, box_mm, size_pt):
            lines.append(list(piece))
            room_em = box_em - word_em(piece)
    return [Line(_merged(line), size_pt) for line in lines]


def _joint(text: str, before: Run, after: Run) -> Run:
    """What stands between two words: in their style where they share one, else upright."""
    return Run(text, before.style if before.style == after.style else "upright")


def _pieces(word: Word, box_mm: float, size_pt: float) -> list[Word]:
    if width_mm(word, size_pt) <= box_mm:
        return [word]
    pieces: list[list[Run]] = [[]]
    for letter in _letters(word):
        if pieces[-1] and width_mm([*pieces[-1], letter], size_pt) > box_mm:
            pieces.append([])
        pieces[-1].append(letter)
    return [_merged(piece) for piece in pieces]


def _letters(word: Word) -> list[Run]:
    """Single letters, each together with the marks that stand on it."""
    letters: list[Run] = []
    for run in word:
        for char in run.text:
            if letters and unicodedata.combining(char):
                letters[-1] = Run(letters[-1].text + char, letters[-1].style)
            else:
                letters.append(Run(char, run.style))
    return letters


def _merged(runs: Sequence[Run]) -> tuple[Run, ...]:
    """Join neighbours of one style, so that the page holds few elements."""
    merged: list[Run] = []
    for run in runs:
        if merged and run.style == merged[-1].style:
            merged[-1] = Run(merged[-1].text + run.text, merged[-1].style)
        else:
            merged.append(run)
    return tuple(merged)


def fit(
    words: Sequence[Word],
    box: tuple[float, float],
    size: tuple[float, float],
    *,
    legible_pt: float = 0.0,
) -> list[Line]:
    """Lines that fit a box (width, height) [mm], at the best size between (largest, smallest) [pt].

    Type shrinks step by step before a line is added: the fewest lines win, unless one more makes
    the letters a good deal larger, or keeps them at `legible_pt`. Words are cut between letters
    only where they fit at no size. Returns an empty list when not even the smallest size fits.
    """
    return _fit(words, box, size, legible_pt, cut=False) or _fit(
        words, box, size, legible_pt, cut=True
    )


def _fit(
    words: Sequence[Word],
    box: tuple[float, float],
    size: tuple[float, float],
    legible_pt: float,
    *,
    cut: bool,
) -> list[Line]:
    width, height = box
    spans = _Spans(words)
    best: list[Line] = []
    least_pt = 0.0
    for size_pt in sizes_pt(*_within(size, 0.0 if cut else spans.longest_em, box)):
        if size_pt < least_pt or len(best) == 1:
            break
        # Counting lines is quick; they are made only where they would be taken.
        count = spans.lines(width / mm_from_points(size_pt))
        if count * line_height_mm(size_pt) > height or (best and count >= len(best)):
            continue
        lines = wrap_well(words, width, size_pt)
        if block_height_mm(lines) > height or width_mm_of(lines) > width:
            continue
        if not best:
            least_pt = max(size_pt / _WORTH_A_LINE, min(legible_pt, size_pt))
        best = lines
    return best


class _Spans:
    """The widths of words [em], alone and with the joint before them, to count lines by."""

    def __init__(self, words: Sequence[Word]) -> None:
        self._alone = [word_em(word) for word in words]
        self._joined = [
            word_em((_joint(" ", before[-1], word[0]), *word)) for before, word in pairwise(words)
        ]
        self.longest_em = max(self._alone, default=0.0)

    def lines(self, box_em: float) -> int:
        """How many lines of this width the words fill, at the least."""
        count, room_em = 1, box_em - (self._alone[0] if self._alone else 0.0)
        for alone_em, joined_em in zip(self._alone[1:], self._joined, strict=True):
            if joined_em <= room_em:
                room_em -= joined_em
            else:
                count += 1
                room_em = box_em - alone_em
        return count


def _within(
    size: tuple[float, float], longest_em: float, box: tuple[float, float]
) -> tuple[float, float]:
    """The sizes worth a try: none at which the longest word or a single line is too large."""
    largest, smallest = size
    points_mm = mm_from_points(1)
    most = min(
        box[1] / (LEADING * points_mm), box[0] / (longest_em * points_mm) if longest_em else 1e9
    )
    if most < smallest:
        return (0.0, 0.0)
    steps = max(0, math.ceil((largest - most) / SIZE_STEP_PT))
    return max(largest - steps * SIZE_STEP_PT, smallest), smallest


def wrap_well(words: Sequence[Word], box_mm: float, size_pt: float) -> list[Line]:
    """Wrap, but begin the variety on its own line where that costs no extra line.

    It begins with a quote, or with the bracket of one that is unknown.
    """
    greedy = wrap(words, box_mm, size_pt)
    cultivar = next((at for at, word in enumerate(words) if word[0].text[:1] in "‘("), 0)
    if len(greedy) > 1 and cultivar:
        parted = [
            *wrap(words[:cultivar], box_mm, size_pt),
            *wrap(words[cultivar:], box_mm, size_pt),
        ]
        if len(parted) <= len(greedy):
            return parted
    return greedy


def block_height_mm(lines: Sequence[Line]) -> float:
    """Height [mm] of lines set under each other."""
    return sum(line.height_mm for line in lines)


def width_mm_of(lines: Sequence[Line]) -> float:
    """Width [mm] of the longest line."""
    return max((width_mm(line.runs, line.size_pt) for line in lines), default=0.0)


def fit_phrases(
    phrases: Sequence[str], box: tuple[float, float], size: tuple[float, float]
) -> list[Line]:
    """Phrases under each other, or with raised dots between them where the lines do not suffice.

    The box is (width, height) [mm], the sizes (largest, smallest) [pt]. A phrase that does not
    fit at the smallest size is cut with an ellipsis.
    """
    width, height = box
    smallest = size[1]
    phrases = [" ".join(phrase.split()) for phrase in phrases]
    for size_pt in sizes_pt(*size):
        lines = _phrase_lines(phrases, box, size_pt)
        if block_height_mm(lines) <= height and width_mm_of(lines) <= width:
            return lines
    cut = [_shortened(phrase, width, smallest) for phrase in phrases]
    return _phrase_lines(cut, box, smallest)[: int(height / line_height_mm(smallest))]


def _phrase_lines(phrases: Sequence[str], box: tuple[float, float], size_pt: float) -> list[Line]:
    width, height = box
    if len(phrases) * line_height_mm(size_pt) <= height:
        return [Line((Run(phrase),), size_pt) for phrase in phrases]
    words: list[Word] = [(Run(phrase),) for phrase in phrases]
    return wrap(words, width, size_pt, joint=DOT)


def _shortened(phrase: str, box_mm: float, size_pt: float) -> str:
    if width_mm([Run(phrase)], size_pt) <= box_mm:
        return phrase
    while phrase and width_mm([Run(phrase + "…")], size_pt) > box_mm:
        phrase = phrase[:-1]
    return phrase.rstrip() + "…"
