"""Where a figure comes from, in one line."""

from collections.abc import Mapping

from propagate.records.methods import Figure, MethodRecord, Source


def source_line(item: Figure | MethodRecord, sources: Mapping[str, Source]) -> str:
    """The citations behind a figure or a record, and its basis where they are not all of it."""
    figures = item.figures if isinstance(item, MethodRecord) else (item,)
    keys = dict.fromkeys(key for figure in figures for key in figure.sources)
    cited = [sources[key].cited() for key in keys]
    if not cited:
        return item.basis
    if item.basis != "published":
        cited.append(
            "the rest from memory" if item.basis == "memory" else "the rest common practice"
        )
    return "; ".join(cited)
