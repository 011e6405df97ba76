"""Angles: an arc between two ways, and its figure where nothing crosses it."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

from solids.drawing.audit import touches
from solids.drawing.dimension import ARROW, CLEAR, GAP, HEIGHT, PAST, STUB
from solids.drawing.lettering import lettered
from solids.drawing.notes import Note, placed
from solids.drawing.pens import DIMENSION
from solids.drawing.sheet import Arc, Dimension, Line, Mark, Path, Point, Text, arrow, simple


def clear_angle(
    vertex: Point, first: Point, second: Point, text: str, degrees: float, scale: float, drawn: Sequence[Mark]
) -> Dimension:
    """The same, its arc as near as can be without words lying on lines; where there is no such place, on a leader."""
    tries = [
        angular(vertex, first, second, text, degrees, scale, 3.0 * k, end) for k in range(20) for end in (0, 1, -1)
    ]
    found = next((d for d in tries if not touches([*drawn, d])), None)
    return found if found is not None else _on_leader(tries[0], drawn)


def _on_leader(dimension: Dimension, drawn: Sequence[Mark]) -> Dimension:
    """The dimension with its figure farther off, at the end of a line to its arc."""
    bare = tuple(m for m in dimension.marks if not isinstance(m, Text))
    note = Note((dimension.text,), (dimension.points[4],))
    new, _ = placed([note], [*drawn, *bare], [])
    return replace(dimension, marks=(*bare, *simple(new))) if new else dimension


def angular(
    vertex: Point,
    first: Point,
    second: Point,
    text: str,
    degrees: float,
    scale: float,
    farther: float = 0.0,
    end: int = 0,
) -> Dimension:
    """The angle at `vertex` between the ways to two points; its figure stands in the middle, or at the arc's `end`."""
    a, b = (math.atan2(p[1] - vertex[1], p[0] - vertex[0]) for p in (first, second))
    if (b - a) % (2 * math.pi) > math.pi:
        a, b = b, a
        first, second = second, first
    b = a + (b - a) % (2 * math.pi)
    radius = max(math.dist(vertex, first), math.dist(vertex, second)) + 6.0 + farther
    marks: list[Line | Arc | Path | Text] = []
    for p, angle in ((first, a), (second, b)):
        reach = math.dist(vertex, p) + GAP
        ends = [(vertex[0] + d * math.cos(angle), vertex[1] + d * math.sin(angle)) for d in (reach, radius + PAST)]
        marks.append(Line(ends[0], ends[1], DIMENSION))
    inside = radius * (b - a) > 3 * ARROW
    roomy = radius * (b - a) > lettered(text, HEIGHT).width + 6.0 + farther
    more = 0.0 if inside else STUB / radius
    arc = Arc(vertex, radius, DIMENSION, a - more, b + more)
    marks.append(arc)
    lean = ARROW / radius / 2
    for angle, way in ((a, -1.0), (b, 1.0)):
        turned = way if inside else -way
        marks.append(arrow(arc.at(angle), angle + turned * (math.pi / 2) - turned * lean, ARROW))
    if inside and not end:
        marks.append(_outside(vertex, radius, (a + b) / 2, text, roomy))
    else:
        marks.append(_beyond(vertex, radius, a - more if end < 0 else b + more, text, -1.0 if end < 0 else 1.0))
    return Dimension(
        "angular", tuple(marks), (vertex, first, vertex, second, arc.at((a + b) / 2)), text, degrees, scale
    )


def _outside(vertex: Point, radius: float, angle: float, text: str, roomy: bool) -> Text:
    """Level, so far outside the arc that no corner of it comes near."""
    laid = lettered(text, HEIGHT)
    wide, high = laid.width / 2 + CLEAR, HEIGHT / 2 + CLEAR
    c, s = math.cos(angle), math.sin(angle)
    x, y = vertex[0] + radius * c, vertex[1] + radius * s
    far = wide * abs(c) + high * abs(s) + 0.4 + (0.0 if roomy else PAST)
    return Text((x + far * c, y + far * s), text, HEIGHT, "middle", "middle", 0.0, DIMENSION)


def _beyond(vertex: Point, radius: float, angle: float, text: str, way: float) -> Text:
    """Level, on along the arc's end, anticlockwise where `way` is 1; the corner nearest to it just clear."""
    laid = lettered(text, HEIGHT)
    wide, high = laid.width / 2 + CLEAR, HEIGHT / 2 + CLEAR
    c, s = math.cos(angle), math.sin(angle)
    x, y = vertex[0] + radius * c - way * s * 0.4, vertex[1] + radius * s + way * c * 0.4
    at = x - math.copysign(wide, way * s), y + math.copysign(high, way * c)
    return Text(at, text, HEIGHT, "middle", "middle", 0.0, DIMENSION)
