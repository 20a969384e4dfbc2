"""How pages speak: one catalogue, days and decimals by locale, metric and imperial."""

import datetime as dt
import re
import string
from functools import cache
from pathlib import Path

import pytest
from babel.messages.extract import extract_from_dir, extract_from_file
from babel.messages.pofile import read_po

import propagate.web
from propagate.actions.answering import due
from propagate.actions.desk import library_only
from propagate.ledger import Kind
from propagate.names import parse
from propagate.records.answers import PlantCount
from propagate.web.speech import FOLDER, LANGUAGES, ON_THE_PAGE, Speech, has_words, speech_for
from propagate.web.words import ACCOUNTS, ACTIONS, METHODS
from propagate.worded import worded
from tests.web.conftest import fields_of, words_of

WEB = Path(propagate.web.__file__).parent
KEYWORDS = {"_": None, "marked": None, "text": None, "ngettext": (1, 2), "counted": (1, 2)}
WORDINGS = {"worded": None, "wording": None, "worded_count": (1, 2)}
OTHERS = sorted(set(LANGUAGES) - {"en"})


@cache
def texts() -> set[str | tuple[str, ...]]:
    """Every text that the pages may say, as it stands in templates and code."""
    found = extract_from_dir(
        WEB,
        [("**.py", "python"), ("templates/**.html", "jinja2")],
        keywords=KEYWORDS | WORDINGS,
    )
    told = {message for _, _, message, _, _ in found}
    return (told | wordings() | library_texts()) - set(ON_THE_PAGE)


def wordings() -> set[str | tuple[str, ...]]:
    """The sentences of the rungs below that can be told in another language."""
    below = [
        path
        for path in WEB.parent.rglob("*.py")
        if WEB not in path.parents and "propagate.worded import" in path.read_text("utf-8")
    ]
    found = (extract_from_file("python", path, keywords=WORDINGS) for path in below)
    told = {message for each in found for _, message, _, _ in each}
    return {each for each in told if isinstance(each, tuple) or has_words(each)}


def library_texts() -> set[str]:
    """What the shipped records say in a few words: summaries, seasons, stages, cautions."""
    library = library_only()
    told = set()
    for method in library.methods():
        told |= {method.summary, *(c for r in method.records for c in r.season.stages)}
        for record in method.records:
            told |= {each for stage in record.stages for each in (stage.name, stage.ends)}
            name = parse(record.plant) if record.plant else None
            told |= set(library.cautions(method.id, name))
            told |= set(library.short_cautions(method.id, name)) if name else set()
    return told - {""}


def holes(text: str) -> set[str]:
    return {name for _, name, _, _ in string.Formatter().parse(text) if name}


@pytest.mark.parametrize("language", OTHERS)
def test_a_language_has_every_text_and_no_other(language) -> None:
    with (FOLDER / f"{language}.po").open("rb") as file:
        catalogue = read_po(file, locale=language)
    known = {message.id for message in catalogue if message.id}
    assert known == texts()
    for message in catalogue:
        if message.id:
            said = [message.id] if isinstance(message.id, str) else [*message.id]
            other = [message.string] if isinstance(message.string, str) else [*message.string]
            assert all(other), message.id
            assert {name for text in said for name in holes(text)} == {
                name for text in other for name in holes(text)
            }, message.id


def test_the_words_of_the_trade_are_in_the_catalogue(client, desk, codes) -> None:
    methods = library_only().methods()
    assert {method.name for method in methods} <= set(METHODS)
    assert {w for m in methods for w in (m.waiting, m.taken)} <= set(ACCOUNTS)
    assert {method.pot_on_words for method in methods} <= set(ACTIONS)
    assert {kind.value for kind in Kind} - {"waiting"} <= set(ACCOUNTS)
    assert {task.action for task in due(desk)} <= set(ACTIONS)


def test_a_browser_that_asks_for_german_is_answered_in_german(client, codes) -> None:
    german = {"accept-language": "de-AT,de;q=0.9,en;q=0.5"}
    page = client.get(f"/T/{codes['figs']}", headers=german)
    assert '<html lang="de">' in page.text
    said = words_of(page.text)
    assert "In die Schale schauen" in said
    assert "Was kommen wird" in said
    assert "am Bewurzeln 12" in said
    assert re.search(r"\d+\. (Okt|Nov|Dez|Sep)", said)


def test_the_own_choice_wins_over_what_the_browser_asks_for(client) -> None:
    client.post("/choose", data={"language": "de", "units": "imperial", "back": "/"})
    page = client.get("/", headers={"accept-language": "en"})
    assert '<html lang="de">' in page.text


@pytest.mark.parametrize(
    ("accepted", "tag", "units"),
    [
        ("", "en", "metric"),
        ("de", "de", "metric"),
        ("en-US,en;q=0.8", "en-us", "imperial"),
        ("en-GB", "en", "metric"),
        ("fr, de;q=0.3, en;q=0.2", "de", "metric"),
        ("fr", "en", "metric"),
        ("de;q=0, en", "en", "metric"),
        (";;;,q=,de;q=x", "en", "metric"),
    ],
)
def test_the_language_is_the_best_that_both_know(accepted, tag, units) -> None:
    speech = speech_for({}, accepted)
    assert (speech.tag, speech.units) == (tag, units)


def test_days_and_decimals_follow_the_locale() -> None:
    # Unicode CLDR, the skeletons yMMMd and MMMd of en-GB, en-US and de.
    day = dt.date(2027, 3, 12)
    assert [Speech(tag).day(day) for tag in ("en", "en-us", "de")] == [
        "12 Mar 2027",
        "Mar 12, 2027",
        "12. März 2027",
    ]
    assert Speech("en").number(1234.5, 1) == "1,234.5"
    assert Speech("de").number(1234.5, 1) == "1.234,5"
    assert Speech("en").span(day, dt.date(2027, 4, 1)) == "12 Mar to 1 Apr 2027"


def test_areas_come_in_the_readers_units() -> None:
    # NIST SP 811 (2008), appendix B.8: 1 square foot = 0.09290304 m².
    assert Speech("en", "imperial").area(0.09290304) == "1 sq ft"
    assert Speech("en", "metric").area(0.36) == "0.36 m²"


def test_a_count_that_is_certain_has_no_range() -> None:
    assert Speech().spread(PlantCount(4, 4, 4, 4.0, 0.8)) == ""
    assert Speech().spread(PlantCount(2, 4, 6, 4.0, 0.8)) == "2 to 6, 8 times in 10"


GERMAN = {"accept-language": "de"}


def left_in_english(page: str) -> list[str]:
    """What the body of a page marks as English, besides the choice of languages."""
    main = page.partition("<main")[2].partition("</main>")[0]
    return re.findall(r'lang="en"[^>]*>([^<]*)', main)


@pytest.mark.parametrize(
    "address",
    [
        "/",
        "/trays",
        "/T/{figs}",
        "/T/{lavender}",
        "/T/{lavender}/outlook",
        "/T/{lavender}/history",
        "/start?plant=fig&method=hardwood-cutting&count=10",
        "/methods",
        "/methods?q=currant",
        "/print",
    ],
)
def test_a_page_of_the_daily_round_is_wholly_german(client, codes, address) -> None:
    page = client.get(address.format(**codes), headers=GERMAN).text
    assert left_in_english(page) == []


@pytest.mark.parametrize(
    ("deed", "typed", "why"),
    [
        ("check", {"rooted": "13", "dead": "0"}, "13 bewurzelte und 0 tote sind 13"),
        ("check", {"rooted": "13", "dead": "0"}, "nimm unten „Neu zählen“ und sage, warum"),
        (
            "lose",
            {"count": "13"},
            "13 sind mehr, als Satz CC7P hat: 12 wartend. Stimmt das Buch nicht",
        ),
        ("lose", {"count": "viele"}, "Wie viele: schreibe eine ganze Zahl"),
        ("lose", {"count": "1", "on": "31/13/2026"}, "ist kein Tag"),
        ("lose", {"count": "1", "on": "2026-11-01"}, "am 2. Nov. 2026 begonnen; 1. Nov. 2026"),
        ("move", {"place": " "}, "Der Ort fehlt"),
    ],
)
def test_a_refusal_is_german_on_the_page_and_in_the_script(client, codes, deed, typed, why) -> None:
    code = codes["figs"]
    hidden = fields_of(client.get(f"/T/{code}").text, f"/T/{code}/lose")
    refused = client.post(f"/T/{code}/{deed}", data={**hidden, **typed}, headers=GERMAN)
    assert refused.status_code == 422
    assert why in words_of(refused.text)
    assert left_in_english(refused.text) == []
    asked = {**GERMAN, "accept": "application/json"}
    told = client.post(f"/T/{code}/{deed}", data={**hidden, **typed}, headers=asked).json()
    assert why in told["refused"]


def test_what_no_catalogue_has_is_marked_as_english(client, codes) -> None:
    page = client.get("/methods/hardwood-cutting/Ribes nigrum", headers=GERMAN).text
    assert "none needed; a powder makes rooting quicker and more even" in left_in_english(page)
    assert "Achtung:" in page
    assert "Wische Klingen mit Alkohol ab" in page


def test_english_is_told_as_it_was_worded() -> None:
    said = worded("{count} {account}; {days}", count=3, account=worded("rooted"), days="x")
    assert Speech("en").tell(said) == said
    assert Speech("de").tell(said) == "3 bewurzelt; x"
    assert Speech("de").knows(said)
    assert not Speech("de").knows(worded("nobody ever translated {this}", this=1))
    assert Speech("de").tell(worded("{size:.1f} m²", size=1.5)) == "1,5 m²"


def test_a_plant_is_called_as_the_reader_calls_it(client, codes) -> None:
    address = f"/T/{codes['figs']}"
    assert "Feige · " in words_of(client.get(address, headers=GERMAN).text)
    assert "fig · " in words_of(client.get(address).text)
    card = client.get("/methods/hardwood-cutting/Ribes nigrum", headers=GERMAN).text
    assert "Schwarze Johannisbeere" in words_of(card)


def test_broken_settings_are_told_in_german_line_by_line(client, desk, codes) -> None:
    settings = desk.folder / "nursery.toml"
    text = settings.read_text("utf-8")
    settings.write_text(text.replace("chance = 0.8", "chance = 8\nhemispere = 1"), "utf-8")
    page = client.get("/", headers=GERMAN).text
    settings.write_text(text, "utf-8")
    said = words_of(page)
    assert "Die Einstellungen sind nicht zu gebrauchen:" in said
    assert "nursery.toml, chance: 8 ist keine brauchbare Chance" in said
    assert "unbekanntes Wort; meintest du „hemisphere“?" in said
    assert left_in_english(page) == []


def test_pictures_name_months_and_what_has_no_place_in_the_language_of_the_page(client) -> None:
    german = {"accept-language": "de"}
    asked = client.get("/start?plant=blackcurrant&method=hardwood-cutting&count=30")
    client.post("/start", data=fields_of(asked.text, "/start"))
    line = client.get("/trays", headers=german).text
    assert ">Okt</text>" in line
    assert ">Oct</text>" not in line
    benches = client.get("/benches", headers=german).text
    assert "(no place)" not in benches
    assert "kein Ort angegeben" in benches
