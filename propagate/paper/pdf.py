"""The one door to WeasyPrint: lay a page out, with nothing from outside it."""

import ctypes.util
import gc
import io
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager, redirect_stdout
from typing import Any

from propagate.errors import MissingTool


@contextmanager
def uncollected() -> Iterator[None]:
    """Look for no garbage cycles meanwhile.

    A page is laid out as a great many small objects that all live until it is drawn; searching
    them for garbage again and again took a third of the time. They go at the next collection.
    """
    was_on = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was_on:
            gc.enable()


def lay_out(html: str) -> Any:
    """A page as a WeasyPrint document; raises MissingTool where it cannot load."""
    _load_engine()
    import weasyprint

    class Nothing(weasyprint.urls.URLFetcher):  # type: ignore[misc]
        """A print is self-contained; what points outside it, file or address, is not followed."""

        def fetch(self, url: str, headers: Any = None) -> Any:
            raise ValueError(f"a print takes nothing from outside: {url}")

    return weasyprint.HTML(string=html, url_fetcher=Nothing()).render()


def _load_engine() -> None:
    """Load WeasyPrint, which then stays: nobody needs to look for garbage in it again."""
    first = "weasyprint" not in sys.modules
    try:
        # Without Pango it prints several lines of its own, where one sentence says enough.
        with uncollected(), _by_name_alone(), redirect_stdout(io.StringIO()):
            import weasyprint  # noqa: F401

            if first:
                gc.freeze()
    except (ImportError, OSError) as fault:  # OSError: the Python part is there, Pango is not
        raise MissingTool(str(fault)) from fault


def finished(
    document: Any,
    variant: str | None,
    finisher: Callable[..., None] | None,
    *,
    tagged_by_hand: bool = False,
) -> bytes:
    """The PDF of a document, after the finisher had its hands on it.

    One made to be kept bears its metadata in plain sight, for who searches an archive without
    a PDF reader (ISO 32000-1, 14.3.2); the layout engine packs it.
    """

    def finish(document: Any, pdf: Any) -> None:
        if finisher:
            finisher(document, pdf)
        if variant:
            for thing in pdf.objects:
                if getattr(thing, "extra", {}).get("Type") == "/Metadata":
                    thing.compress = False

    tags = not tagged_by_hand
    content: bytes = document.write_pdf(finisher=finish, pdf_tags=tags, pdf_variant=variant)
    return content


def missing_letters(document: Any) -> str:
    """The letters of a document, once drawn, that none of its fonts has."""
    codes = {code for font in document.fonts.values() for code in font.missing}
    return "".join(chr(code) for code in sorted(codes))


@contextmanager
def _by_name_alone() -> Iterator[None]:
    """Load system libraries by their names, without asking the compiler where they might be.

    On Linux the loader knows them; the search runs three programs for each and takes a quarter
    of the time in which a label is there. Elsewhere nothing is changed.
    """
    search = ctypes.util.find_library
    if sys.platform == "linux":
        ctypes.util.find_library = lambda name: None
    try:
        yield
    finally:
        ctypes.util.find_library = search
