"""Hole: round, square to a side or tilted, with a counterbore, a countersink or as a slot.

        at
    |<------>|
    +------+ : +-------  side
    |      | : |   ^
    |      | : |   | depth, along the axis, to the full diameter
    |      +---+   v
    +------------------

`at` is the distance to its centre, on the side. `tilt` leans the axis `toward`
a side as it goes in. Without `depth` it goes through. A `slot` is so long over
all and runs from the hole `toward` a side.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import ClassVar

from solids.cuts.row import Row
from solids.cuts.shapes import OVER, At, at_problems, in_row, span, square_to, sunk
from solids.model.field import Angle, Length, Name, Record, SideOf, takes
from solids.model.field import At as AtKind
from solids.model.geometry import Bore, Corner, Vector, Waste
from solids.model.part import Blank, Problem
from solids.model.side import Side, sides_of


@dataclass(frozen=True, slots=True, kw_only=True)
class Counterbore:
    """A wider hole for a head or a washer; mm."""

    diameter: float = takes(Length(), "of the wider hole")
    depth: float = takes(Length(), "of the wider hole")


@dataclass(frozen=True, slots=True, kw_only=True)
class Countersink:
    """A cone for a screw's head: `diameter` at the surface, `angle` from side to side."""

    diameter: float = takes(Length(), "at the surface")
    angle: float = takes(Angle(least=10, most=170), "from side to side of the cone", 90.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Slot:
    """A hole drawn out: `length` over all, in mm."""

    length: float = takes(Length(), "over all")
    toward: Side = takes(SideOf(), "the side that it runs toward")


@dataclass(frozen=True, slots=True, kw_only=True)
class Hole:
    """A round hole in `side`; mm and degrees."""

    kind: ClassVar[str] = "hole"
    example: ClassVar[str] = "{hole: top, at: {left: 50, front: 37}, diameter: 10, depth: 15}"

    side: Side = takes(SideOf(), "the side that it is drilled into", head=True)
    at: At = takes(AtKind(), "how far its centre is from sides", ())
    diameter: float = takes(Length(), "of the hole")
    depth: float | None = takes(Length(), "along its axis; through where unsaid", None)
    tilt: float = takes(Angle(most=75), "of its axis, from square", 0.0)
    toward: Side | None = takes(SideOf(), "the side that a tilted hole drifts to", None)
    counterbore: Counterbore | None = takes(Record(Counterbore), "a wider hole above it", None)
    countersink: Countersink | None = takes(Record(Countersink), "a cone above it", None)
    slot: Slot | None = takes(Record(Slot), "draws it out", None)
    row: Row | None = takes(Record(Row), "repeats it", None)
    name: str = takes(Name(), "what it is called", "")

    def problems(self, blank: Blank) -> Iterator[Problem]:
        """Placed from sides beside its own; a slot and a counterbore must be larger than the hole."""
        yield from at_problems(blank, self.side, self.at, self.row)
        if self.tilt and self.toward is None:
            yield "tilt", f"a tilted hole drifts as it goes in: say `toward:`, one of {_beside(self.side)}"
        if self.toward is not None:
            yield from square_to(self.side, self.toward, "toward")
        if self.counterbore and self.counterbore.diameter <= self.diameter:
            told = f"{self.counterbore.diameter:g} mm is no wider than the hole, {self.diameter:g} mm"
            yield "counterbore", told
        if self.countersink and self.countersink.diameter <= self.diameter:
            told = f"{self.countersink.diameter:g} mm is no wider than the hole, {self.diameter:g} mm"
            yield "countersink", told
        if self.slot:
            yield from square_to(self.side, self.slot.toward, "slot")
            if self.slot.length <= self.diameter:
                yield (
                    "slot",
                    f"{self.slot.length:g} mm over all is no longer than the hole is wide, {self.diameter:g} mm",
                )
            if self.tilt:
                yield "slot", "a slot can't be tilted"

    def centre(self, blank: Blank) -> Vector:
        """The middle of the hole on its side, in the blank's own axes."""
        point = [0.0, 0.0, 0.0]
        point[self.side.axis] = blank.size[self.side.axis] if self.side.sign > 0 else 0.0
        for axis in range(3):
            if axis != self.side.axis:
                point[axis] = span(blank, self.at, sides_of(axis)[0], 0.0)[0]
        return Vector(*point)

    def axis(self) -> Vector:
        """The way that the drill goes."""
        inward = self.side.inward
        if not self.tilt or self.toward is None:
            return inward
        t = math.radians(self.tilt)
        return inward.times(math.cos(t)).plus(self.toward.outward.times(math.sin(t)))

    def waste(self, blank: Blank) -> tuple[Waste, ...]:
        """The hole with all that belongs to it, in the blank's own axes."""
        start, axis = self.centre(blank), self.axis()
        slant = math.tan(math.radians(self.tilt))
        radius = self.diameter / 2
        past = OVER + radius * slant
        through = (blank.reach(self.side) + past * 2) / math.cos(math.radians(self.tilt)) + radius * slant
        made: list[Waste] = []
        if self.slot:
            made.append(self._slot(blank))
        else:
            made.append(_bore(start, axis, radius, through if self.depth is None else self.depth, past, "wall"))
        if self.counterbore:
            r, d = self.counterbore.diameter / 2, self.counterbore.depth
            made.append(_bore(start, axis, r, d, OVER + r * slant, "counterbore"))
        if self.countersink:
            made.append(_cone(start, axis, self.countersink))
        return in_row(blank, tuple(made), self.at, self.row)

    def _slot(self, blank: Blank) -> Waste:
        assert self.slot is not None
        toward = self.slot.toward
        a = toward.opposite
        b_axis = 3 - self.side.axis - toward.axis
        centre = self.centre(blank)
        from_a = centre[a.axis] if a.sign < 0 else blank.size[a.axis] - centre[a.axis]
        third = blank.third(self.side, a)
        b = centre[b_axis] if third.sign < 0 else blank.size[b_axis] - centre[b_axis]
        r, far = self.diameter / 2, from_a + self.slot.length - self.diameter
        plan = (Corner(from_a, b - r), Corner(far, b - r, 1.0), Corner(far, b + r), Corner(from_a, b + r, 1.0))
        return sunk(blank, self.side, a, plan, self.depth, ("wall",) * 4)


def _bore(start: Vector, axis: Vector, radius: float, depth: float, past: float, name: str) -> Bore:
    return Bore(start.minus(axis.times(past)), axis, radius, depth + past, name=name)


def _cone(start: Vector, axis: Vector, sink: Countersink) -> Bore:
    """A cone from a little above the surface down to its point."""
    slope = math.tan(math.radians(sink.angle / 2))
    top = sink.diameter / 2 + OVER * slope
    return Bore(start.minus(axis.times(OVER)), axis, top, top / slope, 0.0, "countersink")


def _beside(side: Side) -> str:
    return ", ".join(f"`{s}`" for s in Side if s.axis != side.axis)
