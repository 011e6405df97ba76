"""A part at full size for machines: its outline, pockets by depth and drillings by diameter and depth.

Everything is seen from the face, x along the grain, 0, 0 at the blank's lower left corner. What is done from the
other face is on layers that begin with `BACK`; what no router or drill can do from a face (bevels, drillings into
edges) is on layers that end with `REF`, to look at and not to cut.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import Any

import numpy as np
import shapely

from solids.cuts import wastes
from solids.drawing.board import Board
from solids.drawing.dxf import Layer, Outline
from solids.model.geometry import STILL, Bore, Corner, Frame, Plane, Prism, Vector, Waste, arc, sides
from solids.units import INCH, Units

OUTLINE, THROUGH = "OUTLINE", "CUT_THROUGH"
COLOURS = {"OUTLINE": 7, "CUT": 1, "POCKET": 5, "DRILL": 3, "BACK": 6}
SQUARE = 1 - 1e-9


def machine_work(board: Board, mesh: Any, units: Units) -> tuple[list[Outline], list[Layer]]:
    """Every closed line with its layer, and the table of the layers; in mm or inches."""
    found = [*_outline(board, mesh), *(o for w in _wastes(board) for o in _work(w, board))]
    unit = INCH if units == "in" else 1.0
    outlines = [_scaled(o, 1 / unit) for o in found]
    named = [(_named(o.layer, unit), o) for o in outlines]
    names = sorted({n for n, _ in named})
    layers = [Layer(n, _colour(n), meaning(n, units)) for n in names]
    return [o._replace(layer=n) for n, o in named], layers


def as_twin(outlines: Sequence[Outline], board: Board, units: Units) -> list[Outline]:
    """The handed twin's lines: turned over about its length, so that its face looks up too."""
    width = board.size.y / (INCH if units == "in" else 1.0)
    return [
        o._replace(
            points=tuple((x, width - y, -b) for x, y, b in o.points),
            centre=None if o.centre is None else (o.centre[0], width - o.centre[1]),
        )
        for o in outlines
    ]


def _wastes(board: Board) -> Iterator[Waste]:
    frame = STILL.seen_from(board.axes)
    for _, made in wastes(board.part.blank, board.part.cuts):
        yield from (w.moved(frame) for w in made)


def _outline(board: Board, mesh: Any) -> Iterator[Outline]:
    """The part's rim as seen from the face: the blank's own outline with its arcs, or what saws have left of it."""
    blank = board.part.blank
    straight = all(not isinstance(w, Plane) for w in _wastes(board)) and not any(
        made.cut.kind in ("notch", "taper") for made in board.part.cuts
    )
    if blank.outline and straight:
        prism = blank.prism().moved(STILL.seen_from(board.axes))
        yield Outline(OUTLINE, tuple(_points(prism)))
        return
    frame = board.solid_frame()
    move = np.column_stack([np.array(frame[:3]).T, np.array(frame.origin)])
    for ring in mesh.transform(move).project().to_polygons():
        polygon = shapely.Polygon(np.asarray(ring)[:, :2])
        if polygon.exterior.is_ccw:
            corners = list(polygon.simplify(1e-6).exterior.coords)[:-1]
            yield Outline(OUTLINE, tuple((float(x), float(y), 0.0) for x, y in corners))


def _points(prism: Prism) -> Iterator[tuple[float, float, float]]:
    """A prism's outline on the drawing, with bulges; turned over where it looks the other way."""
    flip = -1.0 if prism.frame.z.z < 0 else 1.0
    for c in prism.outline:
        p = prism.frame.point(Vector(c.a, c.b, 0.0))
        yield p.x, p.y, c.bulge * flip


def _work(waste: Waste, board: Board) -> Iterator[Outline]:
    if isinstance(waste, Bore):
        yield from _drilled(waste, board)
    elif isinstance(waste, Prism):
        if abs(waste.frame.z.z) > SQUARE:
            yield from _sunk(waste, board)
        else:
            yield from _run(waste, board)
    elif abs(waste.normal.z) > 1e-9 and math.hypot(waste.normal.x, waste.normal.y) > 1e-9:
        yield from _bevel(waste, board)


def _drilled(bore: Bore, board: Board) -> Iterator[Outline]:
    """A circle where it is drilled square from a face; a cone and a leaning or edge drilling only as reference."""
    thick = board.size.z
    end = bore.start.plus(bore.axis.times(bore.depth))
    if abs(bore.axis.z) > SQUARE and bore.far_radius == bore.radius:
        depth = thick - end.z if bore.axis.z < 0 else end.z
        name = f"DRILL D{2 * bore.radius!r} " + ("THRU" if depth >= thick - 1e-6 else f"Z{depth!r}")
        yield Outline(_from(bore.axis.z, depth, thick) + name, centre=(bore.start.x, bore.start.y), radius=bore.radius)
    elif abs(bore.axis.z) > SQUARE:
        name = f"COUNTERSINK D{2 * bore.radius!r} REF"
        yield Outline(name, centre=(bore.start.x, bore.start.y), radius=bore.radius)
    else:
        across = Vector(-bore.axis.y, bore.axis.x, 0.0)
        side = across.times(bore.radius / max(across.length(), 1e-9))
        corners = (bore.start.plus(side), end.plus(side), end.minus(side), bore.start.minus(side))
        name = f"EDGE_DRILL D{2 * bore.radius!r} REF"
        yield Outline(name, tuple((p.x, p.y, 0.0) for p in corners))


def _from(way: float, depth: float, thick: float) -> str:
    """Nothing from the face or through, `BACK ` from the other face."""
    return "BACK " if way > 0 and depth < thick - 1e-6 else ""


def _sunk(prism: Prism, board: Board) -> Iterator[Outline]:
    """A pocket with its floor, or an opening right through."""
    a = prism.frame.origin.z
    low, high = sorted((a, a + prism.frame.z.z * prism.depth))
    points = tuple(_points(prism))
    if low < 1e-6 and high > board.size.z - 1e-6:
        yield Outline(THROUGH, points)
    elif high > board.size.z - 1e-6:
        yield Outline(f"POCKET Z{board.size.z - low!r}", points)
    elif low < 1e-6:
        yield Outline(f"BACK POCKET Z{high!r}", points)


def _run(prism: Prism, board: Board) -> Iterator[Outline]:
    """What is run along the face, as the area that it covers: a pocket where its walls are square to the face."""
    corners = [prism.frame.point(Vector(c.a, c.b, z)) for c in prism.outline for z in (0.0, prism.depth)]
    box = shapely.MultiPoint([(p.x, p.y) for p in corners]).convex_hull
    area = box.intersection(shapely.box(-2.0, -2.0, board.size.x + 2.0, board.size.y + 2.0))
    if area.geom_type != "Polygon" or area.area < 1e-6:
        return
    points = tuple((float(x), float(y), 0.0) for x, y in list(area.exterior.coords)[:-1])
    low, high = min(p.z for p in corners), max(p.z for p in corners)
    square = all(min(abs(n), abs(abs(n) - 1)) < 1e-9 for n in _slopes(prism.frame, prism.outline))
    if not square or (low > 1e-6 and high < board.size.z - 1e-6):
        yield Outline("SHAPED REF", points)
    elif low < 1e-6 and high > board.size.z - 1e-6:
        yield Outline(THROUGH, points)
    elif high > board.size.z - 1e-6:
        yield Outline(f"POCKET Z{board.size.z - low!r}", points)
    else:
        yield Outline(f"BACK POCKET Z{high!r}", points)


def _slopes(frame: Frame, outline: Sequence[Corner]) -> Iterator[float]:
    """How much each side of an outline looks toward the face: 0 a wall, 1 a floor; a round one something between."""
    for p, q in sides(tuple(outline)):
        if p.bulge:
            yield 0.5 + 0.0 * arc(p, q)[2]
            continue
        n = frame.direction(Vector(q.b - p.b, p.a - q.a, 0.0))
        yield n.z / n.length()


def _bevel(plane: Plane, board: Board) -> Iterator[Outline]:
    """Where a bevel leaves each face, to look at."""
    for z in (0.0, board.size.z):
        left = plane.offset - plane.normal.z * z
        n = plane.normal
        ends = []
        if abs(n.x) > abs(n.y):
            ends = [((left - n.y * y) / n.x, y) for y in (0.0, board.size.y)]
        else:
            ends = [(x, (left - n.x * x) / n.y) for x in (0.0, board.size.x)]
        tilt = math.degrees(math.asin(min(1.0, abs(n.z))))
        yield Outline(f"BEVEL {tilt:g}DEG REF", tuple((x, y, 0.0) for x, y in ends), closed=False)


def _scaled(o: Outline, k: float) -> Outline:
    points = tuple((x * k, y * k, b) for x, y, b in o.points)
    centre = None if o.centre is None else (o.centre[0] * k, o.centre[1] * k)
    return o._replace(points=points, centre=centre, radius=o.radius * k)


def _named(layer: str, unit: float) -> str:
    """A layer's name with its sizes in the file's unit and `_` for what DXF names don't take: `DRILL_D8_Z12_7`."""
    words = []
    for word in layer.split():
        if word[0] in "DZ" and word[1:2].isdigit():
            word = word[0] + f"{float(word[1:]) / unit:.4f}".rstrip("0").rstrip(".")
        words.append(word.replace(".", "_"))
    return "_".join(words)


def _colour(name: str) -> int:
    return 8 if name.endswith("REF") else next((c for word, c in COLOURS.items() if name.startswith(word)), 7)


def meaning(name: str, units: Units) -> str:
    """What a layer's name says, in words."""
    back = ", from the other face" if name.startswith("BACK") else ""
    parts = name.removeprefix("BACK_").split("_")
    size = {p[0]: p[1:] for p in _sizes(parts)}
    unit = "in" if units == "in" else "mm"
    if parts[0] == "DRILL":
        deep = f"{size['Z']} {unit} deep" if "Z" in size else "through"
        return f"drill {size['D']} {unit}, {deep}{back}"
    if parts[0] == "POCKET":
        return f"pocket {size['Z']} {unit} deep{back}"
    told = {"OUTLINE": "outline of the part", "CUT": "cut through", "BEVEL": "where a bevel leaves a face"}
    told |= {"EDGE": "drilling into an edge", "COUNTERSINK": "countersink", "SHAPED": "shaped by other tools"}
    return told[parts[0]] + (", for reference only" if name.endswith("REF") else "")


def _sizes(parts: Sequence[str]) -> Iterator[str]:
    """`D8`, `Z12.7`: a size with the digits after its point put back."""
    current = ""
    for p in parts:
        if current and p.isdigit():
            current += f".{p}"
            continue
        if current:
            yield current
        current = p if p[:1] in ("D", "Z") and p[1:2].isdigit() else ""
    if current:
        yield current
