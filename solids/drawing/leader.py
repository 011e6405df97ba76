"""Leaders: words at the end of a line to what they speak of."""

from __future__ import annotations

import math
from collections.abc import Sequence

from solids.drawing.dimension import ARROW, HEIGHT
from solids.drawing.lettering import lettered
from solids.drawing.pens import DIMENSION
from solids.drawing.sheet import Arc, Line, Path, Point, Text, arrow


def leader(tip: Point, knee: Point, text: Sequence[str], dot: bool = False) -> list[Line | Arc | Path | Text]:
    """Lines of text at the end of a line to what they speak of; its head an arrow, or a dot on a surface."""
    way = 1.0 if knee[0] >= tip[0] else -1.0
    angle = math.atan2(tip[1] - knee[1], tip[0] - knee[0])
    shelf = knee[0] + way * 2.5, knee[1]
    head: Path | Arc = arrow(tip, angle, ARROW)
    if dot:
        turns = [k * math.pi / 6 for k in range(12)]
        corners = tuple((tip[0] + 0.6 * math.cos(t), tip[1] + 0.6 * math.sin(t)) for t in turns)
        head = Path(corners, DIMENSION, True, True)
    marks: list[Line | Arc | Path | Text] = [Line(tip, knee, DIMENSION), Line(knee, shelf, DIMENSION), head]
    y = knee[1]
    for k, line in enumerate(text):
        if k:
            y -= line_step(text[k - 1], line)
        at = shelf[0] + way * 1.0, y
        marks.append(Text(at, line, HEIGHT, "left" if way > 0 else "right", "middle", 0.0, DIMENSION))
    return marks


def line_step(above: str, below: str) -> float:
    """How far the middles of two lines of a note are apart."""
    up, down = lettered(above, HEIGHT), lettered(below, HEIGHT)
    return max(HEIGHT * 1.6, (HEIGHT / 2 - up.bottom) + (down.top - HEIGHT / 2) + 0.6)
