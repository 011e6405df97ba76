"""Overall sizes to the long point, and in brackets what follows: shorter edges, and from shoulder to shoulder."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

from solids.drawing.board import NEAR, SEEN, Way
from solids.drawing.dimension import Asked
from solids.drawing.sheet import Box, Point
from solids.drawing.views import Views
from solids.kernel.strokes import Straight, Stroke

LEAST = 0.05  # mm by which an edge must be shorter than the whole to be told


def wholes(views: Views, way: Way, axis: int, box: Box, scale: float) -> tuple[list[Asked], list[Asked]]:
    """The whole length or width, and in brackets what follows: at the near rim, and at the far one."""
    seen, figures = SEEN[way], views.figures
    low, high = box.left, box.right
    is_across = axis == seen.axes()[0]
    if not is_across:
        low, high = box.bottom, box.top
    value = views.board.high[axis] - views.board.low[axis]

    def spot(u: float, v: float) -> Point:
        return (u, v) if is_across else (v, u)

    rim = box.bottom if is_across else box.left
    a, b = (spot(u, _corner(views.strokes[way], u / scale, is_across, rim / scale) * scale) for u in (low, high))
    near = [Asked(a, b, figures.length(value), value, 2)]
    far: list[Asked] = []
    told: set[tuple[float, float]] = set()
    for start, end, is_far in _shorter(views, way, axis):
        size, here = end - start, far if is_far else near
        if (round(start, 3), round(end, 3)) in told:
            continue
        told.add((round(start, 3), round(end, 3)))
        rim = (box.top if is_across else box.right) if is_far else (box.bottom if is_across else box.left)
        here.append(Asked(spot(start * scale, rim), spot(end * scale, rim), figures.reference(size), size, 1))
    return near, far


def _corner(strokes: Sequence[Stroke], at: float, is_across: bool, rim: float) -> float:
    """Where on an outermost line of a view the wood comes nearest to a rim: the long point."""
    found = [rim]
    best = None
    for s in strokes:
        if isinstance(s, Straight) and not s.hidden:
            for p in (s.a, s.b):
                u, v = p if is_across else p[::-1]
                if abs(u - at) < 1e-3 and (best is None or abs(v - rim) < abs(best - rim)):
                    best = v
    return best if best is not None else found[0]


def _shorter(views: Views, way: Way, axis: int) -> Iterator[tuple[float, float, bool]]:
    """Edges of the face that are shorter than the whole, and from shoulder to shoulder; whether at the far rim."""
    if way != NEAR:
        return
    board, other = views.board, 1 - axis
    whole = board.high[axis] - board.low[axis]
    rims = {p[other] for p in views.corners}
    for rim in (max(rims), min(rims)) if len(views.corners) == 4 else ():
        ends = sorted(p[axis] for p in views.corners if abs(p[other] - rim) < 1e-6)
        if len(ends) == 2 and 1.0 < ends[1] - ends[0] < whole - LEAST:
            yield ends[0], ends[1], rim == max(rims)
    low, high = board.low[axis], board.high[axis]
    for made in board.part.cuts:
        cut: Any = made.cut
        if made.cut.kind in ("tongue", "tenon") and board.way(cut.side)[0] == axis:
            if board.way(cut.side)[1] < 0:
                low = max(low, cut.length)
            else:
                high = min(high, board.size[axis] - cut.length)
    if (low, high) != (board.low[axis], board.high[axis]):
        yield low, high, True
