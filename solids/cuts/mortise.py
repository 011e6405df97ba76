"""Mortise: a pocket with four walls, sunk into any side, or right through.

         at        a
      |<----->|<------->|
    --+-------+---------+-----
      |       |         |   b, centred where unsaid
      |       +---------+

`size` is `[a, b]`: a along the grain, b across it; on an end, a along the
width. Without `depth` it goes through. `radius` is the cutter's.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import ClassVar

from solids.cuts.row import Row
from solids.cuts.shapes import At, at_problems, in_row, plan_side, span, sunk
from solids.model.field import At as AtKind
from solids.model.field import Length, Lengths, Name, Record, SideOf, takes
from solids.model.geometry import Corner, Waste, rounded
from solids.model.part import Blank, Problem
from solids.model.side import Side, sides_of


@dataclass(frozen=True, slots=True, kw_only=True)
class Mortise:
    """A pocket in `side`; mm."""

    kind: ClassVar[str] = "mortise"
    example: ClassVar[str] = "{mortise: rear, at: {left: 100}, size: [60, 8], depth: 30}"

    side: Side = takes(SideOf(), "the side that it is cut into", head=True)
    at: At = takes(AtKind(), "how far its nearest walls are from sides", ())
    size: tuple[float, float] = takes(Lengths(), "along the grain and across it; on an end, along the width first")
    depth: float | None = takes(Length(), "from the side to its floor; through where unsaid", None)
    radius: float = takes(Length(zero=True), "the cutter's, in the corners", 0.0)
    row: Row | None = takes(Record(Row), "repeats it", None)
    name: str = takes(Name(), "what it is called", "")

    def problems(self, blank: Blank) -> Iterator[Problem]:
        """Placed from sides beside its own; a radius no more than half its width."""
        yield from at_problems(blank, self.side, self.at, self.row)
        if 2 * self.radius > min(self.size) + 1e-9:
            yield "radius", f"{self.radius:g} mm does not fit in a pocket {min(self.size):g} mm wide"

    def waste(self, blank: Blank) -> tuple[Waste, ...]:
        """The pocket, in the blank's own axes."""
        a = sides_of(plan_axis(blank, self.side))[0]
        plan, names = pocket(blank, self.side, a, self.at, self.size, self.radius)
        return in_row(blank, (sunk(blank, self.side, a, plan, self.depth, names),), self.at, self.row)


def plan_axis(blank: Blank, side: Side) -> int:
    """The axis that a pocket's first size runs along: the grain, or on an end the width."""
    return blank.grain if side.axis != blank.grain else blank.across


def pocket(
    blank: Blank, side: Side, a: Side, at: At, size: tuple[float, ...], radius: float
) -> tuple[tuple[Corner, ...], tuple[str, ...]]:
    """The plan of a rectangular pocket and the names of its walls, in distances from `a` and the side beside it."""
    b = plan_side(blank, side, a)
    a0, a1 = span(blank, at, a, size[0])
    b0, b1 = span(blank, at, b, size[1])
    plan = rounded([(a0, b0, radius), (a1, b0, radius), (a1, b1, radius), (a0, b1, radius)])
    names = []
    for k, c in enumerate(plan):
        n = plan[(k + 1) % len(plan)]
        if c.bulge:
            names.append("corner")
        elif abs(n.b - c.b) < abs(n.a - c.a):
            names.append(f"{b if c.b < (b0 + b1) / 2 else b.opposite} wall")
        else:
            names.append(f"{a if c.a < (a0 + a1) / 2 else a.opposite} wall")
    return plan, tuple(names)
