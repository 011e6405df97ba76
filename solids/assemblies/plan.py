"""The plan of a ring of leaning walls: where its corners are at every height, outside and inside."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import NamedTuple


class Spot(NamedTuple):
    """A point in plan, mm."""

    x: float
    y: float

    def plus(self, other: Spot, times: float = 1.0) -> Spot:
        return Spot(self.x + other.x * times, self.y + other.y * times)

    def dot(self, other: Spot) -> float:
        return self.x * other.x + self.y * other.y


@dataclass(frozen=True, slots=True)
class Plan:
    """Corners of the outside at height 0, anticlockwise as seen from above; every wall leans out by `lean` degrees,
    in where that is under 0, and is `thick` square through."""

    corners: tuple[Spot, ...]
    lean: float
    thick: float

    @classmethod
    def regular(cls, sides: int, across: float, lean: float, thick: float) -> Plan:
        """A regular plan about 0, `across` from flat to flat, its first wall in front."""
        out = across / 2 / math.cos(math.pi / sides)
        first = -math.pi / 2 - math.pi / sides
        angles = [first + 2 * math.pi * k / sides for k in range(sides)]
        return cls(tuple(Spot(out * math.cos(a), out * math.sin(a)) for a in angles), lean, thick)

    def along(self, k: int) -> Spot:
        """The direction of wall k, from its first corner to its second."""
        p, q = self.corners[k], self.corners[(k + 1) % len(self.corners)]
        far = math.hypot(q.x - p.x, q.y - p.y)
        return Spot((q.x - p.x) / far, (q.y - p.y) / far)

    def out(self, k: int) -> Spot:
        """The direction that wall k looks to, away from the middle."""
        d = self.along(k)
        return Spot(d.y, -d.x)

    def turn(self, k: int) -> float:
        """How far wall k is turned from facing the front, degrees anticlockwise from above."""
        d = self.along(k)
        return math.degrees(math.atan2(d.y, d.x))

    def turns(self) -> list[float]:
        """By how much each wall is turned from the one before it, in degrees, 0 to 360."""
        n = len(self.corners)
        return [(self.turn(k) - self.turn(k - 1)) % 360 for k in range(n)]

    @property
    def level(self) -> float:
        """How thick a wall is measured level, mm."""
        return self.thick / math.cos(math.radians(self.lean))

    def moved(self, k: int, before: float, after: float) -> Spot:
        """Where corner k goes when the wall before it moves out by so much, and the one after it by so much."""
        u, v = self.out(k - 1), self.out(k)
        c = u.dot(v)
        return self.corners[k].plus(u, (before - c * after) / (1 - c * c)).plus(v, (after - c * before) / (1 - c * c))

    def outward(self, z: float, *, inside: bool) -> float:
        """How far the walls have gone out at a height, on their outside or their inside."""
        return z * math.tan(math.radians(self.lean)) - (self.level if inside else 0.0)

    def corner(self, k: int, z: float, *, inside: bool = False) -> Spot:
        """Corner k at a height, of the outside or of the inside."""
        far = self.outward(z, inside=inside)
        return self.moved(k % len(self.corners), far, far)

    def span(self, k: int, height: float) -> tuple[float, float]:
        """From where to where wall k reaches, along itself from its first corner, between height 0 and the top."""
        d, p, n = self.along(k), self.corners[k], len(self.corners)
        found = []
        for end in (k, (k + 1) % n):
            spots = [self.corner(end, z, inside=inside) for z in (0.0, height) for inside in (False, True)]
            found.append([d.dot(Spot(s.x - p.x, s.y - p.y)) for s in spots])
        return min(found[0]), max(found[1])
