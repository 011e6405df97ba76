r"""Taper: a straight slope along the grain, from nothing to `by` at one end.

    stop                       end
    |<---------------------->|
    +------------------------+   the side as it was
                  -----_____ |  ^
                            \|  v by

From 0 at the other end, or from `stop`, measured from the other end.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import ClassVar

from solids.cuts.shapes import OVER, Stops
from solids.model.field import Distances, Name, SideOf, takes
from solids.model.geometry import Corner, Plane, Prism, Vector, Waste
from solids.model.part import Blank, Problem
from solids.model.side import Side, sides_of


@dataclass(frozen=True, slots=True, kw_only=True)
class Taper:
    """`by` and `stop` are one side and a length in mm each."""

    kind: ClassVar[str] = "taper"
    example: ClassVar[str] = "{taper: front, by: {right: 60}, stop: {left: 200}}"

    side: Side = takes(SideOf(("edge", "face")), "the side that slopes", head=True)
    by: Stops = takes(Distances(), "the end where it is deepest, and how deep")
    stop: Stops = takes(Distances(zero=True), "where it begins, from the other end", ())
    name: str = takes(Name(), "what it is called", "")

    def problems(self, blank: Blank) -> Iterator[Problem]:
        """One end in `by`, the other in `stop`."""
        if len(self.by) != 1 or self.by[0][0] not in blank.ends:
            yield "by", f"one end and how deep there, as `by: {{{blank.ends[1]}: 20 mm}}`"
            return
        end = self.by[0][0]
        if self.stop and (len(self.stop) != 1 or self.stop[0][0] is not end.opposite):
            yield "stop", f"it begins so far from `{end.opposite}`: `stop: {{{end.opposite}: 100 mm}}`"
        elif self.stop and self.stop[0][1] >= blank.length:
            yield "stop", f"it would begin {self.stop[0][1]:g} mm along a part of {blank.length:g} mm"

    def waste(self, blank: Blank) -> tuple[Waste, ...]:
        """A wedge; a plain plane where it runs from end to end."""
        end, deep = self.by[0]
        start = self.stop[0][1] if self.stop else 0.0
        slope = deep / (blank.length - start)
        if not start:
            return (self._plane(blank, end, slope),)
        past = blank.length + OVER
        frame = blank.corner_frame(end.opposite, self.side)
        third = sides_of(3 - end.axis - self.side.axis)[0]
        moved = frame._replace(origin=frame.point(Vector(0.0, 0.0, -OVER)))
        wedge = (Corner(start, 0.0), Corner(start, -OVER), Corner(past, -OVER), Corner(past, slope * (past - start)))
        return (Prism(moved, wedge, blank.reach(third) + 2 * OVER, ("open", "open", "open", "slope", "open", "open")),)

    def _plane(self, blank: Blank, end: Side, slope: float) -> Plane:
        frame = blank.corner_frame(end.opposite, self.side)
        normal = frame.x.times(slope).minus(frame.y)
        return Plane.through(frame.origin, normal, "slope")
