"""The piece cut through: every part hatched its own way, and the clear sizes of the openings."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from typing import Any, NamedTuple

import shapely
import shapely.affinity
import shapely.ops

from solids.drawing.dimension import Asked, Side, beyond, tiers
from solids.drawing.figures import Figures
from solids.drawing.pens import HATCH, RULE
from solids.drawing.section import hatched
from solids.drawing.sheet import Box, Line, Mark, Path, Text, bounds
from solids.drawing.whole import Standing, Whole
from solids.model.geometry import Frame, Vector

OPEN = 50.0  # mm: a gap less wide or high than this is no opening
MOST = 24  # openings that are told in one section
ASIDE = 0.137  # mm beside that place, so that no plane lies in a face
TRIED = (0.5, 0.45, 0.55, 0.35, 0.65, 0.25, 0.75, 0.15, 0.85)  # shares of the size, the first as good as any
WORTH = 2.0  # parts more that a plane beside the middle must cut
FLAT, SLIT = 0.9, 3.0  # how nearly a face must look along the cut to be slit; as many parts that is as bad as
THIN = 2.0  # mm of paper under which wood is filled rather than hatched


class Taken(NamedTuple):
    """Where the piece is cut: the letter, the plane, across which axis and where along it, and words for that."""

    letter: str
    plane: Frame
    axis: int
    at: float
    words: str


def planes(whole: Whole, figures: Figures) -> tuple[Taken, Taken]:
    """The two sections of a piece."""
    return front_plane(whole, figures), side_plane(whole, figures)


def front_plane(whole: Whole, figures: Figures) -> Taken:
    """Upright across the depth, looked at from the front."""
    y, words = _place(whole, 1, "depth", "front", figures)
    x, up = Vector(1.0, 0.0, 0.0), Vector(0.0, 0.0, 1.0)
    return Taken("A", Frame(x, up, Vector(0.0, -1.0, 0.0), Vector(0.0, y, 0.0)), 1, y, words)


def side_plane(whole: Whole, figures: Figures) -> Taken:
    """Upright along the width, looked at from the right."""
    x, words = _place(whole, 0, "width", "left", figures)
    deep, up = Vector(0.0, 1.0, 0.0), Vector(0.0, 0.0, 1.0)
    return Taken("B", Frame(deep, up, Vector(1.0, 0.0, 0.0), Vector(x, 0.0, 0.0)), 0, x, words)


def _place(whole: Whole, axis: int, size: str, side: str, figures: Figures) -> tuple[float, str]:
    """In the middle, or where more parts are cut through and none is slit along its faces."""
    spans = [(float(p[:, axis].min()), float(p[:, axis].max())) for p in (s.points() for s in whole.standing)]
    faces = [abs(s.part.frame.direction(s.part.blank.face.outward)[axis]) for s in whole.standing]

    def worth(share: float) -> float:
        at = whole.low[axis] + whole.size(axis) * share + ASIDE
        cut = [flat > FLAT for (low, high), flat in zip(spans, faces, strict=True) if low < at < high]
        return len(cut) - (1 + SLIT) * sum(cut)

    best = max(TRIED, key=worth)
    share = best if worth(best) > worth(TRIED[0]) + WORTH else TRIED[0]
    far = whole.size(axis) * share
    words = f"Cut at half the {size}" if share == TRIED[0] else f"Cut {figures.length(far)} from the {side}"
    return whole.low[axis] + far + ASIDE, words


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
        sizes += tiers(side, beyond(box, sizes, side), asked, scale, upright=figures.upright)
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
    """Clear widths below and clear heights at the right, where an opening has wood on two sides across."""
    if wood.is_empty:
        return {}
    left, bottom, right, top = wood.bounds
    air = shapely.box(left, bottom, right, top).difference(wood)
    shrunk = air.buffer(-OPEN / 2, join_style="mitre")
    rooms = [p.representative_point() for p in shapely.get_parts(shrunk).tolist() if p.area > 0.0]
    asked: dict[Side, list[Asked]] = {"below": [], "right": []}
    told: dict[Side, list[tuple[float, float]]] = {"below": [], "right": []}
    for spot in sorted(rooms, key=lambda p: (round(p.y, 3), round(p.x, 3)))[:MOST]:
        across, up = (_clear(air, spot.x, spot.y, level) for level in (True, False))
        if not (_is_wood(wood, *((u, spot.y) for u in across)) or _is_wood(wood, *((spot.x, v) for v in up))):
            continue  # beside the piece and not within it
        spans: list[tuple[Side, tuple[float, float]]] = [("below", across), ("right", up)]
        for side, (low, high) in spans:
            if any(_same(span, (low, high)) for span in told[side]):
                continue
            told[side].append((low, high))
            a, b = ((x * scale, y * scale) for x, y in (_on_wood(wood, spot, v, side == "below") for v in (low, high)))
            asked[side].append(Asked(a, b, figures.length(high - low), high - low))
    return asked


def _same(a: tuple[float, float], b: tuple[float, float]) -> bool:
    """Whether two clear sizes are one to a reader: equal, and for the most part over each other."""
    equal = abs((a[1] - a[0]) - (b[1] - b[0])) < 0.05
    return equal and min(a[1], b[1]) - max(a[0], b[0]) > 0.5 * (a[1] - a[0])


def _is_wood(wood: Any, *spots: tuple[float, float]) -> bool:
    return all(wood.distance(shapely.Point(spot)) < 1e-3 for spot in spots)


def _on_wood(wood: Any, spot: Any, level: float, across: bool) -> tuple[float, float]:
    """The wood nearest to a spot at an end of its clear width or height: an extension line starts there."""
    line = [(level, -1e5), (level, 1e5)] if across else [(-1e5, level), (1e5, level)]
    rim = shapely.intersection(wood.buffer(1e-6), shapely.LineString(line))
    here = shapely.Point(level, spot.y) if across else shapely.Point(spot.x, level)
    found = here if rim.is_empty else shapely.ops.nearest_points(rim, here)[0]
    return (level, found.y) if across else (found.x, level)


def _clear(air: Any, x: float, y: float, across: bool) -> tuple[float, float]:
    """From wood to wood through a spot of the air, level or upright."""
    line = [(-1e5, y), (1e5, y)] if across else [(x, -1e5), (x, 1e5)]
    spot = shapely.Point(x, y)
    pieces = shapely.get_parts(shapely.intersection(air, shapely.LineString(line))).tolist()
    left, bottom, right, top = min(pieces, key=spot.distance).bounds
    return (left, right) if across else (bottom, top)
