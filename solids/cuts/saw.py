"""Bevel, miter, compound: one straight saw cut across a part.

    bevel                 miter                  compound
    long face             seen on the face       both at once
    +-----------/         +-----------+ long     the trace on the long face
    |          /  tilt    |          /  edge     is `angle` from square, the
    +---------/           |         / angle      blade leans by `tilt` square
                          +--------/             to that trace

The cut goes through the arris (bevel, miter) or the corner (compound) that
stays long: `long` names the broad face, the edge, or both. Angles are measured
from square. `inset` moves the whole cut in, so far from the side to the long
point. A tilt over 45 is cut on edge against a tall fence at the complement.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import ClassVar

from solids.model.field import Angle, CornerOf, Length, Name, SideOf, takes
from solids.model.geometry import Plane, Vector, Waste
from solids.model.part import Blank, Problem
from solids.model.side import Side


def slanted(blank: Blank, side: Side, edge: Side, face: Side, angle: float, tilt: float, inset: float) -> Plane:
    """The plane through the long corner of `side`, `edge` and `face`, `inset` in; degrees and mm."""
    a, t = math.radians(angle), math.radians(tilt)
    trace_normal = side.outward.times(math.cos(a)).plus(edge.inward.times(math.sin(a)))
    normal = trace_normal.times(math.cos(t)).plus(face.inward.times(math.sin(t)))
    corner = [0.0, 0.0, 0.0]
    for s in (side, edge, face):
        corner[s.axis] = blank.size[s.axis] if s.sign > 0 else 0.0
    corner[side.axis] -= side.sign * inset
    return Plane.through(Vector(*corner), normal)


@dataclass(frozen=True, slots=True, kw_only=True)
class Bevel:
    """The far broad face is shorter by thickness x tan(tilt)."""

    kind: ClassVar[str] = "bevel"
    example: ClassVar[str] = "{bevel: right, tilt: 30, long: top}"

    side: Side = takes(SideOf(("end", "edge")), "the end or edge that is cut", head=True)
    tilt: float = takes(Angle(closed=True), "from square to the face")
    long: Side = takes(SideOf(("face",)), "the broad face that stays long")
    inset: float = takes(Length(zero=True), "from the side to the long point", 0.0)
    name: str = takes(Name(), "what it is called", "")

    def problems(self, blank: Blank) -> Iterator[Problem]:
        """Nothing that its fields do not say already."""
        return iter(())

    def plane(self, blank: Blank) -> Plane:
        """Where the saw goes, looking at the waste."""
        edge = blank.edges[0] if self.side in blank.ends else blank.ends[0]
        return slanted(blank, self.side, edge, self.long, 0.0, self.tilt, self.inset)

    def waste(self, blank: Blank) -> tuple[Waste, ...]:
        """All that lies beyond the plane."""
        return (self.plane(blank),)


@dataclass(frozen=True, slots=True, kw_only=True)
class Miter:
    """The far edge is shorter by width x tan(angle)."""

    kind: ClassVar[str] = "miter"
    example: ClassVar[str] = "{miter: right, angle: 30, long: front}"

    side: Side = takes(SideOf(("end",)), "the end that is cut", head=True)
    angle: float = takes(Angle(), "from a square cut, seen on the face")
    long: Side = takes(SideOf(("edge",)), "the edge that stays long")
    inset: float = takes(Length(zero=True), "from the end to the long point", 0.0)
    name: str = takes(Name(), "what it is called", "")

    def problems(self, blank: Blank) -> Iterator[Problem]:
        """Nothing that its fields do not say already."""
        return iter(())

    def plane(self, blank: Blank) -> Plane:
        """Where the saw goes, looking at the waste."""
        return slanted(blank, self.side, self.long, blank.broad[0], self.angle, 0.0, self.inset)

    def waste(self, blank: Blank) -> tuple[Waste, ...]:
        """All that lies beyond the plane."""
        return (self.plane(blank),)


@dataclass(frozen=True, slots=True, kw_only=True)
class Compound:
    """An angled cut with a tilted blade; `long` is an edge and a broad face."""

    kind: ClassVar[str] = "compound"
    example: ClassVar[str] = "{compound: right, angle: 30, tilt: 10, long: [front, top]}"

    side: Side = takes(SideOf(("end",)), "the end that is cut", head=True)
    angle: float = takes(Angle(), "of its trace on the long face, from a square cut")
    tilt: float = takes(Angle(), "of the blade, from square to the face")
    long: tuple[Side, Side] = takes(CornerOf(), "the corner that stays long")
    inset: float = takes(Length(zero=True), "from the end to the long point", 0.0)
    name: str = takes(Name(), "what it is called", "")

    def problems(self, blank: Blank) -> Iterator[Problem]:
        """`long` must be an edge and then a broad face."""
        edge, face = self.long
        if edge not in blank.edges or face not in blank.broad:
            told = f"an edge and a broad face: one of `{blank.edges[0]}`, `{blank.edges[1]}`"
            yield "long", f"{told}, then `{blank.broad[0]}` or `{blank.broad[1]}`"

    def plane(self, blank: Blank) -> Plane:
        """Where the saw goes, looking at the waste."""
        edge, face = self.long
        return slanted(blank, self.side, edge, face, self.angle, self.tilt, self.inset)

    def waste(self, blank: Blank) -> tuple[Waste, ...]:
        """All that lies beyond the plane."""
        return (self.plane(blank),)


def sawn(blank: Blank, side: Side, plane: Plane, name: str = "") -> Bevel | Miter | Compound | None:
    """The saw cut at `side` that makes a plane of the blank's own axes; None where no cut there can.

    Raises nothing; the plane must look outward at `side`.
    """
    n = plane.normal
    along = n.dot(side.outward)
    if along <= 1e-9 or side in blank.broad:
        return None
    across_axis = blank.across if side in blank.ends else blank.grain
    c_edge, c_face = n[across_axis], n[blank.face.axis]
    tilt = math.degrees(math.asin(min(1.0, abs(c_face))))
    angle = math.degrees(math.atan2(abs(c_edge), along))
    edge = next(s for s in Side if s.axis == across_axis and s.sign * c_edge <= 0)
    face = next(s for s in blank.broad if s.sign * c_face <= 0)
    inset = _inset(blank, side, edge, face, plane)
    angle, tilt = (0.0 if v < 1e-9 else v for v in (angle, tilt))
    if angle and side in blank.edges:
        return None
    if not angle:
        return Bevel(side=side, tilt=tilt, long=face, inset=inset, name=name)
    if not tilt:
        return Miter(side=side, angle=angle, long=edge, inset=inset, name=name)
    return Compound(side=side, angle=angle, tilt=tilt, long=(edge, face), inset=inset, name=name)


def _inset(blank: Blank, side: Side, edge: Side, face: Side, plane: Plane) -> float:
    """How far in from the side the plane crosses the arris of edge and face; 0 where that is noise."""
    corner = [0.0, 0.0, 0.0]
    for s in (side, edge, face):
        corner[s.axis] = blank.size[s.axis] if s.sign > 0 else 0.0
    beyond = plane.normal.dot(Vector(*corner)) - plane.offset
    inset = beyond / plane.normal.dot(side.outward)
    return 0.0 if abs(inset) < 1e-9 else inset
