"""Loose tenon: a mortise in each part for a separate tenon.

      A          B
    ______ ____________
   |    __|____        |
   |   |  |    |       |     `depth` deep in each, `size` as the tenon is
   |   |__|____|       |
   |______|____________|

`size` is `[length, thickness]`: length along the patch where the blanks touch,
thickness across it. `at` and `row` are to the tenon's middle; else `count` stand
evenly, `inset` from the patch's ends to their middles. The tenon is cut from a
strip and is no part of its own, as a dowel is none: as long as both mortises
less 2 mm for the glue (common practice). One that is to be checked and listed
as a part is declared as one, and housed in both.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import ClassVar

from solids.cuts.mortise import Mortise, plan_axis
from solids.cuts.row import Row
from solids.cuts.shapes import At
from solids.joints.bolt import twice_placed
from solids.joints.outcome import Outcome
from solids.joints.patch import Flat, Line, Patch, patch_of, spots
from solids.model.field import At as AtKind
from solids.model.field import Choice, Count, Length, Lengths, PartName, Record, takes
from solids.model.geometry import Vector
from solids.model.part import Part
from solids.model.side import Side, sides_of

SQUARE = 1e-6


@dataclass(frozen=True, slots=True, kw_only=True)
class LooseTenon:
    """Both of `parts` are mortised; mm."""

    kind: ClassVar[str] = "loose_tenon"
    example: ClassVar[str] = "{loose_tenon: [post, rail], size: [40, 8], depth: 12}"

    parts: tuple[object, ...] = takes(PartName(many=True), "the two parts", head=True)
    size: tuple[float, float] = takes(Lengths(), "of the tenon: its length along the patch, its thickness")
    depth: float = takes(Length(), "of the mortise in each")
    radius: float = takes(Length(zero=True), "the cutter's, in the corners", 0.0)
    at: At = takes(AtKind(), "how far its middle is from sides of the first", ())
    row: Row | None = takes(Record(Row), "repeats it", None)
    count: int = takes(Count(least=1), "how many evenly along the patch", 1)
    inset: float | None = takes(Length(), "of the outer ones from the patch's ends; unsaid, half a space", None)
    fit: str = takes(Choice(("glue", "slip", "loose")), "how it should close", "glue")

    def sides(self) -> tuple[tuple[object, ...], tuple[object, ...]]:
        """The names on the two sides of the joint."""
        return self.parts[:1], self.parts[1:]

    def problems(self) -> Iterator[tuple[str, str]]:
        """A place is given in one way, and the radius goes into the mortise: which field, and why."""
        yield from twice_placed(self)
        if 2 * self.radius > min(self.size) + 1e-9:
            yield "radius", f"{self.radius:g} mm does not fit in a mortise {min(self.size):g} mm wide"

    def make(self, a: Part, b: Part) -> Outcome:
        """A mortise in each for every tenon."""
        patch = patch_of(a, b)
        if isinstance(patch, Outcome):
            return patch
        found = spots(patch, self.at, self.row, self.count, self.inset)
        if isinstance(found, Outcome):
            return found
        line = patch.lines()[0]
        for at in found:
            if not all(patch.holds(corner) for corner in _corners(line, at, self.size)):
                long, thick = self.size
                told = f"a tenon of {long:g} x {thick:g} mm stands out of where {a.id} and {b.id} lie on each other"
                return Outcome(trouble=told)
        along = patch.point(line.at(1.0)).minus(patch.point(line.at(0.0)))
        if not _square_to(patch, along):
            return Outcome(trouble=f"{a.id} lies askew on {b.id}: no mortise is square to both")
        return Outcome(
            a=tuple(self._pocket(a, patch.side_a, patch.point(at), along) for at in found),
            b=tuple(self._pocket(b, patch.side_b, patch.in_b(at), patch.seen.direction(along)) for at in found),
        )

    def _pocket(self, part: Part, side: Side, point: Vector, along: Vector) -> Mortise:
        """The mortise about a point of a side, its length along a direction of the part's own axes."""
        run = max(range(3), key=lambda i: abs(along[i]))
        other = 3 - side.axis - run
        long, thick = self.size
        at = tuple((sides_of(i)[0], point[i] - size / 2) for i, size in ((run, long), (other, thick)))
        first = plan_axis(part.blank, side) == run
        size = (long, thick) if first else (thick, long)
        return Mortise(side=side, at=at, size=size, depth=self.depth, radius=self.radius)


def _corners(line: Line, at: Flat, size: tuple[float, float]) -> Iterator[Flat]:
    d = line.along
    for i, k in ((-0.5, -0.5), (0.5, -0.5), (0.5, 0.5), (-0.5, 0.5)):
        yield Flat(at.u + d.u * size[0] * i - d.v * size[1] * k, at.v + d.v * size[0] * i + d.u * size[1] * k)


def _square_to(patch: Patch, along: Vector) -> bool:
    """Whether a direction of A's runs along an axis of both parts."""
    return all(max(abs(c) for c in d) > 1 - SQUARE for d in (along, patch.seen.direction(along)))
