"""Cutout: an opening in a broad face, right through, or with `depth` a recess.

    +---------------------------+
    |        .---------.        |
    |  at    |  size   |        |
    |<------>'---------'        |
    +---------------------------+

A rectangle by `size`, along the grain and across; a circle by `diameter`, with
`at` to its centre; or any `outline` of points from the least corner (left,
front, bottom), along the grain and across. `radius` rounds the corners.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import ClassVar

from solids.cuts.mortise import plan_axis, pocket
from solids.cuts.row import Row
from solids.cuts.shapes import OVER, At, at_problems, in_row, plan_side, span, sunk
from solids.model.field import At as AtKind
from solids.model.field import Length, Lengths, Name, Outline, Record, SideOf, takes
from solids.model.geometry import Bore, Corner, Vector, Waste
from solids.model.part import Blank, Problem
from solids.model.side import Side, sides_of


@dataclass(frozen=True, slots=True, kw_only=True)
class Cutout:
    """One of `size`, `diameter` and `outline`; mm."""

    kind: ClassVar[str] = "cutout"
    example: ClassVar[str] = "{cutout: top, at: {left: 100, front: 60}, size: [120, 40], radius: 10, depth: 5}"

    side: Side = takes(SideOf(("face",)), "the broad face that it is cut into", head=True)
    at: At = takes(AtKind(), "how far its nearest walls, or its centre, are from sides", ())
    size: tuple[float, float] | None = takes(Lengths(), "along the grain and across it", None)
    diameter: float | None = takes(Length(), "of a round one", None)
    outline: tuple[Corner, ...] | None = takes(Outline(), "points along the grain and across it", None)
    radius: float = takes(Length(zero=True), "in its corners", 0.0)
    depth: float | None = takes(Length(), "of a recess; through where unsaid", None)
    row: Row | None = takes(Record(Row), "repeats it", None)
    name: str = takes(Name(), "what it is called", "")

    def problems(self, blank: Blank) -> Iterator[Problem]:
        """Just one way to give its shape."""
        yield from at_problems(blank, self.side, self.at, self.row)
        given = [w for w in ("size", "diameter", "outline") if getattr(self, w) is not None]
        if len(given) != 1:
            told = "its shape is given by one of `size`, `diameter` and `outline`"
            yield (given[1] if given else "side"), told
        if self.outline is not None and self.at:
            yield "at", "an outline's points are measured from the part's least corner; leave `at` out"
        if self.radius and self.size is None:
            yield "radius", "`radius` rounds the corners of a `size`; in an outline write `[a, b, radius]`"
        elif self.size is not None and 2 * self.radius > min(self.size) + 1e-9:
            yield "radius", f"{self.radius:g} mm does not fit in an opening {min(self.size):g} mm wide"

    def waste(self, blank: Blank) -> tuple[Waste, ...]:
        """The opening or recess, in the blank's own axes."""
        a = sides_of(plan_axis(blank, self.side))[0]
        if self.diameter is not None:
            made: Waste = self._round(blank)
        elif self.size is not None:
            plan, names = pocket(blank, self.side, a, self.at, self.size, self.radius)
            made = sunk(blank, self.side, a, plan, self.depth, names)
        else:
            plan, names = self._plan(blank, a)
            made = sunk(blank, self.side, a, plan, self.depth, names)
        return in_row(blank, (made,), self.at, self.row)

    def _plan(self, blank: Blank, a: Side) -> tuple[tuple[Corner, ...], tuple[str, ...]]:
        """The outline in the plan's own coordinates, turned over where the second one runs the other way.

        Wall 1 runs from the first point to the second either way.
        """
        assert self.outline is not None
        b = plan_side(blank, self.side, a)
        width, n = blank.reach(b), len(self.outline)
        names = [f"wall {k + 1}" for k in range(n)]
        if b.sign < 0:
            return self.outline, tuple(names)
        over = [Corner(c.a, width - c.b) for c in self.outline]
        back = range(n - 1, -1, -1)
        plan = tuple(Corner(over[k].a, over[k].b, self.outline[k - 1].bulge) for k in back)
        return plan, tuple(names[k - 1] for k in back)

    def _round(self, blank: Blank) -> Bore:
        assert self.diameter is not None
        point = [0.0, 0.0, 0.0]
        point[self.side.axis] = blank.size[self.side.axis] if self.side.sign > 0 else 0.0
        for axis in range(3):
            if axis != self.side.axis:
                point[axis] = span(blank, self.at, sides_of(axis)[0], 0.0)[0]
        inward = self.side.inward
        deep = blank.reach(self.side) + OVER if self.depth is None else self.depth
        start = Vector(*point).minus(inward.times(OVER))
        return Bore(start, inward, self.diameter / 2, deep + OVER)
