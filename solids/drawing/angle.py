"""Angles: an arc between two ways, and its figure where nothing crosses it."""

from __future__ import annotations

import math
from collections.abc import Sequence

from solids.drawing.audit import touches
from solids.drawing.dimension import ARROW, CLEAR, GAP, HEIGHT, PAST, STUB
from solids.drawing.lettering import lettered
from solids.drawing.pens import DIMENSION
from solids.drawing.sheet import Arc, Dimension, Line, Mark, Path, Point, Text, arrow


def clear_angle(
    vertex: Point, first: Point, second: Point, text: str, degrees: float, scale: float, drawn: Sequence[Mark]
) -> Dimension:
    """The same, its arc as near as can be without words lying on lines."""
    tries = [angular(vertex, first, second, text, degrees, scale, 3.0 * k) for k in range(20)]
    return next((d for d in tries if not touches([*drawn, d])), tries[0])


def angular(
    vertex: Point, first: Point, second: Point, text: str, degrees: float, scale: float, farther: float = 0.0
) -> Dimension:
    """The angle at `vertex` between the ways to two points; its figure stands outside the arc's end."""
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
    marks.append(_angle_text(vertex, radius, (a + b) / 2 if inside else b + more, text, inside, roomy))
    return Dimension(
        "angular", tuple(marks), (vertex, first, vertex, second, arc.at((a + b) / 2)), text, degrees, scale
    )


def _angle_text(vertex: Point, radius: float, angle: float, text: str, inside: bool, roomy: bool) -> Text:
    """Level, so far outside the arc that no corner of it comes near."""
    laid = lettered(text, HEIGHT)
    wide, high = laid.width / 2 + CLEAR, HEIGHT / 2 + CLEAR
    c, s = math.cos(angle), math.sin(angle)
    x, y = vertex[0] + radius * c, vertex[1] + radius * s
    if inside:  # out along the ray, until the box round the figure is clear of the arc
        far = wide * abs(c) + high * abs(s) + 0.4 + (0.0 if roomy else PAST)
        return Text((x + far * c, y + far * s), text, HEIGHT, "middle", "middle", 0.0, DIMENSION)
    # On along the arc's end, the corner nearest to it just clear.
    x, y = x - s * 0.4, y + c * 0.4
    return Text(
        (x - math.copysign(wide, s), y + math.copysign(high, c)), text, HEIGHT, "middle", "middle", 0.0, DIMENSION
    )
