"""A part as it lies on the drawing: x along the grain, y across, z out of the face that most is done to."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Literal, NamedTuple, TypeAlias

from solids.cuts.shapes import At, span
from solids.kernel.solid import box
from solids.model.geometry import AXES, STILL, Frame, Plane, Vector
from solids.model.part import Part
from solids.model.side import SIDES, Side

Way: TypeAlias = tuple[int, int]  # an axis of the drawing, and -1 or 1
RIGHT, LEFT, UP, DOWN, NEAR, FAR = (0, 1), (0, -1), (1, 1), (1, -1), (2, 1), (2, -1)
ViewName = Literal["face", "other face", "lower edge", "upper edge", "left end", "right end"]


class Seen(NamedTuple):
    """How a part is looked at: from which way, and which ways lie to the right and up."""

    name: ViewName
    toward: Vector
    right: Vector
    up: Vector
    column: int
    row: int

    def flat(self, p: Sequence[float]) -> tuple[float, float]:
        """A point of the drawing's axes on this view."""
        q = Vector(*p)
        return self.right.dot(q), self.up.dot(q)

    def along(self, axis: int, value: float) -> float:
        """A coordinate along an axis of the drawing, along that of the view."""
        x, y = self.flat([value if i == axis else 0.0 for i in range(3)])
        return x if axis == self.axes()[0] else y

    def axes(self) -> tuple[int, int]:
        """The axes that run across and up in this view."""
        return _axis_of(self.right), _axis_of(self.up)


def _axis_of(v: Vector) -> int:
    return next(i for i in range(3) if abs(v[i]) > 0.5)


def _v(x: float, y: float, z: float) -> Vector:
    return Vector(float(x), float(y), float(z))


# Unfolded from the face as third angle lays them: what is seen from below the face stands below it, and the
# far side of the wood below that. First angle puts every row and column on the other side.
SEEN: dict[Way, Seen] = {
    NEAR: Seen("face", _v(0, 0, 1), _v(1, 0, 0), _v(0, 1, 0), 0, 0),
    DOWN: Seen("lower edge", _v(0, -1, 0), _v(1, 0, 0), _v(0, 0, 1), 0, -1),
    UP: Seen("upper edge", _v(0, 1, 0), _v(1, 0, 0), _v(0, 0, -1), 0, 1),
    RIGHT: Seen("right end", _v(1, 0, 0), _v(0, 0, -1), _v(0, 1, 0), 1, 0),
    LEFT: Seen("left end", _v(-1, 0, 0), _v(0, 0, 1), _v(0, 1, 0), -1, 0),
    FAR: Seen("other face", _v(0, 0, -1), _v(1, 0, 0), _v(0, -1, 0), 0, -2),
}


@dataclass(frozen=True, slots=True)
class Board:
    """`axes` are the drawing's in the blank's own; `low` and `high` bound the finished part; mm."""

    part: Part
    axes: Frame
    size: Vector
    low: Vector
    high: Vector

    def point(self, p: Vector) -> Vector:
        """A point of the blank's axes in the drawing's."""
        return self.axes.local_point(p)

    def direction(self, v: Vector) -> Vector:
        return self.axes.local_direction(v)

    def plane(self, p: Plane) -> Plane:
        """A plane of the blank's axes in the drawing's."""
        return p.moved(STILL.seen_from(self.axes))

    def way(self, side: Side) -> Way:
        """Where a side of the blank looks in the drawing."""
        out = self.direction(side.outward)
        axis = _axis_of(out)
        return axis, 1 if out[axis] > 0 else -1

    def side(self, way: Way) -> Side:
        """The maker's word for the side that looks that way."""
        return next(s for s in SIDES if self.way(s) == way)

    def coordinate(self, side: Side, distance: float) -> float:
        """The place so far in from a side of the blank, along its axis of the drawing."""
        axis, sign = self.way(side)
        return distance if sign < 0 else self.size[axis] - distance

    def span(self, at: At, axis: int, size: float) -> tuple[float, float]:
        """Where something so wide begins and ends along an axis of the drawing, as `at` places it on the blank."""
        low = self.side((axis, -1))
        return span(self.part.blank, at, low, size)

    def solid_frame(self) -> Frame:
        """The frame that takes the solid from the bench to the drawing."""
        return self.part.blank.bench().seen_from(self.axes)


def board_of(part: Part, solid: Any, worked: Mapping[Side, int]) -> Board:
    """The part laid for drawing: of its broad sides the one that most is done to looks at the reader."""
    blank = part.blank
    face = blank.face if worked.get(blank.face, 0) >= worked.get(blank.face.opposite, 0) else blank.face.opposite
    x, z = AXES[blank.grain], face.outward
    y = z.cross(x)
    origin = Vector(*(blank.size[i] if (x[i] + y[i] + z[i]) < 0 else 0.0 for i in range(3)))
    axes = Frame(x, y, z, origin)
    size = Vector(blank.length, blank.width, blank.thickness)
    low, high = _extents(solid, blank.bench().seen_from(axes))
    return Board(part, axes, size, low, high)


def _extents(solid: Any, frame: Frame) -> tuple[Vector, Vector]:
    """The finished part's box in the drawing's axes, free of rounding noise."""
    a, b = (frame.point(corner) for corner in box(solid))
    low = Vector(*(round(min(p, q), 6) + 0.0 for p, q in zip(a, b, strict=True)))
    high = Vector(*(round(max(p, q), 6) + 0.0 for p, q in zip(a, b, strict=True)))
    return low, high


def beside(axis: int) -> tuple[int, int]:
    """The two other axes."""
    a, b = (i for i in range(3) if i != axis)
    return a, b
