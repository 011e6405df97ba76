"""What stands inside a case: shelves that part it evenly, housed in what is beside them, or on pins."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

from solids.assemblies.corners import housed
from solids.assemblies.walls import Spot, Wall
from solids.assemblies.writing import Plain, Problem
from solids.model.field import Count, Length, Lengths, Record, takes
from solids.model.opening import Edge, Opening
from solids.model.part import Stock

NOISE = 1e-6  # mm
ADVICE = "say with `at` where they go, or put it in as a part"


@dataclass(frozen=True, slots=True, kw_only=True)
class Pins:
    """Holes for shelf pins in what is on both sides, two for each end of a shelf."""

    diameter: float = takes(Length(), "of the holes")
    depth: float = takes(Length(), "of the holes")
    from_edge: float = takes(Length(), "from the front, and from the rear of the shelf, to the middle of a hole")
    play: float = takes(Length(), "how much shorter than its place a shelf is, at each end", 1.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Rows:
    """How many, evenly, or where; and how they are held."""

    count: int | None = takes(Count(1, 60), "how many, all clear sizes between them alike", None)
    at: tuple[float, ...] = takes(
        Lengths(0),
        "in place of `count`: the undersides of shelves above the bottom inside; the left faces of dividers, "
        "level, from the left inside",
        (),
    )
    housing: float | None = takes(Length(), "how deep they are let into the walls", None)
    pins: Pins | None = takes(Record(Pins), "of shelves: on pins, in place of a `housing`", None)


@dataclass(frozen=True, slots=True)
class Shelf:
    """A shelf between two edges, its underside at a height; `walls` are what is on its left and on its right."""

    name: str
    bay: Opening
    low: float
    high: float
    edges: tuple[Edge, Edge]
    walls: tuple[str, str]

    def clear(self) -> tuple[float, float]:
        """Between which x it is free over its whole thickness."""
        left, right = self.edges
        return max(left.x(self.low), left.x(self.high)), min(right.x(self.low), right.x(self.high))


def row_problems(rows: Rows, which: str, thick: float) -> Iterator[Problem]:
    """Say what is wrong with how shelves or dividers are held."""
    if (rows.count is None) == (not rows.at):
        yield which, f"{which} have a `count`, or are `at` places of their own: one of the two"
    if any(b - a <= thick for a, b in pairwise(rows.at)):
        yield f"{which}.at", f"places go up by more than {thick:g} mm, the thickness of one"
    if (rows.housing is None) == (rows.pins is None):
        yield which, f"{which} have a `housing`" + (" or `pins`: one of the two" if which == "shelves" else "")
    if rows.housing is not None and rows.housing >= thick:
        yield f"{which}.housing", f"a housing {rows.housing:g} mm deep in walls {thick:g} mm thick"
    if rows.pins is not None and rows.pins.depth >= thick:
        yield f"{which}.pins.depth", f"holes {rows.pins.depth:g} mm deep in walls {thick:g} mm thick"
    if rows.pins is not None and which == "dividers":
        yield f"{which}.pins", "dividers are housed, not set on pins"


def heights(opening: Opening, rows: Rows, thick: float) -> list[float]:
    """Where the undersides of shelves are: all clear heights alike, or as given."""
    if rows.count is None:
        return [opening.bottom + z for z in rows.at]
    count = rows.count
    clear = (opening.height - count * thick) / (count + 1)
    return [opening.bottom + (k + 1) * clear + k * thick for k in range(count)]


def shelves(opening: Opening, bays: Sequence[Opening], rows: Rows, thick: float) -> list[Shelf] | str:
    """A shelf across each bay at each height, upward and from the left; in words what is in the way of one."""
    if rows.count is not None and rows.count * thick >= opening.height:
        return f"{rows.count} shelves {thick:g} mm thick leave nothing between them in {opening.height:.4g} mm"
    found: list[Shelf] = []
    lows = heights(opening, rows, thick)
    beyond = next((low for low in lows if low + thick > opening.top - NOISE), None)
    if beyond is not None:
        told = f"a shelf {beyond - opening.bottom:.4g} mm above the bottom inside"
        return f"{told} stands past the top, {opening.height:.4g} mm above it"
    for bay in bays:
        for low in lows:
            if low >= bay.top - NOISE or low + thick <= bay.bottom + NOISE:
                continue
            shelf = _shelf(f"shelf.{len(found) + 1}", bay, low, low + thick)
            if isinstance(shelf, str):
                return shelf
            steep = next((k for k in (0, 1) if abs(shelf.edges[k].slope) > 1 + NOISE), None)
            if steep is not None:
                lean = math.degrees(math.atan(abs(shelf.edges[steep].slope)))
                told = f"{shelf.name} would meet {shelf.walls[steep]}, which leans {lean:.4g} degrees from plumb"
                return f"{told}: an end of a shelf takes 45 at most; {ADVICE}"
            left, right = shelf.clear()
            if right - left <= 2 * (rows.pins.play if rows.pins else 0.0) + 1:
                return f"{shelf.name} would be {max(0.0, right - left):.4g} mm long: fewer of them, or more room"
            found.append(shelf)
    return found


def _shelf(name: str, bay: Opening, low: float, high: float) -> Shelf | str:
    """In words where it meets a corner of what it stands in."""
    told = f"{name} would meet a corner of the case, {low:.4g} to {high:.4g} mm above its bottom"
    if low < bay.bottom - NOISE or high > bay.top + NOISE:
        return f"{told}: {ADVICE}"
    left, right = (bay.side_edge(side, low, high) for side in (False, True))
    walls = tuple(bay.beside(side, low, high) for side in ("left", "right"))
    if left is None or right is None or not all(walls):
        return f"{told}: {ADVICE}"
    return Shelf(name, bay, low, high, (left, right), (walls[0], walls[1]))


def shelf_parts(found: Sequence[Shelf], rows: Rows, stock: Stock) -> tuple[dict[str, Plain], list[Plain]]:
    """The shelves, and how they are held."""
    parts: dict[str, Plain] = {s.name.removeprefix("shelf."): _text(s, rows, stock) for s in found}
    joints: list[Plain] = []
    for shelf in found:
        if rows.housing is not None:
            joints.append(housed(shelf.name, list(shelf.walls), rows.housing))
        elif rows.pins is not None:
            joints += [{"reveal": [shelf.name, wall], "gap": rows.pins.play} for wall in shelf.walls]
    return parts, joints


def _text(shelf: Shelf, rows: Rows, stock: Stock) -> dict[str, Plain]:
    """As long as its long points; a housing is as deep square to a side that leans, and cuts off what goes in."""
    more = rows.housing or -(rows.pins.play if rows.pins else 0.0)
    left, right = (
        way(edge.x(z) for z in (shelf.low, shelf.high)) + sign * more * math.hypot(1.0, edge.slope)
        for edge, way, sign in ((shelf.edges[0], min, -1), (shelf.edges[1], max, 1))
    )
    place = {"at": [left, shelf.bay.front, shelf.low], "length": "across", "face": "top"}
    text: dict[str, Plain] = {"stock": stock.name, "size": [right - left, shelf.bay.depth], "place": place}
    if rows.pins is not None:
        slants = [
            _slant(edge, end, sign, rows.pins.play)
            for edge, end, sign in zip(shelf.edges, ("left", "right"), (-1.0, 1.0), strict=True)
            if abs(edge.slope) > 1e-12
        ]
        text.update({"cuts": slants} if slants else {})
    return text


def _slant(edge: Edge, end: str, sign: float, clear: float) -> Plain:
    """The cut along a side that leans, so far from it."""
    to = {"through": [edge.x0, 0.0, edge.z0], "square_to": [sign, 0.0, -sign * edge.slope]}
    return {"trim": end, "to": to, "clear": clear}


def pin_holes(found: Sequence[Shelf], pins: Pins, board: Wall, before: float) -> list[Plain]:
    """The holes of one board for every shelf beside it: under it, near its front and its rear.

    `before` is how far the board's blank runs past its start.
    """
    cuts: list[Plain] = []
    for shelf in found:
        for edge, wall, toward in zip(shelf.edges, shelf.walls, (1.0, -1.0), strict=True):
            if wall == board.name:
                cuts += _pair(shelf, edge, toward, pins, board, before)
    return cuts


def _pair(shelf: Shelf, edge: Edge, toward: float, pins: Pins, board: Wall, before: float) -> Iterator[Plain]:
    """The two holes for one end of a shelf, in that face of a board which looks at it."""
    side = board.outside if board.outward().x * toward > 0 else board.inside
    rises = 1.0 if board.end.z > board.start.z else -1.0
    up = board.along(Spot(edge.x(shelf.low), shelf.low)) + before - rises * pins.diameter / 2
    for y in (shelf.bay.front + pins.from_edge, shelf.bay.rear - pins.from_edge):
        at = {board.start_end: up, "front": y}
        yield {"hole": side, "at": at, "diameter": pins.diameter, "depth": pins.depth}
