"""House: one part's end or edge let into another.

             B                  slack, half on each side
        ______________           of A's thickness
       |      |___
       |      .   |=========
       |      .   |    A        A enters the side of B that its
       |      .___|=========    middle is furthest outside of
       |      |
       |______|  depth, and `room` more

Without `depth`, A stands square to B and goes in as deep as its blank does.
With it, A is cut off parallel to that side, `depth` below. B loses A's section,
wider by `slack` and longer by `room` at the floor and the ends. A tongue, a
tenon or a rabbet that A has of its own is what goes in. `stop` ends the trench
short of a side of B, and notches A to match.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import ClassVar, NamedTuple

from solids.cuts.notch import Notch
from solids.cuts.rabbet import Rabbet
from solids.cuts.saw import sawn
from solids.cuts.shapes import Stops
from solids.cuts.tenon import Tenon, Tongue
from solids.cuts.trim import Trim
from solids.joints.outcome import Outcome, apart, local_plane
from solids.joints.trench import Walls, trench
from solids.model.field import Choice, Distances, Length, PartName, takes
from solids.model.geometry import Frame, Plane, Vector
from solids.model.part import Blank, Cut, Part
from solids.model.side import SIDES, Side

SHORT = 0.01  # mm by which a blank may end short of a long point, by rounding
SQUARE = 1e-7  # radians by which a square part may be out


@dataclass(frozen=True, slots=True, kw_only=True)
class House:
    """`guest` goes `into` each host; lengths in mm."""

    kind: ClassVar[str] = "house"
    example: ClassVar[str] = "{house: shelf, into: [side, other_side], slack: 0.2 mm}"
    usual_fit: ClassVar[str] = "slip"

    guest: tuple[object, ...] = takes(PartName(many=True), "what goes in", head=True)
    into: tuple[object, ...] = takes(PartName(many=True), "what it goes into")
    depth: float | None = takes(Length(), "how deep; as deep as its blank where unsaid", None)
    slack: float = takes(Length(zero=True), "how much wider than A the trench is, in all", 0.0)
    room: float = takes(Length(zero=True), "how much is left free at the floor and the ends", 0.0)
    stop: Stops = takes(Distances(), "how far short of a side of B the trench ends", ())
    fit: str = takes(Choice(("glue", "slip", "loose")), "how it should close", "slip")

    def sides(self) -> tuple[tuple[object, ...], tuple[object, ...]]:
        """The names on the two sides of the joint."""
        return self.guest, self.into

    def make(self, a: Part, b: Part) -> Outcome:
        """The trench in `b`, and what must be cut off or notched in `a`."""
        alone = _tenon_toward(a, b)
        if alone is not None and (self.depth is not None or self.stop):
            return Outcome(trouble=f"the tenon of {a.id} on its slanting shoulder goes in whole: no `depth`, no `stop`")
        if alone is not None:
            return self.make(alone, b)
        entry = _Entry.of(a, b)
        if entry is None:
            return Outcome(trouble=f"{a.id} already stands inside {b.id}", gap=0.0)
        square = entry.into.dot(entry.side.inward) > math.cos(SQUARE)
        lean = math.degrees(math.acos(min(1.0, entry.into.dot(entry.side.inward))))
        if not square and entry.guest_side.axis == a.blank.face.axis:
            told = f"{a.id} meets {b.id} at {lean:.2f} degrees from flat: nothing that slants by more than 45 is housed"
            return Outcome(trouble=f"{told}; cut its end along it, and let them touch", gap=max(0.0, apart(a, b)))
        if self.depth is None and not square:
            told = f"{a.id} stands {lean:.2f} degrees from square to {b.id}; give the housing a `depth`"
            return Outcome(trouble=told, gap=max(0.0, apart(a, b)))
        depth = self.depth if self.depth is not None else entry.reach(a, b)
        if depth <= 1e-9:
            return Outcome(trouble=f"{a.id} does not reach into {b.id}", gap=-depth)
        return self._housed(a, b, entry, depth, square)

    def _housed(self, a: Part, b: Part, entry: _Entry, depth: float, square: bool) -> Outcome:
        trenches: list[Cut] = []
        notches: tuple[Cut, ...] = ()
        for section in Section.all_of(a, entry.guest_side, depth):
            walls, ends = section.seen(entry, a, b, depth, self.slack / 2)
            stopped = self._stopped(a, b, entry, section, ends, depth)
            if isinstance(stopped, str):
                return Outcome(trouble=stopped)
            run, more = stopped
            made = trench(b.blank, entry.side, walls, depth - section.back + self.room, run)
            if isinstance(made, str):
                return Outcome(trouble=f"no trench of the language takes {a.id} in {b.id}: {made}")
            if square or not more:
                trenches.append(made)
                notches += more
                continue
            return Outcome(trouble="a part that leans can't be notched square at a stop; cut it by hand")
        if self.depth is None:
            return Outcome(a=notches, b=tuple(trenches))
        floor = _floor(a, b, entry.side, depth)
        short = short_of(a, entry.guest_side, floor)
        told = f"{a.id} ends short of the floor of its housing in {b.id}" if short > SHORT else ""
        return Outcome(a=(*_cut_off(a, entry, floor, square), *notches), b=tuple(trenches), trouble=told, gap=short)

    def _stopped(
        self, a: Part, b: Part, entry: _Entry, section: Section, ends: tuple[float, float], depth: float
    ) -> tuple[tuple[float, float], tuple[Cut, ...]] | str:
        """How far the trench runs, with its room and its stops, and what must be notched out of A; or why it can't."""
        low, high = ends[0] - self.room, ends[1] + self.room
        notches: tuple[Cut, ...] = ()
        for host_side, short in self.stop:
            if host_side.axis != section.run_axis(entry, b):
                return f"the trench runs another way and can't stop short of `{host_side}` of {b.id}"
            at = short if host_side.sign < 0 else b.blank.size[host_side.axis] - short
            spare = at - ends[0] if host_side.sign < 0 else ends[1] - at
            low, high = (at, high) if host_side.sign < 0 else (low, at)
            if spare > 0:
                edge = a.facing(b.frame.direction(host_side.outward))
                deep = max(depth, entry.reach(a, b))  # from the end of the blank, which is cut off at `depth`
                notches += (Notch(corner=((entry.guest_side, deep), (edge, spare + self.room))),)
        return (low, high), notches


def _tenon_toward(a: Part, b: Part) -> Part | None:
    """A tenon of A on a slanting shoulder, as a part of its own that goes in square; None where B meets no such one."""
    found = [m.cut.standing(a.blank) for m in a.cuts if isinstance(m.cut, Tenon) and m.cut.to is not None]
    if not found:
        return None
    near = b.frame.point(b.blank.middle())
    best = min(found, key=lambda s: a.frame.point(s.frame.origin).minus(near).length())
    back = a.blank.length / 2
    x, y, z = best.frame.z, best.frame.x, best.frame.y
    corner = Vector(-best.width / 2, -best.thickness / 2, -back)
    frame = Frame(x, y, z, best.frame.point(corner)).within(a.frame)
    size = Vector(back + best.length, best.width, best.thickness)
    return replace(a, blank=Blank(size, 0, Side.TOP, grained=a.blank.grained), cuts=(), frame=frame)


def _floor(a: Part, b: Part, side: Side, depth: float) -> Plane:
    """The plane `depth` below a side of B, in A's own axes, looking out of A."""
    below = b.blank.plane(side, inset=depth).moved(b.frame)
    return local_plane(a, Plane(below.normal.times(-1), -below.offset))


def _cut_off(a: Part, entry: _Entry, floor: Plane, square: bool) -> tuple[Cut, ...]:
    """What brings A's end to the floor, where it is not there already."""
    if square and a.blank.plane(entry.guest_side).offset - floor.offset < 1e-9:
        return ()
    return (saw_or_trim(a, entry.guest_side, floor),)


def saw_or_trim(part: Part, side: Side, plane: Plane) -> Cut:
    """The saw cut at a side that makes a plane; where the blank ends short of it, the plane itself."""
    cut = sawn(part.blank, side, plane)
    if cut is None or cut.inset < 0:
        return Trim(side=side, to=plane)
    return cut


def short_of(part: Part, side: Side, plane: Plane) -> float:
    """How far a blank ends short of the long point of a cut at a side, in mm; 0 where it reaches it."""
    cut = sawn(part.blank, side, plane)
    return max(0.0, -cut.inset) if cut is not None else 0.0


class _Entry(NamedTuple):
    """Which side of B is entered, by which side of A, and which way (in B's own axes)."""

    side: Side
    guest_side: Side
    into: Vector
    seen: Frame

    @classmethod
    def of(cls, a: Part, b: Part) -> _Entry | None:
        seen = a.frame.seen_from(b.frame)
        centre = seen.point(a.blank.middle())
        outside = {s: s.outward.dot(centre) - b.blank.plane(s).offset for s in SIDES}
        side = max(SIDES, key=lambda s: round(outside[s], 6))
        if outside[side] <= 0:
            return None
        guest_side = max(SIDES, key=lambda s: round(seen.direction(s.outward).dot(side.inward), 9))
        return cls(side, guest_side, seen.direction(guest_side.outward), seen)

    def reach(self, a: Part, b: Part) -> float:
        """How deep A's blank goes below B's side."""
        tip = a.blank.plane(self.guest_side)
        point = self.seen.point(self.guest_side.outward.times(tip.offset))
        return b.blank.plane(self.side).offset - self.side.outward.dot(point)


class Section(NamedTuple):
    """What of A goes in: least and greatest along its own `run` and `wall` axes, and how far back its tip lies."""

    run: int
    wall: int
    run_span: tuple[float, float]
    wall_span: tuple[float, float]
    back: float = 0.0

    @classmethod
    def all_of(cls, a: Part, side: Side, depth: float) -> list[Section]:
        """The section of A's end or edge; where it has tongues or tenons of its own there, one for each."""
        blank = a.blank
        wall = blank.face.axis if side.axis != blank.face.axis else blank.across
        run = 3 - side.axis - wall
        own = [m.cut for m in a.cuts if not m.joint]
        stands = [s for c in own if isinstance(c, Tongue | Tenon) and c.side is side for s in c.stands(blank)]
        if stands:
            longest = max(s.length for s in stands)
            found = [cls(run, wall, (s.u0, s.u1), (s.v0, s.v1), longest - s.length) for s in stands]
            return [s for s in found if depth - s.back > 1e-9]
        runs, walls = [0.0, blank.size[run]], [0.0, blank.size[wall]]
        for c in own:
            if isinstance(c, Rabbet) and c.side is side and c.width >= depth - 1e-6:
                span = walls if c.on.axis == wall else runs
                span[0 if c.on.sign < 0 else 1] += -c.on.sign * c.depth
        return [cls(run, wall, (runs[0], runs[1]), (walls[0], walls[1]))]

    def run_axis(self, entry: _Entry, b: Part) -> int:
        """B's axis that the trench runs along, most nearly."""
        along = entry.seen.direction(_unit(self.run))
        return max((i for i in range(3) if i != entry.side.axis), key=lambda i: (round(abs(along[i]), 9), -i))

    def seen(
        self, entry: _Entry, a: Part, b: Part, depth: float, half_slack: float
    ) -> tuple[Walls, tuple[float, float]]:
        """The trench's walls and how far it runs, in B's own axes."""
        v = entry.seen.direction(_unit(self.wall))
        base = v.dot(entry.seen.origin)
        walls = Walls(v, base + self.wall_span[0] - half_slack, base + self.wall_span[1] + half_slack)
        axis = self.run_axis(entry, b)
        surface = b.blank.plane(entry.side)
        reach = [self._crossing(entry, surface, inset, r, w)[axis] for inset in (0.0, depth)
                 for r in self.run_span for w in self.wall_span]  # fmt: skip
        return walls, (min(reach), max(reach))

    def _crossing(self, entry: _Entry, surface: Plane, inset: float, r: float, w: float) -> Vector:
        """Where a long arris of A's section passes `inset` below B's side."""
        point = entry.seen.point(_unit(self.run).times(r).plus(_unit(self.wall).times(w)))
        along = entry.into
        t = (surface.offset - inset - surface.normal.dot(point)) / surface.normal.dot(along)
        return point.plus(along.times(t))


def _unit(axis: int) -> Vector:
    return Vector(*(1.0 if i == axis else 0.0 for i in range(3)))
