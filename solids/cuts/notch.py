"""Notch: a corner taken out, right through.

    +-----------------+
    |                 |
    |          .......|  <- so far from one side,
    |          :      |     so far from the other
    +----------:......+

`notch: {right: 50, front: 80}` takes the corner of those two sides.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import ClassVar

from solids.cuts.shapes import OVER, Stops, along
from solids.model.field import Distances, Name, takes
from solids.model.geometry import Waste
from solids.model.part import Blank, Problem


@dataclass(frozen=True, slots=True, kw_only=True)
class Notch:
    """`corner` is two sides and how far in from each, in mm."""

    kind: ClassVar[str] = "notch"
    example: ClassVar[str] = "{notch: {right: 50, front: 80}}"

    corner: Stops = takes(Distances(), "two sides, and how far in from each", head=True)
    name: str = takes(Name(), "what it is called", "")

    def problems(self, blank: Blank) -> Iterator[Problem]:
        """Two sides that meet."""
        if len(self.corner) != 2 or self.corner[0][0].axis == self.corner[1][0].axis:
            yield "corner", "a notch takes two sides that meet, as `notch: {right: 50 mm, front: 80 mm}`"

    def waste(self, blank: Blank) -> tuple[Waste, ...]:
        """The corner, in the blank's own axes."""
        (a, w), (b, d) = self.corner
        profile = ((-OVER, -OVER), (w, -OVER), (w, d), (-OVER, d))
        return (along(blank, a, b, profile, ("open", f"{a} wall", f"{b} wall", "open")),)
