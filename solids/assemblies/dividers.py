"""The dividers of a case, and the bays between them: boards from wall to wall that part the inside evenly."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from solids.assemblies.inside import Rows
from solids.assemblies.walls import Spot, Wall
from solids.assemblies.writing import Plain
from solids.model.geometry import Plane, Vector
from solids.model.opening import Opening
from solids.model.part import Stock

MOST_SLANT = 45.0  # degrees from square that an end is housed at
LEAST_BESIDE = 3.0  # mm of a wall beside a housing and as far from its corner as it is deep


@dataclass(frozen=True, slots=True)
class Divider:
    """A board from top to bottom, its outside on its left; `low` and `high` are the walls that hold its ends.

    `before` and `after` are how far its blank runs past the top and the bottom of the opening.
    """

    board: Wall
    low: str
    high: str
    before: float
    after: float

    def text(self, stock: Stock, depth: float) -> dict[str, Plain]:
        """It as a part."""
        long = self.board.length + self.before + self.after
        return {"stock": stock.name, "size": [long, depth], "place": self.board.place(self.before, self.after)}


def dividers(opening: Opening, rows: Rows, thick: float) -> list[Divider] | str:
    """All clear widths alike, or where they are asked for; in words what is in the way of one.

    They lean as the sides do where these are parallel, and else stand plumb.
    """
    left, right = _widest(opening)
    if rows.count is not None and rows.count * thick >= right - left:
        return f"{rows.count} dividers {thick:g} mm thick leave nothing between them in {right - left:.4g} mm"
    found = []
    for board in _boards(opening, rows, thick):
        try:
            held = _within(opening, [("", board.plane(0.0)), ("", _away(board))])
        except ValueError:
            return f"{board.name} stands outside of the case"
        divider = _held(board, held, opening, rows.housing or 0.0)
        if isinstance(divider, str):
            return divider
        found.append(divider)
    return found


def bays(opening: Opening, found: Sequence[Divider]) -> list[Opening]:
    """What lies between the sides and the dividers, from the left."""
    out = []
    for k in range(len(found) + 1):
        planes = []
        if k:
            before = found[k - 1].board
            planes.append((before.name, _flipped(_away(before))))
        if k < len(found):
            after = found[k].board
            planes.append((after.name, _flipped(after.plane(0.0))))
        out.append(_within(opening, planes))
    return out


def _boards(opening: Opening, rows: Rows, thick: float) -> list[Wall]:
    """Each along its left face, from the height of the opening's top down to that of its bottom."""
    left, right = (opening.side_edge(side, opening.bottom, opening.top) for side in (False, True))
    slope, (x0, x1) = 0.0, _widest(opening)
    if left is not None and right is not None and abs(left.slope - right.slope) < 1e-9:
        slope, (x0, x1) = left.slope, opening.span(opening.bottom)
    wide = thick * math.hypot(1.0, slope)
    count = rows.count or 0
    clear = (x1 - x0 - count * wide) / (count + 1)
    out = []
    for k, x in enumerate([x0 + a for a in rows.at] or [x0 + (k + 1) * clear + k * wide for k in range(count)]):
        top = Spot(x + slope * opening.height, opening.top)
        out.append(Wall(f"divider.{k + 1}", top, Spot(x, opening.bottom), thick))
    return out


def _held(board: Wall, held: Opening, opening: Opening, housing: float) -> Divider | str:
    """A board between the two walls that it meets; in words where a corner of the case comes in between."""
    edges = [(edge, wall) for edge, wall in zip(held.edges(), held.walls, strict=True) if wall]
    # Anticlockwise: those below run to the right, those above to the left.
    lows, highs = ([e for e in edges if (e[0][1][0] > e[0][0][0]) == right] for right in (True, False))
    for met in (lows, highs):
        if len(met) != 1:
            names = " and ".join(wall for _, wall in met)
            return f"{board.name} would meet the corner of {names}: say with `at` where they go, or put it in as a part"
    (low,), (high,) = lows, highs
    for edge, wall in (low, high):
        slant = math.degrees(math.acos(min(1.0, _square_to(board, edge))))
        if slant > MOST_SLANT + 1e-6:
            told = f"{board.name} would meet {wall} {slant:.4g} degrees from square"
            return f"{told}: an end takes {MOST_SLANT:g} at most; say with `at` where they go"
        left = _beside(edge, wall, opening)
        if left < housing + LEAST_BESIDE:
            return f"{board.name} would stand {left:.4g} mm from a corner of {wall}: say with `at` where they go"
    above = [board.along(Spot(*p)) for p in high[0]]
    below = [board.along(Spot(*p)) for p in low[0]]
    before = _reach(board, high[0], housing) - min(above)
    after = max(below) + _reach(board, low[0], housing) - board.length
    return Divider(board, low[1], high[1], before, after)


def _beside(edge: tuple[tuple[float, float], tuple[float, float]], wall: str, opening: Opening) -> float:
    """How far a stretch of a wall ends from the nearer end of that wall's inside, in mm."""
    whole = next(e for e, name in zip(opening.edges(), opening.walls, strict=True) if name == wall)
    return min(math.dist(p, q) for p, q in zip(edge, whole, strict=True))


def _reach(board: Wall, edge: tuple[tuple[float, float], tuple[float, float]], housing: float) -> float:
    """How far along a board a housing reaches that is so deep, square to the wall with this edge."""
    return housing / max(1e-3, _square_to(board, edge))


def _square_to(board: Wall, edge: tuple[tuple[float, float], tuple[float, float]]) -> float:
    """The cosine of how far a board stands from square to a wall with this edge."""
    normal, way = Wall("", Spot(*edge[0]), Spot(*edge[1]), 0.0).outward(), board.outward()
    return abs(normal.x * way.z - normal.z * way.x)


def _widest(opening: Opening) -> tuple[float, float]:
    xs = [x for x, _ in opening.corners]
    return min(xs), max(xs)


def _within(opening: Opening, planes: Sequence[tuple[str, Plane]]) -> Opening:
    """What of an opening lies behind more planes, each with the name of what it bounds it by.

    Raises ValueError where nothing does.
    """
    walls = [Wall(name, Spot(*p), Spot(*q), 0.0) for (p, q), name in zip(opening.edges(), opening.walls, strict=True)]
    every = [(w.name, w.plane(0.0)) for w in walls] + list(planes)
    names = [name for name, _ in every]
    return Opening.between([plane for _, plane in every], opening.front, opening.rear, names)


def _away(board: Wall) -> Plane:
    """The face of a board that its outside does not look to, looking out of it."""
    return _flipped(board.plane(board.thick))


def _flipped(plane: Plane) -> Plane:
    return Plane(Vector(-plane.normal.x, -plane.normal.y, -plane.normal.z), -plane.offset, plane.name)
