"""The audit of a sheet: every text that lies on a line or on another text."""

from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple

import numpy as np
import shapely

from solids.drawing.sheet import Mark, Simple, Text, shape, simple

ROOM = -0.1  # mm: two that only touch at their rims are not on each other


class Touch(NamedTuple):
    """A text and what it lies on: another text, or what kind of line."""

    text: str
    on: str


def touches(marks: Iterable[Mark]) -> list[Touch]:
    """Each text that lies on a line or a text, with what it lies on; none on a good sheet."""
    every: list[Simple] = list(simple(marks))
    texts = [m for m in every if isinstance(m, Text) and m.text]
    others = [m for m in every if not isinstance(m, Text)]
    boxes = np.array([shape(t, ROOM) for t in texts], dtype=object)
    lines = np.array([shape(o) for o in others], dtype=object)
    found = []
    if len(boxes) and len(lines):
        on, which = shapely.STRtree(lines).query(boxes, predicate="intersects")
        found += [Touch(texts[a].text, others[b].pen.name) for a, b in zip(on.tolist(), which.tolist(), strict=True)]
    if len(boxes):
        a_, b_ = shapely.STRtree(boxes).query(boxes, predicate="intersects")
        found += [Touch(texts[a].text, texts[b].text) for a, b in zip(a_.tolist(), b_.tolist(), strict=True) if a < b]
    return sorted(found)
