"""Dadoes, grooves and rabbets: their near wall from the datum, their profile in section."""

from __future__ import annotations

import math
from collections.abc import Iterator

from solids.cuts.rabbet import Rabbet
from solids.cuts.shapes import Stops
from solids.cuts.trench import Trench
from solids.drawing.board import NEAR, Board, Way
from solids.drawing.callouts.callout import Callout, Place, Profile, Spot, Width
from solids.drawing.callouts.drilled import row_lines, row_steps
from solids.drawing.figures import Figures
from solids.model.geometry import Vector
from solids.model.side import Side


def trench(cut: Trench, board: Board, figures: Figures) -> Iterator[Callout]:
    """A dado or a groove on the side that it is cut into."""
    way = board.way(cut.side)
    q = cut.placed_by(board.part.blank)
    axis = board.way(q)[0]
    run = 3 - way[0] - axis
    wide = cut.width / math.cos(math.radians(cut.tilt))
    swung = _swung(cut, q)
    steps = row_steps(board, cut.row, (*cut.at, *cut.stop)) or [Vector(0.0, 0.0, 0.0)]
    first = _near_wall(cut, board, q, wide, swung)
    more = _details(cut, swung, figures) + _stop_lines(cut.stop, cut.radius, figures) + row_lines(cut.row, figures)
    near, far = (wall + steps[0][axis] for wall in first)
    places = [Place(axis, near, until=far)]
    start, end = sorted((first[0], first[1]))
    profile = None
    if not swung:
        profile = _trench_profile(cut, board, way, axis, run, (start + steps[0][axis], end + steps[0][axis]))
    tips = tuple(t for s in steps for t in _tips(board, way, axis, run, (start, end), _extent(cut.stop, board, run), s))
    name = cut.kind.capitalize()
    if profile is None:  # no section shows its size
        name += f" {figures.length(cut.width)} wide, {figures.length(cut.depth)} deep"
    yield Callout(way, (name, *more), tips, tuple(places), len(steps), profile=profile)


def _swung(cut: Trench, q: Side) -> tuple[tuple[Side, float], ...]:
    distance = dict(cut.at).get(q, 0.0)
    return distance if isinstance(distance, tuple) else ()


def _near_wall(
    cut: Trench, board: Board, q: Side, wide: float, swung: tuple[tuple[Side, float], ...]
) -> tuple[float, float]:
    """Where the wall nearer to `q` and the farther one meet the side; of a swung one at the first end."""
    axis, sign = board.way(q)
    if swung:
        near = board.coordinate(q, swung[0][1])
        return near, near - sign * wide
    a, b = board.span(cut.at, axis, wide)
    return (a, b) if sign < 0 else (b, a)


def _details(cut: Trench, swung: tuple[tuple[Side, float], ...], figures: Figures) -> list[str]:
    lines = []
    if swung:
        q = cut.at[0][0]
        ends = ", ".join(f"{figures.length(d)} at the {end}" for end, d in swung)
        lines.append(f"swung: near wall from {q} {ends}")
    if cut.tilt:
        lines.append(f"walls leaning {figures.angle(cut.tilt)} toward {cut.toward}")
    return lines


def _stop_lines(stop: Stops, radius: float, figures: Figures) -> list[str]:
    if not stop:
        return []
    where = " and ".join(f"{figures.length(d)} short of {side}" for side, d in stop)
    return [f"stopped {where}" + (f", corners R{figures.length(radius)}" if radius else "")]


def _extent(stop: Stops, board: Board, run: int) -> tuple[float, float]:
    """From where to where it runs, along an axis of the drawing."""
    low, high = board.low[run], board.high[run]
    for side, distance in stop:
        axis, sign = board.way(side)
        if axis == run and sign < 0:
            low = max(low, distance)
        elif axis == run:
            high = min(high, board.size[run] - distance)
    return low, high


def _trench_profile(
    cut: Trench, board: Board, way: Way, axis: int, run: int, walls: tuple[float, float]
) -> Profile | None:
    """Across its run; one that runs through the thickness is seen whole on the face."""
    if run == 2:
        return None
    drift = cut.depth * math.tan(math.radians(cut.tilt)) * _drift_sign(cut, board, axis)
    top = board.size[way[0]] if way[1] > 0 else 0.0
    floor = top - way[1] * cut.depth
    a, b = walls
    along_axis = 1 - run

    def spot(u: float, depth_at: float) -> Spot:
        """A point of the section, whichever of its two directions the trench is sunk along."""
        return (u, depth_at) if axis == along_axis else (depth_at, u)

    mouth = 0 if axis == along_axis else 1
    slant = 1 / math.cos(math.radians(cut.tilt))
    widths = [Width(spot(a, top), spot(b, top), mouth, cut.width * slant)]
    widths.append(Width(spot(b, top), spot(b + drift, floor), 1 - mouth, cut.depth))
    if axis == 2:
        near = 0.0 if a < board.size[2] - b else board.size[2]
        edge = a if near == 0.0 else b
        widths.append(Width(spot(near, top), spot(edge, top), 1, abs(edge - near)))
    us = [p[0] for w in widths for p in (w.a, w.b)]
    likeness = (cut.kind, run, way, *(round(v, 6) for v in (b - a, cut.depth, drift)), axis == 2 and round(a, 6))
    low, high = _extent(cut.stop, board, run)
    return Profile(run, min(us), max(us), (low, high), likeness, tuple(widths))


def _drift_sign(cut: Trench, board: Board, axis: int) -> float:
    if cut.toward is None:
        return 0.0
    return float(board.way(cut.toward)[1]) if board.way(cut.toward)[0] == axis else 0.0


def _tips(
    board: Board, way: Way, axis: int, run: int, walls: tuple[float, float], extent: tuple[float, float], by: Vector
) -> list[Vector]:
    """Spots on the floor that a leader may point at."""
    tips = []
    for share in (0.5, 0.3, 0.7, 0.15, 0.85):
        p = [0.0, 0.0, 0.0]
        p[way[0]] = board.high[way[0]] if way[1] > 0 else board.low[way[0]]
        p[axis] = (walls[0] + walls[1]) / 2 + by[axis]
        p[run] = extent[0] + (extent[1] - extent[0]) * share + by[run]
        tips.append(Vector(*p))
    return tips


def rabbet(cut: Rabbet, board: Board, figures: Figures) -> Iterator[Callout]:
    """A step along an arris; one along the thickness is a notch, seen on the face."""
    ways = board.way(cut.side), board.way(cut.on)
    steps = (cut.side, cut.width), (cut.on, cut.depth)
    more = _stop_lines(cut.stop, cut.radius, figures)
    yield stepped("Rabbet", board, steps, more, _extent_of(cut, board, ways), figures)


def _extent_of(cut: Rabbet, board: Board, ways: tuple[Way, Way]) -> tuple[float, float]:
    return _extent(cut.stop, board, 3 - ways[0][0] - ways[1][0])


def stepped(
    name: str,
    board: Board,
    steps: tuple[tuple[Side, float], tuple[Side, float]],
    more: list[str],
    extent: tuple[float, float],
    figures: Figures,
) -> Callout:
    """A corner taken out so far from one side and so far from the other; told in words where no section shows it."""
    (a, wide), (b, deep) = steps
    ways = board.way(a), board.way(b)
    run = 3 - ways[0][0] - ways[1][0]
    at = {w[0]: board.coordinate(s, d) for w, (s, d) in zip(ways, steps, strict=True)}
    rim = {w[0]: board.coordinate(s, 0.0) for w, s in zip(ways, (a, b), strict=True)}
    view = NEAR if run == 2 else next((w for w in (ways[1], ways[0]) if w[0] == 2), ways[1])
    spots = []
    for share in (0.5, 0.3, 0.7, 0.15, 0.85):
        p = {**at, run: extent[0] + (extent[1] - extent[0]) * share}
        if view[0] in at and run != 2:
            p[view[0]] = rim[view[0]]
        spots.append(Vector(p[0], p[1], board.high.z if run == 2 else p[2]))
    if run == 2:
        words = f"{name} {figures.length(wide)} from {a}, {figures.length(deep)} from {b}"
        return Callout(view, (words, *more), tuple(spots))
    u = 1 - run
    corner, wall = (at[u], at[2]), (at[u], rim[2])
    widths = (
        Width((rim[u], at[2]), corner, 0, wide if ways[0][0] == u else deep),
        Width(wall, corner, 1, wide if ways[0][0] == 2 else deep),
    )
    likeness = ("step", run, rim[u], rim[2], *(round(v, 6) for v in corner))
    profile = Profile(run, min(at[u], rim[u]), max(at[u], rim[u]), extent, likeness, widths)
    return Callout(view, (name, *more), tuple(spots), profile=profile)
