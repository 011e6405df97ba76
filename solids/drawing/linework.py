"""A view's strokes as marks on paper, with the pens that tell visible from hidden, and centre marks."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator

from solids.drawing.pens import CENTRE, FINE, HIDDEN, VISIBLE, Pen
from solids.drawing.sheet import Arc, Line, Path, Point, Simple
from solids.kernel.strokes import Bent, Round, Straight, Stroke

SMALL = 1.6  # mm of radius on paper under which a wide line would fill a circle
SHORT = 0.6  # mm of paper under which a hidden line is left out
OVER = 1.5  # mm that a centre line runs past the circle


def drawn(strokes: Iterable[Stroke], scale: float, *, outline: Pen = VISIBLE) -> list[Simple]:
    """The strokes at a scale, hidden ones first so that the visible lie over them."""
    order = sorted(strokes, key=lambda s: (not s.hidden, not s.smooth))
    return [m for s in order for m in _mark(s, scale, outline)]


def _mark(s: Stroke, scale: float, outline: Pen) -> Iterator[Simple]:
    pen = HIDDEN if s.hidden else FINE if s.smooth else outline
    if isinstance(s, Straight):
        if not s.hidden or math.dist(s.a, s.b) * scale >= SHORT:
            yield Line(_at(s.a, scale), _at(s.b, scale), pen)
    elif isinstance(s, Round):
        fine = FINE if s.radius * scale < SMALL and pen is outline else pen
        if not s.hidden or s.radius * scale >= SHORT:
            yield Arc(_at(s.centre, scale), s.radius * scale, fine, s.start, s.end)
    elif isinstance(s, Bent):
        yield Path(tuple(_at(p, scale) for p in s.points), pen)


def centre_mark(centre: Point, radius: float) -> list[Line]:
    """Two centre lines across a circle; in plain fine lines where dashes would not show."""
    (x, y), reach = centre, radius + OVER
    pen = CENTRE if reach > 5 else FINE
    return [Line((x - reach, y), (x + reach, y), pen), Line((x, y - reach), (x, y + reach), pen)]


def _at(p: Point, scale: float) -> Point:
    return p[0] * scale, p[1] * scale
