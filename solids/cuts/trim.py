"""Trim: everything beyond a plane of the room, or beyond another part's side, goes.

         leaning part          the floor, `to: {z: 0}`
          /   /
         /   /
        /___/ _ _ _ _ _ _ _ _ _ _ _ _ _ _ _ _ _
       :__:   goes

What the saw must be set to follows from how the part stands. `clear` leaves
that much room between the cut and the plane. In copies, the wood is cut as in
the first. A plane in any direction is written by a point and what it is square
to: `to: {through: [0, 0, 10], square_to: [0, 0.1, 1]}`.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import ClassVar

from solids.model.field import Length, Name, SideOf, Target, takes
from solids.model.geometry import Plane, Waste
from solids.model.part import Blank, Problem
from solids.model.side import Side


@dataclass(frozen=True, slots=True, kw_only=True)
class Trim:
    """`to` is a plane in the part's own axes; `clear` in mm."""

    kind: ClassVar[str] = "trim"
    example: ClassVar[str] = "{trim: right, to: {x: 550}}"

    side: Side = takes(SideOf(), "the side that is cut off", head=True)
    to: Plane = takes(Target(), "a plane of the room, or `PART.SIDE`")
    clear: float = takes(Length(zero=True), "room to leave before the plane", 0.0)
    name: str = takes(Name(), "what it is called", "")

    def problems(self, blank: Blank) -> Iterator[Problem]:
        """The plane must cross the part from side to side, not run along it."""
        if abs(self.to.normal.dot(self.side.outward)) < 1e-6:
            yield "to", f"this plane runs along the part and cuts nothing off at `{self.side}`"

    def plane(self, blank: Blank) -> Plane:
        """Where the saw goes, looking at the waste."""
        n, offset = self.to.normal, self.to.offset
        if n.dot(self.side.outward) < 0:
            n, offset = n.times(-1), -offset
        return Plane(n, offset - self.clear)

    def waste(self, blank: Blank) -> tuple[Waste, ...]:
        """All that lies beyond the plane."""
        return (self.plane(blank),)
