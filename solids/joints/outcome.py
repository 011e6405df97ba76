"""What a joint comes to: cuts for both parts, or why none can be made."""

from __future__ import annotations

from dataclasses import dataclass

from solids.model.geometry import Plane, Vector
from solids.model.motion import Motion
from solids.model.part import Cut, Part


@dataclass(frozen=True, slots=True)
class Outcome:
    """Cuts in the first and in the second part; else `trouble` in words, with the gap between them in mm.

    `motion` is how the first part moves by it, where it does.
    """

    a: tuple[Cut, ...] = ()
    b: tuple[Cut, ...] = ()
    trouble: str = ""
    gap: float = 0.0
    motion: Motion | None = None


def local_plane(part: Part, plane: Plane) -> Plane:
    """A plane of the room in a part's own axes."""
    n = part.frame.local_direction(plane.normal)
    return Plane(n, plane.offset - plane.normal.dot(part.frame.origin), plane.name)


def middle(part: Part) -> Vector:
    """The middle of a part's blank, in the room."""
    return part.frame.point(part.blank.middle())


def span_along(part: Part, direction: Vector) -> tuple[float, float]:
    """How far a part's blank reaches along a direction of the room: least and greatest, in mm."""
    local = part.frame.local_direction(direction)
    base = part.frame.origin.dot(direction)
    reach = [c * s for c, s in zip(local, part.blank.size, strict=True)]
    return base + sum(min(r, 0.0) for r in reach), base + sum(max(r, 0.0) for r in reach)


def apart(a: Part, b: Part) -> float:
    """How far two blanks are apart, in mm, at least: the widest gap along any direction that could part two boxes."""
    axes = [part.frame.direction(u) for part in (a, b) for u in _UNIT]
    for p in axes[:3]:
        for q in axes[3:]:
            c = p.cross(q)
            if c.length() > 1e-6:
                axes.append(c.unit())
    widest = -1e30
    for axis in axes:
        a0, a1 = span_along(a, axis)
        b0, b1 = span_along(b, axis)
        widest = max(widest, a0 - b1, b0 - a1)
    return widest


_UNIT = (Vector(1.0, 0.0, 0.0), Vector(0.0, 1.0, 0.0), Vector(0.0, 0.0, 1.0))
