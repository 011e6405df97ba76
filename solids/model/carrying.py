"""What is carried as one, what it must go through, and what stands in the room and is not made."""

from __future__ import annotations

from dataclasses import dataclass

from solids.model.field import Length, takes
from solids.model.finding import Place
from solids.model.geometry import Vector


@dataclass(frozen=True, slots=True)
class Module:
    """Parts, by id, that leave the shop put together."""

    name: str
    parts: tuple[str, ...]
    place: Place | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Passage:
    """An opening on the way; `ceiling` over it, a `corner` or a `landing` behind it; mm."""

    width: float = takes(Length(), "clear width")
    height: float = takes(Length(), "clear height")
    corner: float | None = takes(Length(), "the width of the passage that it turns into, square to this one", None)
    landing: float | None = takes(
        Length(), "the least width of a landing behind it on which things are turned on the spot", None
    )
    ceiling: float | None = takes(Length(), "the height of the ceiling where things are stood up", None)
    name: str = ""
    place: Place | None = None


@dataclass(frozen=True, slots=True)
class Obstacle:
    """A box of the room, from its least to its greatest corner: a wall, a radiator, the reach of an open door."""

    name: str
    low: Vector
    high: Vector
    place: Place | None = None
