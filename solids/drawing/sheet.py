"""A sheet of paper and the marks on it: lines, arcs, paths, texts and dimensions, in mm from its lower left corner.

Nothing here knows a file format; each writer draws the same marks.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from typing import Any, Literal, NamedTuple, TypeAlias

import shapely

from solids.drawing.lettering import Lettered, lettered
from solids.drawing.pens import DIMENSION, TEXT, Pen

Point: TypeAlias = tuple[float, float]
Across = Literal["left", "middle", "right"]
Upright = Literal["base", "middle", "top"]
FULL = 2 * math.pi


class Box(NamedTuple):
    """A rectangle of the sheet."""

    left: float
    bottom: float
    right: float
    top: float

    @property
    def width(self) -> float:
        return self.right - self.left

    @property
    def height(self) -> float:
        return self.top - self.bottom

    def grown(self, by: float) -> Box:
        return Box(self.left - by, self.bottom - by, self.right + by, self.top + by)

    def moved(self, dx: float, dy: float) -> Box:
        return Box(self.left + dx, self.bottom + dy, self.right + dx, self.top + dy)

    def joined(self, other: Box) -> Box:
        low = min(self.left, other.left), min(self.bottom, other.bottom)
        return Box(*low, max(self.right, other.right), max(self.top, other.top))


@dataclass(frozen=True, slots=True)
class Line:
    """A straight line."""

    a: Point
    b: Point
    pen: Pen

    def moved(self, dx: float, dy: float) -> Line:
        return Line(_by(self.a, dx, dy), _by(self.b, dx, dy), self.pen)

    def trace(self) -> list[Point]:
        return [self.a, self.b]


@dataclass(frozen=True, slots=True)
class Arc:
    """Part of a circle, anticlockwise from `start` to `end` in radians; a whole one by default."""

    centre: Point
    radius: float
    pen: Pen
    start: float = 0.0
    end: float = FULL

    @property
    def whole(self) -> bool:
        return self.end - self.start >= FULL - 1e-9

    def moved(self, dx: float, dy: float) -> Arc:
        return replace(self, centre=_by(self.centre, dx, dy))

    def at(self, angle: float) -> Point:
        return self.centre[0] + self.radius * math.cos(angle), self.centre[1] + self.radius * math.sin(angle)

    def trace(self) -> list[Point]:
        steps = max(8, round((self.end - self.start) / FULL * 48))
        return [self.at(self.start + (self.end - self.start) * k / steps) for k in range(steps + 1)]


@dataclass(frozen=True, slots=True)
class Path:
    """A run of straight lines; filled where `solid`."""

    points: tuple[Point, ...]
    pen: Pen
    closed: bool = False
    solid: bool = False

    def moved(self, dx: float, dy: float) -> Path:
        return replace(self, points=tuple(_by(p, dx, dy) for p in self.points))

    def trace(self) -> list[Point]:
        return [*self.points, self.points[0]] if self.closed else list(self.points)


@dataclass(frozen=True, slots=True)
class Text:
    """A line of text: `at` is the place that `across` and `upright` name; `angle` in degrees."""

    at: Point
    text: str
    height: float = 2.5
    across: Across = "left"
    upright: Upright = "base"
    angle: float = 0.0
    pen: Pen = TEXT

    def moved(self, dx: float, dy: float) -> Text:
        return replace(self, at=_by(self.at, dx, dy))

    def laid(self) -> Lettered:
        return lettered(self.text, self.height)

    def start(self) -> Point:
        """Where its base line starts, before it is turned about `at`."""
        right = {"left": 0.0, "middle": -self.laid().width / 2, "right": -self.laid().width}[self.across]
        return right, {"base": 0.0, "middle": -self.height / 2, "top": -self.height}[self.upright]

    def turned(self, x: float, y: float) -> Point:
        """A place counted from `at` along the text's own directions, on the sheet."""
        c, s = math.cos(math.radians(self.angle)), math.sin(math.radians(self.angle))
        return self.at[0] + x * c - y * s, self.at[1] + x * s + y * c

    def trace(self) -> list[Point]:
        laid, (x, y) = self.laid(), self.start()
        corners = [(x, y + laid.bottom), (x + laid.width, y + laid.bottom)]
        corners += [(x + laid.width, y + laid.top), (x, y + laid.top)]
        return [self.turned(*c) for c in (*corners, corners[0])]


Kind = Literal["linear", "ordinate", "angular", "radius", "note"]


@dataclass(frozen=True, slots=True)
class Dimension:
    """A dimension: what is drawn of it, its figure, and the points that it measures on the sheet.

    `scale` is how many mm of paper one mm of wood takes; `angle` the direction of
    a linear one, in degrees; `value` what it says, in mm or degrees.
    """

    kind: Kind
    marks: tuple[Line | Arc | Path | Text, ...]
    points: tuple[Point, ...]
    text: str
    value: float
    scale: float = 1.0
    angle: float = 0.0

    def moved(self, dx: float, dy: float) -> Dimension:
        marks = tuple(m.moved(dx, dy) for m in self.marks)
        return replace(self, marks=marks, points=tuple(_by(p, dx, dy) for p in self.points))


Simple: TypeAlias = Line | Arc | Path | Text
Mark: TypeAlias = Simple | Dimension


@dataclass(frozen=True, slots=True)
class Sheet:
    """One page: its size in mm, what it is called, its place among all, and its marks."""

    width: float
    height: float
    name: str
    title: str
    marks: tuple[Mark, ...]


def _by(p: Point, dx: float, dy: float) -> Point:
    return p[0] + dx, p[1] + dy


def moved(marks: Iterable[Mark], dx: float, dy: float) -> tuple[Mark, ...]:
    """The same marks elsewhere."""
    return tuple(m.moved(dx, dy) for m in marks)


def simple(marks: Iterable[Mark]) -> Iterator[Simple]:
    """Every line, arc, path and text, those of the dimensions too."""
    for m in marks:
        if isinstance(m, Dimension):
            yield from m.marks
        else:
            yield m


def bounds(marks: Iterable[Mark]) -> Box:
    """The rectangle round all marks. Raises ValueError where there is none."""
    points = [p for m in simple(marks) for p in m.trace()]
    xs, ys = [p[0] for p in points], [p[1] for p in points]
    return Box(min(xs), min(ys), max(xs), max(ys))


def shape(mark: Simple, room: float = 0.0) -> Any:
    """What a mark covers, as a shapely geometry; a text with so much `room` round it."""
    points = mark.trace()
    if isinstance(mark, Text) or (isinstance(mark, Path) and mark.solid):
        covered = shapely.Polygon(points)
        return covered.buffer(room, join_style="mitre") if room and isinstance(mark, Text) else covered
    return shapely.LineString(points)


def arrow(tip: Point, angle: float, length: float = 2.5, pen: Pen = DIMENSION) -> Path:
    """An arrowhead whose point looks along `angle`, in radians; three times as long as it is wide."""
    c, s, half = math.cos(angle), math.sin(angle), length / 6
    back = tip[0] - length * c, tip[1] - length * s
    barbs = (back[0] - half * s, back[1] + half * c), (back[0] + half * s, back[1] - half * c)
    return Path((tip, *barbs), pen, True, True)


def rectangle(box: Box, pen: Pen, solid: bool = False) -> Path:
    """Four sides."""
    corners = ((box.left, box.bottom), (box.right, box.bottom), (box.right, box.top), (box.left, box.top))
    return Path(corners, pen, True, solid)
