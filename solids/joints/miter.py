"""Miter: two parts cut on the plane from their outer corner to their inner one.

        outer corner
      ______/
     | A   /|
     |____/ |
      in /| |
        | | | B
        | |_|

The plane goes through the line where their outer faces meet (those which look
away from the other part) and that where their inner faces meet; so parts of
unlike thickness have unlike bevels. Where both faces lie in one plane, as in a
flat frame, the edges serve. Both blanks run to the outer corner.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from solids.joints.house import SHORT, saw_or_trim, short_of
from solids.joints.outcome import Outcome, apart, local_plane, middle
from solids.model.field import Choice, PartName, takes
from solids.model.geometry import Plane, Vector
from solids.model.part import Part
from solids.model.side import Side

FLAT = 1e-6  # sine of the angle under which two faces count as parallel


@dataclass(frozen=True, slots=True, kw_only=True)
class MiterJoint:
    """Both parts of `parts` are cut."""

    kind: ClassVar[str] = "miter"
    example: ClassVar[str] = "{miter: [front, left]}"
    usual_fit: ClassVar[str] = "glue"

    parts: tuple[object, ...] = takes(PartName(many=True), "the two parts", head=True)
    fit: str = takes(Choice(("glue", "slip", "loose")), "how it should close", "glue")

    def sides(self) -> tuple[tuple[object, ...], tuple[object, ...]]:
        """The names on the two sides of the joint."""
        return self.parts[:1], self.parts[1:]

    def make(self, a: Part, b: Part) -> Outcome:
        """One saw cut in each."""
        plane = corner_plane(a, b)
        if plane is None:
            told = f"{a.id} and {b.id} are parallel and make no corner"
            return Outcome(trouble=told, gap=max(0.0, apart(a, b)))
        beyond_a = plane if plane.normal.dot(middle(a)) < plane.offset else _turned(plane)
        if beyond_a.normal.dot(middle(b)) < beyond_a.offset:
            told = f"{a.id} and {b.id} lie on one side of their corner's plane"
            return Outcome(trouble=told, gap=max(0.0, apart(a, b)))
        back = _turned(beyond_a)
        flat = _flat(a, b)
        side_a, plane_a = _sawn_side(a, beyond_a, flat), local_plane(a, beyond_a)
        side_b, plane_b = _sawn_side(b, back, flat), local_plane(b, back)
        short = {p.id: short_of(p, s, plane) for p, s, plane in ((a, side_a, plane_a), (b, side_b, plane_b))}
        lacking = " and ".join(id_ for id_, by in short.items() if by > SHORT)
        told = f"{lacking} {'end' if ' and ' in lacking else 'ends'} short of the outer corner" if lacking else ""
        cuts = saw_or_trim(a, side_a, plane_a), saw_or_trim(b, side_b, plane_b)
        return Outcome(a=cuts[:1], b=cuts[1:], trouble=told, gap=max(short.values()) if lacking else 0.0)


def _turned(plane: Plane) -> Plane:
    return Plane(plane.normal.times(-1), -plane.offset, plane.name)


def _sawn_side(part: Part, plane: Plane, flat: bool) -> Side:
    """The end or edge that looks most nearly along the plane's normal; in a flat frame always an end."""
    n = part.frame.local_direction(plane.normal)
    lawful = part.blank.ends if flat else (*part.blank.ends, *part.blank.edges)
    return max(lawful, key=lambda s: round(s.outward.dot(n), 9))


def _flat(a: Part, b: Part) -> bool:
    """Whether the faces of both lie one way, so that the edges make the corner."""
    return _square_off(a.frame.direction(a.blank.face.outward), b.frame.direction(b.blank.face.outward)) < FLAT


def _square_off(a: Vector, b: Vector) -> float:
    return a.cross(b).length()


def corner_plane(a: Part, b: Part) -> Plane | None:
    """The plane from the outer corner to the inner one; None where no faces of the two make a corner."""
    lines = _corner_lines(a, b)
    if lines is None:
        return None
    (point, along), (inner, _) = lines
    normal = along.cross(inner.minus(point))
    return Plane.through(point, normal) if normal.length() >= 1e-9 else None


def corner_width(a: Part, b: Part) -> float | None:
    """How wide the miter's face is from the outer to the inner corner, as planned, in mm."""
    lines = _corner_lines(a, b)
    if lines is None:
        return None
    (point, along), (inner, _) = lines
    off = inner.minus(point)
    return off.minus(along.times(off.dot(along))).length()


def _corner_lines(a: Part, b: Part) -> tuple[tuple[Vector, Vector], tuple[Vector, Vector]] | None:
    """The lines where the outer faces of two parts meet, and where their inner faces do."""
    sides = _corner_sides(a, b)
    if sides is None:
        return None
    (outer_a, inner_a), (outer_b, inner_b) = sides
    outer = _meeting(a.side_plane(outer_a), b.side_plane(outer_b))
    inner = _meeting(a.side_plane(inner_a), b.side_plane(inner_b))
    return (outer, inner) if outer is not None and inner is not None else None


def _corner_sides(a: Part, b: Part) -> tuple[tuple[Side, Side], tuple[Side, Side]] | None:
    """The outer and inner side of each: broad faces, or edges where those lie in one plane."""
    for of in ("broad", "edges"):
        pair_a, pair_b = getattr(a.blank, of), getattr(b.blank, of)
        na = a.frame.direction(pair_a[1].outward)
        nb = b.frame.direction(pair_b[1].outward)
        if _square_off(na, nb) > FLAT:
            return _outer_first(a, b, pair_a), _outer_first(b, a, pair_b)
    return None


def _outer_first(part: Part, other: Part, pair: tuple[Side, Side]) -> tuple[Side, Side]:
    """The pair with that side first which looks away from the other part."""
    away = part.frame.direction(pair[0].outward).dot(middle(other).minus(middle(part)))
    return pair if away <= 0 else (pair[1], pair[0])


def _meeting(p: Plane, q: Plane) -> tuple[Vector, Vector] | None:
    """A point on the line where two planes meet, and its direction."""
    along = p.normal.cross(q.normal)
    square = along.dot(along)
    if square < FLAT * FLAT:
        return None
    point = q.normal.cross(along).times(p.offset).plus(along.cross(p.normal).times(q.offset))
    return point.times(1 / square), along.times(1 / square**0.5)
