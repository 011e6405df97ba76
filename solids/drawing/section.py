"""Sections: the wood cut through where its profiles are, broken between them, every size of a profile once."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Any, NamedTuple

import numpy as np
import shapely
import shapely.affinity

from solids.drawing.angle import clear_angle
from solids.drawing.audit import touches
from solids.drawing.board import Board
from solids.drawing.callouts.callout import Profile, Spot, Width
from solids.drawing.dimension import Asked, Side, beyond, tiers
from solids.drawing.figures import Figures
from solids.drawing.leader import leader
from solids.drawing.paper import Scale
from solids.drawing.pens import FINE, HATCH, VISIBLE
from solids.drawing.sheet import Box, Dimension, Line, Mark, Path, Point, Text, bounds, moved

LETTERS = "ABCDEFGHJKLMNPQRSTUVWXYZ"
HATCHING = 2.2  # mm between hatch lines
BETWEEN = 6.0  # mm of paper between two windows' dimensions


class Cut(NamedTuple):
    """Where a section is taken: across an axis, at a place along it, and what it must show."""

    letter: str
    run: int
    at: float
    profiles: tuple[Profile, ...]


@dataclass(frozen=True, slots=True)
class _Window:
    """A stretch of the section that is shown, in mm of wood, and which of its ends are broken off."""

    start: float
    end: float
    profiles: tuple[Profile, ...]
    broken: tuple[bool, bool]


def cuts(board: Board, mesh: Any, profiles: Sequence[Profile], taken: Mapping[int, Sequence[float]]) -> list[Cut]:
    """As few sections as show every profile that there is wood round; away from the places that are `taken`."""
    found: list[Cut] = []
    for run in (0, 1):
        left = [p for p in profiles if p.run == run]
        while left:
            tried = [(at, _shown(board, mesh, run, at, left)) for at in _tried(board, run, left)]
            at, shown = max(tried, key=lambda t: _worth(board, run, t[0], t[1], taken.get(run, ())))
            if not shown:
                break
            found.append(Cut(LETTERS[len(found)], run, at, shown))
            left = [p for p in left if p not in shown]
    return found


def _tried(board: Board, run: int, profiles: Sequence[Profile]) -> list[float]:
    low, span = board.low[run], board.high[run] - board.low[run]
    shares = (0.81, 0.73, 0.66, 0.58, 0.43, 0.35, 0.27, 0.19, 0.89, 0.11, 0.94, 0.06)
    within = [a + (b - a) * s for p in profiles for a, b in [p.where] for s in (0.53, 0.31, 0.77)]
    return [*(low + span * s for s in shares), *within]


def _worth(
    board: Board, run: int, at: float, shown: Sequence[Profile], taken: Sequence[float]
) -> tuple[int, float, float]:
    """Show much, keep off what is dimensioned, and lie to the right."""
    span = board.high[run] - board.low[run]
    free = min((abs(at - t) for t in taken), default=span)
    return len(shown), min(free / span, 0.06), -abs(at - (board.low[run] + span * 0.75))


def _shown(board: Board, mesh: Any, run: int, at: float, profiles: Sequence[Profile]) -> tuple[Profile, ...]:
    """The profiles that a section there shows, with wood at both sides of what is taken away or stands."""
    here = [p for p in profiles if p.where[0] < at < p.where[1]]
    if not here:
        return ()
    wood = polygon(mesh, board, run, at)
    return tuple(p for p in here if wood.intersects(shapely.box(p.start - 0.5, -1e4, p.end + 0.5, 1e4)))


def polygon(mesh: Any, board: Board, run: int, at: float) -> Any:
    """The wood at a plane across an axis of the drawing, as a shapely geometry.

    Across the length or the width: along the wood, and its thickness; across the thickness: as the face shows it.
    """
    frame = board.solid_frame()
    rows = np.array(frame[:3]).T  # from the bench to the drawing
    order = [0, 1, 2] if run == 2 else [1 - run, 2, run]
    move = np.column_stack([rows[order], np.array(frame.origin)[order]])
    if np.linalg.det(move[:, :3]) < 0:  # a mirror turns the mesh inside out: look from the other side
        move[2] *= -1
        at = -at
    loops = mesh.transform(move).slice(at).to_polygons()
    whole: Any = shapely.Polygon()
    for ring in loops:
        whole = whole.symmetric_difference(shapely.Polygon(np.asarray(ring)[:, :2]))
    return shapely.set_precision(whole, 1e-6)


def drawn(cut: Cut, board: Board, mesh: Any, figures: Figures, scale: Scale) -> tuple[Mark, ...]:
    """The section with its dimensions and its title; its lower left corner near 0, 0."""
    wood = polygon(mesh, board, cut.run, cut.at)
    marks: list[Mark] = []
    x = 0.0
    for k, window in enumerate(_windows(cut, board, scale)):
        made = _window(window, wood, figures, scale.ratio, k == 0 and cut.letter == LETTERS[0], board)
        if not made:
            continue
        box = bounds(made)
        marks += moved(made, x - box.left, 0.0)
        x += box.width + BETWEEN
    box = bounds(marks)
    title = f"{cut.letter}–{cut.letter}   {scale.text}"
    middle = (box.left + box.right) / 2
    marks.append(Text((middle, box.bottom - 3.5), title, 3.5, "middle", "top"))
    return tuple(marks)


def _windows(cut: Cut, board: Board, scale: Scale) -> list[_Window]:
    """The stretches round the profiles; those that nearly meet are one, and a short section is shown whole."""
    axis = 1 - cut.run
    low, high = board.low[axis], board.high[axis]
    pad = 9.0 / scale.ratio
    if (high - low) * scale.ratio <= 110:
        return [_Window(low, high, cut.profiles, (False, False))]
    spans: list[tuple[float, float, list[Profile]]] = []
    for p in sorted(cut.profiles, key=lambda p: (p.start, p.end)):
        start, end = max(low, p.start - pad), min(high, p.end + pad)
        if spans and start <= spans[-1][1] + pad:
            spans[-1] = spans[-1][0], max(spans[-1][1], end), [*spans[-1][2], p]
        else:
            spans.append((start, end, [p]))
    return [
        _Window(a if before else low, b if after else high, tuple(of), (before, after))
        for a, b, of in spans
        for before, after in [(a > low + pad / 2, b < high - pad / 2)]
    ]


def _window(window: _Window, wood: Any, figures: Figures, scale: float, first: bool, board: Board) -> list[Mark]:
    shown = shapely.intersection(wood, shapely.box(window.start, -1e4, window.end, 1e4))
    marks: list[Mark] = []
    for part in (p for p in shapely.get_parts(shown).tolist() if p.geom_type == "Polygon" and p.area > 1e-6):
        for ring in (part.exterior, *part.interiors):
            marks += _outline(list(ring.coords), window, scale)
        marks += hatched(part, scale)
    if not marks:
        return []
    marks += _breaks(window, shown, scale)
    return [*marks, *_dimensions(window, marks, figures, scale, first, board)]


def _outline(ring: list[Spot], window: _Window, scale: float) -> Iterator[Mark]:
    """The wood's rim, but for where it is only broken off."""
    broken = [e for e, is_broken in zip((window.start, window.end), window.broken, strict=True) if is_broken]
    for p, q in pairwise(ring):
        if not any(abs(p[0] - e) < 1e-6 and abs(q[0] - e) < 1e-6 for e in broken):
            yield Line((p[0] * scale, p[1] * scale), (q[0] * scale, q[1] * scale), VISIBLE)


def hatched(part: Any, scale: float, spacing: float = HATCHING) -> list[Mark]:
    """Lines at 45° over a polygon of the wood."""
    left, bottom, right, top = (v * scale for v in part.bounds)
    first = math.floor((bottom - right) / spacing / math.sqrt(2))
    last = math.ceil((top - left) / spacing / math.sqrt(2))
    steps = [k * spacing * math.sqrt(2) for k in range(first, last + 1)]
    lines = shapely.MultiLineString([[(left - 1, left - 1 + s), (right + 1, right + 1 + s)] for s in steps])
    paper = shapely.affinity.scale(part, scale, scale, origin=(0, 0))
    inside = shapely.get_parts(shapely.intersection(lines, paper)).tolist()
    return [Line(g.coords[0], g.coords[-1], HATCH) for g in inside if g.geom_type == "LineString" and g.length > 0.3]


def _breaks(window: _Window, shown: Any, scale: float) -> Iterator[Mark]:
    """A fine zigzag where the wood goes on."""
    for at, is_broken in zip((window.start, window.end), window.broken, strict=True):
        if not is_broken:
            continue
        cut = shapely.intersection(shown, shapely.LineString([(at, -1e4), (at, 1e4)]))
        if cut.is_empty:
            continue
        _, low, _, high = (v * scale for v in cut.bounds)
        x, y = at * scale, (low + high) / 2
        way = ((0, low - 1.5), (0, y - 1.2), (-1.0, y - 0.4), (1.0, y + 0.4), (0, y + 1.2), (0, high + 1.5))
        yield Path(tuple((x + dx, v) for dx, v in way), FINE)


def _dimensions(
    window: _Window, drawn_: Sequence[Mark], figures: Figures, scale: float, first: bool, board: Board
) -> list[Mark]:
    """The sizes of the window's profiles on its four sides, then angles and radii; the thickness at the first."""
    box = bounds(drawn_)
    asked: dict[Side, list[Asked]] = {"below": [], "above": [], "left": [], "right": []}
    for p in window.profiles:
        for w in p.widths:
            if w.value > 1e-6:
                side = _side(w, p, window, board)
                a, b = ((v[0] * scale, v[1] * scale) for v in (w.a, w.b))
                asked[side].append(Asked(a, b, figures.length(w.value), w.value))
    if first:
        low, high = board.low.z * scale, board.high.z * scale
        side = "left" if not window.broken[0] or window.broken[1] else "right"
        x = (window.start if side == "left" else window.end) * scale
        thick = board.high.z - board.low.z
        asked[side].append(Asked((x, low), (x, high), figures.length(thick), thick, 1))
    marks: list[Mark] = []
    for side in ("below", "above", "left", "right"):
        marks += tiers(side, beyond(box, marks, side), _unique(asked[side]), scale, upright=figures.upright)
    for t in (t for p in window.profiles for t in p.tilts):
        spots = [(v[0] * scale, v[1] * scale) for v in (t.vertex, t.square, t.sloped)]
        text = f"{figures.angle(t.degrees)} ({figures.angle(90 - t.degrees)})"
        marks.append(clear_angle(spots[0], spots[1], spots[2], text, t.degrees, scale, [*drawn_, *marks]))
    return [*marks, *_bends(window, [*drawn_, *marks], figures, scale)]


def _unique(asked: Sequence[Asked]) -> list[Asked]:
    """The same size between the same levels once."""
    seen: dict[tuple[object, ...], Asked] = {}
    for a in asked:
        seen.setdefault((a.text, *(round(v, 3) for v in (*a.a, *a.b))), a)
    return list(seen.values())


def _side(w: Width, p: Profile, window: _Window, board: Board) -> Side:
    """A depth at the end of the wood that it is at, or else at the side that it is nearer to."""
    if w.along == 0:
        return "above" if max(w.a[1], w.b[1]) * 2 > board.low.z + board.high.z else "below"
    axis = 1 - p.run
    if p.start - board.low[axis] < 1e-6:
        return "left"
    if board.high[axis] - p.end < 1e-6:
        return "right"
    return "right" if w.a[0] + w.b[0] > window.start + window.end else "left"


def _bends(window: _Window, drawn_: Sequence[Mark], figures: Figures, scale: float) -> list[Mark]:
    """Each radius on a leader that runs out from its centre's side, where its figure lies on nothing."""
    marks: list[Mark] = []
    for p in window.profiles:
        for b in p.bends:
            tip = b.toward[0] * scale, b.toward[1] * scale
            text = f"R{figures.length(b.radius)}"
            centre = b.centre[0] * scale, b.centre[1] * scale
            tries = [
                Dimension("radius", tuple(leader(tip, knee, [text])), (centre, tip), text, b.radius, scale)
                for knee in _knees(tip, centre, bounds([*drawn_, *marks]))
            ]
            marks.append(next((d for d in tries if not touches([*drawn_, *marks, d])), tries[0]))
    return marks


def _knees(tip: Point, centre: Point, box: Box) -> Iterator[Point]:
    """Where a leader may turn: out past all that is drawn, steeply first, on the bend's own side before the other."""
    right, up = tip[0] > centre[0], tip[1] > centre[1]
    for level in (up, not up):
        for farther in (0.0, 6.0, 12.0):
            lift = box.top - tip[1] + 4.0 + farther if level else box.bottom - tip[1] - 4.0 - farther
            for side in (right, not right):
                for lean in (0.6, 0.25, 1.0):
                    yield tip[0] + (1 if side else -1) * abs(lift) * lean, tip[1] + lift
