"""Which ordinary cut makes a trench with two given walls: a dado, a groove, a mortise or a rabbet."""

from __future__ import annotations

import math
from typing import NamedTuple

from solids.cuts.mortise import Mortise, plan_axis
from solids.cuts.rabbet import Rabbet
from solids.cuts.shapes import At
from solids.cuts.trench import Dado, Groove
from solids.model.geometry import Vector
from solids.model.part import Blank, Cut
from solids.model.side import Side, sides_of

SQUARE = 1e-9  # a direction's part along another axis that is rounding
OUT = 1e-6  # mm: an end this near a side runs out


class Walls(NamedTuple):
    """Two parallel walls in a blank's own axes: square to `normal`, at `low` and `high` mm along it."""

    normal: Vector
    low: float
    high: float


def trench(blank: Blank, side: Side, walls: Walls, depth: float, ends: tuple[float, float]) -> Cut | str:
    """The cut in `side`, `depth` deep, between two walls; `ends` are how far it runs, along its own axis.

    Returns in words why no cut of the language makes it, where none does.
    """
    line = _Line.of(blank, side, walls)
    if min(ends[1], blank.size[line.run_axis]) - max(ends[0], 0.0) <= OUT:
        return "it stands past the end of that side"
    if line.swung:
        return _swung(blank, side, line, walls, depth, ends)
    stops = _stops(blank, line.run_axis, ends)
    if line.tilt:
        return _tilted(blank, side, line, walls, depth, stops)
    low, high = sides_of(line.axis)
    reach = blank.size[line.axis]
    start, end = line.start, line.start + walls.high - walls.low
    if end <= OUT or start >= reach - OUT:
        return "it stands past the edge of that side"
    if start <= OUT and end >= reach - OUT:
        return "the whole side would go"
    if start <= OUT:
        return Rabbet(side=low, on=side, width=end, depth=depth, stop=stops)
    if end >= reach - OUT:
        return Rabbet(side=high, on=side, width=reach - start, depth=depth, stop=stops)
    if len(stops) == 2:
        return _mortise(blank, side, line, (start, end), depth, ends)
    word = _word(blank, side, line.run_axis)
    return word(side=side, at=((low, start),), width=end - start, depth=depth, stop=stops)


class _Line(NamedTuple):
    """Where the nearer wall meets the side: along `axis` at both ends of its run, and how it leans."""

    axis: int
    run_axis: int
    start: float
    finish: float
    tilt: float
    toward: Side

    @property
    def swung(self) -> bool:
        return abs(self.finish - self.start) > OUT

    @classmethod
    def of(cls, blank: Blank, side: Side, walls: Walls) -> _Line:
        v, n = walls.normal, side.outward
        lean = v.dot(n)
        flat = v.minus(n.times(lean))
        axis = max((i for i in range(3) if i != side.axis), key=lambda i: (round(abs(flat[i]), 9), -i))
        run_axis = 3 - side.axis - axis
        surface = blank.size[side.axis] if side.sign > 0 else 0.0
        low = walls.low if flat[axis] > 0 else walls.high
        reduced = low - v[side.axis] * surface
        slope = 0.0 if abs(flat[run_axis]) < SQUARE else flat[run_axis] / flat[axis]
        start = reduced / flat[axis]
        tilt = 0.0 if abs(lean) < SQUARE else math.degrees(math.asin(abs(lean)))
        drifts_up = lean * flat[axis] > 0
        toward = sides_of(axis)[1 if drifts_up else 0]
        return cls(axis, run_axis, start, start - slope * blank.size[run_axis], tilt, toward)


def _stops(blank: Blank, run_axis: int, ends: tuple[float, float]) -> tuple[tuple[Side, float], ...]:
    low, high = sides_of(run_axis)
    reach = blank.size[run_axis]
    found = []
    if ends[0] > OUT:
        found.append((low, ends[0]))
    if ends[1] < reach - OUT:
        found.append((high, reach - ends[1]))
    return tuple(found)


def _word(blank: Blank, side: Side, run_axis: int) -> type[Dado] | type[Groove]:
    return Groove if run_axis == blank.grain or side.axis == blank.grain else Dado


def _tilted(
    blank: Blank, side: Side, line: _Line, walls: Walls, depth: float, stops: tuple[tuple[Side, float], ...]
) -> Cut | str:
    if line.start < 0:
        return "its leaning wall would run out over the side's edge"
    low, _ = sides_of(line.axis)
    word = _word(blank, side, line.run_axis)
    wide = walls.high - walls.low
    at: At = ((low, line.start),)
    return word(side=side, at=at, width=wide, depth=depth, tilt=line.tilt, toward=line.toward, stop=stops)


def _swung(blank: Blank, side: Side, line: _Line, walls: Walls, depth: float, ends: tuple[float, float]) -> Cut | str:
    if _stops(blank, line.run_axis, ends):
        return "it runs slanting and ends within the side; make it by a `cutout` with an `outline`"
    low, high = sides_of(line.axis)
    near, far = sides_of(line.run_axis)
    wide = (walls.high - walls.low) / math.cos(math.radians(line.tilt))
    wide *= math.hypot(1.0, (line.finish - line.start) / blank.size[line.run_axis])
    reach = blank.size[line.axis]
    at: At
    if min(line.start, line.finish) >= 0:
        at = ((low, ((near, line.start), (far, line.finish))),)
    elif max(line.start, line.finish) + wide <= reach:
        at = ((high, ((near, reach - line.start - wide), (far, reach - line.finish - wide))),)
    else:
        return "it would run slanting over two edges of the side"
    word = _word(blank, side, line.run_axis)
    toward = line.toward if line.tilt else None
    return word(side=side, at=at, width=walls.high - walls.low, depth=depth, tilt=line.tilt, toward=toward)


def _mortise(
    blank: Blank, side: Side, line: _Line, across: tuple[float, float], depth: float, ends: tuple[float, float]
) -> Mortise:
    sizes = {line.axis: across[1] - across[0], line.run_axis: ends[1] - ends[0]}
    first = plan_axis(blank, side)
    size = (sizes[first], sizes[3 - side.axis - first])
    at = ((sides_of(line.axis)[0], across[0]), (sides_of(line.run_axis)[0], ends[0]))
    return Mortise(side=side, at=at, size=size, depth=depth)
