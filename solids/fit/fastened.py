"""What fastens parts: the holes of bolts, screws and dowels and the mortises of loose tenons, as they are cut.

All is measured on the cuts where they stand, whoever wrote them; the joint only
says which belong together.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from solids.cuts import SAWN
from solids.cuts.hole import Hole
from solids.cuts.mortise import Mortise
from solids.cuts.shapes import OVER
from solids.model.geometry import ORIGIN, Bore, Plane, Prism, Vector
from solids.model.hardware import Bolt, Hardware, Screw
from solids.model.part import Made, Part
from solids.model.piece import Joint, Piece
from solids.model.side import SIDES, Side

FASTENED = ("bolt", "dowel", "screw", "loose_tenon")  # joints that pull or pin two parts against each other
MADE_FOR_HARDWARE = (*FASTENED, "hinge")
PARALLEL = 0.9  # cosine between two axes that are meant to be one


@dataclass(frozen=True, slots=True)
class Drilled:
    """A hole or a pocket in the room: from `start` on its side along `axis`, into the wood; mm.

    `depth` is None where it goes through; `sunk` is a counterbore's depth;
    `slot` leads to the middle of its other end.
    """

    part: int
    made: Made
    side: Side
    start: Vector
    axis: Vector
    diameter: float
    depth: float | None
    sunk: float = 0.0
    slot: Vector = ORIGIN

    def below(self, depth: float) -> Vector:
        """The point of its axis that far below its side."""
        return self.start.plus(self.axis.times(depth))

    def off_axis(self, point: Vector) -> float:
        """How far a point is from its axis, or from the strip that the axis of a slot sweeps; mm."""
        off = point.minus(self.start)
        off = off.minus(self.axis.times(off.dot(self.axis)))
        long = self.slot.dot(self.slot)
        if long:
            off = off.minus(self.slot.times(min(1.0, max(0.0, off.dot(self.slot) / long))))
        return off.length()


@dataclass(frozen=True, slots=True)
class Fastening:
    """What one fastener goes through: `a` in the joint's first part, `b` in its second, None where that has none.

    `nut` is the bore of a cross dowel; `ware` the bolt or screw, None for a dowel or a tenon.
    """

    joint: Joint
    a: Drilled
    b: Drilled | None
    nut: Drilled | None
    ware: Bolt | Screw | None


def cuts_for_hardware(piece: Piece) -> set[tuple[int, str]]:
    """Cuts that joints with hardware, pins or loose tenons made, by part number and name."""
    number = {p.id: i for i, p in enumerate(piece.parts)}
    return {(number[p], cut) for j in piece.joints if j.kind in MADE_FOR_HARDWARE for p, cut in j.cuts}


def fastenings(piece: Piece) -> tuple[Fastening, ...]:
    """Every fastener of every joint, in the order of the joints."""
    return tuple(f for joint in piece.joints if joint.kind in FASTENED for f in _of_joint(piece, joint))


def _of_joint(piece: Piece, joint: Joint) -> Iterator[Fastening]:
    """The holes of the first part, each with the one of the second that is nearest to its line and not yet taken."""
    number = {p.id: i for i, p in enumerate(piece.parts)}
    ours = list(_drilled_by(piece, joint, number[joint.a]))
    theirs = list(_drilled_by(piece, joint, number[joint.b]))
    ware = _ware(piece.hardware.get(joint.hardware))
    if not ours:
        return
    left = [d for d in theirs if abs(d.axis.dot(ours[0].axis)) > PARALLEL]
    nuts = [d for d in theirs if d not in left]
    for a in ours:
        b = min(left, key=lambda d: round(a.off_axis(d.start), 6), default=None)
        if b is not None:
            left.remove(b)
        nut = min(nuts, key=lambda d: round(_between_axes(d, b or a), 6), default=None)
        if nut is not None:
            nuts.remove(nut)
        yield Fastening(joint, a, b, nut, ware)


def _ware(found: Hardware | None) -> Bolt | Screw | None:
    return found if isinstance(found, Bolt | Screw) else None


def _drilled_by(piece: Piece, joint: Joint, part: int) -> Iterator[Drilled]:
    for id_, name in joint.cuts:
        owner = piece.parts[part]
        made = owner.cut_named(name) if id_ == owner.id else None
        if made is not None:
            yield from drilled(part, owner, made)


def drilled(number: int, part: Part, made: Made) -> Iterator[Drilled]:
    """Every hole or pocket of a cut, its row told out, in the room; none of any other cut."""
    cut, frame = made.cut, part.frame
    if isinstance(cut, Mortise):
        for waste in cut.waste(part.blank):
            assert isinstance(waste, Prism)
            yield Drilled(
                number, made, cut.side, frame.point(_mouth(waste)), frame.direction(cut.side.inward),
                min(cut.size), cut.depth,
            )  # fmt: skip
    if isinstance(cut, Hole):
        slot = cut.slot.toward.outward.times(cut.slot.length - cut.diameter) if cut.slot else ORIGIN
        plain = replace(cut, counterbore=None, countersink=None, slot=None)
        for bore in plain.waste(part.blank):
            assert isinstance(bore, Bore)
            start = _on_side(bore, part.blank.plane(cut.side))
            yield Drilled(
                number, made, cut.side, frame.point(start), frame.direction(bore.axis), cut.diameter, cut.depth,
                cut.counterbore.depth if cut.counterbore else 0.0, frame.direction(slot),
            )  # fmt: skip


def _mouth(pocket: Prism) -> Vector:
    """The middle of a pocket's mouth, in the blank's own axes."""
    a = [c.a for c in pocket.outline]
    b = [c.b for c in pocket.outline]
    return pocket.frame.point(Vector((min(a) + max(a)) / 2, (min(b) + max(b)) / 2, OVER))


def _on_side(bore: Bore, side: Plane) -> Vector:
    """Where a bore's axis goes through the side that it is drilled into."""
    t = (side.offset - side.normal.dot(bore.start)) / side.normal.dot(bore.axis)
    return bore.start.plus(bore.axis.times(t))


def _between_axes(one: Drilled, other: Drilled) -> float:
    """The least distance between the lines of two axes, in mm."""
    square = one.axis.cross(other.axis)
    if square.length() < 1e-9:
        return other.off_axis(one.start)
    return abs(one.start.minus(other.start).dot(square.unit()))


def nut_distance(nut: Drilled, bolt: Drilled) -> float:
    """How far below a bolt hole's side the axis of a cross dowel passes it, in mm along the hole."""
    u, v = bolt.axis, nut.axis
    w = nut.start.minus(bolt.start)
    b = u.dot(v)
    return (w.dot(u) - b * w.dot(v)) / (1 - b * b)


def nut_off(nut: Drilled, bolt: Drilled) -> float:
    """How far the axis of a cross dowel passes that of its bolt by, in mm."""
    return _between_axes(nut, bolt)


# How much wood there is -------------------------------------------------------------------------


def outer_planes(part: Part) -> Iterator[Plane]:
    """The sides of the blank and the planes that it is sawn off at, in its own axes, looking out."""
    for side in SIDES:
        yield part.blank.plane(side, name=str(side))
    for made in part.cuts:
        for waste in made.cut.waste(part.blank) if made.cut.kind in SAWN else ():
            if isinstance(waste, Plane):
                yield Plane(waste.normal, waste.offset, made.name)


def wood_before(part: Part, start: Vector, axis: Vector) -> float:
    """How far a line from `start` along `axis`, both in the room, runs before it is out of the sawn blank; mm."""
    point, way = part.frame.local_point(start), part.frame.local_direction(axis)
    found = [
        (p.offset - p.normal.dot(point)) / slope for p in outer_planes(part) if (slope := p.normal.dot(way)) > 1e-6
    ]
    return min(found)


def skin(part: Part, hole: Drilled, depth: float) -> tuple[float, str]:
    """The least wood past the floor of a hole, or beside its wall there, in mm, and towards which side."""
    end, way = part.frame.local_point(hole.below(depth)), part.frame.local_direction(hole.axis)
    found = []
    for p in outer_planes(part):
        slope = p.normal.dot(way)
        if slope > 1e-6:
            radius = hole.diameter / 2 * max(0.0, 1 - slope * slope) ** 0.5
            found.append((p.offset - p.normal.dot(end) - radius, p.name))
    return min(found)
