"""The patch where two blanks lie on each other, and where along it fasteners go.

 ______
|  B   |
|______|__
|::::::|  |     the patch, as long as it is along the one and across the
|  A      |     other; fasteners stand in a line along its length
|_________|
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import NamedTuple

from solids.cuts.row import Row
from solids.cuts.shapes import At
from solids.joints.outcome import Outcome, apart
from solids.model.geometry import AXES, Frame, Vector
from solids.model.part import Part
from solids.model.side import SIDES, Side, sides_of

FLAT = 1e-9  # by which the cosine of two faces that lie on each other may differ from -1
NEAR = 0.01  # mm: blanks nearer than this touch
LEAST = 1.0  # mm² of a patch
RECESSES = ("cutout", "mortise", "dado", "groove", "rabbet")
SQUARE = 1e-6  # of its box that a patch may lack to be a rectangle of those axes


class Flat(NamedTuple):
    """A point of A's side: its two coordinates in A's own axes that lie in that side."""

    u: float
    v: float


@dataclass(frozen=True, slots=True)
class Patch:
    """Where `side_a` of A lies on `side_b` of B: a convex outline in A's two axes `u` and `v`.

    `gap` is from A's side out to B's, in mm: under 0 where B goes into A.
    `seen` takes A's axes to B's.
    """

    side_a: Side
    side_b: Side
    u: int
    v: int
    outline: tuple[Flat, ...]
    gap: float
    seen: Frame
    a: Part
    b: Part

    def point(self, at: Flat) -> Vector:
        """A point of the patch in A's own axes, on A's side."""
        p = [0.0, 0.0, 0.0]
        p[self.u], p[self.v] = at
        p[self.side_a.axis] = self.a.blank.size[self.side_a.axis] if self.side_a.sign > 0 else 0.0
        return Vector(*p)

    def in_b(self, at: Flat) -> Vector:
        """The same point in B's own axes, brought to B's side."""
        out = self.side_a.outward.times(self.gap)
        return self.seen.point(self.point(at).plus(out))

    def holds(self, at: Flat) -> bool:
        """Whether a point lies in the patch."""
        n = len(self.outline)
        return all(_left_of(self.outline[k], self.outline[(k + 1) % n], at) >= -NEAR for k in range(n))

    def lines(self) -> tuple[Line, Line]:
        """The patch along its length and across it, through its middle."""
        first, second = sorted(self._boxed(), key=lambda line: -round(line.length, 6))
        return first, second

    def _boxed(self) -> tuple[Line, Line]:
        """The patch in A's axes, or in B's where it is a rectangle in these alone."""
        found = [self._box(Flat(1.0, 0.0))]
        for axis in AXES:
            d = Vector(*(axis.dot(column) for column in self.seen[:3]))  # B's axis in A's axes
            if abs(d[self.side_a.axis]) < SQUARE:
                found.append(self._box(Flat(d[self.u], d[self.v])))
        return min(found, key=lambda box: round(box[0].length * box[1].length, 3))

    def _box(self, d: Flat) -> tuple[Line, Line]:
        e = Flat(-d.v, d.u)
        (d0, d1), (e0, e1) = (_span(self.outline, w) for w in (d, e))
        middle = Flat(
            d.u * (d0 + d1) / 2 + e.u * (e0 + e1) / 2,
            d.v * (d0 + d1) / 2 + e.v * (e0 + e1) / 2,
        )
        return Line(middle, d, d1 - d0), Line(middle, e, e1 - e0)


class Line(NamedTuple):
    """A straight line of the patch: its middle, its unit direction and its length in mm."""

    middle: Flat
    along: Flat
    length: float

    def at(self, distance: float) -> Flat:
        """The point that far from the middle."""
        return Flat(self.middle.u + self.along.u * distance, self.middle.v + self.along.v * distance)


def patch_of(a: Part, b: Part, over: bool = False) -> Patch | Outcome:
    """The largest patch of two parts that lie on each other; `over` takes one that is let into the other too.

    Returns the outcome that says why there is none.
    """
    seen = a.frame.seen_from(b.frame)
    found = [p for s in SIDES for t in SIDES if (p := _patch(a, b, s, t, seen, over)) is not None]
    if found:
        return max(found, key=lambda p: (-max(0.0, round(abs(p.gap) - NEAR, 6)), round(_area(p.outline), 6)))
    return Outcome(trouble=f"{a.id} and {b.id} don't lie flat on each other", gap=max(0.0, apart(a, b)))


def _patch(a: Part, b: Part, side_a: Side, side_b: Side, seen: Frame, over: bool) -> Patch | None:
    if seen.direction(side_a.outward).dot(side_b.outward) > FLAT - 1:
        return None
    here = seen.point(side_a.outward.times(a.blank.plane(side_a).offset))
    gap = side_b.outward.dot(here) - b.blank.plane(side_b).offset
    let_in = over and -_deepest(a, b, side_a, side_b) - NEAR < gap < -NEAR
    if abs(gap) > NEAR and not let_in:
        return None
    u, v = (i for i in range(3) if i != side_a.axis)
    corners = [
        seen.local_point(_corner(b, side_b, p, q)) for p, q in ((0, 0), (1, 0), (1, 1), (0, 1))
    ]  # fmt: skip
    outline = [Flat(c[u], c[v]) for c in corners]
    if _signed(outline) < 0:
        outline.reverse()
    wide, high = a.blank.size[u], a.blank.size[v]
    for normal, offset in ((Flat(-1, 0), 0.0), (Flat(1, 0), wide), (Flat(0, -1), 0.0), (Flat(0, 1), high)):
        outline = _clipped(outline, normal, offset)
    if len(outline) < 3 or _area(outline) < LEAST:
        return None
    return Patch(side_a, side_b, u, v, tuple(outline), gap, seen, a, b)


def _deepest(a: Part, b: Part, side_a: Side, side_b: Side) -> float:
    """How far one may be let into the other: flush with it, and deeper where B has a recess of its own; mm."""
    return b.blank.reach(side_b) - NEAR * 3 if recess_of(b, side_b) else a.blank.reach(side_a)


def recess_of(part: Part, side: Side) -> bool:
    """Whether a part has cuts of its own in a side that another can be let into."""
    own = [m.cut for m in part.cuts if not m.joint and m.cut.kind in RECESSES]
    return any((getattr(c, "on", None) or c.side) is side for c in own)  # type: ignore[attr-defined]


def _corner(part: Part, side: Side, p: int, q: int) -> Vector:
    """A corner of a side of the blank, in the part's own axes."""
    size = part.blank.size
    first, second = (i for i in range(3) if i != side.axis)
    point = [0.0, 0.0, 0.0]
    point[side.axis] = size[side.axis] if side.sign > 0 else 0.0
    point[first], point[second] = size[first] * p, size[second] * q
    return Vector(*point)


def _clipped(outline: list[Flat], normal: Flat, offset: float) -> list[Flat]:
    """What of a convex outline lies behind a line."""
    kept: list[Flat] = []
    for k, p in enumerate(outline):
        q = outline[(k + 1) % len(outline)]
        dp, dq = (normal.u * c.u + normal.v * c.v - offset for c in (p, q))
        if dp <= 0:
            kept.append(p)
        if dp * dq < 0:
            t = dp / (dp - dq)
            kept.append(Flat(p.u + (q.u - p.u) * t, p.v + (q.v - p.v) * t))
    return kept


def _span(outline: tuple[Flat, ...], d: Flat) -> tuple[float, float]:
    reach = [c.u * d.u + c.v * d.v for c in outline]
    return min(reach), max(reach)


def _left_of(p: Flat, q: Flat, x: Flat) -> float:
    """How far a point lies to the left of the way from p to q, in mm."""
    du, dv = q.u - p.u, q.v - p.v
    long = max(math.hypot(du, dv), 1e-12)
    return (du * (x.v - p.v) - dv * (x.u - p.u)) / long


def _signed(outline: list[Flat] | tuple[Flat, ...]) -> float:
    n = len(outline)
    return sum(p.u * outline[(k + 1) % n].v - outline[(k + 1) % n].u * p.v for k, p in enumerate(outline)) / 2


def _area(outline: list[Flat] | tuple[Flat, ...]) -> float:
    return abs(_signed(outline))


# Where fasteners go -----------------------------------------------------------------------------


def spots(patch: Patch, at: At, row: Row | None, count: int, inset: float | None) -> list[Flat] | Outcome:
    """Where fasteners stand: at distances from A's sides, or `count` of them evenly along the patch.

    A direction that `at` leaves unsaid is the middle of the patch. Returns the
    outcome that says why one can't stand there.
    """
    found = _placed(patch, at, row) if at or row else _even(patch, count, inset)
    if isinstance(found, str):
        return Outcome(trouble=found)
    outside = [k + 1 for k, p in enumerate(found) if not patch.holds(p)]
    if outside:
        of = f"number {outside[0]} of {len(found)}" if len(found) > 1 else "its middle"
        return Outcome(trouble=f"{of} stands outside of where {patch.a.id} and {patch.b.id} lie on each other")
    return found


def _placed(patch: Patch, at: At, row: Row | None) -> list[Flat] | str:
    middle = patch.lines()[0].middle
    here = {patch.u: middle.u, patch.v: middle.v}
    for side, distance in at:
        if side.axis == patch.side_a.axis or not isinstance(distance, float | int):
            other = ", ".join(f"`{s}`" for i in (patch.u, patch.v) for s in sides_of(i))
            return f"`at` from `{side}` says nothing about a place on `{patch.side_a}` of {patch.a.id}; {other} serve"
        size = patch.a.blank.size[side.axis]
        here[side.axis] = distance if side.sign < 0 else size - distance
    if row is None:
        return [Flat(here[patch.u], here[patch.v])]
    axis = row.toward.axis
    if axis == patch.side_a.axis:
        return f"a row on `{patch.side_a}` of {patch.a.id} can't run toward `{row.toward}`"
    said = any(side.axis == axis for side, _ in at)
    first = 0.0 if said else -(row.count - 1) * row.pitch / 2
    found = []
    for k in range(row.count):
        step = {axis: row.toward.sign * (first + k * row.pitch)}
        found.append(Flat(*(here[i] + step.get(i, 0.0) for i in (patch.u, patch.v))))
    return found


def _even(patch: Patch, count: int, inset: float | None) -> list[Flat] | str:
    """`count` along the patch; unsaid, the ones at its ends stand half a space from them."""
    line = patch.lines()[0]
    if count == 1:
        return [line.at(0.0 if inset is None else inset - line.length / 2)]
    short = line.length / (2 * count) if inset is None else inset
    between = (line.length - 2 * short) / (count - 1)
    if between <= 0:
        return f"an inset of {short:g} mm from both ends leaves no room on a patch {line.length:g} mm long"
    return [line.at(short + k * between - line.length / 2) for k in range(count)]


def distances(point: Vector, side: Side) -> At:
    """A point of a part's side as distances from the least sides beside it."""
    return tuple((sides_of(i)[0], max(0.0, round(point[i], 9))) for i in range(3) if i != side.axis)
