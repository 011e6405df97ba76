"""What a cut has to say on a drawing: a note, places, and what its profile measures."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import NamedTuple, TypeAlias

from solids.drawing.board import Way
from solids.model.geometry import Vector

Spot: TypeAlias = tuple[float, float]  # across the section, and through the thickness


class Place(NamedTuple):
    """A place along an axis of the drawing, in mm; it is dimensioned from the datum.

    `beside` is where along the other axis of its view the thing itself is; None
    where it reaches the rim. `until` is its far wall: the wall nearer to the
    datum is told.
    """

    axis: int
    at: float
    beside: float | None = None
    until: float | None = None

    def seen_from(self, datum: float) -> Place:
        """The same with the wall nearer to the datum as its place."""
        if self.until is None or abs(self.at - datum) <= abs(self.until - datum):
            return self
        return self._replace(at=self.until, until=self.at)


class Width(NamedTuple):
    """A size in a section: from one spot to the other, along the wood (0) or through its thickness (1)."""

    a: Spot
    b: Spot
    along: int
    value: float


class Tilt(NamedTuple):
    """An angle in a section at the long point: from square to the face, degrees."""

    vertex: Spot
    square: Spot
    sloped: Spot
    degrees: float


class Bend(NamedTuple):
    """A radius in a section."""

    centre: Spot
    radius: float
    toward: Spot


@dataclass(frozen=True, slots=True)
class Profile:
    """What a section shows of a cut: the section lies across `run`, and the cut within `start` and `end` across it.

    `where` is a stretch along the run at which the cut is there. Two profiles
    with the same `likeness` say the same.
    """

    run: int
    start: float
    end: float
    where: tuple[float, float]
    likeness: tuple[object, ...]
    widths: tuple[Width, ...] = ()
    tilts: tuple[Tilt, ...] = ()
    bends: tuple[Bend, ...] = ()


class Bored(NamedTuple):
    """A hole, or the first of a row: its middle on the side, and what a table says of it."""

    spot: Vector
    radius: float
    size: str
    row: str


class Tag(NamedTuple):
    """What a hole is called in a table, beside it."""

    spot: Vector
    radius: float
    name: str


@dataclass(frozen=True, slots=True)
class Callout:
    """`lines` are the note, `tips` where its leader may point; `count` of the same make one note of them."""

    way: Way
    lines: tuple[str, ...] = ()
    tips: tuple[Vector, ...] = ()
    places: tuple[Place, ...] = ()
    count: int = 1
    centres: tuple[tuple[Vector, float], ...] = ()
    profile: Profile | None = field(default=None)
    bores: tuple[Bored, ...] = ()
    tags: tuple[Tag, ...] = ()
