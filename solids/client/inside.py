"""Inside sizes: what a drawer or a compartment takes, found by looking from its floor to all sides.

From just above the middle of every surface that lies level, lines are drawn up,
left, right and to the rear until they meet wood. A place that is shut on at least
three of these sides is one that things are put in.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from solids.fit.bodies import whole_bodies
from solids.fit.dryfit import DryFit
from solids.kernel.mesh import Floats, Ints
from solids.model.motion import Slide
from solids.picture.stage import stage_of

UP, LEFT, RIGHT, FRONT, REAR = np.array(
    [(0, 0, 1), (-1, 0, 0), (1, 0, 0), (0, -1, 0), (0, 1, 0)], float
)  # fmt: skip
ABOVE = 3.0  # mm over the floor at which the sides are looked for
LEVEL = 0.999  # of the normal of a surface that things are put on
LEAST = 40.0  # mm: nothing is put into less
LEAST_FLOOR = 60.0  # mm, of a surface that things are put on
SAME = 1.0  # mm between the walls of two places that are one
SAMPLES = (0.5, 0.2, 0.8)  # shares of the length of a floor from which is looked


@dataclass(frozen=True, slots=True)
class Inside:
    """A place to put things: its name, and what is clear of it in mm; height is None where it is open above."""

    name: str
    width: float
    depth: float
    height: float | None


def insides(dry: DryFit) -> tuple[Inside, ...]:
    """Every drawer, then every compartment; drawers don't count as filling the place that they run in."""
    stage = stage_of(dry)
    drawers = [b for b in whole_bodies(dry.piece) if isinstance(b.motion, Slide)]
    inner = {dry.number[p]: k for k, b in enumerate(drawers) for p in b.parts}
    found = []
    for k, body in enumerate(drawers):
        own = [i for i, owner in inner.items() if owner == k]
        places = list(_places(dry, stage.corners, stage.part, own, body.name, is_drawer=True))
        found += places[:1]
    fixed = [i for i in range(len(dry.piece.parts)) if i not in inner]
    filled = [_box(dry, body.parts) for body in drawers]
    return (*found, *_places(dry, stage.corners, stage.part, fixed, "", is_drawer=False, filled=filled))


def _places(
    dry: DryFit, corners: Floats, part: Ints, own: Sequence[int], name: str, *, is_drawer: bool,
    filled: Sequence[Floats] = (),
) -> Iterator[Inside]:  # fmt: skip
    """Every place over the level surfaces of some parts, but for those that a drawer fills, each once."""
    wood = _Wood(corners[np.isin(part, own)])
    seen: list[Floats] = []
    for i in own:
        for floor in _floors(dry, i):
            place = _place(wood, floor, name or dry.piece.parts[i].id, is_drawer)
            if place is None:
                continue
            inside, corner = place
            is_known = any(np.abs(corner - other).max() < SAME for other in seen)
            if not is_known and not any(_lies_in(floor, box) for box in filled):
                seen.append(corner)
                yield inside


def _floors(dry: DryFit, i: int) -> Iterator[Floats]:
    """Points on the level surfaces of a part that look up: its middle, and either end."""
    scene = dry.scene
    for face in range(scene.first[i], scene.first[i + 1]):
        if scene.normal[face, 2] > LEVEL:
            low, high = scene.low[face], scene.high[face]
            if min(high[0] - low[0], high[1] - low[1]) < LEAST_FLOOR:
                continue
            long = int(np.argmax(high - low))
            for share in SAMPLES:
                point = (low + high) / 2
                point[long] = low[long] + (high[long] - low[long]) * share
                yield np.array([point[0], point[1], high[2]])


def _place(wood: _Wood, floor: Floats, name: str, is_drawer: bool) -> tuple[Inside, Floats] | None:
    eye = floor + ABOVE * UP
    left, right, front, rear, up = (wood.far(eye, way) for way in (LEFT, RIGHT, FRONT, REAR, UP))
    if not (np.isfinite(left) and np.isfinite(right) and np.isfinite(rear)):
        return None
    if not np.isfinite(front) and not np.isfinite(up):
        return None
    width = left + right
    depth = rear + (front if np.isfinite(front) else wood.to_the_edge(eye))
    height = up + ABOVE if np.isfinite(up) else None
    if is_drawer:
        height = wood.rim(eye, left, right) + ABOVE
    if min(width, depth, LEAST if height is None else height) < LEAST:
        return None
    return Inside(name, width, depth, height), np.array([eye[0] - left, eye[0] + right, eye[1] + rear, floor[2]])


def _box(dry: DryFit, parts: Sequence[str]) -> Floats:
    """The least and greatest corner of some parts, by their ids."""
    own = [dry.number[p] for p in parts]
    return np.array([dry.scene.part_low[own].min(0), dry.scene.part_high[own].max(0)])


def _lies_in(floor: Floats, box: Floats) -> bool:
    """Whether a box stands over a point, however high."""
    return bool(np.all(floor[:2] > box[0, :2]) and np.all(floor[:2] < box[1, :2]) and floor[2] < box[1, 2])


class _Wood:
    """Triangles to look at from within, with the box of each."""

    def __init__(self, triangles: Floats) -> None:
        self.triangles = triangles
        self.low, self.high = triangles.min(1), triangles.max(1)

    def far(self, eye: Floats, way: Floats) -> float:
        """How far it is from a point along an axis to the first triangle, in mm; infinite where there is none.

        Möller and Trumbore, "Fast, minimum storage ray/triangle intersection" (1997).
        """
        here = np.ones(len(self.triangles), bool)
        for axis in np.flatnonzero(way == 0):
            here &= (self.low[:, axis] <= eye[axis]) & (self.high[:, axis] >= eye[axis])
        found = self.triangles[here]
        a, u, v = found[:, 0], found[:, 1] - found[:, 0], found[:, 2] - found[:, 0]
        p = np.cross(way, v)
        turn = np.einsum("ij,ij->i", u, p)
        faces = np.abs(turn) > 1e-9
        inverse = 1.0 / np.where(faces, turn, 1.0)
        s = eye - a
        q = np.cross(s, u)
        b = np.einsum("ij,ij->i", s, p) * inverse
        c = q @ way * inverse
        far = np.einsum("ij,ij->i", v, q) * inverse
        met = faces & (b >= -1e-9) & (c >= -1e-9) & (b + c <= 1 + 1e-9) & (far > 1e-6)
        return float(far[met].min()) if met.any() else float("inf")

    def to_the_edge(self, eye: Floats) -> float:
        """How far the floor under a point runs on to the front, where nothing shuts it."""
        floor = eye[2] - ABOVE
        level = (np.abs(self.low[:, 2] - floor) < 1e-3) & (np.abs(self.high[:, 2] - floor) < 1e-3)
        under = level & (self.low[:, 0] <= eye[0]) & (self.high[:, 0] >= eye[0])
        return float(eye[1] - self.low[under, 1].min()) if under.any() else 0.0

    def rim(self, eye: Floats, left: float, right: float) -> float:
        """How high the lower of the two sides of a drawer rises above a point."""
        sides = (np.array([x, eye[1], eye[2]]) for x in (eye[0] - left - 1.0, eye[0] + right + 1.0))
        return min(self.far(side, UP) for side in sides)
