"""Two equal parts that are no rectangles, laid into each other so that their common box is the smallest.

The second lies as the first does, or half turned: its grain and its face stay.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import shapely
from shapely import affinity

from solids.lumber.rough import Cutting
from solids.model.geometry import Corner, arc, sides

FINE = 0.05  # mm: a place is found to this
STEPS = 8  # chords of an arc
WORTH = 0.97  # a pair is made where its box is smaller than this share of two boxes


@dataclass(frozen=True, slots=True)
class Pair:
    """A box in mm that holds the same outline twice; where each lies in it, as points along the grain and across."""

    length: float
    width: float
    first: tuple[tuple[float, float], ...]
    second: tuple[tuple[float, float], ...]


def plain_outline(outline: tuple[Corner, ...]) -> tuple[tuple[float, float], ...]:
    """An outline as points, arcs by chords."""
    points: list[tuple[float, float]] = []
    for p, q in sides(outline):
        points.append((p.a, p.b))
        if p.bulge:
            points += list(_along_arc(p, q))
    return tuple(points)


def _along_arc(p: Corner, q: Corner) -> Iterator[tuple[float, float]]:
    import math

    a, b, radius, start, swept = arc(p, q)
    for k in range(1, STEPS):
        t = start + swept * k / STEPS
        yield a + radius * math.cos(t), b + radius * math.sin(t)


def nested(cutting: Cutting, kerf: float) -> Pair | None:
    """The smallest box for two of a cutting, `kerf` mm apart; None where two boxes side by side do as well."""
    if not cutting.outline:
        return None
    shape = shapely.Polygon(plain_outline(cutting.outline))
    if not shape.is_valid:
        return None
    pairs = [pair for way in _ways(shape) for pair in (_slid(shape, way, kerf, k) for k in (0, 1))]
    best = min(pairs, key=lambda pair: (round(pair.length * pair.width, 3), round(pair.length, 3)))
    two = 2 * cutting.length * cutting.width + kerf * min(cutting.length, cutting.width)
    return best if best.length * best.width < WORTH * two else None


def _ways(shape: shapely.Polygon) -> Iterator[shapely.Polygon]:
    """The same shape as it lies, and half turned in its box."""
    yield shape
    low_x, low_y, high_x, high_y = shape.bounds
    yield affinity.rotate(shape, 180, ((low_x + high_x) / 2, (low_y + high_y) / 2))


def _slid(shape: shapely.Polygon, other: shapely.Polygon, kerf: float, axis: int) -> Pair:
    """The other moved along one axis until it stands a kerf off."""
    far = shape.bounds[2 + axis] - shape.bounds[axis] + kerf
    low, high = 0.0, far
    while high - low > FINE:
        middle = (low + high) / 2
        clear = shape.distance(_moved(other, middle, axis)) >= kerf and not shape.intersects(
            _moved(other, middle, axis)
        )
        low, high = (low, middle) if clear else (middle, high)
    placed = _moved(other, high, axis)
    box = shapely.union(shape, placed).bounds
    at_home = [affinity.translate(p, -box[0], -box[1]) for p in (shape, placed)]
    first, second = (tuple((x, y) for x, y, *_ in p.exterior.coords[:-1]) for p in at_home)
    return Pair(box[2] - box[0], box[3] - box[1], first, second)


def _moved(shape: shapely.Polygon, by: float, axis: int) -> shapely.Polygon:
    return affinity.translate(shape, by if axis == 0 else 0.0, by if axis == 1 else 0.0)
