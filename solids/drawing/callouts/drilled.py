"""Holes and pockets: where they are, how large and how deep."""

from __future__ import annotations

import math
from collections.abc import Iterator

from solids.cuts.cutout import Cutout
from solids.cuts.hole import Hole
from solids.cuts.mortise import Mortise
from solids.cuts.row import Row
from solids.cuts.shapes import At
from solids.drawing.board import Board, Way, beside
from solids.drawing.callouts.callout import Bored, Callout, Place
from solids.drawing.figures import Figures
from solids.model.geometry import Vector, arc, sides
from solids.model.side import Side


def hole(cut: Hole, board: Board, figures: Figures) -> Iterator[Callout]:
    """Its centre from the datum, its diameter and depth, and what is above it."""
    centre, drift = cut.centre(board.part.blank), row_steps(board, cut.row, cut.at)
    first = board.point(centre)
    spots = [first.plus(d) for d in drift] or [first]
    lines = [f"Ø{figures.length(cut.diameter)}{depth_words(cut.depth, figures)}"]
    if cut.slot is not None:
        size = figures.size(cut.diameter, cut.slot.length)
        lines = [f"Slot {size}, toward {cut.slot.toward}{depth_words(cut.depth, figures)}"]
    if cut.tilt:
        lines.append(f"leaning {figures.angle(cut.tilt)} from square toward {cut.toward}")
    if cut.counterbore is not None:
        lines.append(
            f"counterbore Ø{figures.length(cut.counterbore.diameter)}, {figures.length(cut.counterbore.depth)} deep"
        )
    if cut.countersink is not None:
        sink = cut.countersink
        lines.append(f"countersink Ø{figures.length(sink.diameter)}, {figures.angle(sink.angle)}")
    row = row_lines(cut.row, figures)
    way = board.way(cut.side)
    rim = cut.diameter / 2
    bored = Bored(spots[0], rim, ", ".join(lines), " ".join(row).removeprefix("row of "))
    yield Callout(
        way,
        (*lines, *row),
        tips=tuple(spots),
        places=_places(spots[0], beside(way[0])),
        centres=tuple((s, rim) for s in spots),
        bores=(bored,),
    )


def mortise(cut: Mortise, board: Board, figures: Figures) -> Iterator[Callout]:
    """Its walls nearest the datum, its size, depth and the cutter's radius."""
    along = board.part.blank.grain if cut.side.axis != board.part.blank.grain else board.part.blank.across
    yield from _pocket("Mortise", cut, cut.size, along, board, figures)


def cutout(cut: Cutout, board: Board, figures: Figures) -> Iterator[Callout]:
    """As its shape is given: by size, by diameter, or by points."""
    name = "Cutout" if cut.depth is None else "Recess"
    if cut.size is not None:
        yield from _pocket(name, cut, cut.size, board.part.blank.grain, board, figures)
    elif cut.diameter is not None:
        as_hole = Hole(side=cut.side, at=cut.at, diameter=cut.diameter, depth=cut.depth, row=cut.row)
        yield from hole(as_hole, board, figures)
    else:
        yield _outlined(name, cut, board, figures)


def _pocket(
    name: str, cut: Mortise | Cutout, size: tuple[float, float], along: int, board: Board, figures: Figures
) -> Iterator[Callout]:
    way = board.way(cut.side)
    long_axis = board.way(next(s for s in Side if s.axis == along))[0]
    spans = {axis: board.span(cut.at, axis, size[0] if axis == long_axis else size[1]) for axis in beside(way[0])}
    lines = [f"{name} {figures.size(*size)}{depth_words(cut.depth, figures)}"]
    if cut.radius:
        lines.append(f"corners R{figures.length(cut.radius)}")
    lines += row_lines(cut.row, figures)
    drift = row_steps(board, cut.row, cut.at) or [Vector(0.0, 0.0, 0.0)]
    walls = {axis: (a + drift[0][axis], b + drift[0][axis]) for axis, (a, b) in spans.items()}
    axes = beside(way[0])
    places = tuple(
        Place(axis, walls[axis][0], math.fsum(walls[other]) / 2, walls[axis][1]) for axis, other in (axes, axes[::-1])
    )
    yield Callout(way, tuple(lines), tips=_inside(board, way, spans, drift[0]), places=places)


def _places(spot: Vector, axes: tuple[int, int]) -> tuple[Place, ...]:
    a, b = axes
    return Place(a, spot[a], spot[b]), Place(b, spot[b], spot[a])


def _inside(board: Board, way: Way, spans: dict[int, tuple[float, float]], by: Vector) -> tuple[Vector, ...]:
    """Spots on the floor or the rim of a pocket that a leader may point at."""
    tips = []
    for share_a, share_b in ((0.5, 0.0), (0.5, 1.0), (0.0, 0.5), (1.0, 0.5), (0.5, 0.5)):
        p = [0.0, 0.0, 0.0]
        p[way[0]] = board.high[way[0]] if way[1] > 0 else board.low[way[0]]
        for (axis, (a, b)), share in zip(spans.items(), (share_a, share_b), strict=True):
            p[axis] = a + (b - a) * share + by[axis]
        tips.append(Vector(*p))
    return tuple(tips)


def _outlined(name: str, cut: Cutout, board: Board, figures: Figures) -> Callout:
    """Each point of an outline as along the grain × across, from the datum corner."""
    assert cut.outline is not None
    blank, way = board.part.blank, board.way(cut.side)
    lines = [f"{name}{depth_words(cut.depth, figures)}, through the points"]
    tips = []
    for p, q in sides(cut.outline):
        spot = [0.0, 0.0, 0.0]
        spot[blank.grain], spot[blank.across] = p.a, p.b
        at = board.point(Vector(*spot))
        radius = f", then R{figures.length(arc(p, q)[2])}" if p.bulge else ""
        lines.append(f"{figures.length(p.a)} ; {figures.length(p.b)}{radius}")
        tips.append(at)
    return Callout(way, tuple(lines), tips=tuple(tips))


def depth_words(depth: float | None, figures: Figures) -> str:
    """How deep, or that it goes through."""
    return " through" if depth is None else f", {figures.length(depth)} deep"


def row_lines(row: Row | None, figures: Figures) -> list[str]:
    """How a row goes on, as a sum that can be added up again."""
    if row is None or row.count < 2:
        return []
    total = figures.length(row.pitch * (row.count - 1))
    return [f"row of {row.count} toward {row.toward}: {row.count - 1} × {figures.length(row.pitch)} = {total}"]


def row_steps(board: Board, row: Row | None, at: At) -> list[Vector]:
    """How far each one of a row is from where `at` places it, in the drawing's axes."""
    if row is None:
        return []
    said = any(side.axis == row.toward.axis for side, _ in at)
    first = 0.0 if said else -(row.count - 1) * row.pitch / 2
    out = board.direction(row.toward.outward)
    return [out.times(first + k * row.pitch) for k in range(row.count)]
