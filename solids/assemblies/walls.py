"""The walls of a case as seen from the front: each side of an outline as a board set down, leaned and placed."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

from solids.assemblies.writing import Plain
from solids.model.geometry import Plane, Vector
from solids.model.opening import Opening

FACES = ("bottom", "right", "top", "left")  # where a wall looks that runs right, up, left and down
RUNS = ("across", "up", "across", "up")
LEAST_TURN = 5.0  # degrees: walls that turn by less are one wall


class Spot(NamedTuple):
    """A point of the front, mm."""

    x: float
    z: float


@dataclass(frozen=True, slots=True)
class Wall:
    """One side of the outline, from `start` to `end`, its outside on the right of that way; `thick` square through."""

    name: str
    start: Spot
    end: Spot
    thick: float

    @property
    def length(self) -> float:
        return math.hypot(self.end.x - self.start.x, self.end.z - self.start.z)

    @property
    def angle(self) -> float:
        """The way that it runs, degrees anticlockwise from level to the right."""
        return math.degrees(math.atan2(self.end.z - self.start.z, self.end.x - self.start.x)) % 360

    @property
    def quarter(self) -> int:
        """How it is set down: 0 flat at the bottom, 1 upright on the right, 2 flat at the top, 3 on the left."""
        return round(self.angle / 90) % 4

    @property
    def lean(self) -> float:
        """Degrees by which it is then tipped to the right, under 0 to the left."""
        return (self.quarter * 90 - self.angle + 180) % 360 - 180

    @property
    def outside(self) -> str:
        return FACES[self.quarter]

    @property
    def inside(self) -> str:
        return FACES[(self.quarter + 2) % 4]

    @property
    def start_end(self) -> str:
        """The end of the board that is at `start`."""
        return ("left", "bottom", "right", "top")[self.quarter]

    @property
    def end_end(self) -> str:
        return ("right", "top", "left", "bottom")[self.quarter]

    def outward(self) -> Spot:
        """The direction it looks to."""
        dx, dz = (self.end.x - self.start.x) / self.length, (self.end.z - self.start.z) / self.length
        return Spot(dz, -dx)

    def plane(self, inset: float) -> Plane:
        """Its outside moved in by so much, looking out."""
        n = self.outward()
        normal = Vector(n.x, 0.0, n.z)
        return Plane(normal, normal.dot(Vector(self.start.x, 0.0, self.start.z)) - inset)

    def along(self, at: Spot) -> float:
        """How far along it a point is, from `start`."""
        dx, dz = (self.end.x - self.start.x) / self.length, (self.end.z - self.start.z) / self.length
        return (at.x - self.start.x) * dx + (at.z - self.start.z) * dz

    def place(self, before: float = 0.0, after: float = 0.0) -> dict[str, Plain]:
        """How a board is set down that runs past `start` and `end` by so much, its front at y = 0."""
        long = self.length + before + after
        x, z = self.start
        at = (
            [x - before, 0.0, z],
            [x - self.thick, 0.0, z - before],
            [x - long + before, 0.0, z - self.thick],
            [x, 0.0, z - long + before],
        )[self.quarter]
        place: dict[str, Plain] = {"at": at, "length": RUNS[self.quarter], "face": self.outside}
        if abs(self.lean) > 1e-11:
            place["lean"] = {"right" if self.lean > 0 else "left": abs(self.lean), "about": [x, 0.0, z]}
        return place


def walls_of(spots: Sequence[tuple[float, float]], names: Sequence[str], thick: float) -> tuple[Wall, ...]:
    """The walls of a closed outline, the first from its first point to its second."""
    n = len(spots)
    return tuple(Wall(names[k], Spot(*spots[k]), Spot(*spots[(k + 1) % n]), thick) for k in range(n))


def turns(walls: Sequence[Wall]) -> list[float]:
    """By how much each wall turns left from the one before it, in degrees, 0 to 360."""
    return [(walls[k].angle - walls[k - 1].angle) % 360 for k in range(len(walls))]


def is_convex(walls: Sequence[Wall]) -> bool:
    """Whether the outline goes round once, anticlockwise, turning left at every point."""
    found = turns(walls)
    return all(LEAST_TURN < t < 180 - LEAST_TURN for t in found) and abs(sum(found) - 360) < 1e-6


def grown(walls: Sequence[Wall], by: float, front: float, rear: float) -> Opening:
    """The inside of the walls, grown into them by so much, between two depths. Raises ValueError where none is left."""
    return Opening.between([w.plane(w.thick - by) for w in walls], front, rear, [w.name for w in walls])
