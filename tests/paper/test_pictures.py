"""Pages compared with pictures of them that somebody has looked at.

The pictures lie in `tests/paper/pictures`, grey and small. A page may differ by a little, for
printers of pixels differ; a line that moved, a letter that grew or a square that went differs by
more. To draw a picture anew delete it, run this test, and look at what it drew.
"""

from pathlib import Path

import numpy as np
import pypdfium2
import pytest
from PIL import Image, ImageFilter

from propagate.paper.formatfiles import read_format
from propagate.paper.labels import Finish, render_labels
from propagate.paper.printing import pdf_bytes

PICTURES = Path(__file__).parent / "pictures"
DOTS_PER_INCH = 60
SOFT_DOTS = 1.0  # so that half a dot's shift of a thin line is no difference
MOST_MEAN = 1.0  # of 255, over the whole page
MOST_ANYWHERE = 70  # of 255: a letter more or less is 100 and above
NAMES = [
    "Ribes nigrum 'Alder Jet'",
    "Metasequoia glyptostroboides 'North Light of Mill Lane'",
    "Rhododendron catawbiense × Rhododendron ponticum 'Long Meadow'",
    "Malus domestica 'Ångström Œuvre Żółć'",
    "Laurus nobilis 'Δάφνη η ευγενής'",
    "Acer platanoides 'Клён Щедрый'",
    "Rosa MORNING GLOW 'Korbin'",
]


def drawn(name, folders, make_label):
    labels = [make_label(plant=plant, cautions=("Sap: cover skin",)) for plant in NAMES]
    finish = Finish(crop_marks=not read_format(name, folders).outline)
    content = pdf_bytes(render_labels(labels, name, folders, finish=finish))
    page = pypdfium2.PdfDocument(content)[0]
    return page.render(scale=DOTS_PER_INCH / 72, grayscale=True).to_pil()


def soft(picture):
    return np.asarray(picture.filter(ImageFilter.GaussianBlur(SOFT_DOTS)), dtype=float)


@pytest.mark.parametrize("name", ["tray-a4", "stake-a4", "loop-a4", "fold-a4", "tie-letter"])
def test_a_page_looks_as_it_did(name, folders, make_label):
    picture = drawn(name, folders, make_label)
    path = PICTURES / f"{name}.png"
    if not path.exists():
        path.parent.mkdir(exist_ok=True)
        picture.quantize(16).save(path, optimize=True)
        pytest.fail(f"{path} was not there and is drawn now; look at it")
    kept = Image.open(path).convert("L")
    assert picture.size == kept.size
    off = np.abs(soft(picture) - soft(kept))
    assert off.mean() < MOST_MEAN
    assert off.max() < MOST_ANYWHERE


def test_another_name_is_another_picture(folders, make_label):
    """The comparison can fail: one label with a letter less is seen."""
    before = soft(drawn("tray-a4", folders, make_label))
    NAMES[0] = "Ribes nigrum 'Alder Je'"
    try:
        after = soft(drawn("tray-a4", folders, make_label))
    finally:
        NAMES[0] = "Ribes nigrum 'Alder Jet'"
    assert np.abs(after - before).max() > MOST_ANYWHERE
