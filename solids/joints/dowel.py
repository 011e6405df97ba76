"""Dowel: blind holes in both parts for round pins.

      A          B
    ______ ____________
   |      |            |
   |   [==|====]       |     a hole in each, `depth` deep
   |      |            |
   |   [==|====]       |
   |______|____________|

`at` and `row` as of a hole in A, else `count` evenly along the patch where the
blanks touch, `inset` from its ends. The pins are bought or cut from a rod and
are no parts of their own: as long as both holes less 2 mm for the glue (common
practice).
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import ClassVar

from solids.cuts.hole import Hole
from solids.cuts.row import Row
from solids.cuts.shapes import At
from solids.joints.bolt import twice_placed
from solids.joints.outcome import Outcome
from solids.joints.patch import distances, patch_of, spots
from solids.model.field import At as AtKind
from solids.model.field import Choice, Count, Length, Lengths, PartName, Record, takes
from solids.model.part import Part


@dataclass(frozen=True, slots=True, kw_only=True)
class Dowel:
    """Both of `parts` are drilled; mm."""

    kind: ClassVar[str] = "dowel"
    example: ClassVar[str] = "{dowel: [post, rail], diameter: 8, depth: [12, 25], count: 2}"

    parts: tuple[object, ...] = takes(PartName(many=True), "the two parts", head=True)
    diameter: float = takes(Length(), "of the dowel and its holes")
    depth: tuple[float, float] = takes(Lengths(), "of the hole in the first, then in the second")
    at: At = takes(AtKind(), "how far its axis is from sides of the first", ())
    row: Row | None = takes(Record(Row), "repeats it", None)
    count: int = takes(Count(least=1), "how many evenly along the patch", 2)
    inset: float | None = takes(Length(), "of the outer ones from the patch's ends; unsaid, half a space", None)
    fit: str = takes(Choice(("glue", "slip", "loose")), "how it should close", "glue")

    def sides(self) -> tuple[tuple[object, ...], tuple[object, ...]]:
        """The names on the two sides of the joint."""
        return self.parts[:1], self.parts[1:]

    def problems(self) -> Iterator[tuple[str, str]]:
        """A place is given in one way: which field, and why."""
        yield from twice_placed(self)

    def make(self, a: Part, b: Part) -> Outcome:
        """A hole in each for every dowel."""
        patch = patch_of(a, b)
        if isinstance(patch, Outcome):
            return patch
        found = spots(patch, self.at, self.row, self.count, self.inset)
        if isinstance(found, Outcome):
            return found
        holes = [
            (distances(patch.point(at), patch.side_a), distances(patch.in_b(at), patch.side_b)) for at in found
        ]  # fmt: skip
        return Outcome(
            a=tuple(Hole(side=patch.side_a, at=p, diameter=self.diameter, depth=self.depth[0]) for p, _ in holes),
            b=tuple(Hole(side=patch.side_b, at=q, diameter=self.diameter, depth=self.depth[1]) for _, q in holes),
        )
