"""Tables: a parts list, a list of holes, notes in a column."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import NamedTuple

from solids.drawing.lettering import fitted, lettered, wrapped
from solids.drawing.pens import RULE
from solids.drawing.sheet import Across, Line, Mark, Text, rectangle
from solids.drawing.sheet import Box as Rectangle

LINE = 1.75  # lines are so many heights apart


class Column(NamedTuple):
    """A column's heading, the side that its words stand at, and the width that it may not pass, in mm."""

    title: str
    across: Across = "left"
    most: float = 60.0


def table(columns: Sequence[Column], rows: Sequence[Sequence[str]], height: float = 2.5) -> tuple[Mark, ...]:
    """A ruled table whose upper left corner is at 0, 0; a column is as wide as its words."""
    if not rows:
        return ()
    pad, small = 1.4, height * 0.8
    wide = []
    for k, column in enumerate(columns):
        widest = max(lettered(r[k], height).width for r in rows)
        wide.append(min(column.most, max(widest, lettered(column.title, small).width)) + 2 * pad)
    tall = [_row_height(r, height) for r in rows]
    head = height * 2.0
    right, bottom = math.fsum(wide), -head - math.fsum(tall)
    marks: list[Mark] = [rectangle(Rectangle(0.0, bottom, right, 0.0), RULE), Line((0, -head), (right, -head), RULE)]
    x = 0.0
    for k, (column, w) in enumerate(zip(columns, wide, strict=True)):
        if k:
            marks.append(Line((x, 0.0), (x, bottom), RULE))
        marks.append(Text((x + w / 2, -head / 2), column.title, small, "middle", "middle"))
        y = -head
        for row, high in zip(rows, tall, strict=True):
            at = {"left": x + pad, "middle": x + w / 2, "right": x + w - pad}[column.across]
            fit = fitted(row[k], height, w - 2 * pad)
            marks.append(Text((at, y - high / 2), row[k], fit, column.across, "middle"))
            y -= high
        x += w
    y = -head
    for high in tall[:-1]:
        y -= high
        marks.append(Line((0.0, y), (right, y), RULE))
    return tuple(m for m in marks if not isinstance(m, Text) or m.text)


def _row_height(row: Sequence[str], height: float) -> float:
    spans = [lettered(t, height) for t in row]
    return max(2 * height, 1.2 + 2 * max(max(s.top - height / 2, height / 2 - s.bottom) for s in spans))


def column(lines: Sequence[str], height: float = 2.5, room: float = 90.0, numbered: bool = True) -> tuple[Mark, ...]:
    """Notes one under the other, the first at 0, 0; long ones are broken between words."""
    marks: list[Mark] = []
    y, indent = 0.0, 5.0 if numbered else 0.0
    for k, line in enumerate(lines):
        for n, part in enumerate(wrapped(line, height, room - indent)):
            laid = lettered(part, height)
            y -= max(0.0, laid.top - height)
            if numbered and n == 0:
                marks.append(Text((0.0, y), str(k + 1), height))
            marks.append(Text((indent, y), part, height))
            y -= height * LINE + max(0.0, -laid.bottom - 0.3 * height)
        y -= 0.4 * height
    return tuple(marks)
