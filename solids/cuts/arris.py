"""Chamfer and roundover: the arris of each side with `on`, broken straight or round.

    chamfer                roundover
       size                  radius
      |<-->|                |<-->|
      .  . +------  on      .  .-+------  on
      .  /                  . /
      ./                    ./
      |                     |
     side                  side

`sides` is a word, a list, or `ends`, `edges`, `all` round the face. A chamfer's
`size: [5, 3]` is 5 on the `on` face and 3 down the side.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import ClassVar

from solids.cuts.shapes import OVER, along
from solids.model.field import Length, Lengths, Name, SideOf, SidesOf, takes
from solids.model.geometry import Corner, Waste
from solids.model.part import Blank, Problem
from solids.model.side import Side


@dataclass(frozen=True, slots=True, kw_only=True)
class Chamfer:
    """`size` on the `on` face and down the side, in mm."""

    kind: ClassVar[str] = "chamfer"
    example: ClassVar[str] = "{chamfer: front, on: top, size: 3}"

    sides: tuple[Side, ...] = takes(SidesOf(), "the sides whose arris is broken", head=True)
    on: Side = takes(SideOf(), "the face that those arrises bound")
    size: tuple[float, float] = takes(Lengths(one=True), "on the face, and down the side")
    name: str = takes(Name(), "what it is called", "")

    def problems(self, blank: Blank) -> Iterator[Problem]:
        """Each side must be beside `on`."""
        yield from _beside(self.sides, self.on)

    def waste(self, blank: Blank) -> tuple[Waste, ...]:
        """A wedge along each arris."""
        return tuple(self._wedge(blank, side) for side in self.sides)

    def _wedge(self, blank: Blank, side: Side) -> Waste:
        w, d = self.size
        profile = ((-OVER, -OVER), (w + w / d * OVER, -OVER), (-OVER, d + d / w * OVER))
        return along(blank, side, self.on, profile, ("open", "slope", "open"))


@dataclass(frozen=True, slots=True, kw_only=True)
class Roundover:
    """`radius` in mm."""

    kind: ClassVar[str] = "roundover"
    example: ClassVar[str] = "{roundover: front, on: top, radius: 6}"

    sides: tuple[Side, ...] = takes(SidesOf(), "the sides whose arris is rounded", head=True)
    on: Side = takes(SideOf(), "the face that those arrises bound")
    radius: float = takes(Length(), "of the rounding")
    name: str = takes(Name(), "what it is called", "")

    def problems(self, blank: Blank) -> Iterator[Problem]:
        """Each side must be beside `on`."""
        yield from _beside(self.sides, self.on)

    def waste(self, blank: Blank) -> tuple[Waste, ...]:
        """What lies outside the quarter circle, along each arris."""
        return tuple(self._outside(blank, side) for side in self.sides)

    def _outside(self, blank: Blank, side: Side) -> Waste:
        r = self.radius
        bulge = -math.tan(math.radians(90) / 4)
        profile = (
            Corner(-OVER, -OVER),
            Corner(r, -OVER),
            Corner(r, 0.0, bulge),
            Corner(0.0, r),
            Corner(-OVER, r),
        )
        return along(blank, side, self.on, profile, ("open", "open", "round", "open", "open"))


def _beside(sides: tuple[Side, ...], on: Side) -> Iterator[Problem]:
    for side in sides:
        if side.axis == on.axis:
            yield "sides", f"`{side}` has no arris with `{on}`"
