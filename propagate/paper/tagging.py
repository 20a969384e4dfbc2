"""The tag tree of a PDF whose pages were painted by hand: what is text, what is a picture.

ISO 32000-1, section 14.8: every marked piece of content has its element in the structure tree,
in reading order, and a page says by number where its pieces are.
"""

from collections.abc import Sequence
from typing import Any

from attrs import frozen


@frozen
class Tagged:
    """One marked piece of a page: its kind ("P" or "Figure"), and what it is in words."""

    kind: str
    words: str


def add_tag_tree(pdf: Any, pages: Sequence[Sequence[Tagged]]) -> None:
    """Give the document the tree of its pages' pieces, in the order they were painted."""
    import pydyf

    root = pydyf.Dictionary({"Type": "/StructTreeRoot"})
    pdf.add_object(root)
    whole = pydyf.Dictionary({"Type": "/StructElem", "S": "/Document", "P": root.reference})
    pdf.add_object(whole)
    numbers, pieces = pydyf.Array(), pydyf.Array()
    for number, (page, tagged) in enumerate(zip(_pages(pdf), pages, strict=True)):
        page["Tabs"], page["StructParents"] = "/S", number
        elements = pydyf.Array()
        for at, piece in enumerate(tagged):
            element = _element(piece, {"P": whole.reference, "Pg": page.reference, "K": at})
            pdf.add_object(element)
            elements.append(element.reference)
        pieces.extend(elements)
        numbers.extend([number, elements])
    whole["K"] = pieces
    parents = pydyf.Dictionary({"Nums": numbers})
    pdf.add_object(parents)
    root["K"], root["ParentTree"] = pydyf.Array([whole.reference]), parents.reference
    pdf.catalog["StructTreeRoot"] = root.reference
    pdf.catalog["MarkInfo"] = pydyf.Dictionary({"Marked": "true"})
    pdf.catalog["ViewerPreferences"] = pydyf.Dictionary({"DisplayDocTitle": "true"})


def _element(piece: Tagged, place: dict[str, Any]) -> Any:
    """One piece in the tree, at its place: below which element, on which page, as which mark."""
    import pydyf

    element = pydyf.Dictionary({"Type": "/StructElem", "S": f"/{piece.kind}", **place})
    if piece.kind == "Figure":
        element["Alt"] = pydyf.String(piece.words)
    return element


def _pages(pdf: Any) -> list[Any]:
    return [
        thing for thing in pdf.objects if isinstance(thing, dict) and thing.get("Type") == "/Page"
    ]
