"""The bench page in a real browser: a season at the bench, no signal, two growers, and axe.

One browser and one server serve all of it. Without a Chromium the tests are left out, with the
reason; `.ci/run` installs one.
"""

import io
import shutil
import time
from collections.abc import Callable, Iterator
from contextlib import suppress
from pathlib import Path
from typing import Any

import pdfplumber
import pytest
from attrs import frozen

from propagate.actions.answering import accounts_of
from propagate.actions.desk import Desk
from propagate.actions.recording import record
from propagate.records import events
from propagate.web.room import Room
from tests.web.conftest import NOW, TODAY, furnish
from tests.web.served import on_loopback

CHROMIUM = shutil.which("chromium") or shutil.which("chromium-browser")
FLAGS = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--no-first-run",
]
PATIENCE_MS = 60_000  # of a machine that is busy with other tests; none waits so long
PHONE = {"width": 390, "height": 844}
SMALL = {"width": 320, "height": 640}

pytestmark = pytest.mark.skipif(CHROMIUM is None, reason="no Chromium here: apt install chromium")


@frozen
class Served:
    """A nursery whose pages are served, with the codes of its trays."""

    home: str
    folder: Path
    codes: dict[str, str]

    def desk(self) -> Desk:
        return Desk(self.folder, TODAY, NOW)

    def accounts(self, word: str) -> dict[str, int]:
        with self.desk() as desk:
            return accounts_of(desk, self.codes[word])


@pytest.fixture(scope="module")
def served(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Served]:
    folder = tmp_path_factory.mktemp("browser") / "nursery"
    codes = furnish(folder)
    with on_loopback(Room(folder, TODAY, lambda: NOW), "Alderbrook") as home:
        yield Served(home, folder, codes)


@pytest.fixture(scope="module")
def browser() -> Iterator[Any]:
    from playwright.sync_api import sync_playwright

    with sync_playwright() as playwright:
        opened = playwright.chromium.launch(executable_path=CHROMIUM, args=FLAGS)
        yield opened
        opened.close()


@pytest.fixture
def phone(browser: Any, served: Served) -> Iterator[Any]:
    yield from new_page(browser, served)


@pytest.fixture
def other_phone(browser: Any, served: Served) -> Iterator[Any]:
    yield from new_page(browser, served)


def new_page(browser: Any, served: Served, **more: Any) -> Iterator[Any]:
    """A page of a fresh browser profile; whatever it complains of fails the test."""
    options = {"viewport": PHONE, "base_url": served.home, "locale": "en-GB", **more}
    context = browser.new_context(**options)
    context.set_default_timeout(PATIENCE_MS)
    # A machine busy with other tests is slow, which the page would take for having no signal.
    context.add_init_script("AbortSignal.timeout = () => new AbortController().signal")
    page = context.new_page()
    troubles: list[str] = []
    page.on("pageerror", lambda error: troubles.append(str(error)))
    outside: list[str] = []
    page.on(
        "request",
        lambda request: (
            None if request.url.startswith(served.home) else outside.append(request.url)
        ),
    )
    yield page
    context.close()
    assert troubles == []
    assert outside == []


def until(so: Callable[[], bool]) -> None:
    """Wait for something that the browser does not show."""
    for _ in range(PATIENCE_MS // 50):
        if so():
            return
        time.sleep(0.05)
    raise AssertionError("it never came about")


def text(page: Any, selector: str = "main") -> str:
    return " ".join(page.inner_text(selector).split())


def test_a_season_at_the_bench(phone: Any, served: Served) -> None:
    # Start, from a method card, with the dates shown before anything is saved.
    phone.goto("/methods/hardwood-cutting/Ribes nigrum")
    phone.click("text=Start a batch of this")
    phone.fill("#count", "40")
    phone.fill("#place", "sand bed")
    phone.fill("#on", "2025-11-10")
    phone.click("text=Go on")
    assert "Nothing is saved yet." in text(phone)
    phone.click("text=Save this batch")
    phone.wait_for_url("**/T/*done=*")
    code = phone.inner_text(".code.big")
    assert "Written down." in text(phone)

    # Check it: rooted, dead, and the rest is reckoned while typing.
    phone.fill("#check-rooted", "22")
    phone.fill("#check-dead", "3")
    assert text(phone, ".rest") == "The rest: 15 rooting"
    phone.click("#check button:text-is('Write it down')")
    phone.wait_for_url("**/T/*done=*")
    phone.wait_for_selector("text=check: 22 rooted, 3 dead")

    # Pot on, and plant out.
    for deed, count, field, words in (
        ("pot-on", "20", "container", "9 cm pot"),
        ("plant-out", "12", "bed", "south row"),
    ):
        phone.click(f"details:has(#{deed}) summary")
        phone.fill(f"#{deed}-count", count)
        phone.fill(f"#{deed}-{field}", words)
        phone.click(f"#{deed} button:not([type])")
        phone.wait_for_selector(f"#done:has-text('{words}')")

    # Undo, right there.
    phone.click("#done button:text-is('Undo')")
    phone.wait_for_selector("text=Taken back.")
    with served.desk() as desk:
        assert accounts_of(desk, code) == {"rooting": 15, "rooted": 2, "potted": 20, "lost": 3}

    # Print its label: a PDF that says its code.
    answer = phone.request.post(
        "/print/labels",
        form={"tray": code, "format": "tray-a4", "start_at": "3", "copies": "2"},
        headers={"origin": served.home},
    )
    assert answer.headers["content-type"] == "application/pdf"
    with pdfplumber.open(io.BytesIO(answer.body())) as pdf:
        said = pdf.pages[0].extract_text()
    assert said.count(code) == 2


def test_counting_buttons_need_no_keyboard(phone: Any, served: Served) -> None:
    phone.goto(f"/T/{served.codes['lavender']}")
    tray = served.accounts("lavender")
    phone.click("#check .every")
    assert phone.input_value("#check-rooted") == str(tray["rooted"] + tray["rooting"])
    phone.fill("#check-rooted", "")
    plus = phone.locator("#check .count:has(#check-rooted) button").nth(1)
    plus.click()
    known = served.accounts("lavender")["rooted"]
    assert phone.input_value("#check-rooted") == str(known + 1)
    plus.click()
    phone.locator("#check .count:has(#check-rooted) button").nth(0).click()
    assert phone.input_value("#check-rooted") == str(known + 1)
    phone.fill("#check-dead", "99")
    assert "too many for this tray" in text(phone, ".rest")


def test_without_a_signal_entries_wait_and_are_sent_once(phone: Any, served: Served) -> None:
    code, before = served.codes["willow"], served.accounts("willow")
    phone.goto(f"/T/{code}")
    phone.context.set_offline(True)
    for count in ("2", "3"):
        if not phone.is_visible("#lose-count"):
            phone.click("details:has(#lose) summary")
        phone.fill("#lose-count", count)
        phone.click("#lose button:not([type])")
        phone.wait_for_selector("#lose-count", state="hidden")
    assert "2 entries wait here" in text(phone, "#signal")
    assert "Lost" in text(phone, "#waiting")
    assert served.accounts("willow") == before
    phone.context.set_offline(False)
    phone.evaluate("window.dispatchEvent(new Event('online'))")
    phone.wait_for_selector("#waiting", state="hidden")
    phone.wait_for_selector("#signal:has-text('2 waiting entries were sent.')")
    assert served.accounts("willow")["lost"] == 5


def test_the_round_can_be_walked_without_a_signal(phone: Any, served: Served) -> None:
    code, before = served.codes["willow"], served.accounts("willow")
    with phone.expect_response(f"**/T/{code}"):
        phone.goto("/trays")
    phone.wait_for_timeout(100)
    phone.context.set_offline(True)
    phone.evaluate("window.dispatchEvent(new Event('offline'))")
    phone.wait_for_selector("#signal:has-text('No signal')")
    phone.click(f"a[href='/T/{code}']")
    phone.wait_for_selector(".code.big")
    phone.click("details:has(#move) summary")
    phone.fill("#move-place", "willow bank")
    phone.click("#move button:not([type])")
    phone.wait_for_selector("#waiting:has-text('Move')")
    phone.go_back()
    phone.wait_for_selector(".trays")
    phone.context.set_offline(False)
    phone.evaluate("window.dispatchEvent(new Event('online'))")
    phone.wait_for_selector("#waiting", state="hidden")
    assert served.accounts("willow") == before
    with served.desk() as desk:
        assert desk.book.batch(code).place == "willow bank"


def test_an_answer_that_got_lost_does_not_write_twice(phone: Any, served: Served) -> None:
    from playwright.sync_api import Error

    code = served.codes["willow"]
    lost = served.accounts("willow").get("lost", 0)
    phone.goto(f"/T/{code}")
    phone.click("details:has(#lose) summary")
    phone.fill("#lose-count", "1")

    def swallow(route: Any) -> None:
        route.fetch()  # the server has it, the phone never hears of it
        with suppress(Error):  # a phone that has given up waiting needs no telling
            route.abort()

    phone.route("**/lose", swallow)
    phone.click("#lose button:not([type])")
    phone.wait_for_selector("#waiting:has-text('Lost')")
    until(lambda: served.accounts("willow").get("lost") == lost + 1)
    phone.unroute("**/lose")
    phone.evaluate("window.dispatchEvent(new Event('online'))")
    phone.wait_for_selector("#waiting", state="hidden")
    assert served.accounts("willow")["lost"] == lost + 1


def test_what_waited_and_is_refused_says_why(phone: Any, served: Served) -> None:
    code = served.codes["figs"]
    phone.goto(f"/T/{code}")
    phone.context.set_offline(True)
    phone.click("details:has(#lose) summary")
    phone.fill("#lose-count", "1")
    phone.click("#lose button:not([type])")
    phone.wait_for_selector("#waiting:has-text('Lost')")
    with served.desk() as desk:
        record(desk, events.Moved(code, "cold frame"))
    phone.context.set_offline(False)
    phone.evaluate("window.dispatchEvent(new Event('online'))")
    phone.wait_for_selector("#waiting:has-text('Not taken:')")
    assert "move to cold frame" in text(phone, "#waiting")
    phone.click("#waiting button:text-is('Throw it away')")
    phone.wait_for_selector("#waiting", state="hidden")
    assert "lost" not in served.accounts("figs")


def test_two_growers_see_each_others_entries(phone: Any, other_phone: Any, served: Served) -> None:
    code = served.codes["currants"]
    phone.goto(f"/T/{code}")
    other_phone.goto(f"/T/{code}")
    # One of them is in the middle of a count; the other writes first.
    phone.fill("#check-rooted", "30")
    other_phone.fill("#check-rooted", "20")
    other_phone.fill("#check-dead", "5")
    other_phone.click("#check button:text-is('Write it down')")
    other_phone.wait_for_selector("text=Written down.")
    phone.click("#check button:text-is('Write it down')")
    phone.wait_for_selector("main [role=alert]:has-text('check: 20 rooted, 5 dead')")
    phone.click("main .trouble button")
    phone.wait_for_selector(".rest:has-text('35 stand in the tray')")
    # A page that only looks on shows fresh figures by itself.
    other_phone.goto(f"/T/{code}")
    with served.desk() as desk:
        record(desk, events.Moved(code, "nursery bed"))
    other_phone.evaluate("document.dispatchEvent(new Event('visibilitychange'))")
    other_phone.wait_for_selector(".title .sub:has-text('nursery bed')")


PAGES = (
    "/",
    "/trays",
    "/benches",
    "/beds",
    "/T/{currants}",
    "/T/{currants}/outlook",
    "/T/{currants}/family",
    "/T/{lavender}/history",
    "/start?plant=fig&method=hardwood-cutting&count=10",
    "/methods?q=currant",
    "/methods/hardwood-cutting/Ribes nigrum",
    "/print",
    "/find?code=xyz",
    "/pair",
)
RULES = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]


OPEN_ALL = "document.querySelectorAll('details').forEach(d => { d.open = true; })"
TOO_SMALL = """() => [...document.querySelectorAll('a, button, input, select, summary')]
    .filter(e => e.checkVisibility() && !e.closest('.quiet, .skip') && e.type !== 'hidden')
    .filter(e => e.getBoundingClientRect().height < 44
                 && !(e.type === 'checkbox' && e.closest('label').offsetHeight >= 44))
    .map(e => e.outerHTML.slice(0, 80))"""
WIDE = "document.documentElement.scrollWidth"


@pytest.mark.parametrize("address", PAGES)
def test_a_page_can_be_used_by_everybody(phone: Any, served: Served, address: str) -> None:
    from axe_playwright_python.sync_playwright import Axe

    axe = Axe()
    phone.goto(address.format(**served.codes))
    phone.evaluate(OPEN_ALL)
    found = axe.run(phone, options={"runOnly": {"type": "tag", "values": RULES}})
    assert found.violations_count == 0, found.generate_report()
    assert phone.evaluate(TOO_SMALL) == []
    phone.emulate_media(color_scheme="dark")
    found = axe.run(phone, options={"runOnly": {"type": "rule", "values": ["color-contrast"]}})
    assert found.violations_count == 0, found.generate_report()
    # Text at 200 % (WCAG 1.4.4), then a phone 320 px wide (1.4.10): nothing runs over the edge.
    phone.evaluate("document.documentElement.style.fontSize = '212%'")
    assert phone.evaluate(WIDE) <= PHONE["width"]
    phone.evaluate("document.documentElement.style.fontSize = ''")
    phone.set_viewport_size(SMALL)
    assert phone.evaluate(WIDE) <= SMALL["width"]


def test_the_keyboard_alone_is_enough(phone: Any, served: Served) -> None:
    phone.goto(f"/T/{served.codes['figs']}")
    phone.keyboard.press("Tab")
    assert phone.evaluate("document.activeElement.className") == "skip"
    seen = set()
    for _ in range(60):
        phone.keyboard.press("Tab")
        seen.add(phone.evaluate("document.activeElement.id || document.activeElement.textContent"))
        if phone.evaluate("document.activeElement.id") == "check-rooted":
            break
    phone.keyboard.type("2")
    outline = phone.evaluate("getComputedStyle(document.activeElement).outlineWidth")
    assert outline == "3px"
    phone.keyboard.press("Enter")
    phone.wait_for_selector("text=Written down.")
    assert served.accounts("figs")["rooted"] == 2


def test_nothing_moves_for_those_who_asked_for_that(browser: Any, served: Served) -> None:
    for page in new_page(browser, served, reduced_motion="reduce"):
        page.goto("/")
        moving = """[...document.querySelectorAll('*')].filter(e => {
            const s = getComputedStyle(e);
            return parseFloat(s.transitionDuration) > 0 || s.animationName !== 'none';
        }).length"""
        assert page.evaluate(moving) == 0


def test_every_form_works_without_scripts(browser: Any, served: Served) -> None:
    code = served.codes["lavender"]
    potted = served.accounts("lavender")["potted"]
    for page in new_page(browser, served, java_script_enabled=False):
        page.goto(f"/T/{code}")
        page.click("details:has(#give) summary")
        page.fill("#give-count", "2")
        page.fill("#give-to", "Hilda")
        page.click("#give button")
        assert "Written down." in text(page)
        page.click("#done button")
        assert "Taken back." in text(page)
    assert served.accounts("lavender")["potted"] == potted


def test_no_script_but_ours_runs(phone: Any, served: Served) -> None:
    phone.goto("/")
    phone.evaluate("""() => {
        const own = document.createElement('script');
        own.textContent = 'window.injected = true';
        document.body.append(own);
        document.body.insertAdjacentHTML('beforeend', '<img src=x onerror="window.injected=true">');
    }""")
    phone.wait_for_timeout(50)
    assert phone.evaluate("window.injected") is None
