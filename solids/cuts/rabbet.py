"""Rabbet: a step along the whole of one side.

    width
   |<--->|
    ......+-----------  on
    .     |  ^
    ......+  v depth
    |
    +-----------------
   side

`width` is measured in from the side it is named for, `depth` into the side it
is `on`. It runs out at both ends unless it is stopped; `radius` is then the
cutter's, left in the two corners of a stop.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import ClassVar

from solids.cuts.shapes import OVER, Stops, along, radius_problems, square_to, stop_problems, sunk
from solids.cuts.trench import rounded_plan
from solids.model.field import Distances, Length, Name, SideOf, takes
from solids.model.geometry import Waste
from solids.model.part import Blank, Problem
from solids.model.side import Side


@dataclass(frozen=True, slots=True, kw_only=True)
class Rabbet:
    """A step along `side`, sunk into `on`; mm."""

    kind: ClassVar[str] = "rabbet"
    example: ClassVar[str] = "{rabbet: rear, on: bottom, width: 10, depth: 6}"

    side: Side = takes(SideOf(), "the side that it runs along", head=True)
    on: Side = takes(SideOf(), "the side that it is sunk into")
    width: float = takes(Length(), "how far in from the side")
    depth: float = takes(Length(), "how deep into `on`")
    stop: Stops = takes(Distances(), "how far short of a side it ends", ())
    radius: float = takes(Length(zero=True), "the cutter's, in the corners of a stop", 0.0)
    name: str = takes(Name(), "what it is called", "")

    def problems(self, blank: Blank) -> Iterator[Problem]:
        """`on` must be beside the side, and a stop at an end of the run."""
        if self.side.axis == self.on.axis:
            yield from square_to(self.side, self.on, "on")
            return
        stopped = list(stop_problems(blank, blank.third(self.side, self.on), self.stop))
        yield from stopped
        if self.radius and not self.stop:
            yield "radius", "a rabbet that runs out has no corner for a radius; give it a `stop`"
        elif not stopped:
            yield from radius_problems(lambda: self.waste(blank))

    def waste(self, blank: Blank) -> tuple[Waste, ...]:
        """The step, in the blank's own axes."""
        w, d = self.width, self.depth
        if self.stop and self.radius:
            plan = rounded_plan(blank, self.on, self.side, (-OVER, w), self.stop, self.radius)
            return (sunk(blank, self.on, self.side, plan, d, ("wall",) * len(plan)),)
        profile = ((-OVER, -OVER), (w, -OVER), (w, d), (-OVER, d))
        return (along(blank, self.side, self.on, profile, ("open", "wall", "floor", "open"), self.stop),)
