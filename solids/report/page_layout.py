"""A place before it is drawn: how wide the picture is, and what is moved so that the gap can be seen.

What is too small to see is drawn larger: the second part is moved, turned or
made thicker until the gap is so many times as wide.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
import shapely

from solids.fit.dryfit import DryFit
from solids.kernel.mesh import Floats
from solids.report.page_spot import Spot, reach
from solids.report.visible import View

TALL = 0.72  # height of a picture of a place over its width
SEEN = 1 / 60  # of the picture's width: what is smaller is drawn larger
SHOWN = 1 / 22  # of the picture's width: how large it is drawn then
FACTORS = (1, 2, 5, 10, 20, 50, 100, 200, 500, 1000, 2000, 5000)
TO_WOOD = 0.6  # how far the picture's middle is moved from the place to the wood
OFF = 1e-4  # mm that the cut lies off the place's own plane, so as not to run along a face


@dataclass(frozen=True, slots=True)
class Move:
    """How the second part is drawn other than it stands: on the picture's plane, about the place's point."""

    matrix: Floats
    shift: Floats

    def flat(self, points: Any) -> Floats:
        out: Floats = np.asarray(points, float) @ self.matrix.T + self.shift
        return out

    def room(self, view: View, point: Floats) -> Floats:
        """The same as (3, 4) numbers for points of the room."""
        base = np.column_stack([view.right, view.up, view.toward])
        whole = np.eye(3)
        whole[:2, :2] = self.matrix
        turn = base @ whole @ base.T
        return np.column_stack([turn, point - turn @ point + base @ [*self.shift, 0.0]])


STILL = Move(np.eye(2), np.zeros(2))


def sliced(mesh: Any, view: View, point: Floats) -> Any:
    """What a plane through a point shows of a mesh, on the plane and about the point."""
    turn = np.array([view.right, view.up, view.toward])
    flat = mesh.transform(np.column_stack([turn, -turn @ point]))
    rings = [shapely.Polygon(r) for r in flat.slice(OFF).to_polygons() if len(r) > 2]
    out = shapely.Polygon()
    for ring in sorted(rings, key=lambda r: -r.area):  # a ring within another is a hole in it
        out = shapely.symmetric_difference(out, ring)
    return out


class Layout:
    """A spot on the picture's plane: points in mm about it, `along` the measure and `across` it."""

    def __init__(self, dry: DryFit, spot: Spot) -> None:
        self.dry, self.spot = dry, spot
        self.view = View.looking(spot.toward)
        self.along = self.view.flat(spot.along)[0]
        self.across = np.array([-self.along[1], self.along[0]])
        self.span = spot.span
        self.still = tuple(sliced(dry.scene.world(k), self.view, spot.point) for k in (spot.host, spot.guest))
        self.width = self._width()
        self.shown = self._amount()
        self.factor = self._factor(self.shown)
        self.move = self._move()
        self.cut = (self.still[0], shapely.transform(self.still[1], self.move.flat))

    def middle(self) -> Floats:
        """The middle of the picture: that of a trench, else between the place's point and the wood about it."""
        if self.spot.kind == "play":
            walls = self.spot.faces[0], self.spot.walls[0]
            return np.asarray(self.along * sum(self.at(w, 0.0) for w in walls) / 2, float)
        wide, high = self.width / 2, self.width * TALL / 2
        wood = shapely.intersection(shapely.union_all(self.cut), shapely.box(-wide, -high, wide, high))
        return np.array(shapely.centroid(wood).coords[0]) * TO_WOOD if wood.area > 0 else np.zeros(2)

    def _width(self) -> float:
        """Wide enough for the thinner part and for what the faces have in common."""
        s = self.spot
        thin = min(self.dry.part(k).blank.thickness for k in (s.host, s.guest))
        common = s.span[1] - s.span[0]
        if s.kind == "web":
            return max(1.3 * min(common, 30.0), min(2.2 * thin, 30 * abs(s.size)), 10.0)
        if s.kind == "short":
            return max(2.6 * thin, 5 * s.size)
        if s.kind == "play":
            return max(2.6 * abs(self.at(s.walls[0], 0.0) - self.at(s.faces[0], 0.0)), 3.2 * common, 10.0)
        return max(2.8 * min(common, 3 * thin), 2.4 * thin, min(8 * abs(s.size), 6 * thin), 10.0)

    def ends(self) -> tuple[float, float]:
        """How far the two faces are apart at either end of what they have in common."""
        (t0, t1), (a, b) = self.span, self.spot.faces
        return self.at(b, t0) - self.at(a, t0), self.at(b, t1) - self.at(a, t1)

    def at(self, face: int, t: float) -> float:
        """How far along the measure a face lies, `t` mm across."""
        return reach(self.dry.scene, face, self.spot.point + self.spot.across * t, self.spot.along)

    def on(self, face: int, t: float) -> Floats:
        """The point of a face that lies `t` mm across."""
        return np.asarray(self.across * t + self.along * self.at(face, t), float)

    def _amount(self) -> float:
        if self.spot.kind == "angle":
            ends = self.ends()
            return max(ends) - min(ends)
        return abs(self.spot.size)

    def _factor(self, amount: float) -> int:
        if self.spot.kind in ("web", "strip", "short") or not 1e-4 < amount < SEEN * self.width:
            return 1
        return max((k for k in FACTORS if k * amount <= SHOWN * self.width), default=1)

    def _move(self) -> Move:
        s, k = self.spot, self.factor
        if s.kind == "angle":
            return self._turned(k)
        if s.kind == "play" and k > 1:
            return self._fattened(k)
        if k == 1:
            return STILL
        if s.kind == "clash" and s.faces[0] < 0:
            return self._deeper((k - 1) * abs(s.size))
        return Move(np.eye(2), self.along * (k - 1) * s.size)

    def _deeper(self, by: float) -> Move:
        """Further into the other, whichever way that is."""
        ways = [Move(np.eye(2), self.along * by * sign) for sign in (1, -1)]
        common = [shapely.intersection(self.still[0], shapely.transform(self.still[1], w.flat)).area for w in ways]
        return ways[int(common[1] > common[0])]

    def _turned(self, k: int) -> Move:
        """Pulled up until one end of the bevels touches; the angle then so many times as wide."""
        ends = self.ends()
        closed = 0 if ends[0] <= ends[1] else 1
        t = self.span[closed]
        pull = -self.along * ends[closed]
        pivot = self.on(self.spot.faces[0], t)
        wide = self.span[1] - self.span[0]
        turn = float(np.arctan(k * self.shown / wide) - np.arctan(self.shown / wide)) * (-1 if closed == 0 else 1)
        c, w = np.cos(turn), np.sin(turn)
        matrix = np.array([[c, -w], [w, c]])
        return Move(matrix, pivot + matrix @ (pull - pivot))

    def _fattened(self, k: int) -> Move:
        """What stands in a trench made thicker or thinner, so that the play at each wall is so many times as wide."""
        (wall, cheek), (other_wall, other_cheek) = self.spot.faces, self.spot.walls
        w0, c0, w1, c1 = (self.at(f, 0.0) for f in (wall, cheek, other_wall, other_cheek))
        new0, new1 = w0 + k * (c0 - w0), w1 + k * (c1 - w1)
        scale = (new1 - new0) / (c1 - c0)
        matrix = np.eye(2) + (scale - 1) * np.outer(self.along, self.along)
        return Move(matrix, self.along * (new0 - scale * c0))
