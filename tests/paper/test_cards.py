from io import BytesIO
from pathlib import Path

import pdfplumber
import pytest

from propagate.errors import Refused
from propagate.library import Library
from propagate.paper.cards import render_card
from propagate.paper.printing import Print, pdf_bytes
from propagate.paths import methods_folder
from propagate.planning.cards import method_card
from propagate.records.prints import CardStage, MethodCard

LIBRARY = Library([methods_folder()])


def printed(card: MethodCard, folders: list[Path], paper: str = "a4") -> Print:
    return render_card(card, [11, 12, 1], folders, paper=paper)


def pages(drawn: Print) -> list[tuple[float, float, str]]:
    """Width and height [pt] and the text of each page."""
    with pdfplumber.open(BytesIO(pdf_bytes(drawn))) as pdf:
        return [(p.width, p.height, p.extract_text()) for p in pdf.pages]


def fullest() -> MethodCard:
    """The shipped card with most to say."""
    cards = [
        method_card(LIBRARY, record, None)
        for method in LIBRARY.methods()
        for record in method.records
    ]
    return max(cards, key=lambda card: len(str(card)))


@pytest.mark.parametrize(("paper", "size"), [("a4", (595.3, 841.9)), ("letter", (612, 792))])
def test_even_the_fullest_card_is_one_page(
    folders: list[Path], paper: str, size: tuple[float, float]
) -> None:
    found = pages(printed(fullest(), folders, paper))
    assert len(found) == 1
    assert found[0][:2] == pytest.approx(size, abs=0.1)


def test_a_card_says_all_that_it_is_given(folders: list[Path]) -> None:
    record = LIBRARY.record("hardwood-cutting", LIBRARY.resolve("fig")).record
    card = method_card(LIBRARY, record, None)
    text = " ".join(pages(printed(card, folders))[0][2].split())
    for words in ("Ficus carica", "fig", "46 to 56 weeks", "take 60 to 90 %", "Take care"):
        assert words in text
    for sentence in (*card.steps, *card.cautions):
        assert all(word in text for word in sentence.split())


def test_texts_are_escaped(folders: list[Path]) -> None:
    stage = CardStage("rooting", "2 weeks", "", "", ())
    card = MethodCard(None, "", "<b>bold</b>", "", "", (), (stage,), (), "", (), ())
    assert "<b>bold</b>" not in printed(card, folders).html


def test_another_paper_is_refused(folders: list[Path]) -> None:
    with pytest.raises(Refused, match="a4 or letter"):
        printed(fullest(), folders, "a5")
