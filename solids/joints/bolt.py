"""Bolt: through one part into another, its holes in both from one line.

      A          B
    ______ ____________
   |      |            |
   |__    |  ___       |     clearance and counterbore in A; in B a pilot for
  =|==|===|==(_)=-     |     an insert, or a hole that meets a cross dowel;
   |      |            |     2 mm deeper than the bolt's end
   |______|____________|

The head is on A. Bolts stand where the blanks touch: `at` and `row` as of a hole
in A, else `count` evenly along the patch, `inset` from its ends; a direction
left unsaid is the middle of the patch. A part that is let into A is bolted as
well, and one that lies in a recess of B. A bolt longer than both parts goes right
through; one with neither insert nor cross dowel that ends in B is driven into a
hole of its tap drill.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import ClassVar

from solids.cuts.hole import Counterbore, Hole
from solids.cuts.row import Row
from solids.cuts.shapes import At
from solids.joints.outcome import Outcome
from solids.joints.patch import Flat, Patch, distances, patch_of, recess_of, spots
from solids.model.field import At as AtKind
from solids.model.field import Choice, Count, HardwareName, Length, PartName, Record, SideOf, takes
from solids.model.geometry import Vector
from solids.model.hardware import Bolt, CrossDowel
from solids.model.part import Cut, Part
from solids.model.side import Side

PAST = 2.0  # mm that a hole is deeper than the bolt's end
ROUND_SEAT = 1.0  # mm that a counterbore is wider than what sits in it (common practice)
ACROSS = 0.25  # of a cross dowel's diameter that the bolt's end is past its middle: three quarters across


@dataclass(frozen=True, slots=True, kw_only=True)
class Sunk:
    """A wider hole for the head and its washer; mm."""

    depth: float = takes(Length(), "of the wider hole")
    diameter: float | None = takes(Length(), "of the wider hole; unsaid, 1 mm more than head and washer", None)


@dataclass(frozen=True, slots=True, kw_only=True)
class BoltJoint:
    """The first of `parts` has the head, the second the thread; mm."""

    kind: ClassVar[str] = "bolt"
    example: ClassVar[str] = "{bolt: [side, shelf], with: long_bolt, count: 2, inset: 40}"

    parts: tuple[object, ...] = takes(PartName(many=True), "the part with the head, then the other", head=True)
    with_: Bolt = takes(HardwareName(("bolt",)), "the bolt")
    at: At = takes(AtKind(), "how far its axis is from sides of the first", ())
    row: Row | None = takes(Record(Row), "repeats it", None)
    count: int = takes(Count(least=1), "how many evenly along the patch", 1)
    inset: float | None = takes(Length(), "of the outer ones from the patch's ends; unsaid, half a space", None)
    counterbore: Sunk | None = takes(Record(Sunk), "sinks the head", None)
    nut_from: Side | None = takes(SideOf(), "the side of the second that a cross dowel is bored from", None)
    nut_at: float | None = takes(Length(), "of a cross dowel from the joint; unsaid, the bolt ends 3/4 across it", None)
    fit: str = takes(Choice(("glue", "slip", "loose")), "how it should close", "glue")

    def sides(self) -> tuple[tuple[object, ...], tuple[object, ...]]:
        """The names on the two sides of the joint."""
        return self.parts[:1], self.parts[1:]

    def problems(self) -> Iterator[tuple[str, str]]:
        """A place is given in one way; a cross dowel has a side that it comes from: which field, and why."""
        yield from twice_placed(self)
        dowel = self.with_.cross_dowel
        if dowel and self.nut_from is None:
            yield "with_", f"`{self.with_.name}` has a cross dowel: say `nut_from:`, the side that it is bored from"
        for which in ("nut_from", "nut_at"):
            if not dowel and getattr(self, which) is not None:
                yield which, f"`{self.with_.name}` has no `cross_dowel`; leave `{which}` out"

    def make(self, a: Part, b: Part) -> Outcome:
        """Holes in both, one of each for every bolt."""
        patch = patch_of(a, b, over=True)
        if isinstance(patch, Outcome):
            return patch
        if self.nut_from is not None and self.nut_from.axis == patch.side_b.axis:
            return Outcome(trouble=f"a cross dowel from `{self.nut_from}` of {b.id} lies along the bolt")
        found = spots(patch, self.at, self.row, self.count, self.inset)
        if isinstance(found, Outcome):
            return found
        return Outcome(
            a=tuple(self._through(patch, at) for at in found),
            b=tuple(cut for at in found for cut in self._into(patch, patch.in_b(at))),
        )

    def _through(self, patch: Patch, at: Flat) -> Hole:
        outer = patch.side_a.opposite
        sunk = self.counterbore
        wide = self.with_.seat + ROUND_SEAT
        return Hole(
            side=outer,
            at=distances(patch.point(at), outer),
            diameter=self.with_.clearance,
            counterbore=Counterbore(diameter=sunk.diameter or wide, depth=sunk.depth) if sunk else None,
        )

    def end(self, patch: Patch) -> float:
        """How far the bolt's end is below B's side, in mm; under 0 where it does not reach it."""
        head = (self.counterbore.depth if self.counterbore else 0.0) - self.with_.washer_thickness
        return head + self.with_.length - patch.a.blank.reach(patch.side_a) - patch.gap

    def _into(self, patch: Patch, point: Vector) -> Iterator[Cut]:
        bolt, end, side = self.with_, self.end(patch), patch.side_b
        at = distances(point, side)
        if bolt.cross_dowel:
            nut_at = self._nut_at(bolt.cross_dowel, end)
            deep = max(end, nut_at) + PAST
            yield Hole(side=side, at=at, diameter=bolt.clearance, depth=deep)
            yield self._nut(patch, point, bolt.cross_dowel, nut_at)
        elif bolt.insert:
            floor = max(0.0, -patch.gap) if recess_of(patch.b, side) else 0.0
            deep = max(end, floor + bolt.insert.length) + PAST
            yield Hole(side=side, at=at, diameter=bolt.insert.pilot, depth=deep)
        elif end > patch.b.blank.reach(side):
            yield Hole(side=side, at=at, diameter=bolt.clearance)
        else:
            yield Hole(side=side, at=at, diameter=bolt.thread.tap_drill, depth=max(end, bolt.diameter) + PAST)

    def _nut_at(self, dowel: CrossDowel, end: float) -> float:
        if self.nut_at is not None:
            return self.nut_at
        return max(end - ACROSS * dowel.diameter, dowel.diameter / 2)

    def _nut(self, patch: Patch, point: Vector, dowel: CrossDowel, nut_at: float) -> Hole:
        """The bore for a cross dowel, as deep as brings its middle to the bolt."""
        assert self.nut_from is not None, "its problems were told"
        side, size = self.nut_from, patch.b.blank.size
        middle = point.plus(patch.side_b.inward.times(nut_at))
        deep = (middle[side.axis] if side.sign < 0 else size[side.axis] - middle[side.axis]) + dowel.length / 2
        through = deep > size[side.axis] - 1e-6
        return Hole(
            side=side, at=distances(middle, side), diameter=dowel.diameter, depth=None if through else deep
        )  # fmt: skip


def twice_placed(joint: object) -> Iterator[tuple[str, str]]:
    """What is wrong where a joint says both `at` or `row`, and `count` or `inset`."""
    placed = [w for w in ("at", "row") if getattr(joint, w)]
    spread = [w for w, usual in (("count", 1), ("inset", None)) if getattr(joint, w) != usual]
    if placed and spread:
        yield spread[0], f"`{spread[0]}` spreads along the patch and `{placed[0]}` gives the place; keep one of them"
