"""Notes on leaders: each is put where its words lie on nothing and its leader crosses no words."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any, NamedTuple

import numpy as np
import shapely

from solids.drawing.dimension import HEIGHT
from solids.drawing.leader import leader, line_step
from solids.drawing.lettering import lettered
from solids.drawing.sheet import Box, Dimension, Mark, Point, Text, bounds, shape, simple

STEP = 3.0  # mm between places that are tried
ROOM = 1.2  # mm kept free round a note
TRIED = 400  # places looked at in full for each note
OVER_WOOD = 30.0  # mm that a leader may be longer to keep a note off the wood
CROSSING = 4.0  # mm that a leader may be longer to cross one line less


class Note(NamedTuple):
    """Words and where their leader may point, on the sheet; `dot` where that is a surface."""

    lines: tuple[str, ...]
    tips: tuple[Point, ...]
    dot: bool = False


@dataclass(frozen=True, slots=True)
class _Spot:
    knee: Point
    tip: Point
    cost: float


def placed(notes: Sequence[Note], drawn: Iterable[Mark], wood: Sequence[Box]) -> tuple[list[Mark], list[Note]]:
    """The notes' marks, beside the views' `wood` where there is room; and the notes for which there was no place."""
    marks = list(drawn)
    new: list[Mark] = []
    left: list[Note] = []
    for note in notes:
        spot = _best(note, marks, wood)
        if spot is None:
            left.append(note)
            continue
        made = Dimension("note", tuple(leader(spot.tip, spot.knee, note.lines, note.dot)), (spot.tip,), "", 0.0)
        marks.append(made)
        new.append(made)
    return new, left


def _best(note: Note, marks: Sequence[Mark], wood: Sequence[Box]) -> _Spot | None:
    drawn = [m for m in simple(marks) if not isinstance(m, Text) or m.text]
    tree = shapely.STRtree([shape(m) for m in drawn])
    words = shapely.STRtree([shape(m, 0.6) for m in drawn if isinstance(m, Text)])
    region = bounds(drawn).grown(36.0)
    wide = max(lettered(t, HEIGHT).width for t in note.lines)
    tall = math.fsum(line_step(a, b) for a, b in zip(note.lines, note.lines[1:], strict=False))
    rise = max(lettered(t, HEIGHT).top for t in note.lines) - HEIGHT / 2
    spots: list[_Spot] = []
    for way in (1.0, -1.0):
        knees = _free(tree, region, way, wide, tall, rise)
        for tip in note.tips[:24]:
            spots += _leaders(tip, knees, way, tree, words, wood)
    return min(spots, key=lambda s: (s.cost, s.knee, s.tip), default=None)


def _free(tree: Any, region: Box, way: float, wide: float, tall: float, rise: float) -> Any:
    """The knees, of a grid over the region, at which the words would lie on nothing."""
    x, y = np.meshgrid(np.arange(region.left, region.right, STEP), np.arange(region.bottom, region.top, STEP))
    x, y = x.ravel(), y.ravel()
    near, far = x + way * 0.5, x + way * (4.5 + wide)
    low, high = np.minimum(near, far), np.maximum(near, far)
    bottom, top = y - tall - rise - 1.0, y + rise + 1.0
    fits = (low >= region.left) & (high <= region.right) & (bottom >= region.bottom) & (top <= region.top)
    boxes = shapely.box(low - ROOM, bottom - ROOM, high + ROOM, top + ROOM)[fits]
    taken = np.zeros(len(boxes), bool)
    taken[tree.query(boxes, predicate="intersects")[0]] = True
    return np.column_stack([x, y])[fits][~taken]


def _leaders(tip: Point, knees: Any, way: float, tree: Any, words: Any, wood: Sequence[Box]) -> list[_Spot]:
    """The likeliest knees for one tip with what each costs; none whose leader crosses words."""
    dx, dy = knees[:, 0] - tip[0], knees[:, 1] - tip[1]
    far = np.hypot(dx, dy)
    steep = np.degrees(np.arctan2(np.abs(dy), np.maximum(dx * way, 1e-9)))
    good = (dx * way > 2) & (far > 6) & (steep > 12) & (steep < 80)
    knees, far, steep = knees[good], far[good], steep[good]
    order = np.argsort(far, kind="stable")[:TRIED]
    if not len(order):
        return []
    knees, far, steep = knees[order], far[order], steep[order]
    start = np.array(tip) + (knees - tip) * np.minimum(1.0, 1.0 / far)[:, None]
    lines = shapely.linestrings(np.stack([start, knees], axis=1))
    crossed = np.bincount(tree.query(lines, predicate="intersects")[0], minlength=len(lines))
    spoiled = np.zeros(len(lines), bool)
    spoiled[words.query(lines, predicate="intersects")[0]] = True
    cost = far + crossed * CROSSING + np.abs(steep - 50) * 0.15
    for box in wood:
        x, y = knees[:, 0], knees[:, 1]
        cost += ((x > box.left) & (x < box.right) & (y > box.bottom) & (y < box.top)) * OVER_WOOD
    return [
        _Spot((float(k[0]), float(k[1])), tip, float(c))
        for k, c, bad in zip(knees, cost, spoiled, strict=True)
        if not bad
    ]
