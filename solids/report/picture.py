"""Line pictures of parts as they stand, as SVG text: only what shows, shaded flat, with thin dark outlines.

The same parts give the same bytes. Cut faces can be tinted, what was cut away
can be hinted at with dashes, and a few words can point at the wood.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from html import escape
from itertools import combinations
from typing import Any, TypeAlias

import numpy as np
import shapely

from solids.fit.scene import Solid, solids_of
from solids.kernel.mesh import TOOL, Floats
from solids.model.geometry import Vector
from solids.model.part import Made, Part
from solids.report.visible import Surface, View, surfaces_of, visible

PAPER, INK, TINT, PLAIN = "#fdfcf8", "#2b2622", "#4f8fb8", "#d9c7a3"
PALER = 0.25  # how far wood is drawn toward white, so that lines stand out on dark kinds
TINTED = 0.75  # how far a tinted face leaves the wood's own colour
GRID = 0.05  # px: points nearer than this are one
SPECK = 0.2  # px²: less is not drawn
EDGE, PAD, LETTER = 14.0, 6.0, 6.1  # px round a picture, between a label and its line, and a letter's width
VIEWS = ((35.0, 28.0, 1.0), (-35.0, 28.0, 0.95), (35.0, -28.0, 0.6), (-35.0, -28.0, 0.58), (145.0, 28.0, 0.5))

Chosen: TypeAlias = Callable[[Part, Made | None], bool]


@dataclass(frozen=True, slots=True)
class Mark:
    """A label: at a point of the room, or on a line through several; `shift` moves the words, in px."""

    text: str
    points: tuple[tuple[float, float, float], ...]
    shift: tuple[float, float] = (0.0, 0.0)


@dataclass(frozen=True, slots=True)
class Panel:
    """One view on a sheet: its SVG elements, drawn from its own corner, and its size in px."""

    elements: tuple[str, ...]
    width: float
    height: float


@dataclass(slots=True)
class _Canvas:
    """From mm on the picture's plane to px on the panel."""

    view: View
    scale: float
    low: Floats
    box: list[Floats] = field(default_factory=list)

    def px(self, points: Any) -> Floats:
        """Points of the room in px, remembered so that the panel holds them."""
        found = self.laid(self.view.flat(np.asarray(points, float)))
        self.box.append(found)
        return found

    def laid(self, flat: Floats) -> Floats:
        return (flat - self.low) * (self.scale, -self.scale)

    def geometry(self, shape: Any) -> Any:
        return shapely.transform(shape, self.laid)


def all_cuts(part: Part, made: Made | None) -> bool:
    """Tint every face that a cut has left."""
    return made is not None


def picture(
    parts: Sequence[Part],
    *,
    title: str = "",
    highlight: Chosen | None = None,
    view: View | None = None,
    marks: Iterable[Mark] = (),
    ghost: bool = False,
    size: tuple[float, float] = (420.0, 260.0),
) -> str:
    """The parts as one SVG. `size` is the most that the wood itself may take, in px."""
    return sheet([panel(parts, highlight=highlight, view=view, marks=marks, ghost=ghost, size=size)], title)


def moved(parts: Iterable[Part], by: Mapping[str, tuple[float, float, float]]) -> tuple[Part, ...]:
    """The parts with some of them, by id or by the name of all copies, drawn apart by so many mm."""

    def shifted(part: Part) -> Part:
        step = by.get(part.id) or by.get(part.source)
        if step is None:
            return part
        return replace(part, frame=part.frame._replace(origin=part.frame.origin.plus(Vector(*step))))

    return tuple(shifted(p) for p in parts)


def best_view(parts: Sequence[Part], solids: Sequence[Solid], highlight: Chosen | None) -> View:
    """The view in which most of the tinted faces shows; from the front, right and above where all are alike."""
    if highlight is None:
        return View.of(*VIEWS[0][:2])
    best, most = View.of(*VIEWS[0][:2]), -1.0
    for turn, rise, worth in VIEWS:
        view = View.of(turn, rise)
        surfaces = surfaces_of(parts, solids, view)
        shown = zip(surfaces, visible(surfaces), strict=True)
        area = worth * sum(float(v.area) for s, v in shown if highlight(parts[s.part], made_by(parts, solids, s)))
        if area > most * (1 + 1e-6):
            best, most = view, area
    return best


def made_by(parts: Sequence[Part], solids: Sequence[Solid], s: Surface) -> Made | None:
    """The cut that a surface came from; None for a side of the blank."""
    tool = s.source // TOOL
    return parts[s.part].cuts[solids[s.part].shape.tools[tool - 1].cut] if tool else None


def panel(
    parts: Sequence[Part],
    *,
    highlight: Chosen | None = None,
    view: View | None = None,
    marks: Iterable[Mark] = (),
    ghost: bool = False,
    size: tuple[float, float] = (420.0, 260.0),
    solids: Sequence[Solid] | None = None,
    scale: float | None = None,
) -> Panel:
    """One view of the parts; `scale` in px per mm where several views must share one."""
    solids = solids_of(tuple(parts)) if solids is None else solids
    view = view or best_view(parts, solids, highlight)
    surfaces = surfaces_of(parts, solids, view)
    shown = visible(surfaces)
    corners = np.array([view.flat(list(c)) for p in parts for c in p.side_corners()]) if ghost else None
    low, high = _bounds(shown, corners)
    scale = scale or float(min(np.array(size) / np.maximum(high - low, 1e-9)))
    canvas = _Canvas(view, scale, low)
    canvas.box.append(canvas.laid(np.array([low, high])))
    drawn = [canvas.geometry(v) for v in shown]
    lines = _lines(surfaces, drawn)
    elements = [*_fills(parts, solids, surfaces, drawn, highlight), *lines.elements()]
    if ghost:
        elements += _ghosts(parts, canvas, lines.dark)
    for mark in marks:
        elements += _marked(mark, canvas)
    return _framed(elements, canvas)


def sheet(panels: Sequence[Panel], title: str = "", gap: float = 26.0) -> str:
    """Views side by side, as a whole SVG file."""
    wide = sum(p.width for p in panels) + gap * (len(panels) - 1)
    high = max(p.height for p in panels)
    out = [
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{wide:.0f}" height="{high:.0f}" '
        f'viewBox="0 0 {wide:.0f} {high:.0f}" font-family="sans-serif" font-size="12" stroke-linejoin="round" '
        'stroke-linecap="round">',
        f"<title>{escape(title)}</title>" if title else "",
        f'<rect width="100%" height="100%" rx="6" fill="{PAPER}"/>',
    ]
    x = 0.0
    for p in panels:
        out.append(f'<g transform="translate({_n(x)} {_n((high - p.height) / 2)})">')
        out += [*p.elements, "</g>"]
        x += p.width + gap
    return "\n".join(filter(None, [*out, "</svg>"])) + "\n"


def _bounds(shown: Sequence[Any], corners: Floats | None) -> tuple[Floats, Floats]:
    points = [shapely.get_coordinates(shapely.union_all(shown))] if shown else []
    if corners is not None:
        points.append(corners)
    if not sum(map(len, points)):
        return np.zeros(2), np.ones(2)
    together = np.concatenate(points)
    return together.min(0), together.max(0)


def _framed(elements: list[str], canvas: _Canvas) -> Panel:
    points = np.concatenate(canvas.box)
    low, high = points.min(0) - EDGE, points.max(0) + EDGE
    x, y = np.round(-low, 1)
    return Panel((f'<g transform="translate({_n(x)} {_n(y)})">', *elements, "</g>"), *np.ceil(high - low).tolist())


def _fills(
    parts: Sequence[Part],
    solids: Sequence[Solid],
    surfaces: Sequence[Surface],
    drawn: Sequence[Any],
    highlight: Chosen | None,
) -> Iterator[str]:
    """One path a colour; its own thin line closes the seam between two faces of one colour."""
    by_colour: dict[str, list[Any]] = {}
    for s, polygon in zip(surfaces, drawn, strict=True):
        part = parts[s.part]
        tinted = highlight is not None and highlight(part, made_by(parts, solids, s))
        by_colour.setdefault(_colour(part, s.normal, tinted), []).append(polygon)
    for colour, polygons in sorted(by_colour.items()):
        whole = shapely.normalize(shapely.simplify(shapely.union_all(polygons, grid_size=GRID), GRID))
        pieces = [p for p in shapely.get_parts(whole).tolist() if p.geom_type == "Polygon" and p.area > SPECK]
        rings = [r for p in pieces for r in (p.exterior, *p.interiors)]
        if rings:
            path = "".join(_path(np.asarray(r.coords)[:-1]) + "z" for r in rings)
            yield f'<path d="{path}" fill="{colour}" fill-rule="evenodd" stroke="{colour}" stroke-width=".5"/>'


def _colour(part: Part, normal: Floats, tinted: bool) -> str:
    """The wood's colour, lighter the more the face looks up and left; in 24 steps, so that round walls take few."""
    wood = part.stock.colour if part.stock else PLAIN
    rgb = np.array([int(wood[k : k + 2], 16) for k in (1, 3, 5)], float)
    rgb += (255 - rgb) * PALER
    if tinted:
        rgb += (np.array([int(TINT[k : k + 2], 16) for k in (1, 3, 5)]) - rgb) * TINTED
    light = 0.80 + 0.20 * normal[2] - 0.11 * normal[0] - 0.04 * normal[1]
    rgb = np.minimum(255, rgb * max(0.5, round(light * 24) / 24))
    return "#" + "".join(f"{round(c):02x}" for c in rgb.tolist())


@dataclass(frozen=True, slots=True)
class _Lines:
    """The outer outline, the edges within it, and the light lines where a face runs into a round one."""

    outer: Any
    dark: Any
    light: Any

    def elements(self) -> Iterator[str]:
        for shape, ink, wide in ((self.light, 0.3, 0.5), (self.dark, 0.85, 0.8), (self.outer, 1.0, 1.4)):
            path = _line_path(shape)
            if path:
                opacity = f' stroke-opacity="{ink:g}"' if ink < 1 else ""
                yield f'<path d="{path}" fill="none" stroke="{INK}" stroke-width="{wide:g}"{opacity}/>'


def _lines(surfaces: Sequence[Surface], drawn: Sequence[Any]) -> _Lines:
    faces: dict[tuple[int, int], list[Any]] = {}
    groups: dict[tuple[int, int], list[Any]] = {}
    for s, polygon in zip(surfaces, drawn, strict=True):
        faces.setdefault((s.part, s.source), []).append(polygon)
        groups.setdefault((s.part, s.group), []).append(polygon)
    outer = _outline([[p for ps in groups.values() for p in ps]])
    dark = _outline(groups.values()).difference(outer.buffer(2 * GRID))
    light = _outline(faces.values()).difference(shapely.union_all([outer, dark]).buffer(2 * GRID))
    return _Lines(outer, dark, light)


def _outline(sets: Iterable[list[Any]]) -> Any:
    """The outlines of several sets of polygons, each line once."""
    wholes = [shapely.union_all(s, grid_size=GRID) for s in sets]
    return shapely.union_all([shapely.boundary(_without_specks(w)) for w in wholes], grid_size=GRID)


def _without_specks(shape: Any) -> Any:
    parts = [p for p in shapely.get_parts(shape).tolist() if p.geom_type == "Polygon" and p.area > SPECK]
    return shapely.MultiPolygon(parts)


def _line_path(shape: Any) -> str:
    merged = shapely.normalize(shapely.simplify(shapely.line_merge(shape), GRID))
    pieces = [p for p in shapely.get_parts(merged).tolist() if p.geom_type == "LineString" and p.length > 0.3]
    return "".join(_path(np.asarray(p.coords)) for p in pieces)


def _ghosts(parts: Sequence[Part], canvas: _Canvas, dark: Any) -> Iterator[str]:
    """The arrises of the blanks that are no longer there, dashed."""
    gone = []
    for part in parts:
        points = [np.array(c) for c in part.side_corners()]
        toward = [part.frame.direction(s.outward).dot(Vector(*canvas.view.toward.tolist())) for s in _SIX]
        for a, b in combinations(range(8), 2):
            axes = [i for i in range(3) if (a ^ b) >> i & 1]
            beside = [2 * i + (a >> i & 1) for i in range(3) if i not in axes]
            if len(axes) == 1 and any(toward[k] > EDGE_SEEN for k in beside):
                gone.append(shapely.LineString(canvas.px([points[a], points[b]])))
    return iter(())
