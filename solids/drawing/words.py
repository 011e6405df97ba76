"""The words beside a view's lines: the maker's names of sides, the grain, and where sections are taken."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import Any

import numpy as np
import shapely

from solids.drawing.board import NEAR, Board, Seen, Way
from solids.drawing.callouts.callout import Tag
from solids.drawing.lettering import lettered
from solids.drawing.pens import CUTTING, DIMENSION
from solids.drawing.section import Cut
from solids.drawing.sheet import Box, Line, Mark, Point, Text, arrow, bounds, shape, simple
from solids.model.geometry import STILL, Prism, Vector

SMALL = 2.5
LETTER = 3.5
TURNS = tuple(math.radians(d) for d in (45, 135, 315, 225, 25, 155, 335, 205, 65, 115, 295, 245))
SHARES = (0.5, 0.42, 0.58, 0.34, 0.66, 0.26, 0.74, 0.18, 0.82, 0.1, 0.9)


def cutting_marks(
    cuts: Sequence[Cut], box: Box, scale: float, xs: Sequence[float], ys: Sequence[float], skip: dict[str, float]
) -> list[Mark]:
    """Two heavy strokes outside the outline for each section, with an arrow the way it is looked at, and its letter.

    Letters keep off the places `xs` and `ys`, where extension lines run; `skip` is told what room they take.
    """
    marks: list[Mark] = []
    for cut in cuts:
        u = cut.at * scale
        level = cut.run == 1
        rims = ((box.left, -1, "left"), (box.right, 1, "right"))
        if not level:
            rims = ((box.bottom, -1, "below"), (box.top, 1, "above"))
        for rim, out, side in rims:
            skip[side] = max(9.0, skip[side])
            marks += _cutting_end(cut.letter, u, rim, out, level, ys if level else xs)
    return marks


def plane_marks(letter: str, at: float, level: bool, box: Box) -> list[Mark]:
    """The two ends of one plane outside a view: across it where `level`, else up it."""
    rims = ((box.left, -1), (box.right, 1)) if level else ((box.bottom, -1), (box.top, 1))
    return [m for rim, out in rims for m in _cutting_end(letter, at, rim, out, level, ())]


def _cutting_end(letter: str, u: float, rim: float, out: int, level: bool, stops: Sequence[float]) -> Iterator[Mark]:
    def at(along: float, off: float) -> Point:
        p = u + along, rim + out * off
        return (p[1], p[0]) if level else p

    yield Line(at(0.0, 1.0), at(0.0, 7.0), CUTTING)
    # Across the length one looks to the left end, across the width to the upper edge.
    way = 1.0 if level else -1.0
    yield Line(at(0.0, 5.0), at(way * 5.0, 5.0), DIMENSION)
    angle = (math.pi / 2) if level else math.pi
    yield arrow(at(way * 5.0, 5.0), angle)
    half = lettered(letter, LETTER).width / 2 + 1.0
    tries = [way * (5.0 + half + k) for k in (0.3, 2.0, 4.0)] + [-way * (half + k) for k in (0.6, 2.0, 4.0, 6.0)]
    along = next((t for t in tries if all(abs(u + t - s) > 3.2 for s in stops)), tries[0])
    yield Text(at(along, 5.0), letter, LETTER, "middle", "middle", 0.0, DIMENSION)


def rim_words(
    board: Board, seen: Seen, box: Box, xs: Sequence[float], ys: Sequence[float], taken: Sequence[Mark], upright: bool
) -> list[Mark]:
    """The word for each side at its own edge of the view, between the extension lines; left out where none fits."""
    marks: list[Mark] = []
    shapes = [shape(m, 0.8) for m in simple(taken)]
    for way, rim, level in _rims(seen, box):
        word = str(board.side(way))
        laid = lettered(word, SMALL)
        low, high = (box.left, box.right) if level else (box.bottom, box.top)
        stops = xs if level else ys
        for share in SHARES:
            u = low + (high - low) * share
            half = (SMALL if upright and not level else laid.width) / 2 + 0.8
            if u - half < low or u + half > high or any(abs(u - s) < half for s in stops):
                continue
            text = _rim_text(word, u, rim, level, box, upright)
            if not any(shape(text, 0.5).intersects(s) for s in shapes):
                marks.append(text)
                break
    return marks


def beside_room(board: Board, seen: Seen, upright: bool) -> dict[str, float]:
    """How much the words of the sides at the left and the right need, in mm."""
    across, _ = seen.axes()
    right = 1 if seen.right[across] > 0 else -1
    sides = {"left": (across, -right), "right": (across, right)}
    return {k: max(4.0, lettered(str(board.side(w)), SMALL).width) if upright else 4.0 for k, w in sides.items()}


def _rims(seen: Seen, box: Box) -> Iterator[tuple[Way, float, bool]]:
    across, up = seen.axes()
    right, top = (1 if seen.right[across] > 0 else -1), (1 if seen.up[up] > 0 else -1)
    yield (across, -right), box.left, False
    yield (across, right), box.right, False
    yield (up, -top), box.bottom, True
    yield (up, top), box.top, True


def _rim_text(word: str, u: float, rim: float, level: bool, box: Box, upright: bool) -> Text:
    if level:
        at = (u, rim - 1.2) if rim == box.bottom else (u, rim + 1.4)
        return Text(at, word, SMALL, "middle", "top" if rim == box.bottom else "base")
    if upright:
        at = (rim - 1.4, u) if rim == box.left else (rim + 1.4, u)
        return Text(at, word, SMALL, "right" if rim == box.left else "left", "middle")
    at = (rim - 1.4, u) if rim == box.left else (rim + 1.4 + SMALL, u)
    return Text(at, word, SMALL, "middle", "base", 90.0)


def hole_tags(tags: Sequence[Tag], seen: Seen, scale: float, drawn: Sequence[Mark]) -> list[Mark]:
    """The name of each hole close by it, where it lies on nothing."""
    out: list[Mark] = []
    for tag in tags:
        (x, y), reach = (v * scale for v in seen.flat(tag.spot)), tag.radius * scale
        shapes = shapely.STRtree([shape(m, 0.4) for m in simple((*drawn, *out))])
        tries = [
            Text((x + far * math.cos(turn), y + far * math.sin(turn)), tag.name, SMALL, "middle", "middle")
            for far in (reach + 2.6, reach + 3.8, reach + 5.2, reach + 7.0, reach + 9.5)
            for turn in TURNS
        ]
        free = (t for t in tries if not len(shapes.query(shape(t, 0.3), predicate="intersects")))
        out.append(next(free, tries[0]))
    return out


def face_words(board: Board, box: Box, scale: float, drawn: Sequence[Mark]) -> list[Mark]:
    """The face's name and the way of the grain where the face is free; else above all."""
    word = f"{board.side(NEAR)} face"
    name = [Text((0.0, 0.0), word, LETTER, "middle", "middle")]
    grain = [
        Line((-11.0, 0.0), (11.0, 0.0), DIMENSION),
        arrow((11.0, 0.0), 0.0),
        arrow((-11.0, 0.0), math.pi),
        Text((0.0, 1.0), "grain", SMALL, "middle", "base"),
    ]
    marks = list(drawn)
    openings = list(_openings(board, scale))
    out: list[Mark] = []
    for group in (name, grain if board.part.blank.grained else []):
        if group:
            placed = _somewhere(group, box, marks, openings)
            out += placed
            marks += placed
    return out


def _openings(board: Board, scale: float) -> Iterator[Any]:
    """Where a cutout leaves no face to write on."""
    frame = STILL.seen_from(board.axes)
    for made in board.part.cuts:
        for waste in made.cut.waste(board.part.blank) if made.cut.kind == "cutout" else ():
            if isinstance(waste, Prism):
                prism = waste.moved(frame)
                corners = (prism.frame.point(Vector(c.a, c.b, 0.0)) for c in prism.outline)
                yield shapely.MultiPoint([(p.x * scale, p.y * scale) for p in corners]).convex_hull


def _somewhere(group: Sequence[Any], box: Box, drawn: Sequence[Mark], openings: Sequence[Any]) -> list[Mark]:
    own = bounds(group)
    tree = shapely.STRtree([*(shape(m) for m in simple(drawn)), *openings])
    across, up = np.linspace(box.left, box.right, 41)[1:-1], np.linspace(box.bottom, box.top, 25)[1:-1]
    x, y = (v.ravel() for v in np.meshgrid(across, up))
    boxes = shapely.box(x + own.left - 1.5, y + own.bottom - 1.2, x + own.right + 1.5, y + own.top + 1.2)
    fits = (x + own.left > box.left) & (x + own.right < box.right)
    fits &= (y + own.bottom > box.bottom) & (y + own.top < box.top)
    fits[tree.query(boxes, predicate="intersects")[0]] = False
    if fits.any():
        wanted = np.hypot(x - (box.left * 0.68 + box.right * 0.32), y - (box.bottom * 0.35 + box.top * 0.65))
        k = int(np.where(fits, wanted, np.inf).argmin())
        return [m.moved(float(x[k]), float(y[k])) for m in group]
    whole = bounds(drawn)
    return [m.moved((box.left + box.right) / 2, whole.top + 2.5 - own.bottom) for m in group]
