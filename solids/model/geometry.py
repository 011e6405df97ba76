"""Vectors, frames and the shapes that a cut takes away, as numbers.

Nothing here knows a kernel. A cut says *what* goes (a `Plane`, a `Prism` or a
`Bore`); both kernels make their solids from the same numbers.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from typing import NamedTuple, TypeAlias


class Vector(NamedTuple):
    """A point or a direction, in mm."""

    x: float
    y: float
    z: float

    def plus(self, other: Vector) -> Vector:
        return Vector(self.x + other.x, self.y + other.y, self.z + other.z)

    def minus(self, other: Vector) -> Vector:
        return Vector(self.x - other.x, self.y - other.y, self.z - other.z)

    def times(self, k: float) -> Vector:
        return Vector(self.x * k, self.y * k, self.z * k)

    def dot(self, other: Vector) -> float:
        return self.x * other.x + self.y * other.y + self.z * other.z

    def cross(self, o: Vector) -> Vector:
        return Vector(self.y * o.z - self.z * o.y, self.z * o.x - self.x * o.z, self.x * o.y - self.y * o.x)

    def length(self) -> float:
        return math.sqrt(self.dot(self))

    def unit(self) -> Vector:
        return self.times(1 / self.length())


SHARP = 1e-6  # mm: a corner radius under this is none
ORIGIN = Vector(0.0, 0.0, 0.0)
X, Y, Z = Vector(1.0, 0.0, 0.0), Vector(0.0, 1.0, 0.0), Vector(0.0, 0.0, 1.0)
AXES = (X, Y, Z)


class Frame(NamedTuple):
    """Where local axes stand: the directions of x, y and z, and the origin."""

    x: Vector = X
    y: Vector = Y
    z: Vector = Z
    origin: Vector = ORIGIN

    def direction(self, v: Vector) -> Vector:
        """A local direction, as seen outside."""
        x, y, z = self.x, self.y, self.z
        return Vector(
            x.x * v.x + y.x * v.y + z.x * v.z,
            x.y * v.x + y.y * v.y + z.y * v.z,
            x.z * v.x + y.z * v.y + z.z * v.z,
        )

    def point(self, p: Vector) -> Vector:
        """A local point, as seen outside."""
        return self.direction(p).plus(self.origin)

    def local_direction(self, v: Vector) -> Vector:
        """An outside direction, in local axes."""
        return Vector(self.x.dot(v), self.y.dot(v), self.z.dot(v))

    def local_point(self, p: Vector) -> Vector:
        """An outside point, in local axes."""
        return self.local_direction(p.minus(self.origin))

    def within(self, outer: Frame) -> Frame:
        """This frame, when the axes that it is given in stand at `outer`."""
        return Frame(
            outer.direction(self.x), outer.direction(self.y), outer.direction(self.z), outer.point(self.origin)
        )

    def seen_from(self, other: Frame) -> Frame:
        """This frame in the axes of `other`, both given in the same outer axes."""
        return Frame(
            other.local_direction(self.x),
            other.local_direction(self.y),
            other.local_direction(self.z),
            other.local_point(self.origin),
        )

    def mirrored(self, axis: int, at: float) -> Frame:
        """The handed twin's frame, right-handed again: the local axis `axis` runs the other way."""
        flip = [Vector(*(-c if i == axis else c for i, c in enumerate(v))) for v in self[:3]]
        flip[axis] = flip[axis].times(-1)
        o = list(self.origin)
        o[axis] = 2 * at - o[axis]
        return Frame(flip[0], flip[1], flip[2], Vector(*o))


STILL = Frame()


def rotation(axis: Vector, degrees: float, about: Vector = ORIGIN) -> Frame:
    """The frame that turns points by `degrees` about the line through `about` along `axis`, right-handed."""
    c, s = math.cos(math.radians(degrees)), math.sin(math.radians(degrees))
    if degrees % 90 == 0:
        c, s = float(round(c)), float(round(s))
    u = axis.unit()

    def turned(v: Vector) -> Vector:
        return v.times(c).plus(u.cross(v).times(s)).plus(u.times(u.dot(v) * (1 - c)))

    return Frame(turned(X), turned(Y), turned(Z), about.minus(turned(about)))


class Corner(NamedTuple):
    """A point of an outline; `bulge` bends the side that starts here: tan(arc angle / 4), 0 is straight."""

    a: float
    b: float
    bulge: float = 0.0


@dataclass(frozen=True, slots=True)
class Plane:
    """A straight saw cut: everything on the side that `normal` points to goes. `name` is the new face's."""

    normal: Vector
    offset: float
    name: str = "face"

    @classmethod
    def through(cls, point: Vector, normal: Vector, name: str = "face") -> Plane:
        n = normal.unit()
        return cls(n, n.dot(point), name)

    def moved(self, frame: Frame) -> Plane:
        n = frame.direction(self.normal)
        return Plane(n, self.offset + n.dot(frame.origin), self.name)


@dataclass(frozen=True, slots=True)
class Prism:
    """An outline, anticlockwise in the frame's x and y, swept `depth` along its z.

    `names` has one name for each side of the outline, then the floor (z = 0)
    and the lid (z = depth).
    """

    frame: Frame
    outline: tuple[Corner, ...]
    depth: float
    names: tuple[str, ...]

    def moved(self, frame: Frame) -> Prism:
        return Prism(self.frame.within(frame), self.outline, self.depth, self.names)


@dataclass(frozen=True, slots=True)
class Bore:
    """A round hole, or a cone where `end_radius` differs: from `start` along `axis`, `depth` deep."""

    start: Vector
    axis: Vector
    radius: float
    depth: float
    end_radius: float = field(default=-1.0)
    name: str = "wall"

    @property
    def far_radius(self) -> float:
        return self.radius if self.end_radius < 0 else self.end_radius

    def moved(self, frame: Frame) -> Bore:
        return Bore(
            frame.point(self.start),
            frame.direction(self.axis),
            self.radius,
            self.depth,
            self.end_radius,
            self.name,
        )


Waste: TypeAlias = Plane | Prism | Bore


def sides(outline: tuple[Corner, ...]) -> Iterator[tuple[Corner, Corner]]:
    """Each side of an outline as its two corners."""
    return zip(outline, (*outline[1:], outline[0]), strict=True)


def outline_area(outline: tuple[Corner, ...]) -> float:
    """Area in mm², arcs exact; negative where the outline runs clockwise."""
    total = 0.0
    for p, q in sides(outline):
        total += (p.a * q.b - q.a * p.b) / 2
        if p.bulge:
            angle = 4 * math.atan(p.bulge)
            chord = math.hypot(q.a - p.a, q.b - p.b)
            radius = chord / 2 / math.sin(angle / 2)
            total += radius * radius * (angle - math.sin(angle)) / 2
    return total


def arc(p: Corner, q: Corner) -> tuple[float, float, float, float, float]:
    """Centre (a, b), radius, start angle and swept angle (radians) of the bent side from p to q."""
    angle = 4 * math.atan(p.bulge)
    half = (1 - p.bulge * p.bulge) / (2 * p.bulge) / 2
    a = (p.a + q.a) / 2 - (q.b - p.b) * half
    b = (p.b + q.b) / 2 + (q.a - p.a) * half
    return a, b, math.hypot(p.a - a, p.b - b), math.atan2(p.b - b, p.a - a), angle


def rounded(points: Iterable[tuple[float, float, float]]) -> tuple[Corner, ...]:
    """An outline whose corners (a, b, radius) are rounded; a radius of 0, or nearly, stays sharp.

    Two radii that do not fit on their side raise ValueError.
    """
    pts = list(points)
    out: list[Corner] = []
    n = len(pts)
    for k, (a, b, r) in enumerate(pts):
        if r < SHARP:
            out.append(Corner(a, b))
            continue
        pa, pb = pts[k - 1][0] - a, pts[k - 1][1] - b
        qa, qb = pts[(k + 1) % n][0] - a, pts[(k + 1) % n][1] - b
        lp, lq = math.hypot(pa, pb), math.hypot(qa, qb)
        turn = math.atan2(-pa * qb + pb * qa, -pa * qa - pb * qb)
        back = r * math.tan(abs(turn) / 2)
        room_p = lp - _setback(pts, k - 1)
        room_q = lq - _setback(pts, (k + 1) % n)
        if back > room_p + 1e-9 or back > room_q + 1e-9:
            raise ValueError(f"a corner radius of {r:g} mm does not fit")
        out.append(Corner(a + pa / lp * back, b + pb / lp * back, math.tan(turn / 4)))
        out.append(Corner(a + qa / lq * back, b + qb / lq * back))
    return _without_doubles(out)


def _setback(pts: list[tuple[float, float, float]], k: int) -> float:
    a, b, r = pts[k]
    if r < SHARP:
        return 0.0
    pa, pb = pts[k - 1][0] - a, pts[k - 1][1] - b
    nxt = pts[(k + 1) % len(pts)]
    qa, qb = nxt[0] - a, nxt[1] - b
    turn = math.atan2(-pa * qb + pb * qa, -pa * qa - pb * qb)
    return r * math.tan(abs(turn) / 2)


def _without_doubles(outline: list[Corner]) -> tuple[Corner, ...]:
    """Where two roundings meet, the straight side between them has no length: leave it out."""
    keep = []
    for k, c in enumerate(outline):
        n = outline[(k + 1) % len(outline)]
        if c.bulge == 0 and math.hypot(n.a - c.a, n.b - c.b) < 1e-9:
            continue
        keep.append(c)
    return tuple(keep)
