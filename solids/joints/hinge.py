"""Hinge: a leaf that swings on another part, with recesses or cups cut for it.

        ____
       |    |____________
       | B  O   LEAF     |     it turns about the arris of the side `along`
       |    |____________|     and the leaf's face, face first
       |____|
        face

With butt hinges, the leaf stands in its opening: its side `along` and the side of
B that it faces both lose a leaf of the hinge, from the leaf's face inward. With
cup hinges the leaf stands in the opening or lies on B's edge: the leaf is bored
from behind, B gets the screw holes of the plate on its inner side. `count` stand
evenly along the arris, `inset` from the leaf's ends to their middles. How wide
the gap beside the leaf is, a `reveal` says.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import ClassVar

from solids.cuts.hole import Hole
from solids.joints.outcome import Outcome, apart
from solids.joints.patch import distances
from solids.joints.trench import Walls, trench
from solids.model.field import Angle, Count, HardwareName, Length, PartName, SideOf, takes
from solids.model.geometry import AXES, Vector
from solids.model.hardware import Hinge, Plate
from solids.model.motion import Swing
from solids.model.part import Cut, Part
from solids.model.side import SIDES, Side

BESIDE = 6.0  # mm at most between a leaf and what it is hinged to
USUAL_INSET = 80.0  # mm from a leaf's end to a hinge's middle (common practice)
SQUARE = 1e-9


@dataclass(frozen=True, slots=True, kw_only=True)
class HingeJoint:
    """The first of `parts` swings on the second; mm and degrees."""

    kind: ClassVar[str] = "hinge"
    example: ClassVar[str] = "{hinge: [door, side], along: left, with: butts, count: 2, swing: 110}"
    fit: ClassVar[str] = "loose"

    parts: tuple[object, ...] = takes(PartName(many=True), "the leaf, then what it is hinged to", head=True)
    along: Side = takes(SideOf(), "the side of the leaf that the hinges are on")
    with_: Hinge = takes(HardwareName(("hinge",)), "the hinges")
    count: int = takes(Count(least=1), "how many", 2)
    inset: float | None = takes(Length(), "of the outer ones from the leaf's ends; unsaid, 80 or a sixth of it", None)
    swing: float = takes(Angle(most=271), "how far it swings", 90.0)

    def sides(self) -> tuple[tuple[object, ...], tuple[object, ...]]:
        """The names on the two sides of the joint."""
        return self.parts[:1], self.parts[1:]

    def make(self, a: Part, b: Part) -> Outcome:
        """Recesses or cups in both, and how the leaf moves."""
        if self.along.axis == a.blank.face.axis:
            return Outcome(trouble=f"`{self.along}` is a broad face of {a.id}: hinges go along an end or an edge")
        middles = self._middles(a)
        if not middles:
            return Outcome(trouble=f"hinges {self.inset:g} mm from both ends have no room on {a.id}")
        cuts = self._butts(a, b, middles) if self.with_.hinge == "butt" else self._cups(a, b, middles)
        if isinstance(cuts, str):
            return Outcome(trouble=cuts, gap=max(0.0, apart(a, b)))
        return Outcome(a=cuts[0], b=cuts[1], motion=self.motion(a))

    def motion(self, leaf: Part) -> Swing:
        """About the arris of `along` and the leaf's face; the face goes first."""
        blank, into, face = leaf.blank, self.along.inward, leaf.blank.face.outward
        arris = self.along.outward.times(blank.plane(self.along).offset)
        arris = arris.plus(face.times(blank.plane(blank.face).offset))
        return Swing(leaf.frame.point(arris), leaf.frame.direction(into.cross(face)), self.swing)

    def _run(self, leaf: Part) -> int:
        """The leaf's axis that the hinges stand along."""
        return 3 - self.along.axis - leaf.blank.face.axis

    def _middles(self, leaf: Part) -> list[float]:
        """The middle of each hinge along that axis, in mm; none where they have no room."""
        long = leaf.blank.size[self._run(leaf)]
        if self.count == 1:
            return [long / 2 if self.inset is None else self.inset]
        inset = min(USUAL_INSET, long / 6) if self.inset is None else self.inset
        between = (long - 2 * inset) / (self.count - 1)
        return [inset + k * between for k in range(self.count)] if between > 0 else []

    def _butts(self, a: Part, b: Part, middles: list[float]) -> tuple[tuple[Cut, ...], tuple[Cut, ...]] | str:
        """A leaf's room in each, from the plane of the leaf's face inward."""
        side = facing(a, self.along, b)
        if side is None:
            return f"no side of {b.id} faces `{self.along}` of {a.id} within {BESIDE:g} mm, as a butt hinge needs"
        long, wide = self.with_.leaf
        cuts: list[list[Cut]] = [[], []]
        for middle in middles:
            near = self._spot(a, middle - long / 2, 0.0)
            far = self._spot(a, middle + long / 2, wide)
            for part, where, found in ((a, self.along, cuts[0]), (b, side, cuts[1])):
                made = _recess(part, where, a, (near, far), self._run(a), self.with_.leaf_thickness or 0.0)
                if isinstance(made, str):
                    return f"no trench takes the leaf of a hinge in {part.id}: {made}"
                found.append(made)
        return tuple(cuts[0]), tuple(cuts[1])

    def _spot(self, leaf: Part, run: float, behind: float) -> Vector:
        """A point of the leaf's side `along`, in its own axes: so far along the hinges, so far behind its face."""
        face = leaf.blank.face
        p = AXES[self._run(leaf)].times(run).plus(self.along.outward.times(leaf.blank.plane(self.along).offset))
        return p.plus(face.outward.times(leaf.blank.plane(face).offset - behind))

    def _cups(self, a: Part, b: Part, middles: list[float]) -> tuple[tuple[Cut, ...], tuple[Cut, ...]] | str:
        """Cups in the leaf's rear, and the plate's screw holes in the side of B that looks into the opening."""
        hinge, plate = self.with_, self.with_.plate or Plate()
        behind = a.blank.face.opposite
        inner = next((s for s in SIDES if _same_way(a, self.along.inward, b, s.outward)), None)
        if inner is None or (facing(a, self.along, b) is None and facing(a, behind, b) is None):
            return f"{a.id} neither stands beside {b.id} nor lies on it within {BESIDE:g} mm"
        assert hinge.diameter and hinge.depth and hinge.from_edge, "its problems were told"
        cups: list[Cut] = []
        holes: list[Cut] = []
        for middle in middles:
            at = self._spot(a, middle, 0.0).plus(self.along.inward.times(hinge.from_edge + hinge.diameter / 2))
            cups.append(Hole(side=behind, at=distances(at, behind), diameter=hinge.diameter, depth=hinge.depth))
            for k in (-0.5, 0.5):
                spot = self._plate_spot(a, b, middle + k * plate.spacing, plate.setback)
                if not all(-SQUARE <= c <= s + SQUARE for c, s in _without(inner, spot, b)):
                    return f"a plate's screw {plate.setback:g} mm back stands past the edge of {b.id}"
                holes.append(Hole(side=inner, at=distances(spot, inner), diameter=plate.diameter, depth=plate.depth))
        return tuple(cups), tuple(holes)

    def _plate_spot(self, a: Part, b: Part, run: float, setback: float) -> Vector:
        """A plate's screw in B's own axes: so far behind the leaf's rear, or behind B's edge where that lies deeper."""
        spot = b.frame.local_point(a.frame.point(self._spot(a, run, a.blank.thickness)))
        back = b.frame.local_direction(a.frame.direction(a.blank.face.inward))
        front = next((s for s in SIDES if s.inward.dot(back) > 1 - SQUARE), None)
        if front is not None:
            before = front.outward.dot(spot) - b.blank.plane(front).offset  # over 0 where the leaf keeps off B's edge
            spot = spot.plus(back.times(max(0.0, before)))
        return spot.plus(back.times(setback))


def facing(a: Part, side: Side, b: Part) -> Side | None:
    """The side of B that faces one of A's, no further off than a hinge bridges; None where none does."""
    plane = a.side_plane(side)
    for other in SIDES:
        theirs = b.side_plane(other)
        if plane.normal.dot(theirs.normal) < SQUARE - 1 and -SQUARE <= -plane.offset - theirs.offset <= BESIDE:
            return other
    return None


def _same_way(a: Part, of_a: Vector, b: Part, of_b: Vector) -> bool:
    return a.frame.direction(of_a).dot(b.frame.direction(of_b)) > 1 - SQUARE


def _without(side: Side, point: Vector, part: Part) -> Iterator[tuple[float, float]]:
    """The coordinates of a point beside a side, each with the blank's size that way."""
    return ((point[i], part.blank.size[i]) for i in range(3) if i != side.axis)


def _recess(part: Part, side: Side, leaf: Part, corners: tuple[Vector, Vector], run: int, depth: float) -> Cut | str:
    """The room of a hinge's leaf in a side of a part, between two opposite corners given in the leaf's own axes."""
    near, far = (part.frame.local_point(leaf.frame.point(c)) for c in corners)
    normal = part.frame.local_direction(leaf.frame.direction(AXES[run]))
    walls = Walls(normal, normal.dot(near), normal.dot(far))
    inward = part.frame.local_direction(leaf.frame.direction(leaf.blank.face.inward))
    axis = max(range(3), key=lambda i: abs(inward[i]))
    ends = sorted((near[axis], far[axis]))
    return trench(part.blank, side, walls, depth, (ends[0], ends[1]))
