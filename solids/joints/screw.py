r"""Screw: a wood screw through one part into another.

      A          B
    ______ ____________
   |      |            |
   \======|=======>    |     shank hole and countersink in A, pilot in B
   |      |            |     as deep as the screw goes
   |______|____________|

`at`, `row`, `count` and `inset` as of a bolt. `free` makes A's hole a slot that
lets the wood move that way and back by `play` each way, for a solid top on its
rails: with a washer under a round head, so it has no countersink. The pilot is
90 % of the screw's root in hard wood, 70 % in soft, unless the screw says it.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import ClassVar

from solids.cuts.hole import Counterbore, Countersink, Hole, Slot
from solids.cuts.row import Row
from solids.cuts.shapes import At
from solids.joints.bolt import ROUND_SEAT, Sunk, twice_placed
from solids.joints.outcome import Outcome
from solids.joints.patch import Flat, Patch, distances, patch_of, spots
from solids.model.field import At as AtKind
from solids.model.field import Choice, Count, HardwareName, Length, PartName, Record, SideOf, takes
from solids.model.hardware import HARD, Screw
from solids.model.part import Part
from solids.model.side import Side


@dataclass(frozen=True, slots=True, kw_only=True)
class ScrewJoint:
    """The first of `parts` has the head, the second the thread; mm."""

    kind: ClassVar[str] = "screw"
    example: ClassVar[str] = "{screw: [side, shelf], with: long_screw, count: 3, inset: 40}"

    parts: tuple[object, ...] = takes(PartName(many=True), "the part with the head, then the other", head=True)
    with_: Screw = takes(HardwareName(("screw",)), "the screw")
    at: At = takes(AtKind(), "how far its axis is from sides of the first", ())
    row: Row | None = takes(Record(Row), "repeats it", None)
    count: int = takes(Count(least=1), "how many evenly along the patch", 1)
    inset: float | None = takes(Length(), "of the outer ones from the patch's ends; unsaid, half a space", None)
    counterbore: Sunk | None = takes(Record(Sunk), "sinks the head", None)
    free: Side | None = takes(SideOf(), "makes the hole a slot toward that side and back", None)
    play: float = takes(Length(), "with `free`, how far the slot goes each way", 3.0)
    fit: str = takes(Choice(("glue", "slip", "loose")), "how it should close", "glue")

    def sides(self) -> tuple[tuple[object, ...], tuple[object, ...]]:
        """The names on the two sides of the joint."""
        return self.parts[:1], self.parts[1:]

    def problems(self) -> Iterator[tuple[str, str]]:
        """A place is given in one way: which field, and why."""
        yield from twice_placed(self)

    def make(self, a: Part, b: Part) -> Outcome:
        """Holes in both, one of each for every screw."""
        patch = patch_of(a, b, over=True)
        if isinstance(patch, Outcome):
            return patch
        if self.free is not None and self.free.axis == patch.side_a.axis:
            return Outcome(trouble=f"a slot toward `{self.free}` of {a.id} would run along the screw")
        found = spots(patch, self.at, self.row, self.count, self.inset)
        if isinstance(found, Outcome):
            return found
        return Outcome(
            a=tuple(self._through(patch, at) for at in found), b=tuple(self._into(patch, at) for at in found)
        )

    def _through(self, patch: Patch, at: Flat) -> Hole:
        outer, screw, sunk = patch.side_a.opposite, self.with_, self.counterbore
        point = patch.point(at)
        if self.free is not None:
            point = point.minus(self.free.outward.times(self.play))
        wide = screw.head_diameter + ROUND_SEAT
        return Hole(
            side=outer,
            at=distances(point, outer),
            diameter=screw.clearance,
            counterbore=Counterbore(diameter=sunk.diameter or wide, depth=sunk.depth) if sunk else None,
            countersink=None if sunk or self.free else Countersink(diameter=screw.head_diameter),
            slot=Slot(length=screw.clearance + 2 * self.play, toward=self.free) if self.free else None,
        )

    def _into(self, patch: Patch, at: Flat) -> Hole:
        screw, side = self.with_, patch.side_b
        sunk = self.counterbore.depth if self.counterbore else 0.0
        end = sunk + screw.length - patch.a.blank.reach(patch.side_a) - patch.gap
        density = patch.b.stock.density if patch.b.stock else HARD
        return Hole(
            side=side,
            at=distances(patch.in_b(at), side),
            diameter=screw.pilot_in(density),
            depth=max(end, screw.diameter),
        )
