"""What changed, for programs: values in full, mm, degrees and kg."""

from __future__ import annotations

import json
from typing import Any

import solids
from solids.compare.difference import Difference, PartChange, Resized
from solids.report.data import finding_data


def as_json(d: Difference, old: str, new: str) -> str:
    """The comparison as JSON text."""
    return json.dumps(as_data(d, old, new), indent=1, ensure_ascii=False, allow_nan=False) + "\n"


def as_data(d: Difference, old: str, new: str) -> dict[str, Any]:
    """The same as plain data."""
    return {
        "dryfit": solids.__version__,
        "old": {"spec": old, "fits": d.old.fits},
        "new": {"spec": new, "fits": d.new.fits},
        "counts": d.counts,
        "overall": [_size(s) for s in d.overall],
        "parts": [_part(p) for p in d.parts],
        "findings": {
            "gone": [finding_data(f) for f in d.gone],
            "new": [finding_data(f) for f in d.come],
            "left": [finding_data(f) for f in d.left],
        },
    }


def _part(p: PartChange) -> dict[str, Any]:
    return {
        "id": p.id,
        "state": p.state,
        "was": p.was or None,
        "moved": p.moved,
        "cut_already": p.cut,
        "sizes": [_size(s) for s in p.sizes],
        "said": list(p.said),
    }


def _size(s: Resized) -> dict[str, Any]:
    return {"name": s.name, "before": s.before, "after": s.after}
