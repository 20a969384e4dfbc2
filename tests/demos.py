"""The demo nursery, made once for all tests and all workers of a run; its PDFs are not drawn."""

import datetime as dt
import fcntl
import os
from pathlib import Path

import pytest

from propagate.actions.demo import make_demo

NOW = dt.datetime(2026, 11, 20, 8, tzinfo=dt.UTC)
UNDRAWN = b"%PDF-1.7 undrawn"


def shared_demo(factory: pytest.TempPathFactory, hemisphere: str = "north") -> Path:
    """The folder of the demo; nobody may write into it."""
    base = factory.getbasetemp()
    root = base.parent if os.environ.get("PYTEST_XDIST_WORKER") else base
    folder = root / f"demo-{hemisphere}"
    with (root / f"demo-{hemisphere}.lock").open("w") as lock:
        fcntl.flock(lock, fcntl.LOCK_EX)
        if not folder.exists():
            with pytest.MonkeyPatch.context() as patch:
                patch.setattr("propagate.paper.printing._drawn_pdf", lambda *_, **__: (UNDRAWN, ""))
                make_demo(folder, hemisphere, lambda _: None, NOW)
            assert (folder / "stock.pdf").read_bytes() == UNDRAWN
    return folder
