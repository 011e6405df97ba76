"""Tongue and tenon: all the wood at a side goes, but for what stands.

    tongue, seen on the edge       tenon, seen on the end
    +--------------+               +---------------------+
    |              +-----+ ^       |   .-------------.   |
    |                    | | thick |   |             |   |  thickness
    |              +-----+ v       |   '-------------'   |
    +--------------+               +---------------------+
                   length                  width

A tongue is as wide as the part and may stand on an end or an edge; tenons stand
on an end, and several on one end all stand. What `at` leaves unsaid is centred.
The blank is measured over the longest; the shoulder lies that far in. Where an
apron meets a leaning leg, `to: PART.SIDE` lays the shoulder in that side, and
the tenon stands square to it.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import ClassVar, NamedTuple

from solids.cuts.row import Row
from solids.cuts.shapes import OVER, At, at_problems, span
from solids.cuts.shoulder import MOST, Standing, around_standing, standing
from solids.model.field import At as AtKind
from solids.model.field import Length, Name, Record, SideOf, Target, takes
from solids.model.geometry import Corner, Plane, Prism, Vector, Waste
from solids.model.part import Blank, Problem
from solids.model.side import Side, sides_of

SHORT = 0.01  # mm by which a blank may end short, by rounding


class Stand(NamedTuple):
    """What stands on a side: from u0 to u1 across and v0 to v1 through the thickness, `length` mm long."""

    u0: float
    u1: float
    v0: float
    v1: float
    length: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Tongue:
    """As wide as the part; mm."""

    kind: ClassVar[str] = "tongue"
    example: ClassVar[str] = "{tongue: right, length: 10, thickness: 8}"

    side: Side = takes(SideOf(("end", "edge")), "the end or edge that it stands on", head=True)
    length: float = takes(Length(), "how far it stands out from the shoulder")
    thickness: float = takes(Length(), "of the tongue")
    at: At = takes(AtKind(), "how far it is from a face", ())
    row: Row | None = takes(Record(Row), "repeats it", None)
    name: str = takes(Name(), "what it is called", "")

    def problems(self, blank: Blank) -> Iterator[Problem]:
        """It is placed from a broad face only, and must be thinner than the part."""
        yield from at_problems(blank, self.side, self.at, self.row)
        if self.row is not None and self.row.toward not in blank.broad:
            yield (
                "row",
                f"a tongue is as wide as the part: its row runs toward `{blank.broad[0]}` or `{blank.broad[1]}`",
            )
        for side, _ in self.at:
            if side.axis != self.side.axis and side not in blank.broad:
                yield "at", f"a tongue is as wide as the part: place it from `{blank.broad[0]}` or `{blank.broad[1]}`"
        if self.thickness > blank.thickness:
            yield "thickness", f"{self.thickness:g} mm is thicker than the part, {blank.thickness:g} mm"

    def stands(self, blank: Blank) -> list[Stand]:
        """Each tongue of the row, right across."""
        u, v = _section_sides(blank, self.side)
        low, high = span(blank, self.at, v, self.thickness)
        return _in_row(Stand(0.0, blank.reach(u), low, high, self.length), u, self.at, self.row)

    def waste(self, blank: Blank) -> tuple[Waste, ...]:
        """All but the tongue."""
        return tuple(around(blank, self.side, self.stands(blank)))


@dataclass(frozen=True, slots=True, kw_only=True)
class Tenon:
    """`length` from the shoulder, `width` across the part, `thickness` through it; mm."""

    kind: ClassVar[str] = "tenon"
    example: ClassVar[str] = "{tenon: right, length: 40, width: 200, thickness: 10}"

    side: Side = takes(SideOf(("end",)), "the end that it stands on", head=True)
    length: float = takes(Length(), "how far it stands out from the shoulder")
    width: float = takes(Length(), "across the part")
    thickness: float = takes(Length(), "through the part")
    at: At = takes(AtKind(), "how far it is from an edge or a face", ())
    row: Row | None = takes(Record(Row), "repeats it", None)
    to: Plane | None = takes(Target(), "the plane that its shoulder lies in, or `PART.SIDE`, in place of square", None)
    name: str = takes(Name(), "what it is called", "")

    def problems(self, blank: Blank) -> Iterator[Problem]:
        """It must stand within the end."""
        yield from at_problems(blank, self.side, self.at, self.row)
        if self.to is not None:
            yield from self._slanting_problems(blank)
        if self.thickness > blank.thickness:
            yield "thickness", f"{self.thickness:g} mm is thicker than the part, {blank.thickness:g} mm"
        if self.width > blank.width:
            yield "width", f"{self.width:g} mm is wider than the part, {blank.width:g} mm"

    def stands(self, blank: Blank) -> list[Stand]:
        """Each tenon of the row."""
        u, v = _section_sides(blank, self.side)
        u0, u1 = span(blank, self.at, u, self.width)
        v0, v1 = span(blank, self.at, v, self.thickness)
        return _in_row(Stand(u0, u1, v0, v1, self.length), u, self.at, self.row)

    def standing(self, blank: Blank) -> Standing:
        """The tenon on a shoulder that lies in a plane."""
        first = self.stands(blank)[0]
        return standing(blank, self, ((first.u0 + first.u1) / 2, (first.v0 + first.v1) / 2))

    def waste(self, blank: Blank) -> tuple[Waste, ...]:
        """All but the tenons of this one cut."""
        if self.to is not None:
            return around_slanting(blank, [self])
        return tuple(around(blank, self.side, self.stands(blank)))

    def _slanting_problems(self, blank: Blank) -> Iterator[Problem]:
        assert self.to is not None
        lean = math.degrees(math.acos(min(1.0, abs(self.to.normal.dot(self.side.outward)))))
        if lean > MOST:
            yield "to", f"a shoulder {lean:.4g} degrees from square is none; it may be {MOST:g}"
            return
        if self.row is not None:
            yield "row", "on a slanting shoulder each tenon is a cut of its own"
        end = blank.plane(self.side)
        over = max(end.normal.dot(corner) for corner in self.standing(blank).tip()) - end.offset
        if over > SHORT:
            yield "length", f"the blank ends {over:.4g} mm short of the end of this tenon"


def around_slanting(blank: Blank, tenons: Sequence[Tenon]) -> tuple[Prism, ...]:
    """All beyond a slanting shoulder but for the tenons that stand on it."""
    found = [t.standing(blank) for t in tenons]
    far = sum(blank.size)
    frame, boxes = found[0].frame, []
    for t in found:
        x, y, _ = frame.local_point(t.frame.origin)
        a, b = t.width / 2, t.thickness / 2
        boxes.append(Stand(x - a, x + a, y - b, y + b, t.length))
    us = sorted({-far, far, *(x for s in boxes for x in (s.u0, s.u1))})
    vs = sorted({-far, far, *(x for s in boxes for x in (s.v0, s.v1))})
    return tuple(around_standing(blank, found, _largest_empty(us, vs, boxes)))


def _in_row(first: Stand, u: Side, at: At, row: Row | None) -> list[Stand]:
    """What stands, repeated; a row whose place is unsaid is centred."""
    if row is None:
        return [first]
    step = row.toward.sign * row.pitch
    du, dv = (step, 0.0) if row.toward.axis == u.axis else (0.0, step)
    said = any(s.axis == row.toward.axis for s, _ in at)
    begin = 0.0 if said else -(row.count - 1) / 2
    u0, u1, v0, v1, length = first
    return [
        Stand(u0 + k * du, u1 + k * du, v0 + k * dv, v1 + k * dv, length) for k in (begin + i for i in range(row.count))
    ]


def _section_sides(blank: Blank, side: Side) -> tuple[Side, Side]:
    """The sides from which a section at `side` is measured: across it, and through the thickness."""
    axis = blank.across if side in blank.ends else blank.grain
    return sides_of(axis)[0], blank.broad[0]


def around(blank: Blank, side: Side, stands: Sequence[Stand]) -> Iterator[Prism]:
    """The wood round everything that stands on a side, down to the shoulder of the longest.

    A shorter one stands as far out as it is long, and may run through a longer
    one: beyond each length, all goes but for what is longer.
    """
    u, v = _section_sides(blank, side)
    shoulder = max(s.length for s in stands)
    wide, thick = blank.reach(u), blank.reach(v)
    us = sorted({-OVER, wide + OVER, *(x for s in stands for x in (s.u0, s.u1))})
    vs = sorted({-OVER, thick + OVER, *(x for s in stands for x in (s.v0, s.v1))})
    for level in sorted({0.0, *(s.length for s in stands if s.length < shoulder)}):
        for rectangle in _largest_empty(us, vs, [s for s in stands if s.length > level]):
            yield _block(blank, side, (u, v), rectangle, shoulder - level)


def _largest_empty(
    us: list[float], vs: list[float], stands: Sequence[Stand]
) -> Iterator[tuple[float, float, float, float]]:
    """Rectangles on the grid that hold no stand and can't be made larger; together they cover all the rest."""
    found: list[tuple[float, float, float, float]] = []
    for i, u0 in enumerate(us):
        for u1 in reversed(us[i + 1 :]):
            for j, v0 in enumerate(vs):
                for v1 in reversed(vs[j + 1 :]):
                    if any(s.u0 < u1 and u0 < s.u1 and s.v0 < v1 and v0 < s.v1 for s in stands):
                        continue
                    found.append((u0, u1, v0, v1))
    for r in found:
        if not any(_holds(o, r) for o in found if o != r):
            yield r


def _holds(outer: tuple[float, ...], inner: tuple[float, ...]) -> bool:
    return outer[0] <= inner[0] and inner[1] <= outer[1] and outer[2] <= inner[2] and inner[3] <= outer[3]


def _block(
    blank: Blank, side: Side, section: tuple[Side, Side], box: tuple[float, float, float, float], deep: float
) -> Prism:
    u, v = section
    u0, u1, v0, v1 = box
    if blank.third(u, v) is not side and blank.third(u, v).opposite is not side:
        raise AssertionError("a section lies across its side")
    if blank.third(u, v) is side:
        frame = blank.corner_frame(u, v)
        corners = (Corner(u0, v0), Corner(u1, v0), Corner(u1, v1), Corner(u0, v1))
    else:
        frame = blank.corner_frame(v, u)
        corners = (Corner(v0, u0), Corner(v1, u0), Corner(v1, u1), Corner(v0, u1))
    moved = frame._replace(origin=frame.point(Vector(0.0, 0.0, -OVER)))
    return Prism(moved, corners, deep + OVER, ("cheek",) * 4 + ("open", "shoulder"))
