"""A place cut open, drawn flat: the cut wood hatched, the gap or the common wood coloured, its size on a line."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

import numpy as np
import shapely

from solids.kernel.mesh import Floats
from solids.model.part import Part
from solids.report.ink import INK, colour, line, short, stroked
from solids.report.page_layout import TALL
from solids.report.page_place import Colouring, Note, Place, Size
from solids.report.page_words import LONGEST, label
from solids.report.picture import PAPER, Panel

WIDE = 340.0  # px of a picture of a place: as much as a phone shows
INKS: dict[Colouring, tuple[str, str]] = {
    "gap": ("#ffd400", "#7a5b00"),
    "clash": ("#d81e3a", "#6b0012"),
    "web": ("#d81e3a", "#6b0012"),
}
STEEL = "#b9c0c6"
HATCH = 7.0  # px between the lines on cut wood
TAIL, HEAD = 22.0, 7.0  # px of an arrow and of its head


def section(place: Place, parts: Sequence[Part]) -> Panel:
    """The cut, to fill its picture."""
    return Panel(tuple(_Flat(place, parts).elements()), WIDE, WIDE * TALL)


class _Flat:
    """From mm on the cut to px."""

    def __init__(self, place: Place, parts: Sequence[Part]) -> None:
        self.place, self.parts = place, parts
        self.scale = WIDE / place.width
        self.window = shapely.box(0, 0, WIDE, WIDE * TALL)
        self.cut = [self.drawn(c) for c in place.cut]
        self.shape = self.drawn(place.shape)

    def px(self, points: Any) -> Floats:
        flat = (np.asarray(points, float) - self.place.middle) * (self.scale, -self.scale)
        return flat + np.array([WIDE, WIDE * TALL]) / 2

    def drawn(self, shape: Any) -> Any:
        return shapely.transform(shape, self.px)

    def elements(self) -> Iterator[str]:
        for k, (number, cut) in enumerate(zip(self.place.parts, self.cut, strict=True)):
            yield from self._wood(k, self.parts[number], cut)
        yield from self._hardware()
        yield from self._coloured()
        taken: list[Any] = []
        for size in self.place.sizes:
            yield from self._sized(size, taken)
        for note in self.place.notes:
            yield self._noted(note, taken)
        for number, cut in zip(self.place.parts, self.cut, strict=True):
            yield from put_name(self.parts[number].id, shapely.difference(cut, self.shape), taken)

    def _wood(self, k: int, part: Part, cut: Any) -> Iterator[str]:
        """Cut wood: its colour, lines across it one way for the one part and the other way for the other."""
        seen = shapely.intersection(cut, self.window)
        yield f'<g data-part="{label(part.id)}">'
        if seen.area > 0:
            yield f'<path d="{_path(seen)}" fill="{colour(part, np.array([0.3, 0.0, 0.95 - 0.25 * k]), False)}"/>'
            yield from stroked(shapely.intersection(_hatching(k), seen), 0.6, ' stroke-opacity=".3"')
            edge = shapely.intersection(shapely.boundary(cut), shapely.buffer(self.window, -0.3))
            yield from stroked(edge, 1.5)
        yield "</g>"

    def _hardware(self) -> Iterator[str]:
        """Steel over the wood, and the centre lines of the holes over both."""
        for outline in self.place.steel:
            shape = shapely.intersection(self.drawn(outline), self.window)
            if shape.area > 0:
                yield f'<path d="{_path(shape)}" fill="{STEEL}" stroke="{INK}" stroke-width=".9"/>'
        for ends in self.place.axes:
            path = line(self.px(np.array(ends)))
            yield f'<path d="{path}" fill="none" stroke="{INK}" stroke-width=".8" stroke-dasharray="12 3 2 3"/>'

    def _coloured(self) -> Iterator[str]:
        seen = shapely.intersection(self.shape, self.window)
        fill, edge = INKS[self.place.colouring]
        yield f'<g data-shape="{self.place.colouring}">'
        if seen.area > 0:
            yield f'<path d="{_path(seen)}" fill="{fill}" stroke="{edge}" stroke-width="1"/>'
        yield "</g>"

    def _sized(self, size: Size, taken: list[Any]) -> Iterator[str]:
        """The line between two points with a head at each end; its arrows point inward where there is little room."""
        a, b = self.px(np.array(size.ends))
        off = size.off * (self.scale, -self.scale)
        long = float(np.linalg.norm(b - a))
        way = (b - a) / long if long > 1e-6 else np.array([1.0, 0.0])
        if np.any(off):
            yield from stroked(shapely.MultiLineString([[p, p + off * 1.12] for p in (a, b)]), 0.7)
        a, b = a + off, b + off
        if long > 5 * HEAD:
            yield _line([a, b])
            yield _heads([(a, -way), (b, way)])
            at = self._beside((a + b) / 2, way, size.text, taken)
        else:
            yield _line([a - way * TAIL, a])
            yield _line([b, b + way * TAIL])
            yield _heads([(a, way), (b, -way)])
            at = self._beyond(a - way * TAIL, b + way * TAIL, way, size.text, taken)
        yield _text(at, size.text, bold=True)

    def _noted(self, note: Note, taken: list[Any]) -> str:
        """Words beside a point, on whichever side there is room."""
        at, half = self.px(note.at), _half(note.text)
        ways = [np.array(w) for w in ((0, -1), (0, 1), (1, 0), (-1, 0), (0.8, -1), (-0.8, -1), (0.8, 1), (-0.8, 1))]
        spots = [at + w * (half + 12) for w in ways]
        return _text(self._freest(spots, note.text, taken), note.text, bold=True)

    def _beside(self, middle: Floats, way: Floats, text: str, taken: list[Any]) -> Floats:
        """Words on the middle of a line, or beside it where they are longer."""
        half = _half(text)
        square = np.array([-way[1], way[0]])
        off = abs(square[0]) * (half[0] + 5) + abs(square[1]) * (half[1] + 3)
        return self._freest([middle + square * off, middle - square * off], text, taken)

    def _beyond(self, a: Floats, b: Floats, way: Floats, text: str, taken: list[Any]) -> Floats:
        half = _half(text)
        off = abs(way[0]) * (half[0] + 4) + abs(way[1]) * (half[1] + 2)
        return self._freest([b + way * off, a - way * off], text, taken)

    def _freest(self, spots: Sequence[Floats], text: str, taken: list[Any]) -> Floats:
        """Of several places for words, the one that covers the fewest lines."""
        half = _half(text)
        busy = shapely.union_all([shapely.boundary(c) for c in self.cut] + [shapely.boundary(self.shape)])
        best, least = spots[0], np.inf
        for at in spots:
            at = _within(at, half)
            box = _box(at, half)
            cost = shapely.intersection(busy, box).length + sum(shapely.intersection(t, box).area for t in taken)
            cost += 0.3 * shapely.intersection(shapely.buffer(self.shape, 4), box).area
            if cost < least - 1e-6:
                best, least = at, cost
        taken.append(_box(best, half))
        return best


def put_name(id_: str, area: Any, taken: list[Any]) -> Iterator[str]:
    """A part's name where there is most room on it; `taken` are the places of words."""
    room = shapely.intersection(area, shapely.box(6, 6, WIDE - 6, WIDE * TALL - 6))
    room = shapely.difference(room, shapely.union_all(taken))
    if shapely.is_empty(room):
        return
    half = _half(id_)
    grid = [np.array([x, y]) for x in np.linspace(0, WIDE, 23) for y in np.linspace(0, WIDE * TALL, 17)]
    inside = [p for p in grid if shapely.contains_xy(room, *p)] or [np.array(shapely.point_on_surface(room).coords[0])]
    shapely.prepare(room)
    edge = shapely.boundary(room)

    def space(p: Floats) -> tuple[float, float]:
        box = _box(_within(p, half), half)
        return round(float(shapely.intersection(room, box).area), 1), round(float(edge.distance(shapely.Point(p))), 1)

    at = _within(max(inside, key=space), half)
    taken.append(_box(at, half))
    yield _text(at, id_)


def _within(at: Floats, half: Floats) -> Floats:
    """A place for words of that half size, moved into the picture."""
    return np.clip(at, half + 3, np.maximum(half + 3, np.array([WIDE, WIDE * TALL]) - half - 3))


def _box(at: Floats, half: Floats) -> Any:
    return shapely.box(*(at - half), *(at + half))


def _half(text: str) -> Floats:
    """Half the width and height of words, in px."""
    return np.array([3.4 * min(len(text), LONGEST) + 1, 8.0])


def _hatching(k: int) -> Any:
    side = -1 if k % 2 else 1
    return shapely.MultiLineString(
        [[(x, 0), (x + side * WIDE * TALL, WIDE * TALL)] for x in np.arange(-WIDE, 2 * WIDE, HATCH * 1.4)]
    )


def _path(shape: Any) -> str:
    polygons = [p for p in shapely.get_parts(shapely.normalize(shape)).tolist() if p.geom_type == "Polygon"]
    rings = [r for p in polygons for r in (p.exterior, *p.interiors)]
    return "".join(line(np.asarray(r.coords)[:-1]) + "z" for r in rings)


def _line(points: Sequence[Floats]) -> str:
    way = f'd="{line(np.array(points))}" fill="none"'
    light = f'<path {way} stroke="{PAPER}" stroke-width="3.4" stroke-linecap="butt"/>'
    return f'{light}<path {way} stroke="{INK}" stroke-width="1.3"/>'


def _heads(ends: Sequence[tuple[Floats, Floats]]) -> str:
    path = ""
    for tip, way in ends:
        square = np.array([-way[1], way[0]])
        path += line(np.array([tip, tip - way * HEAD + square * 2.8, tip - way * HEAD - square * 2.8])) + "z"
    return f'<path d="{path}" fill="{INK}" stroke="{PAPER}" stroke-width=".8" paint-order="stroke"/>'


def _text(at: Floats, text: str, bold: bool = False) -> str:
    weight = ' font-weight="bold"' if bold else ""
    return (
        f'<text x="{short(at[0])}" y="{short(at[1] + 4)}" text-anchor="middle" fill="{INK}"{weight} stroke="{PAPER}" '
        f'stroke-width="4" paint-order="stroke">{label(text)}</text>'
    )
