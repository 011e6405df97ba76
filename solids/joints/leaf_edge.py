"""The edge of a door or a lid that hinges stand along: a side of its blank, or where that was mitered off."""

from __future__ import annotations

from dataclasses import dataclass

from solids.cuts.cutout import Cutout
from solids.cuts.saw import Miter
from solids.model.geometry import AXES, Corner, Plane, Vector
from solids.model.part import Part
from solids.model.side import Side

PAST = 1.0  # mm that a recess runs out beyond a mitered edge
IN_PLANE = 1e-9


@dataclass(frozen=True, slots=True)
class LeafEdge:
    """In the leaf's own axes: from `start`, on its face, `way` along it and `out` of the leaf, `long` mm.

    `sawn` where a miter made it.
    """

    leaf: Part
    start: Vector
    way: Vector
    out: Vector
    long: float
    sawn: bool

    @classmethod
    def of(cls, leaf: Part, along: Side) -> LeafEdge:
        """The edge at a side that is no broad face."""
        blank = leaf.blank
        run = AXES[3 - along.axis - blank.face.axis]
        plane = _mitered(leaf, along)
        if plane is None:
            plain = blank.plane(along)
            start = along.outward.times(plain.offset).plus(_on_face(leaf))
            return cls(leaf, start, run, along.outward, blank.size[3 - along.axis - blank.face.axis], False)
        way = run.minus(plane.normal.times(plane.normal.dot(run))).unit()
        point = plane.normal.times(plane.offset).plus(_on_face(leaf))
        low, high = _within(leaf, point, way)
        return cls(leaf, point.plus(way.times(low)), way, plane.normal, high - low, True)

    def spot(self, run: float, behind: float) -> Vector:
        """So far along the edge, so far behind the leaf's face."""
        return self.start.plus(self.way.times(run)).plus(self.leaf.blank.face.inward.times(behind))

    def plane(self) -> Plane:
        """The edge as a plane of the room, looking out of the leaf."""
        return Plane(self.out, self.out.dot(self.start)).moved(self.leaf.frame)

    def pocket(self, low: float, high: float, deep: float, behind: float) -> Cutout:
        """What lets a hinge's leaf into a mitered edge: from the face, `behind` it, so deep into the edge."""
        ends = [self.spot(low, 0.0), self.spot(high, 0.0)]
        outer = [p.plus(self.out.times(PAST)) for p in ends]
        if not all(_is_over(self.leaf, p) for p in outer):
            outer = ends
        inner = [p.minus(self.out.times(deep)) for p in reversed(ends)]
        blank = self.leaf.blank
        outline = tuple(Corner(p[blank.grain], p[blank.across]) for p in (*outer, *inner))
        turns = sum(p.a * q.b - q.a * p.b for p, q in zip(outline, (*outline[1:], outline[0]), strict=True))
        return Cutout(side=blank.face, outline=outline if turns > 0 else outline[::-1], depth=behind)


def _mitered(leaf: Part, along: Side) -> Plane | None:
    """The plane of a miter across the face at a side; None where there is none."""
    for made in leaf.cuts:
        if isinstance(made.cut, Miter) and made.cut.side is along:
            planes = [w for w in made.cut.waste(leaf.blank) if isinstance(w, Plane)]
            if planes and abs(planes[0].normal.dot(leaf.blank.face.outward)) < IN_PLANE:
                return planes[0]
    return None


def _on_face(leaf: Part) -> Vector:
    face = leaf.blank.face
    return face.outward.times(leaf.blank.plane(face).offset)


def _within(leaf: Part, point: Vector, way: Vector) -> tuple[float, float]:
    """From where to where a line along the face lies over the blank."""
    low, high = -1e9, 1e9
    for axis in range(3):
        if abs(way[axis]) > IN_PLANE and axis != leaf.blank.face.axis:
            ends = sorted((-point[axis] / way[axis], (leaf.blank.size[axis] - point[axis]) / way[axis]))
            low, high = max(low, ends[0]), min(high, ends[1])
    return low, high


def _is_over(leaf: Part, point: Vector) -> bool:
    return all(0 <= point[i] <= leaf.blank.size[i] for i in range(3) if i != leaf.blank.face.axis)
