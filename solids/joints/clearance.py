"""Clearance: the room that hardware needs between two parts; nothing is cut.

     ____   ____   ____
    |    | |    | |    |
    | A  | |////| | B  |    a runner between the side of a drawer and a case
    |____| |____| |____|

It is measured between the faces that look at each other, least and greatest,
and may be off by as much as the hardware allows.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, ClassVar

from solids.joints.outcome import Outcome
from solids.model.field import HardwareName, Length, PartName, takes
from solids.model.part import Part


@dataclass(frozen=True, slots=True, kw_only=True)
class Clearance:
    """Faces of both parts of `parts` stay that far apart."""

    kind: ClassVar[str] = "clearance"
    example: ClassVar[str] = "{clearance: [box, side], gap: 12.7, with: slide}"
    fit: ClassVar[str] = "loose"

    parts: tuple[object, ...] = takes(PartName(many=True), "the two parts", head=True)
    gap: float = takes(Length(), "how much room there must be")
    with_: Any = takes(HardwareName(("runner", "hinge")), "the hardware that fills it")

    def sides(self) -> tuple[tuple[object, ...], tuple[object, ...]]:
        """The names on the two sides of the joint."""
        return self.parts[:1], self.parts[1:]

    def make(self, a: Part, b: Part) -> Outcome:
        """No cut at all: how far they are apart is measured."""
        return Outcome()
