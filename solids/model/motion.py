"""How a drawer, a door or a lid moves: what goes with it, along what line or about what axis, and how far."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TypeAlias

from solids.model.finding import Place
from solids.model.geometry import Frame, Vector, rotation


@dataclass(frozen=True, slots=True)
class Slide:
    """Straight out: a unit direction of the room, and the way in mm."""

    toward: Vector
    travel: float

    def at(self, share: float) -> Frame:
        """The move from shut, at a share of the way, 0 to 1."""
        return Frame(origin=self.toward.times(self.travel * share))

    def moved(self, frame: Frame) -> Slide:
        return Slide(frame.direction(self.toward), self.travel)

    def mirrored(self, axis: int, at: float) -> Slide:
        return Slide(_flipped(self.toward, axis), self.travel)


@dataclass(frozen=True, slots=True)
class Swing:
    """About an axis through `about`; by the right-hand rule, `by` degrees from shut to open."""

    about: Vector
    axis: Vector
    by: float

    def at(self, share: float) -> Frame:
        """The move from shut, at a share of the way, 0 to 1."""
        return rotation(self.axis, self.by * share, self.about)

    def moved(self, frame: Frame) -> Swing:
        return Swing(frame.point(self.about), frame.direction(self.axis), self.by)

    def mirrored(self, axis: int, at: float) -> Swing:
        # A mirror turns the hand of a rotation: its axis is mirrored and points the other way.
        about = Vector(*(2 * at - c if i == axis else c for i, c in enumerate(self.about)))
        return Swing(about, _flipped(self.axis, axis).times(-1), self.by)


def _flipped(v: Vector, axis: int) -> Vector:
    return Vector(*(-c if i == axis else c for i, c in enumerate(v)))


Motion: TypeAlias = Slide | Swing


@dataclass(frozen=True, slots=True)
class Body:
    """What moves as one, from where it stands shut: part ids, and how it moves."""

    name: str
    parts: tuple[str, ...]
    motion: Motion
    place: Place | None = None

    def within(self, frame: Frame) -> Body:
        return replace(self, motion=self.motion.moved(frame))

    def twin(self, axis: int, at: float) -> Body:
        """As a mirror shows it."""
        return replace(self, motion=self.motion.mirrored(axis, at))

    def prefixed(self, name: str) -> Body:
        """In a group of that name."""
        return replace(self, name=f"{name}.{self.name}", parts=tuple(f"{name}.{p}" for p in self.parts))
