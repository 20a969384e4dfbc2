"""Files by suffix, and the way out where the PDF library is missing."""

import random
import sys

import pytest

from propagate.errors import Refused
from propagate.paper.labels import render_labels
from propagate.paper.printing import NEEDS_PANGO, Print, pdf_bytes, write


class NoPango:
    """Importing WeasyPrint without Pango fails with an OSError from its library loader."""

    def find_spec(self, name, path=None, target=None):
        if name == "weasyprint":
            print("-----\nplease install it, carefully\n-----")  # noqa: T201 - as it does
            raise OSError("cannot load library 'libpango-1.0-0'")


@pytest.fixture
def without_pango(monkeypatch):
    for name in [one for one in sys.modules if one.split(".")[0] == "weasyprint"]:
        monkeypatch.delitem(sys.modules, name)
    monkeypatch.setattr(sys, "meta_path", [NoPango(), *sys.meta_path])


@pytest.fixture
def printed(folders, make_label):
    return render_labels([make_label()], "tray-a4", folders)


def test_pdf_and_html_go_by_the_suffix(printed, tmp_path):
    assert write(printed, tmp_path / "a.pdf").path.read_bytes().startswith(b"%PDF-")
    assert write(printed, tmp_path / "a.HTML").path.read_text("utf-8").startswith("<!DOCTYPE")
    assert write(printed, tmp_path / "b.pdf").notice == ""


@pytest.mark.parametrize("name", ["a.docx", "a", "a.csv"])
def test_another_suffix_is_refused_in_one_sentence(printed, tmp_path, name):
    with pytest.raises(Refused, match=r"should end in \.pdf or \.html\.$"):
        write(printed, tmp_path / name)
    assert not list(tmp_path.iterdir())


def test_without_pango_a_print_ready_page_is_written(printed, tmp_path, without_pango, capsys):
    written = write(printed, tmp_path / "bench.pdf")
    assert written.path == tmp_path / "bench.html"
    assert written.notice == NEEDS_PANGO.format(name="bench.html")
    assert "libpango-1.0-0" in written.notice
    assert capsys.readouterr().out == ""
    html = written.path.read_text("utf-8")
    assert "size: 210mm 297mm" in html
    assert '<svg class="qr"' in html
    assert [one.name for one in tmp_path.iterdir()] == ["bench.html"]


def test_a_page_needs_nothing_from_outside(printed):
    for outside in ("http:", "https:", "file:", "url(", "@import", "<script", "src="):
        assert outside not in printed.html


def test_a_print_loads_no_file_and_no_address(tmp_path):
    secret = tmp_path / "secret.bin"
    secret.write_bytes(random.Random(1).randbytes(100_000))
    page = f'<link rel="attachment" href="{secret.as_uri()}"><img src="{secret.as_uri()}">'
    assert len(pdf_bytes(Print(html=page))) < 10_000


def test_a_write_that_fails_leaves_the_older_file(printed, tmp_path, monkeypatch):
    path = tmp_path / "a.html"
    path.write_text("older")

    def full(self, target):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("pathlib.Path.replace", full)
    with pytest.raises(Refused, match="No space left"):
        write(printed, path)
    assert path.read_text() == "older"
    assert [one.name for one in tmp_path.iterdir()] == ["a.html"]


@pytest.mark.parametrize("collecting", [True, False])
def test_a_print_leaves_the_search_for_garbage_as_it_was(folders, make_label, collecting) -> None:
    import gc

    html = render_labels([make_label()], "tray-a4", folders).html
    was_on = gc.isenabled()
    try:
        (gc.enable if collecting else gc.disable)()
        pdf_bytes(Print(html=html))
        assert gc.isenabled() is collecting
    finally:
        (gc.enable if was_on else gc.disable)()
