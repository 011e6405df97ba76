"""A part: its blank as set down, the cuts made in it, and where it stands in the room."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from typing import Protocol, TypeAlias

from solids.model.finding import Place
from solids.model.geometry import AXES, Corner, Frame, Plane, Prism, Vector, Waste
from solids.model.geometry import sides as outline_sides
from solids.model.side import SIDES, Side, sides_of


@dataclass(frozen=True, slots=True)
class Stock:
    """What parts are made of. Thickness and nominal in mm, density in kg/m³, colour as #rrggbb.

    `sawn` is how the growth rings of solid wood lie in it: flatsawn, along its face; quartersawn, square to it.
    """

    name: str
    material: str
    thickness: float
    nominal: float
    solid_wood: bool
    density: float
    colour: str
    place: Place | None = None
    sawn: str = "flatsawn"


@dataclass(frozen=True, slots=True)
class Blank:
    """The board at its longest, in its own axes as set down: least corner at 0, x right, y to the rear, z up.

    `grain` is the axis that its length runs along, `face` the side that its
    face looks to; `outline` replaces the rectangle, along the grain and across;
    `grained` is false for sheet goods, which have no way to split.
    """

    size: Vector
    grain: int
    face: Side
    outline: tuple[Corner, ...] = ()
    grained: bool = True

    @property
    def across(self) -> int:
        """The axis of its width."""
        return 3 - self.grain - self.face.axis

    @property
    def length(self) -> float:
        return self.size[self.grain]

    @property
    def width(self) -> float:
        return self.size[self.across]

    @property
    def thickness(self) -> float:
        return self.size[self.face.axis]

    @property
    def ends(self) -> tuple[Side, Side]:
        return sides_of(self.grain)

    @property
    def edges(self) -> tuple[Side, Side]:
        return sides_of(self.across)

    @property
    def broad(self) -> tuple[Side, Side]:
        return sides_of(self.face.axis)

    def reach(self, side: Side) -> float:
        """How far the blank runs square to a side, in mm."""
        return self.size[side.axis]

    def kind_of(self, side: Side) -> str:
        """`end`, `edge` or `face`, as a maker calls it."""
        return "end" if side in self.ends else "edge" if side in self.edges else "face"

    def middle(self) -> Vector:
        return self.size.times(0.5)

    def plane(self, side: Side, inset: float = 0.0, name: str = "face") -> Plane:
        """The plane of a side, or that far in from it, looking out."""
        at = self.size[side.axis] if side.sign > 0 else 0.0
        return Plane(side.outward, side.sign * at - inset, name)

    def corner_frame(self, a: Side, b: Side) -> Frame:
        """Axes in which a point's x, y and z are its distances from sides `a`, `b` and a third.

        The third is `third(a, b)`. One frame does the eight cases of every cut
        along an arris, so a rabbet and a chamfer differ only in their outline.
        """
        x, y = a.inward, b.inward
        z = x.cross(y)
        origin = [self.size[i] if (x[i] + y[i] + z[i]) < 0 else 0.0 for i in range(3)]
        return Frame(x, y, z, Vector(*origin))

    def third(self, a: Side, b: Side) -> Side:
        """The side from which the z of `corner_frame(a, b)` is measured."""
        z = a.inward.cross(b.inward)
        axis = 3 - a.axis - b.axis
        return sides_of(axis)[0 if z[axis] > 0 else 1]

    def bench(self) -> Frame:
        """The axes on the bench, in the set-down axes: x along the grain, z out of the face."""
        x, z = AXES[self.grain], self.face.outward
        y = z.cross(x)
        origin = [self.size[i] if (x[i] + y[i] + z[i]) < 0 else 0.0 for i in range(3)]
        return Frame(x, y, z, Vector(*origin))

    def prism(self) -> Prism:
        """The blank itself, its sides named by the maker's words."""
        if not self.outline:
            wide, deep, tall = self.size
            square = (Corner(0, 0), Corner(wide, 0), Corner(wide, deep), Corner(0, deep))
            words = ("front", "right", "rear", "left", "bottom", "top")
            return Prism(self.corner_frame(Side.LEFT, Side.FRONT), square, tall, words)
        frame, flipped = self._outline_frame()
        corners = self.outline if not flipped else tuple(_reversed(self.outline))
        n = len(corners)
        first = [(n - 2 - k) % n if flipped else k for k in range(n)]  # the point of `outline` that each side starts at
        names = tuple(self._side_word(frame, p, q, k) for k, (p, q) in zip(first, outline_sides(corners), strict=True))
        low, high = self.broad
        lid = low if frame.z.dot(low.outward) > 0 else high
        return Prism(frame, corners, self.thickness, (*names, str(lid.opposite), str(lid)))

    def _outline_frame(self) -> tuple[Frame, bool]:
        """A frame at the least corner whose x is the grain and y the width, turned over if it must be."""
        x, y = AXES[self.grain], AXES[self.across]
        z = x.cross(y)
        flipped = z[self.face.axis] < 0
        if flipped:
            x, y, z = y, x, z.times(-1)
        return Frame(x, y, z), flipped

    def _side_word(self, frame: Frame, p: Corner, q: Corner, k: int) -> str:
        """The maker's word for a straight side that lies on the blank's box, else its number."""
        start, end = frame.point(Vector(p.a, p.b, 0)), frame.point(Vector(q.a, q.b, 0))
        for side in (*self.ends, *self.edges):
            at = self.size[side.axis] if side.sign > 0 else 0.0
            if not p.bulge and abs(start[side.axis] - at) < 1e-9 and abs(end[side.axis] - at) < 1e-9:
                return str(side)
        return f"outline {k + 1}"

    def corners(self) -> Iterator[Vector]:
        """The eight corners of the blank's box."""
        for k in range(8):
            yield Vector(*(self.size[i] if k >> i & 1 else 0.0 for i in range(3)))


def _reversed(outline: tuple[Corner, ...]) -> Iterator[Corner]:
    """The outline with its two axes exchanged: run the other way round to stay anticlockwise."""
    n = len(outline)
    for k in range(n - 1, -1, -1):
        yield Corner(outline[k].b, outline[k].a, outline[k - 1].bulge)


Problem: TypeAlias = tuple[str, str]


class Cut(Protocol):
    """Anything made in a part by saw, router or drill."""

    @property
    def kind(self) -> str: ...

    def waste(self, blank: Blank) -> tuple[Waste, ...]:
        """The material taken away, in the blank's own axes."""
        ...

    def problems(self, blank: Blank) -> Iterator[Problem]:
        """Say what keeps this cut from being made in `blank`: which field, and why."""
        ...


@dataclass(frozen=True, slots=True)
class Made:
    """A cut in a part: its name there, where the spec says it, and the joint that asked for it."""

    name: str
    cut: Cut
    place: Place | None = None
    joint: str = ""
    places: Mapping[str, Place] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Part:
    """One piece of wood. `frame` takes its set-down axes to the room."""

    id: str
    blank: Blank
    frame: Frame
    cuts: tuple[Made, ...] = ()
    stock: Stock | None = None
    source: str = ""
    mirrored: bool = False
    place: Place | None = None
    places: Mapping[str, Place] = field(default_factory=dict)

    def side_plane(self, side: Side) -> Plane:
        """A side of the blank as a plane of the room."""
        return self.blank.plane(side).moved(self.frame)

    def extents(self) -> tuple[Vector, Vector]:
        """The least and greatest corner of the placed blank's box, in the room."""
        points = [self.frame.point(c) for c in self.blank.corners()]
        low = Vector(*(min(p[i] for p in points) for i in range(3)))
        high = Vector(*(max(p[i] for p in points) for i in range(3)))
        return low, high

    def facing(self, direction: Vector) -> Side:
        """The side of this part that looks most nearly along a direction of the room."""
        local = self.frame.local_direction(direction)
        return max(SIDES, key=lambda s: s.outward.dot(local))

    def cut_named(self, name: str) -> Made | None:
        return next((m for m in self.cuts if m.name == name), None)
