"""Line pictures of parts as they stand, as SVG text: only what shows, shaded flat, with thin dark outlines.

The same parts give the same bytes. Cut faces can be tinted, what was cut away
can be hinted at with dashes, and a few words can point at the wood.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from html import escape
from typing import Any, TypeAlias

import numpy as np
import shapely

from solids.fit.scene import Solid, solids_of
from solids.kernel.mesh import TOOL, Floats
from solids.model.geometry import Vector
from solids.model.part import Made, Part
from solids.report.ink import GRID, INK, Lines, beside, colour, fills, missing, short, stroked
from solids.report.visible import Surface, View, surfaces_of, visible

PAPER, ALARM = "#fdfcf8", "#b0122c"
BADGE = 13.0  # px: half the width of a number beside the wood
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
class Pin:
    """A number beside the wood, with a line to a point of the room: a ring where parts other than `of` hide it."""

    text: str
    point: tuple[float, float, float]
    of: tuple[str, ...] = ()


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
    pins: Sequence[Pin] = (),
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
    gone = [p for part in parts for p in missing(part, view.toward)] if ghost else []
    low, high = _bounds(shown, view.flat(np.array(gone)))
    scale = scale or float(min(np.array(size) / np.maximum(high - low, 1e-9)))
    canvas = _Canvas(view, scale, low)
    canvas.box.append(canvas.laid(np.array([low, high])))
    drawn = [canvas.geometry(v) for v in shown]
    inks = (
        colour(parts[s.part], s.normal, highlight is not None and highlight(parts[s.part], made_by(parts, solids, s)))
        for s in surfaces
    )
    lines = Lines.of(surfaces, drawn)
    elements = [*fills(zip(inks, drawn, strict=True)), *lines.elements(), *_dashes(gone, canvas, lines)]
    for mark in marks:
        elements += _marked(mark, canvas)
    hidden = [_is_hidden(p, parts, surfaces, view) for p in pins]
    return _framed([*elements, *_pinned(pins, hidden, canvas)], canvas) if pins else _framed(elements, canvas)


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
        out.append(f'<g transform="translate({short(x)} {short((high - p.height) / 2)})">')
        out += [*p.elements, "</g>"]
        x += p.width + gap
    return "\n".join(filter(None, [*out, "</svg>"])) + "\n"


def _bounds(shown: Sequence[Any], more: Floats) -> tuple[Floats, Floats]:
    points = np.concatenate([shapely.get_coordinates(list(shown)), more])
    return (points.min(0), points.max(0)) if len(points) else (np.zeros(2), np.ones(2))


def _framed(elements: list[str], canvas: _Canvas) -> Panel:
    points = np.concatenate(canvas.box)
    low, high = points.min(0) - EDGE, points.max(0) + EDGE
    x, y = np.round(-low, 1)
    return Panel(
        (f'<g transform="translate({short(x)} {short(y)})">', *elements, "</g>"), *np.ceil(high - low).tolist()
    )


def _dashes(gone: Sequence[tuple[Floats, Floats]], canvas: _Canvas, lines: Lines) -> Iterator[str]:
    """What is no longer there of the blank's arrises."""
    if gone:
        arrises = shapely.MultiLineString([canvas.laid(canvas.view.flat(p)) for p in gone])
        left = beside(arrises, [lines.outer, lines.dark], 12 * GRID)
        yield from stroked(left, 0.7, ' stroke-dasharray="4 3" stroke-opacity=".6"')


def _marked(mark: Mark, canvas: _Canvas) -> Iterator[str]:
    """The line with a tick at each end, and the words beside its middle."""
    points = canvas.px(mark.points)
    at = points[len(points) // 2] if len(points) != 2 else points.mean(0)
    if len(points) > 1:
        yield from stroked(shapely.LineString(points), 1.0)
        ticks = [_tick(points[0], points[1]), _tick(points[-1], points[-2])]
        yield from stroked(shapely.MultiLineString(ticks), 1.0)
    x, y = at + mark.shift
    half = len(mark.text) * LETTER / 2
    canvas.box.append(np.array([[x - half, y - 8], [x + half, y + 5]]))
    halo = f'stroke="{PAPER}" stroke-width="3" paint-order="stroke"'
    yield f'<text x="{short(x)}" y="{short(y + 4)}" text-anchor="middle" fill="{INK}" {halo}>{escape(mark.text)}</text>'


def _is_hidden(pin: Pin, parts: Sequence[Part], surfaces: Sequence[Surface], view: View) -> bool:
    """Whether wood of other parts stands before a point."""
    flat = view.flat(pin.point)[0]
    level = float(np.asarray(pin.point) @ view.toward)
    before = (s for s in surfaces if parts[s.part].id not in pin.of and s.depth[0] + s.depth[1:] @ flat > level + 1e-3)
    return any(shapely.contains_xy(s.polygon, *flat) for s in before)


def _pinned(pins: Sequence[Pin], hidden: Sequence[bool], canvas: _Canvas) -> Iterator[str]:
    """Numbers in two columns beside the wood, each on the side that its point is nearer to, so that no lines cross."""
    (left, top), (right, bottom) = np.sort(canvas.box[0], axis=0).tolist()
    points = [canvas.px([p.point])[0] for p in pins]
    for is_left, x in ((True, left - 2 * BADGE), (False, right + 2 * BADGE)):
        own = [k for k, p in enumerate(points) if (p[0] < (left + right) / 2) == is_left]
        own.sort(key=lambda k: (float(points[k][1]), k))
        heights = _spread([float(points[k][1]) for k in own], top, bottom)
        for k, y in zip(own, heights, strict=True):
            canvas.box.append(np.array([[x - BADGE, y - BADGE], [x + BADGE, y + BADGE]]))
            px, py = points[k]
            way = f'd="M{short(x)} {short(y)} {short(px)} {short(py)}" fill="none"'
            yield f'<path {way} stroke="{PAPER}" stroke-width="3.6"/><path {way} stroke="{ALARM}" stroke-width="1.6"/>'
            fill, edge = (PAPER, ALARM) if hidden[k] else (ALARM, PAPER)
            yield f'<circle cx="{short(px)}" cy="{short(py)}" r="4" fill="{fill}" stroke="{edge}" stroke-width="1.8"/>'
            yield f'<circle cx="{short(x)}" cy="{short(y)}" r="{BADGE:g}" fill="{ALARM}"/>'
            yield (
                f'<text x="{short(x)}" y="{short(y + 5)}" text-anchor="middle" fill="#fff" font-size="14" '
                f'font-weight="bold">{escape(pins[k].text)}</text>'
            )


def _spread(wanted: list[float], low: float, high: float) -> list[float]:
    """Heights as near as can be to those wanted, in their order, with room for a number at each."""
    step = 2 * BADGE + 4
    out: list[float] = []
    for y in wanted:
        out.append(max(y, out[-1] + step if out else low))
    over = max(0.0, out[-1] - high) if out else 0.0
    for k in range(len(out) - 1, -1, -1):
        ceiling = out[k + 1] - step if k + 1 < len(out) else out[k] - over
        out[k] = min(out[k], ceiling)
    return out


def _tick(end: Floats, before: Floats) -> list[Floats]:
    along = (before - end) / max(float(np.linalg.norm(before - end)), 1e-9)
    across = np.array([-along[1], along[0]]) * 4
    return [end - across, end + across]
