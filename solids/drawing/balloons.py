"""Balloons: a mark in a ring beside the picture, with a line to the part it names."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence

from solids.drawing.pens import DIMENSION, RULE
from solids.drawing.sheet import Arc, Box, Line, Mark, Path, Point, Text

RADIUS = 4.2  # mm
PITCH = 11.0  # mm from one to the next in a column
AWAY = 12.0  # mm from the picture


def balloons(targets: Mapping[int, Point], picture: Box) -> list[Mark]:
    """One for each mark, in two columns beside the picture, so that no two lines cross."""
    middle = (picture.left + picture.right) / 2
    left = [m for m, p in targets.items() if p[0] < middle]
    right = [m for m in targets if m not in left]
    while abs(len(left) - len(right)) > 1:
        more, fewer = (left, right) if len(left) > len(right) else (right, left)
        nearest = min(more, key=lambda m: (abs(targets[m][0] - middle), m))
        more.remove(nearest)
        fewer.append(nearest)
    out: list[Mark] = []
    for own, x in ((left, picture.left - AWAY), (right, picture.right + AWAY)):
        order = _uncrossed(sorted(own, key=lambda m: (targets[m][1], m)), targets, x, picture)
        for m, y in zip(order, _heights([targets[m][1] for m in order], picture), strict=True):
            out += _balloon(m, (x, y), targets[m])
    return out


def _heights(wanted: Sequence[float], picture: Box) -> list[float]:
    """Places up a column, as near as can be to those wanted, in their order and with room for each."""
    out: list[float] = []
    over = max(0.0, PITCH * (len(wanted) - 1) - (picture.height - 2 * RADIUS)) / 2
    for y in wanted:
        out.append(max(y, out[-1] + PITCH if out else picture.bottom + RADIUS - over))
    ceiling = picture.top - RADIUS + over
    for k in range(len(out) - 1, -1, -1):
        out[k] = min(out[k], ceiling)
        ceiling = out[k] - PITCH
    return out


def _uncrossed(order: list[int], targets: Mapping[int, Point], x: float, picture: Box) -> list[int]:
    """The column's order with neighbours exchanged until no two lines cross."""
    for _ in range(len(order) * 2):
        heights = _heights([targets[m][1] for m in order], picture)
        for k in range(len(order) - 1):
            a, b = order[k], order[k + 1]
            if _cross((x, heights[k]), targets[a], (x, heights[k + 1]), targets[b]):
                order[k], order[k + 1] = b, a
                break
        else:
            break
    return order


def _cross(a: Point, b: Point, c: Point, d: Point) -> bool:
    def side(p: Point, q: Point, r: Point) -> float:
        return (q[0] - p[0]) * (r[1] - p[1]) - (q[1] - p[1]) * (r[0] - p[0])

    return side(a, b, c) * side(a, b, d) < 0 and side(c, d, a) * side(c, d, b) < 0


def _balloon(mark: int, at: Point, target: Point) -> Iterator[Mark]:
    angle = math.atan2(target[1] - at[1], target[0] - at[0])
    yield Arc(at, RADIUS, RULE)
    yield Text(at, str(mark), 3.5 if mark < 100 else 2.5, "middle", "middle", 0.0, DIMENSION)
    yield Line((at[0] + RADIUS * math.cos(angle), at[1] + RADIUS * math.sin(angle)), target, DIMENSION)
    turns = [k * math.pi / 6 for k in range(12)]
    dot = tuple((target[0] + 0.6 * math.cos(t), target[1] + 0.6 * math.sin(t)) for t in turns)
    yield Path(dot, DIMENSION, True, True)
