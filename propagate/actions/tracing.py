"""Where plants came from and where they went, as answers for both faces."""

from typing import Any, Literal

from propagate.actions.desk import Desk
from propagate.actions.meaning import traceable_meant
from propagate.actions.views import doubt_view
from propagate.ledger import arrivals, family
from propagate.records.families import Arrivals, Family, Gone, Kin


def trace(desk: Desk, text: str, kind: str = "") -> Family | Arrivals:
    """The family of a mother plant or batch, or what a bed or a person got.

    `kind`, "mother", "batch", "bed" or "person", tells what is meant where several are called so.
    """
    which, key = traceable_meant(desk, text, kind)
    if which == "mother" or which == "batch":
        return family_of(desk, "mother" if which == "mother" else "batch", key)
    return arrivals(desk.book, "bed" if which == "bed" else "person", key, desk.today)


def family_of(desk: Desk, kind: Literal["mother", "batch"], key: str) -> Family:
    """The family of one mother plant or batch, by its exact name."""
    return family(desk.book, kind, key, desk.today)


def trace_view(answer: Family | Arrivals) -> dict[str, Any]:
    """As JSON: a flat list of members, each with the place of its parent in the list."""
    if isinstance(answer, Arrivals):
        return {
            "kind": answer.kind,
            "to": answer.to,
            "count": answer.count,
            "arrivals": [
                {
                    **_gone_view(arrival.gone),
                    "batch": _kin_view(arrival.batch),
                    "above": [_kin_view(kin) for kin in arrival.above],
                }
                for arrival in answer.arrivals
            ],
        }
    return {
        "kind": answer.subject.kind,
        "key": answer.subject.key,
        "above": [_kin_view(kin) for kin in answer.above],
        "members": [_kin_view(kin) for kin in answer.members],
        "destinations": [
            {"kind": d.kind, "to": d.to, "count": d.count, "batches": list(d.batches)}
            for d in answer.destinations
        ],
        "reprint": list(answer.reprint),
    }


def _kin_view(kin: Kin) -> dict[str, Any]:
    shared = {
        "kind": kin.kind,
        "key": kin.key,
        "plant": str(kin.name),
        "on": kin.on.isoformat(),
        "depth": kin.depth,
        "parent": kin.parent,
        "place": kin.place,
        "suspected": [doubt_view(doubt) for doubt in kin.doubts],
    }
    if kin.kind == "mother":
        return shared
    return {
        **shared,
        "method": kin.method,
        "count": kin.count,
        "living": kin.living,
        "gone": [_gone_view(gone) for gone in kin.gone],
        "promised": dict(kin.promised),
        "reprint": kin.reprint,
    }


def _gone_view(gone: Gone) -> dict[str, Any]:
    return {
        "kind": gone.kind,
        "to": gone.to,
        "count": gone.count,
        "first": gone.first.isoformat(),
        "last": gone.last.isoformat(),
    }
