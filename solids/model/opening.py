"""An opening: what lies inside a case, or between parts, for drawers, fronts and frames to fill.

Seen from the front: an outline in x and z, between a front and a rear.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import NamedTuple

from solids.model.geometry import STILL, Frame, Plane, Vector

NEAR = 1e-9


class Edge(NamedTuple):
    """A straight edge of an outline, left or right, in a range of heights: x is `x0` at `z0` and changes by `slope`."""

    x0: float
    z0: float
    slope: float

    def x(self, z: float) -> float:
        return self.x0 + self.slope * (z - self.z0)


@dataclass(frozen=True, slots=True)
class Opening:
    """Corners `[x, z]` anticlockwise as seen from the front, convex; y from `front` to `rear`; all mm.

    `frame` is where its axes stand. `sides` are the names of what bounds it on
    the left, right, bottom and top, in the axes' own group, where there is one part for each;
    `walls` are those of what bounds each edge, from its corner to the next, where there are more.
    """

    corners: tuple[tuple[float, float], ...]
    front: float
    rear: float
    frame: Frame = STILL
    sides: tuple[tuple[str, str], ...] = ()
    walls: tuple[str, ...] = ()

    @classmethod
    def between(cls, planes: Sequence[Plane], front: float, rear: float, names: Sequence[str] = ()) -> Opening:
        """The opening inside planes that are square to the front, each looking out of it; `names` are of their parts.

        Raises ValueError where they leave nothing.
        """
        corners: list[tuple[float, float]] = [(-1e7, -1e7), (1e7, -1e7), (1e7, 1e7), (-1e7, 1e7)]
        for p in planes:
            corners = kept(corners, p)
        if len(corners) < 3:
            raise ValueError("nothing lies between these")
        if max(abs(c) for corner in corners for c in corner) > 9e6:
            raise ValueError("these don't close it on all sides")
        found = cls(tuple(corners), front, rear)
        if not names:
            return found
        return replace(found, walls=tuple(names[_along(planes, edge)] for edge in found.edges()))

    @property
    def bottom(self) -> float:
        return min(z for _, z in self.corners)

    @property
    def top(self) -> float:
        return max(z for _, z in self.corners)

    @property
    def depth(self) -> float:
        return self.rear - self.front

    @property
    def height(self) -> float:
        return self.top - self.bottom

    def span(self, z: float) -> tuple[float, float]:
        """The least and greatest x at a height; those of its bottom or its top for one beyond."""
        z = min(max(z, self.bottom), self.top)
        xs = [x for edge in self.edges() for x in _at(edge, z)]
        return min(xs), max(xs)

    def clear_width(self, low: float, high: float) -> float:
        """How wide a box may be that stands upright between two heights."""
        left, right = self.clear(low, high)
        return right - left

    def clear(self, low: float, high: float) -> tuple[float, float]:
        """Between which x a box may stand that reaches from one height to another."""
        spans = [self.span(low), self.span(high)]  # convex: the ends decide
        return max(s[0] for s in spans), min(s[1] for s in spans)

    def side_edge(self, right: bool, low: float, high: float) -> Edge | None:
        """The one straight edge on the left or right between two heights; None where it has a corner there."""
        k = 1 if right else 0
        a, b = self.span(low)[k], self.span(high)[k]
        middle = self.span((low + high) / 2)[k]
        if abs((a + b) / 2 - middle) > 1e-7:
            return None
        return Edge(a, low, (b - a) / (high - low))

    def level_ends(self) -> bool:
        """Whether its bottom and its top are level edges."""
        return all(sum(abs(z - at) < 1e-7 for _, z in self.corners) == 2 for at in (self.bottom, self.top))

    def side_named(self, side: str) -> str:
        """The part that bounds it on a side, as its own group calls it; nothing where there is no one part."""
        return dict(self.sides).get(side, "")

    def beside(self, side: str, low: float, high: float) -> str:
        """The part that bounds it on the left or right between two heights, or at its bottom or top; "" for no one."""
        if not self.walls:
            return self.side_named(side)
        at = (low + high) / 2
        found = {wall for edge, wall in zip(self.edges(), self.walls, strict=True) if self._is_on(edge, side, at)}
        return found.pop() if len(found) == 1 else ""

    def _is_on(self, edge: tuple[tuple[float, float], tuple[float, float]], side: str, at: float) -> bool:
        """Whether an edge is on a side: anticlockwise those on the right run up, those on the left down."""
        z0, z1 = edge[0][1], edge[1][1]
        if side in ("left", "right"):
            return z0 < at < z1 if side == "right" else z1 < at < z0
        return max(abs(z - (self.bottom if side == "bottom" else self.top)) for z in (z0, z1)) < 1e-7

    def within(self, frame: Frame, name: str) -> Opening:
        """The same, when its axes stand at `frame`, in a group of that name."""
        sides = tuple((s, f"{name}.{part}") for s, part in self.sides)
        walls = tuple(f"{name}.{wall}" if wall else "" for wall in self.walls)
        return replace(self, frame=self.frame.within(frame), sides=sides, walls=walls)

    def mirrored(self, axis: int, at: float) -> Opening:
        """As the handed twin of its group has it, `axis` and `at` in the outer axes."""
        frame = self.frame.mirrored(axis, at)
        if axis != 0:  # the frame's x is turned to the other hand only for a mirror across x
            return replace(self, frame=frame)
        corners = tuple((-x, z) for x, z in reversed(self.corners))
        walls = (*self.walls[-2::-1], *self.walls[-1:])  # an edge goes by its first corner, which was its last
        swap = {"left": "right", "right": "left"}
        sides = tuple((swap.get(s, s), p) for s, p in self.sides)
        return replace(self, corners=corners, frame=frame, sides=sides, walls=walls)

    def edges(self) -> list[tuple[tuple[float, float], tuple[float, float]]]:
        """Each from its corner to the next, as `walls` name them."""
        return list(zip(self.corners, (*self.corners[1:], self.corners[0]), strict=True))


def _along(planes: Sequence[Plane], edge: tuple[tuple[float, float], tuple[float, float]]) -> int:
    """Which of the planes an edge lies in."""
    off = [max(abs(p.normal.dot(Vector(x, 0.0, z)) - p.offset) for x, z in edge) for p in planes]
    return off.index(min(off))


def _at(edge: tuple[tuple[float, float], tuple[float, float]], z: float) -> tuple[float, ...]:
    """Where an edge is at a height: nowhere, at one x, or both its ends where it is level there."""
    (x0, z0), (x1, z1) = edge
    if abs(z1 - z0) < NEAR:
        return (x0, x1) if abs(z - z0) < 1e-7 else ()
    share = (z - z0) / (z1 - z0)
    return (x0 + share * (x1 - x0),) if -1e-7 <= share <= 1 + 1e-7 else ()


def kept(corners: list[tuple[float, float]], plane: Plane) -> list[tuple[float, float]]:
    """What of a convex outline lies behind a plane that is square to the front."""
    out: list[tuple[float, float]] = []
    far = [plane.normal.dot(Vector(x, 0.0, z)) - plane.offset for x, z in corners]
    n = len(corners)
    for k in range(n):
        (x0, z0), (x1, z1) = corners[k], corners[(k + 1) % n]
        d0, d1 = far[k], far[(k + 1) % n]
        if d0 <= 0:
            out.append((x0, z0))
        if (d0 < 0 < d1) or (d1 < 0 < d0):
            share = d0 / (d0 - d1)
            out.append((x0 + share * (x1 - x0), z0 + share * (z1 - z0)))
    return out
