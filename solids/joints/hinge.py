"""Hinge: a leaf that swings on another part, with recesses or cups cut for it.

        ____
       |    |____________
       | B  O   LEAF     |     it turns about the arris of the side `along`
       |    |____________|     and the leaf's face, face first
       |____|
        face

With butt hinges the leaf stands in its opening: its side `along` and the side of
B that it faces both lose a leaf of the hinge, from the leaf's face inward. Or it
lies on B's edge, as a lid on a chest: its rear and that edge lose them, from its
side `along` inward, and it turns about the arris behind. Each leaf is let in by
its thickness, or by `let_in`; so closed, they keep the two as far apart as the
hinge is thick, less both. With cup hinges the leaf stands in the opening or lies
on B's edge: it is bored from behind, B gets the screw holes of the plate on its
inner side. `count` stand evenly along the arris, `inset` from the leaf's ends to
their middles. A side that was mitered across the face, as of a door in a leaning
case, has its hinges along the miter. How wide the gap beside the leaf is to look, a `reveal` says.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import ClassVar, NamedTuple

from solids.cuts.hole import Hole
from solids.joints.leaf_edge import LeafEdge
from solids.joints.outcome import Outcome, apart
from solids.joints.patch import distances
from solids.joints.trench import Walls, trench
from solids.model.field import Angle, Count, HardwareName, Length, PartName, SideOf, takes
from solids.model.geometry import Plane, Vector
from solids.model.hardware import Hinge, Plate
from solids.model.motion import Swing
from solids.model.part import Cut, Part
from solids.model.side import SIDES, Side

BESIDE = 6.0  # mm at most between a leaf and what it is hinged to
USUAL_INSET = 80.0  # mm from a leaf's end to a hinge's middle (common practice)
SQUARE = 1e-9
NEAR = 1e-6  # mm


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
    let_in: float | None = takes(Length(zero=True), "of a butt: how deep each leaf; unsaid, its thickness", None)
    swing: float = takes(Angle(most=271), "how far it swings", 90.0)

    def sides(self) -> tuple[tuple[object, ...], tuple[object, ...]]:
        """The names on the two sides of the joint."""
        return self.parts[:1], self.parts[1:]

    def problems(self) -> Iterator[tuple[str, str]]:
        """A cup is let in by its own depth: which field, and why."""
        if self.let_in is not None and self.with_.hinge == "cup":
            yield "let_in", f"`{self.with_.name}` is let in by the `depth` of its cup; leave `let_in` out"

    @property
    def gap(self) -> float | None:
        """How far butts that are let into neither keep the two apart, in mm; of others their cuts say it."""
        return self.with_.stack if self.with_.hinge == "butt" and self.let_in == 0 else None

    def make(self, a: Part, b: Part) -> Outcome:
        """Recesses or cups in both, and how the leaf moves."""
        if self.along.axis == a.blank.face.axis:
            return Outcome(trouble=f"`{self.along}` is a broad face of {a.id}: hinges go along an end or an edge")
        edge = LeafEdge.of(a, self.along)
        middles = self._middles(edge)
        if not middles:
            return Outcome(trouble=f"hinges {self.inset:g} mm from both ends have no room on {a.id}")
        cuts = self._butts(edge, b, middles) if self.with_.hinge == "butt" else self._cups(edge, b, middles)
        if isinstance(cuts, str):
            return Outcome(trouble=cuts, gap=max(0.0, apart(a, b)))
        lies_on = self.with_.hinge == "butt" and facing(edge.plane(), b) is None
        return Outcome(a=cuts[0], b=cuts[1], motion=self.motion(edge, lies_on))

    def motion(self, edge: LeafEdge, lies_on: bool) -> Swing:
        """About the arris of `along` and the face, or the rear where it `lies_on` the other; the face goes first."""
        leaf = edge.leaf
        arris = edge.spot(0.0, leaf.blank.thickness if lies_on else 0.0)
        axis = edge.out.times(-1.0).cross(leaf.blank.face.outward)
        return Swing(leaf.frame.point(arris), leaf.frame.direction(axis), self.swing)

    def _middles(self, edge: LeafEdge) -> list[float]:
        """The middle of each hinge along the edge, in mm; none where they have no room."""
        if self.count == 1:
            return [edge.long / 2 if self.inset is None else self.inset]
        inset = min(USUAL_INSET, edge.long / 6) if self.inset is None else self.inset
        between = (edge.long - 2 * inset) / (self.count - 1)
        return [inset + k * between for k in range(self.count)] if between > 0 else []

    def _butts(self, edge: LeafEdge, b: Part, middles: list[float]) -> tuple[tuple[Cut, ...], tuple[Cut, ...]] | str:
        """A leaf's room in each: from the plane of the leaf's face inward; where it lies on B, from its edge inward."""
        a, behind = edge.leaf, edge.leaf.blank.face.opposite
        beside, under = facing(edge.plane(), b), facing(edge.leaf.side_plane(behind), b)
        theirs = under if beside is None else beside
        if theirs is None:
            return f"no side of {b.id} faces `{self.along}` or the rear of {a.id} within {BESIDE:g} mm"
        deep = self.with_.leaf_thickness if self.let_in is None else self.let_in
        cuts: list[list[Cut]] = [[], []]
        for middle in middles if deep else ():
            leaf = self._leaf_at(edge, middle, lies_on=beside is None)
            if beside is None and not _on_side(theirs, leaf.seen_by(b)[1], b):
                return f"a leaf {self.with_.leaf[1]:g} mm wide has no room where {a.id} lies on {b.id}"
            for part, where, found in ((a, self.along if beside else behind, cuts[0]), (b, theirs, cuts[1])):
                made = self._recess(part, where, leaf, deep or 0.0)
                if isinstance(made, str):
                    return f"no trench takes the leaf of a hinge in {part.id}: {made}"
                found.append(made)
        return tuple(cuts[0]), tuple(cuts[1])

    def _leaf_at(self, edge: LeafEdge, middle: float, *, lies_on: bool) -> _HingeLeaf:
        """One leaf of a butt, where it is let into the door's edge, or into its rear."""
        long, wide = self.with_.leaf
        low, high = middle - long / 2, middle + long / 2
        if not lies_on:
            return _HingeLeaf(edge, edge.spot(low, 0.0), edge.spot(high, wide), edge.leaf.blank.face.inward)
        rear = edge.leaf.blank.thickness
        inward = edge.out.times(-1.0)
        return _HingeLeaf(edge, edge.spot(low, rear), edge.spot(high, rear).plus(inward.times(wide)), inward)

    def _recess(self, part: Part, side: Side, leaf: _HingeLeaf, depth: float) -> Cut | str:
        """The room of a hinge's leaf in a side of a part."""
        edge = leaf.edge
        if part is edge.leaf and edge.sawn and side is self.along:
            low, high = (edge.way.dot(p.minus(edge.start)) for p in (leaf.near, leaf.far))
            return edge.pocket(low, high, depth, self.with_.leaf[1])
        near, far = leaf.seen_by(part)
        normal, inward = (part.frame.local_direction(edge.leaf.frame.direction(d)) for d in (edge.way, leaf.across))
        walls = Walls(normal, normal.dot(near), normal.dot(far))
        axis = max(range(3), key=lambda i: abs(inward[i]))
        ends = sorted((near[axis], far[axis]))
        return trench(part.blank, side, walls, depth, (ends[0], ends[1]))

    def _cups(self, edge: LeafEdge, b: Part, middles: list[float]) -> tuple[tuple[Cut, ...], tuple[Cut, ...]] | str:
        """Cups in the leaf's rear, and the plate's screw holes in the side of B that looks into the opening."""
        a, hinge, plate = edge.leaf, self.with_, self.with_.plate or Plate()
        behind, inward = a.blank.face.opposite, edge.out.times(-1.0)
        inner = next((s for s in SIDES if _same_way(a, inward, b, s.outward)), None)
        if inner is None or (facing(edge.plane(), b) is None and facing(a.side_plane(behind), b) is None):
            return f"{a.id} neither stands beside {b.id} nor lies on it within {BESIDE:g} mm"
        assert hinge.diameter and hinge.depth and hinge.from_edge, "its problems were told"
        cups: list[Cut] = []
        holes: list[Cut] = []
        for middle in middles:
            at = edge.spot(middle, 0.0).plus(inward.times(hinge.from_edge + hinge.diameter / 2))
            cups.append(Hole(side=behind, at=distances(at, behind), diameter=hinge.diameter, depth=hinge.depth))
            for k in (-0.5, 0.5):
                spot = _plate_spot(edge, b, middle + k * plate.spacing, plate.setback)
                if not _on_side(inner, spot, b):
                    return f"a plate's screw {plate.setback:g} mm back stands past the edge of {b.id}"
                holes.append(Hole(side=inner, at=distances(spot, inner), diameter=plate.diameter, depth=plate.depth))
        return tuple(cups), tuple(holes)


class _HingeLeaf(NamedTuple):
    """A leaf of a butt by two opposite corners, in the door's own axes, and the direction across it."""

    edge: LeafEdge
    near: Vector
    far: Vector
    across: Vector

    def seen_by(self, part: Part) -> tuple[Vector, Vector]:
        """Its corners in a part's own axes."""
        frame = self.edge.leaf.frame
        return part.frame.local_point(frame.point(self.near)), part.frame.local_point(frame.point(self.far))


def _plate_spot(edge: LeafEdge, b: Part, run: float, setback: float) -> Vector:
    """A plate's screw in B's own axes: so far behind the leaf's rear, or behind B's edge where that lies deeper."""
    a = edge.leaf
    spot = b.frame.local_point(a.frame.point(edge.spot(run, a.blank.thickness)))
    back = b.frame.local_direction(a.frame.direction(a.blank.face.inward))
    front = next((s for s in SIDES if s.inward.dot(back) > 1 - SQUARE), None)
    if front is not None:
        before = front.outward.dot(spot) - b.blank.plane(front).offset  # over 0 where the leaf keeps off B's edge
        spot = spot.plus(back.times(max(0.0, before)))
    return spot.plus(back.times(setback))


def facing(plane: Plane, b: Part) -> Side | None:
    """The side of B that faces a plane, no further off than a hinge bridges; None where none does."""
    for other in SIDES:
        theirs = b.side_plane(other)
        if plane.normal.dot(theirs.normal) < SQUARE - 1 and -NEAR <= -plane.offset - theirs.offset <= BESIDE:
            return other
    return None


def _same_way(a: Part, of_a: Vector, b: Part, of_b: Vector) -> bool:
    return a.frame.direction(of_a).dot(b.frame.direction(of_b)) > 1 - SQUARE


def _on_side(side: Side, point: Vector, part: Part) -> bool:
    """Whether a point beside a side of a blank is over it, in the part's own axes."""
    beside = ((point[i], part.blank.size[i]) for i in range(3) if i != side.axis)
    return all(-NEAR <= at <= size + NEAR for at, size in beside)
