"""The legs of a base: where each stands, how it leans, and what it is made of."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import NamedTuple

from solids.assemblies.writing import Plain, Problem
from solids.model.field import Lengths, StockName, takes
from solids.model.geometry import Frame, Plane, Vector, rotation
from solids.model.part import Stock

LEAST_PANEL = 2.0  # a panel of an L is more than that many times as wide as it is thick


@dataclass(frozen=True, slots=True, kw_only=True)
class Leg:
    """One piece, or two panels that make an L."""

    stock: Stock = takes(StockName(), "what it is made of")
    size: tuple[float, ...] = takes(Lengths(2), "across and deep, of a leg in one piece", ())
    panels: tuple[float, ...] = takes(Lengths(2), "across and deep, of an L of two panels, mitered", ())

    @property
    def section(self) -> tuple[float, float]:
        """Over all, across and deep."""
        across, deep = self.panels or self.size
        return across, deep


class Corner(NamedTuple):
    """Which leg: on the right or the left, at the rear or in front."""

    right: bool
    rear: bool

    @property
    def x_side(self) -> str:
        return "right" if self.right else "left"

    @property
    def y_side(self) -> str:
        return "rear" if self.rear else "front"


CORNERS = (Corner(False, False), Corner(True, False), Corner(True, True), Corner(False, True))
OPPOSITE = {"left": "right", "right": "left", "front": "rear", "rear": "front"}


def leg_problems(leg: Leg, width: float, depth: float) -> Iterator[Problem]:
    """Say what is wrong with the section of a leg, and whether two of them have room beside each other."""
    if bool(leg.size) == bool(leg.panels):
        yield "leg", "a leg has a `size: [across, deep]`, or `panels: [across, deep]`: one of the two"
        return
    thick = leg.stock.thickness
    which = "panels" if leg.panels else "size"
    for k, (value, over, word) in enumerate(zip(leg.section, (width, depth), ("wide", "deep"), strict=True)):
        if 2 * value >= over:
            yield f"leg.{which}.{k + 1}", f"two legs of {value:g} mm leave nothing between them, {over:g} mm {word}"
        if leg.panels and value <= LEAST_PANEL * thick:
            told = f"a panel {value:g} mm wide of stock {thick:g} mm thick makes no L; give the leg a `size`"
            yield f"leg.panels.{k + 1}", told
    if leg.size and min(leg.size) > thick + 1e-9:
        least = min(leg.size)
        yield (
            "leg.size",
            f"stock {thick:g} mm thick makes no leg {least:g} mm thick; give it thicker stock, or `panels`",
        )


@dataclass(frozen=True, slots=True)
class Stance:
    """How the legs stand: over all at their tops, mm; `lean` is how far the feet go out, degrees, seen square on."""

    leg: Leg
    width: float
    depth: float
    height: float
    lean: float

    @property
    def slope(self) -> float:
        return math.tan(math.radians(self.lean))

    @property
    def spread(self) -> float:
        """How far a foot stands out from its top, seen square on."""
        return self.height * self.slope

    @property
    def tip(self) -> float:
        """Degrees from plumb, as seen along the diagonal."""
        return math.degrees(math.atan(math.sqrt(2.0) * abs(self.slope)))

    @property
    def twist(self) -> float:
        """Degrees by which the sides of a leg look away from those of the base, its front in line with the front."""
        side = self.frame(CORNERS[0]).x
        return math.degrees(math.asin(min(1.0, abs(side.y))))

    def foot(self, corner: Corner) -> Vector:
        """The outer corner of a leg on the floor."""
        out = self.spread
        x = self.width + out if corner.right else -out
        y = self.depth + out if corner.rear else -out
        return Vector(x, y, 0.0)

    def rising(self, corner: Corner) -> Vector:
        """The direction that a leg rises in."""
        x = -self.slope if corner.right else self.slope
        y = -self.slope if corner.rear else self.slope
        return Vector(x, y, 1.0).unit()

    def frame(self, corner: Corner) -> Frame:
        """What turns a leg from upright to where it leans about its outer corner on the floor.

        Its front and rear faces hold the level line from leg to leg, so that a
        frame of two legs and an apron slides straight onto the side aprons.
        """
        up = self.rising(corner)
        deep = up.cross(Vector(1.0, 0.0, 0.0)).unit()
        turned = Frame(deep.cross(up), deep, up)
        foot = self.foot(corner)
        return turned._replace(origin=foot.minus(turned.direction(foot)))

    def lean_text(self, corner: Corner) -> dict[str, Plain]:
        """The same as a place says it: a tip about that corner, then a turn about the upright through it."""
        if not self.lean:
            return {}
        up, foot = self.rising(corner), self.foot(corner)
        tipped = rotation(Vector(0.0, 0.0, 1.0).cross(up), self.tip)
        twist = tipped.local_direction(self.frame(corner).x)
        turn = math.degrees(math.atan2(twist.y, twist.x))
        toward = rotation(Vector(0.0, 0.0, 1.0), -turn).direction(up)
        x_side, y_side = ("right" if toward.x > 0 else "left"), ("rear" if toward.y > 0 else "front")
        angles = {x_side: _plumb(toward.x, toward.z), y_side: _plumb(toward.y, toward.z)}
        lean: dict[str, Plain] = {**angles, "about": list(foot)}
        return {"lean": lean, "turn": {"by": turn, "about": [foot.x, foot.y]}}

    def inner(self, corner: Corner, across: bool) -> Plane:
        """The side of a leg that an apron meets: that which looks along the front, or that which looks along a side."""
        frame = self.frame(corner)
        foot, size = self.foot(corner), self.leg.section
        if across:
            out = Vector(-1.0 if corner.right else 1.0, 0.0, 0.0)
            at = Vector(foot.x + out.x * size[0], foot.y, 0.0)
        else:
            out = Vector(0.0, -1.0 if corner.rear else 1.0, 0.0)
            at = Vector(foot.x, foot.y + out.y * size[1], 0.0)
        return Plane.through(frame.point(at), frame.direction(out))


def _plumb(out: float, up: float) -> float:
    return math.degrees(math.atan(abs(out) / up))


def _level_ends(stance: Stance) -> list[Plain]:
    if not stance.lean:
        return []
    return [{"trim": "bottom", "to": {"z": 0.0}}, {"trim": "top", "to": {"z": stance.height}}]


def _board(stance: Stance, corner: Corner, face: str, across: float, deep: float) -> dict[str, Plain]:
    """A board upright at the outer corner, so wide across and so deep, then leaned with its leg."""
    foot = stance.foot(corner)
    spare = (across + deep) * abs(stance.slope)  # for the level cut at the foot or the top
    low = -spare if stance.lean < 0 else 0.0
    at = [foot.x - across if corner.right else foot.x, foot.y - deep if corner.rear else foot.y, low]
    long = stance.height / math.cos(math.radians(stance.tip)) + spare
    size = [long, across, deep] if face in ("front", "rear") else [long, deep, across]
    place: dict[str, Plain] = {"at": at, "length": "up", "face": face}
    place.update(stance.lean_text(corner))
    return {"stock": stance.leg.stock.name, "size": size, "place": place, "cuts": _level_ends(stance)}


def whole(stance: Stance, corner: Corner) -> dict[str, Plain]:
    """A leg in one piece; its thickness is that of its stock where one of its sizes is."""
    across, deep = stance.leg.size
    by_side = abs(across - stance.leg.stock.thickness) < 1e-9 and abs(deep - stance.leg.stock.thickness) > 1e-9
    return _board(stance, corner, corner.x_side if by_side else corner.y_side, across, deep)


def panels(stance: Stance, corner: Corner) -> dict[str, Plain]:
    """A leg as a group of two panels that run to the outer corner."""
    across, deep = stance.leg.panels
    thick = stance.leg.stock.thickness
    own = {
        corner.y_side: _board(stance, corner, corner.y_side, across, thick),
        corner.x_side: _board(stance, corner, corner.x_side, thick, deep),
    }
    return {"parts": own, "joints": [{"miter": [corner.y_side, corner.x_side]}]}
