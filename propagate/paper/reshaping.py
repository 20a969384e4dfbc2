"""Lay the few lines of one label format over another, stretching what the lines leave out."""

from typing import Any, Final

from propagate.paper.formats import PAGE_IS_LABEL

_ACROSS: Final = ("left_mm", "width_mm", "x_mm", "to_x_mm")
_DOWN: Final = ("top_mm", "height_mm", "y_mm", "to_y_mm")
_LABEL_DOWN: Final = ("buried_mm", "rule_mm")


def over(base: dict[str, Any], table: dict[str, Any]) -> dict[str, Any]:
    """The table of a format that is like another one but for what it says itself.

    When the label's size differs, all boxes, marks and the outline that are not given anew are
    stretched with it; type grows or shrinks by the smaller of the two ratios.
    """
    label = {**base.get("label", {}), **table.get("label", {})}
    across, down = (_ratio(base, label, key) for key in ("width_mm", "height_mm"))
    whole = {**_stretched(base, across, down), **table}
    stretched = _stretched(base, across, down)
    whole["label"] = {**stretched.get("label", {}), **table.get("label", {})}
    whole["grid"] = {**_grid(base, table), **table.get("grid", {})}
    boxes = dict(stretched.get("boxes", {}))
    for name, box in table.get("boxes", {}).items():
        boxes[name] = {**boxes.get(name, {}), **box} if isinstance(box, dict) else box
    whole["boxes"] = {name: box for name, box in boxes.items() if box is not False}
    return whole


def _grid(base: dict[str, Any], table: dict[str, Any]) -> dict[str, Any]:
    """A page that is one label needs no grid."""
    return {} if table.get("page") == PAGE_IS_LABEL else base.get("grid", {})


def _ratio(base: dict[str, Any], label: dict[str, Any], key: str) -> float:
    before, after = base.get("label", {}).get(key), label.get(key)
    numbers = all(isinstance(one, int | float) and one > 0 for one in (before, after))
    return float(after / before) if numbers else 1.0


def _stretched(base: dict[str, Any], across: float, down: float) -> dict[str, Any]:
    if across == down == 1.0:
        return base
    type_by = min(across, down)
    whole = dict(base)
    label = _scaled(base["label"], across=(), down=_LABEL_DOWN, by=(across, down))
    whole["label"] = {**label, "padding_mm": label.get("padding_mm", 2.0) * type_by}
    whole["boxes"] = {
        name: _sized(_scaled(box, across=_ACROSS, down=_DOWN, by=(across, down)), type_by)
        for name, box in base.get("boxes", {}).items()
    }
    if "marks" in base:
        whole["marks"] = [
            _scaled(mark, across=_ACROSS, down=_DOWN, by=(across, down)) for mark in base["marks"]
        ]
    if "outline" in base:
        whole["outline"] = [[x * across, y * down] for x, y in base["outline"]]
    return whole


def _scaled(
    section: dict[str, Any],
    *,
    across: tuple[str, ...],
    down: tuple[str, ...],
    by: tuple[float, float],
) -> dict[str, Any]:
    return {
        key: value * by[0] if key in across else value * by[1] if key in down else value
        for key, value in section.items()
    }


def _sized(box: dict[str, Any], by: float) -> dict[str, Any]:
    """Type in proportion, but never below the smallest that the box allows."""
    if "max_pt" not in box:
        return box
    return {**box, "max_pt": max(box["max_pt"] * by, box.get("min_pt", 6.0))}
