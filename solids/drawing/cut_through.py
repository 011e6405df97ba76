"""The piece cut through: every part hatched its own way, and the clear sizes of the openings."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from typing import Any

import shapely
import shapely.affinity

from solids.drawing.dimension import Asked, Side, beyond, tiers
from solids.drawing.figures import Figures
from solids.drawing.pens import HATCH, RULE
from solids.drawing.section import hatched
from solids.drawing.sheet import Box, Line, Mark, Path, Text, bounds
from solids.drawing.whole import Standing, Whole
from solids.model.geometry import Frame, Vector

OPEN = 50.0  # mm: a gap less wide or high than this is no opening
MOST = 24  # openings that are told in one section
TOLD_AT: tuple[tuple[Side, bool], ...] = (("below", True), ("right", False))  # where level sizes go, where upright ones
THIN = 2.0  # mm of paper under which wood is filled rather than hatched


def front_plane(whole: Whole) -> Frame:
    """Upright across the middle of the depth, looked at from the front."""
    y = (whole.low.y + whole.high.y) / 2 + 0.137
    return Frame(Vector(1.0, 0.0, 0.0), Vector(0.0, 0.0, 1.0), Vector(0.0, -1.0, 0.0), Vector(0.0, y, 0.0))


def side_plane(whole: Whole) -> Frame:
    """Upright along the middle of the width, looked at from the right."""
    x = (whole.low.x + whole.high.x) / 2 + 0.137
    return Frame(Vector(0.0, 1.0, 0.0), Vector(0.0, 0.0, 1.0), Vector(1.0, 0.0, 0.0), Vector(x, 0.0, 0.0))


def cut_through(
    cut: Sequence[tuple[Standing, Any]], moving: Collection[str], figures: Figures, scale: float, title: str
) -> tuple[Mark, ...]:
    """The section, of which only what is cut is drawn, with the openings dimensioned as they are without `moving`."""
    marks: list[Mark] = []
    for k, (_, wood) in enumerate(cut):
        marks += wood_marks(wood, scale, k)
    if not marks:
        return ()
    box = bounds(marks)
    wood = shapely.union_all([w for s, w in cut if s.part.id not in moving])
    sizes: list[Mark] = []
    for side, asked in _openings(wood, figures, scale, box).items():
        sizes += tiers(side, beyond(box, sizes, side), asked, scale)
    marks += sizes
    whole_box = bounds(marks)
    at = (whole_box.left + whole_box.right) / 2, whole_box.bottom - 3.0
    return (*marks, Text(at, title, 3.5, "middle", "top"))


def wood_marks(wood: Any, scale: float, number: int) -> Iterator[Mark]:
    """One part's cut face: its rim, and hatching that leans one way or the other by the part's number."""
    for part in (p for p in shapely.get_parts(wood).tolist() if p.geom_type == "Polygon" and p.area > 1e-3):
        for ring in (part.exterior, *part.interiors):
            points = tuple((x * scale, y * scale) for x, y in list(ring.coords)[:-1])
            yield Path(points, RULE, closed=True)
        spacing = 2.2 + 0.5 * (number // 2 % 3)
        if 2 * part.area / part.length * scale < THIN / 2:
            spacing = 1.0
        if number % 2:
            mirrored = shapely.affinity.scale(part, -1.0, 1.0, origin=(0, 0))
            for m in hatched(mirrored, scale, spacing):
                assert isinstance(m, Line)
                yield Line((-m.a[0], m.a[1]), (-m.b[0], m.b[1]), HATCH)
        else:
            yield from hatched(part, scale, spacing)


def _openings(wood: Any, figures: Figures, scale: float, box: Box) -> dict[Side, list[Asked]]:
    """Clear widths below and clear heights at the right, each level and each stretch once."""
    if wood.is_empty:
        return {}
    left, bottom, right, top = wood.bounds
    air = shapely.box(left, bottom, right, top).difference(wood)
    shrunk = air.buffer(-OPEN / 2, join_style="mitre")
    asked: dict[Side, list[Asked]] = {"below": [], "right": []}
    seen: set[tuple[Side, int, int]] = set()
    rooms = [p.representative_point() for p in shapely.get_parts(shrunk).tolist() if p.area > 0.0]
    for spot in sorted(rooms, key=lambda p: (round(p.y, 3), round(p.x, 3)))[:MOST]:
        for side, across in TOLD_AT:
            low, high = _clear(air, spot.x, spot.y, across)
            key = side, round(low * 10), round(high * 10)
            if key in seen:
                continue
            seen.add(key)
            ends = ((low, spot.y), (high, spot.y)) if across else ((spot.x, low), (spot.x, high))
            a, b = ((x * scale, y * scale) for x, y in ends)
            asked[side].append(Asked(a, b, figures.length(high - low), high - low))
    return asked


def _clear(air: Any, x: float, y: float, across: bool) -> tuple[float, float]:
    """From wood to wood through a spot of the air, level or upright."""
    line = [(-1e5, y), (1e5, y)] if across else [(x, -1e5), (x, 1e5)]
    spot = shapely.Point(x, y)
    pieces = shapely.get_parts(shapely.intersection(air, shapely.LineString(line))).tolist()
    left, bottom, right, top = min(pieces, key=spot.distance).bounds
    return (left, right) if across else (bottom, top)
