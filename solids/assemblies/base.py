"""Base: four legs and the aprons between them, upright, or splayed.

     ________________________      seen from the front:
    |  |___apron_front____|  |     legs from the front left, anticlockwise
    |  |                  |  |     as seen from above: leg.1, leg.2 in front,
    |leg                  |leg     leg.3, leg.4 behind;
    | .1|                 | .2|    aprons flush with the tops of the legs,
    |__|                  |__|     their tenons in the legs

`width` and `depth` are over the legs at their tops, the height is plumb; legs
that lean out stand further apart on the floor, their feet and tops level. A leg
is one piece, `size: [across, deep]`, or made of two beveled halves, an L of
panels mitered along their length, `panels: [across, deep]`: `leg.1.front` and
`leg.1.left`. The tenons of aprons that meet in a leg are mitered, a little apart.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import ClassVar

from solids.assemblies import aprons
from solids.assemblies.aprons import Apron, apron_problems
from solids.assemblies.legs import CORNERS, Leg, Stance, leg_problems, panels, whole
from solids.assemblies.writing import Plain, Problem, Written
from solids.model.field import Angle, Chosen, Length, Name, Record, takes


@dataclass(frozen=True, slots=True, kw_only=True)
class Base:
    """mm and degrees."""

    kind: ClassVar[str] = "base"
    example: ClassVar[str] = (
        "{base: stand, width: 600, depth: 400, height: 700, leg: {stock: oak40, size: [40, 40]}, "
        "apron: {stock: oak, height: 90, set_in: 8, tenon: {length: 25, thickness: 8}}}"
    )

    name: str = takes(Name(), "what it is called", head=True)
    width: float = takes(Length(), "over the legs, at their tops")
    depth: float = takes(Length(), "from front to rear over the legs, at their tops")
    height: float = takes(Length(), "over all, plumb")
    leg: Leg = takes(Record(Leg), "the four legs")
    apron: Apron | None = takes(Record(Apron), "the aprons between them", None)
    lean: tuple[tuple[str, float], ...] = takes(
        Chosen(("out", "in"), Angle(closed=True, most=30.0)),
        "which way the feet go, as seen from the front and from the side",
        (),
    )

    def problems(self) -> Iterator[Problem]:
        """Say what keeps it from being made: which field, and why."""
        found = list(leg_problems(self.leg, self.width, self.depth))
        yield from found
        if found:
            return
        low = self._stance().spread
        if low < 0 and min(self.width, self.depth) + 2 * low <= 2 * max(self.leg.section):
            yield "lean", "legs that lean in by so much run into each other at the floor"
        elif self.apron is not None:
            yield from apron_problems(self.apron, self._stance())

    def write(self) -> Written:
        """Four legs and four aprons."""
        stance = self._stance()
        parts: dict[str, Plain] = {}
        joints: list[Plain] = []
        if self.apron is not None:
            parts, joints = aprons.written(self.apron, stance)
        return Written(parts, joints, {"leg": self._legs(stance)})

    def _legs(self, stance: Stance) -> dict[str, Plain]:
        if self.leg.panels:
            return {"groups": {str(k + 1): panels(stance, corner) for k, corner in enumerate(CORNERS)}}
        return {"parts": {str(k + 1): whole(stance, corner) for k, corner in enumerate(CORNERS)}}

    def _stance(self) -> Stance:
        lean = sum(value if way == "out" else -value for way, value in self.lean)
        return Stance(self.leg, self.width, self.depth, self.height, lean)
