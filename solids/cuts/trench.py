"""Dado and groove: a trench with square walls; a dado crosses the grain, a groove runs along it.

           at       width
        |<----->|<------->|
    ----+-------+         +------  side
    |           |         |  ^
    |           |         |  | depth
    |           +---------+  v
    +-----------------------------

The trench runs parallel to the side that `at` names, and `at` is the distance
to its nearer wall. To swing it, give `at` at both ends of its run:
`at: {left: {front: 100, rear: 150}}`. `width` is square to the walls, `depth`
to the side; `tilt` leans the walls, so that they drift `toward` a side as they
go in. It runs out unless it is stopped; `radius` is the cutter's.

In solid wood the wrong word is a mistake, because it would be cut the wrong way.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import ClassVar

from solids.cuts.row import Row
from solids.cuts.shapes import (
    OVER,
    At,
    Distance,
    Stops,
    along,
    at_problems,
    in_row,
    plan_side,
    radius_problems,
    run,
    span,
    stop_problems,
    sunk,
)
from solids.model.field import Angle, Distances, Length, Name, Record, SideOf, takes
from solids.model.field import At as AtKind
from solids.model.geometry import Corner, Prism, Vector, Waste, rounded
from solids.model.part import Blank, Problem
from solids.model.side import Side, sides_of


@dataclass(frozen=True, slots=True, kw_only=True)
class Trench:
    """A trench in `side`; lengths in mm, tilt in degrees."""

    kind: ClassVar[str] = "trench"

    side: Side = takes(SideOf(), "the side that it is cut into", head=True)
    at: At = takes(AtKind(swung=True), "the side it runs parallel to, and how far its nearer wall is from it", ())
    width: float = takes(Length(), "square to its walls")
    depth: float = takes(Length(), "square to the side")
    tilt: float = takes(Angle(), "how far its walls lean", 0.0)
    toward: Side | None = takes(SideOf(), "the side that tilted walls drift to as they go in", None)
    stop: Stops = takes(Distances(), "how far short of a side it ends", ())
    radius: float = takes(Length(zero=True), "the cutter's, in the corners of a stop", 0.0)
    row: Row | None = takes(Record(Row), "repeats it", None)
    name: str = takes(Name(), "what it is called", "")

    def placed_by(self, blank: Blank) -> Side:
        """The side that its place is measured from."""
        return self.at[0][0] if self.at else sides_of(self._unsaid_axis(blank))[0]

    def _unsaid_axis(self, blank: Blank) -> int:
        """Where `at` is silent: across the run that the word asks for."""
        runs = blank.grain if self.kind == "groove" else blank.across
        if runs == self.side.axis:
            runs = blank.across if self.kind == "groove" else blank.face.axis
        return 3 - self.side.axis - runs

    def run_axis(self, blank: Blank) -> int:
        """The axis that it runs along (nearly, where it is swung)."""
        return 3 - self.side.axis - self.placed_by(blank).axis

    def problems(self, blank: Blank) -> Iterator[Problem]:
        """The place must be beside the side, the word must suit the grain, and stops lie at the ends of the run."""
        found = list(self._problems(blank))
        yield from found
        if not found:
            yield from radius_problems(lambda: self.waste(blank))

    def _problems(self, blank: Blank) -> Iterator[Problem]:
        yield from at_problems(blank, self.side, self.at, self.row)
        if len(self.at) > 1:
            yield "at", "a trench runs right across: give the distance from one side only, and `stop` to end it"
        q = self.placed_by(blank)
        if q.axis == self.side.axis:
            return
        yield from self._grain_problems(blank)
        yield from self._swing_problems(blank, q)
        near = sides_of(self.run_axis(blank))[0]
        yield from stop_problems(blank, near, self.stop)
        if self.tilt and self.toward is None:
            yield "tilt", f"tilted walls drift as they go in: say `toward: {q}` or `toward: {q.opposite}`"
        if self.toward is not None and self.toward.axis != q.axis:
            yield "toward", f"the walls can lean toward `{q}` or `{q.opposite}`, not `{self.toward}`"
        if self.radius and not self.stop:
            yield "radius", "a trench that runs out has no corner for a radius; give it a `stop`"
        if self.tilt and self.stop and (self.radius or self._ends(q)):
            yield "stop", "a tilted trench can be stopped only where it is neither swung nor rounded"

    def _grain_problems(self, blank: Blank) -> Iterator[Problem]:
        runs = self.run_axis(blank)
        if not blank.grained or self.side.axis == blank.grain:
            return
        if self.kind == "dado" and runs == blank.grain:
            yield "side", "this runs along the grain, and so is a `groove`"
        if self.kind == "groove" and runs != blank.grain:
            yield "side", "this runs across the grain, and so is a `dado`"

    def _swing_problems(self, blank: Blank, q: Side) -> Iterator[Problem]:
        ends = self._ends(q)
        if ends and {s.axis for s in ends} != {self.run_axis(blank)}:
            low, high = sides_of(self.run_axis(blank))
            yield "at", f"to swing it, give the distance at `{low}` and at `{high}`"
        elif ends and len(ends) != 2:
            yield "at", "to swing it, give the distance at both ends of its run"

    def _ends(self, q: Side) -> dict[Side, float]:
        distance: Distance = dict(self.at).get(q, 0.0)
        return dict(distance) if isinstance(distance, tuple) else {}

    def waste(self, blank: Blank) -> tuple[Waste, ...]:
        """The trench, in the blank's own axes."""
        q = self.placed_by(blank)
        if self.stop and (self.radius or self._ends(q)):
            wastes = self._planned(blank, q)
        elif self._ends(q):
            wastes = self._swung(blank, q)
        else:
            start, _ = span(blank, self.at, q, self.width / math.cos(math.radians(self.tilt)))
            profile = self._profile(start, self._drift(q), self.width / math.cos(math.radians(self.tilt)))
            wastes = along(blank, q, self.side, profile, self._names(q), self.stop)
        return in_row(blank, (wastes,), (*self.at, *self.stop), self.row)

    def _drift(self, q: Side) -> float:
        """How far the walls move away from `q` for each mm of depth."""
        slope = math.tan(math.radians(self.tilt))
        return -slope if self.toward is q else slope

    def _profile(self, start: float, drift: float, wide: float) -> tuple[tuple[float, float], ...]:
        d = self.depth
        top, low = start - drift * OVER, start + drift * d
        return ((top, -OVER), (top + wide, -OVER), (low + wide, d), (low, d))

    def _names(self, q: Side) -> tuple[str, ...]:
        return ("open", f"{q.opposite} wall", "floor", f"{q} wall")

    def _line(self, blank: Blank, q: Side) -> tuple[Side, float, float]:
        """Swung: the side its run is measured from, and the near wall's distance from `q` there and per mm of run."""
        ends = self._ends(q)
        near = blank.third(q, self.side)
        reach = blank.reach(near)
        return near, ends[near], (ends[near.opposite] - ends[near]) / reach

    def _swung(self, blank: Blank, q: Side) -> Prism:
        near, start, slope = self._line(blank, q)
        square = blank.corner_frame(q, self.side)
        angle = math.atan(slope)
        c, s = math.cos(angle), math.sin(angle)
        x, y, z = square.x, square.y, square.z
        across, along_run = x.times(c).minus(z.times(s)), x.times(s).plus(z.times(c))
        wide = self.width / math.cos(math.radians(self.tilt))
        spill = (abs(self._drift(q)) * (self.depth + OVER) + wide + OVER) * abs(slope) + 2 * OVER
        origin = square.point(Vector(start, 0.0, 0.0)).minus(along_run.times(spill))
        frame = square._replace(x=across, y=y, z=along_run, origin=origin)
        reach = blank.reach(near) / c + 2 * spill
        profile = self._profile(0.0, self._drift(q), wide)
        return Prism(frame, tuple(Corner(*p) for p in profile), reach, (*self._names(q), "stop", "stop"))

    def _planned(self, blank: Blank, q: Side) -> Prism:
        """Stopped with round corners, or stopped and swung: as a pocket seen from above."""
        if not self._ends(q):
            start, _ = span(blank, self.at, q, self.width)
            plan = rounded_plan(blank, self.side, q, (start, start + self.width), self.stop, self.radius)
        else:
            plan = self._slanted_plan(blank, q)
        return sunk(blank, self.side, q, plan, self.depth, self._plan_names(plan, q))

    def _slanted_plan(self, blank: Blank, q: Side) -> tuple[Corner, ...]:
        near, start, slope = self._line(blank, q)
        wide = self.width * math.hypot(1.0, slope)
        lo, hi = run(blank, near, self.stop)
        measured = plan_side(blank, self.side, q)
        reach = blank.reach(near)
        points = [(start + slope * v + w, v) for v, w in ((lo, 0.0), (lo, wide), (hi, wide), (hi, 0.0))]
        turned = [(u, v if measured is near else reach - v) for u, v in points]
        ordered = turned if measured is near else turned[::-1]
        round_at = {v for side, v in ((near, lo), (near.opposite, hi)) if side in dict(self.stop)}
        radii = [self.radius if v in round_at else 0.0 for _, v in (points if measured is near else points[::-1])]
        return rounded([(u, v, r) for (u, v), r in zip(_anticlockwise(ordered), radii, strict=True)])

    def _plan_names(self, plan: tuple[Corner, ...], q: Side) -> tuple[str, ...]:
        names = []
        middle = sum(c.a for c in plan) / len(plan)
        for k, c in enumerate(plan):
            n = plan[(k + 1) % len(plan)]
            is_wall = not c.bulge and abs(n.b - c.b) > abs(n.a - c.a)
            names.append(f"{q if c.a + n.a < 2 * middle else q.opposite} wall" if is_wall else "stop")
        return tuple(names)


def _anticlockwise(points: list[tuple[float, float]]) -> list[tuple[float, float]]:
    area = sum(p[0] * q[1] - q[0] * p[1] for p, q in zip(points, points[1:] + points[:1], strict=True))
    return points if area > 0 else points[::-1]


def rounded_plan(
    blank: Blank, side: Side, q: Side, across: tuple[float, float], stops: Stops, radius: float
) -> tuple[Corner, ...]:
    """The plan of a straight stopped trench on `side`; its stopped corners are rounded where they lie in the wood."""
    measured = plan_side(blank, side, q)
    lo, hi = run(blank, measured, stops)
    asked = dict(stops)
    low = radius if measured in asked else 0.0
    high = radius if measured.opposite in asked else 0.0
    a, b = across
    at_a, at_b = (0 < u < blank.reach(q) for u in across)
    return rounded([(a, lo, low * at_a), (b, lo, low * at_b), (b, hi, high * at_b), (a, hi, high * at_a)])


class Dado(Trench):
    """A trench across the grain."""

    __slots__ = ()
    kind: ClassVar[str] = "dado"
    example: ClassVar[str] = "{dado: top, at: {left: 100}, width: 12, depth: 6}"


class Groove(Trench):
    """A trench along the grain."""

    __slots__ = ()
    kind: ClassVar[str] = "groove"
    example: ClassVar[str] = "{groove: top, at: {front: 40}, width: 6, depth: 8, stop: {left: 50}}"
