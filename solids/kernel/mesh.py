"""Parts as manifold3d meshes, in double precision: what the fit is measured on.

Each side of the blank and of every tool gives its triangles a number that
outlives the boolean, so a face of the finished part is known by the side it
came from. Round sides are meshed with polygons of the same area, so volumes
stay exact where a round tool goes right through flat wood.
"""

from __future__ import annotations

import math
from typing import Any, NamedTuple

import manifold3d
import numpy as np
from numpy.typing import NDArray

from solids.kernel.shape import Shape, is_square
from solids.model.geometry import AXES, Bore, Corner, Frame, Plane, Prism, Vector, Waste, arc, sides

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

SAGITTA = 0.0075  # mm between an arc and its chord, at most; equal areas put two thirds of it inside
MOST_CHORDS = 360
CLEAR = 0.01  # mm between the boxes of two tools that can be taken at once
SLANTED = 2
TOOL = 4096  # face number = tool * TOOL + side; tool 0 is the blank


class Surface(NamedTuple):
    """A closed surface: points (n, 3), triangles (t, 3), and the face number of each triangle (t,)."""

    points: Floats
    triangles: Ints
    face: Ints


def manifold_of(shape: Shape) -> Any:
    """The finished part: the blank less its tools, the squarest first.

    Where walls of two tools lie back to back in one plane, a skin without
    thickness stays if they are a rounding error apart. Square tools leave
    corners just where the numbers say; slanted ones, which don't, come after.
    """
    blank = _surface(shape.blank, 0)
    solid = _solid([blank])
    for tools in _at_once(shape, blank.points.min(0), blank.points.max(0)):
        solid = solid - _solid(tools)
        solid.num_tri()  # asking makes it now: differences put off are made as one, and skins with them
    return solid


def tool_mesh(waste: Waste, low: Floats, high: Floats) -> Any:
    """What a tool takes out of the room about a box."""
    return _solid([_surface(_blocked(waste, low, high), 1)])


class _Group:
    """Tools that stand clear of each other, so that to take all at once is to take one after another."""

    def __init__(self, slant: int) -> None:
        self.slant = slant
        self.tools: list[Surface] = []
        self.boxes: list[list[float]] = []

    def takes(self, slant: int, box: list[float]) -> bool:
        """Whether a tool of that slant may join; its box is three least and three greatest coordinates."""
        return slant == self.slant and slant != SLANTED and all(_is_clear(box, b) for b in self.boxes)


def _is_clear(a: list[float], b: list[float]) -> bool:
    return any(a[k] > b[k + 3] + CLEAR or b[k] > a[k + 3] + CLEAR for k in range(3))


def _at_once(shape: Shape, low: Floats, high: Floats) -> list[list[Surface]]:
    """A part's tools, in the order in which they are taken, those together that can be."""
    groups: list[_Group] = []
    slants = [_slant(t.waste) for t in shape.tools]
    for k in sorted(range(len(slants)), key=slants.__getitem__):
        tool = _surface(_blocked(shape.tools[k].waste, low, high), k + 1)
        box = [*tool.points.min(0).tolist(), *tool.points.max(0).tolist()]
        group = next((g for g in groups if g.takes(slants[k], box)), None)
        if group is None:
            group = _Group(slants[k])
            groups.append(group)
        group.tools.append(tool)
        group.boxes.append(box)
    return [g.tools for g in groups]


def _solid(surfaces: list[Surface]) -> Any:
    """Surfaces that stand clear of each other as one manifold."""
    counts = np.cumsum([0, *(len(s.points) for s in surfaces)])
    points = np.concatenate([s.points for s in surfaces])
    triangles = np.concatenate([s.triangles + n for s, n in zip(surfaces, counts[:-1], strict=True)])
    face = np.concatenate([s.face for s in surfaces])
    return manifold3d.Manifold(manifold3d.Mesh64(points, triangles.astype(np.uint64), face_id=face.astype(np.uint64)))


def box_mesh(low: Vector, high: Vector) -> Any:
    """A plain box between two corners."""
    size = tuple(b - a for a, b in zip(low, high, strict=True))
    return manifold3d.Manifold.cube(size).translate(tuple(low))


def _slant(waste: Waste) -> int:
    """0 where all sides are square to the bench, 1 where some are round about a square axis, else SLANTED."""
    if isinstance(waste, Plane):
        return 0 if max(abs(c) for c in waste.normal) == 1.0 else SLANTED
    if isinstance(waste, Bore):
        square = max(abs(c) for c in waste.axis) == 1.0 and waste.radius == waste.far_radius
        return 1 if square else SLANTED
    slopes = any(not p.bulge and p.a != q.a and p.b != q.b for p, q in sides(waste.outline))
    if slopes or not is_square(waste.frame):
        return SLANTED
    return 1 if any(c.bulge for c in waste.outline) else 0


def _surface(waste: Prism | Bore, tool: int) -> Surface:
    """The surface of the blank (tool 0) or of a tool, its faces numbered."""
    points, triangles, side = _bored(waste) if isinstance(waste, Bore) else _swept(waste)
    return Surface(points, triangles, side + tool * TOOL)


def _blocked(waste: Waste, low: Floats, high: Floats) -> Prism | Bore:
    return half_space(waste, low, high) if isinstance(waste, Plane) else waste


def bounds(prism: Prism) -> tuple[Floats, Floats]:
    """The least and greatest corner of a prism's box."""
    points, _, _ = _swept(prism)
    return points.min(0), points.max(0)


def half_space(plane: Plane, low: Floats, high: Floats) -> Prism:
    """A block beyond the plane that more than covers a box; its floor is the plane, as side 0."""
    middle = Vector(*((low + high) / 2).tolist())
    foot = middle.minus(plane.normal.times(plane.normal.dot(middle) - plane.offset))
    far = float(np.linalg.norm(high - low)) + 10 + foot.minus(middle).length()
    flat = min(AXES, key=lambda a: abs(a.dot(plane.normal)))
    x = flat.cross(plane.normal).unit()
    frame = Frame(x, plane.normal.cross(x), plane.normal, foot)
    outline = (Corner(-far, -far), Corner(far, -far), Corner(far, far), Corner(-far, far))
    return Prism(frame, outline, 2 * far, ("far", "far", "far", "far", plane.name, "far"))


def chords(radius: float, angle: float) -> int:
    """How many straight pieces an arc (radians) is meshed with."""
    step = 2 * math.acos(max(1 - SAGITTA / radius, 0.5))
    whole = abs(angle) / (2 * math.pi)
    return max(2, min(math.ceil(abs(angle) / step), math.ceil(MOST_CHORDS * whole)))


def arc_points(p: Corner, q: Corner) -> list[tuple[float, float]]:
    """Points between p and q whose polygon has the arc's own area; the ends stay where they are."""
    a, b, r, start, swept = arc(p, q)
    n = chords(r, swept)
    d = abs(swept) / n
    k, s = n - 2, math.sin(d)
    rho = r * abs(swept) / (2 * s) if k == 0 else r * (math.sqrt(s * s + k * s * abs(swept)) - s) / (k * s)
    turns = [start + swept * i / n for i in range(1, n)]
    return [(a + rho * math.cos(t), b + rho * math.sin(t)) for t in turns]


def _flat(prism: Prism) -> tuple[Floats, Ints]:
    """The outline as points, with the side that starts at each."""
    points: list[tuple[float, float]] = []
    side: list[int] = []
    for k, (p, q) in enumerate(sides(prism.outline)):
        points.append((p.a, p.b))
        side.append(k)
        if p.bulge:
            more = arc_points(p, q)
            points += more
            side += [k] * len(more)
    return np.array(points, float), np.array(side, np.int64)


def _swept(prism: Prism) -> tuple[Floats, Ints, Ints]:
    """Points, triangles and the side of each triangle: outline sides, then floor, then lid."""
    flat, side = _flat(prism)
    n, count = len(flat), len(prism.outline)
    ends = np.empty((2 * n, 3))
    ends[:n, :2] = ends[n:, :2] = flat
    ends[:n, 2], ends[n:, 2] = 0.0, prism.depth
    points = placed(ends, prism.frame)
    if n == 4 and count == 4:
        return points, *_BOX
    cap = np.asarray(manifold3d.triangulate([flat])).reshape(-1, 3).astype(np.int64)
    return points, _skin(n, cap), _skin_sides(cap, side, count, count + 1)


def _skin(n: int, cap: Ints) -> Ints:
    i = np.arange(n)
    j = (i + 1) % n
    walls = [np.column_stack([i, j, j + n]), np.column_stack([i, j + n, i + n])]
    return np.concatenate([cap[:, ::-1], cap + n, *walls])


def _skin_sides(cap: Ints, side: Ints, floor: int, lid: int) -> Ints:
    return np.concatenate([np.full(len(cap), floor), np.full(len(cap), lid), side, side])


_CAP = np.array([[0, 1, 2], [0, 2, 3]], np.int64)
_BOX = _skin(4, _CAP), _skin_sides(_CAP, np.arange(4), 4, 5)  # triangles and sides of everything with four corners


def _bored(bore: Bore) -> tuple[Floats, Ints, Ints]:
    """A round hole or cone: side 0 is its wall, 1 its mouth, 2 its far end."""
    n = chords(max(bore.radius, bore.far_radius), 2 * math.pi)
    fat = math.sqrt(2 * math.pi / (n * math.sin(2 * math.pi / n)))
    turn = 2 * math.pi * (np.arange(n) + 0.5) / n
    ring = np.column_stack([np.cos(turn), np.sin(turn)]) * fat
    flat = min(AXES, key=lambda a: abs(a.dot(bore.axis)))
    x = flat.cross(bore.axis).unit()
    frame = Frame(x, bore.axis.cross(x), bore.axis, bore.start)
    low = np.column_stack([ring * bore.radius, np.zeros(n)])
    high = np.column_stack([ring * bore.far_radius, np.full(n, bore.depth)])
    cap = np.column_stack([np.zeros(n - 2, np.int64), np.arange(1, n - 1), np.arange(2, n)])
    if bore.far_radius:
        points = placed(np.concatenate([low, high]), frame)
        return points, _skin(n, cap), _skin_sides(cap, np.zeros(n, np.int64), 1, 2)
    i = np.arange(n)
    tip = np.array([[0.0, 0.0, bore.depth]])
    fan = np.column_stack([i, (i + 1) % n, np.full(n, n)])
    side = np.concatenate([np.full(len(cap), 1), np.zeros(n, np.int64)])
    return placed(np.concatenate([low, tip]), frame), np.concatenate([cap[:, ::-1], fan]), side


def placed(points: Floats, frame: Frame) -> Floats:
    """Points moved from a frame's own axes; free of rounding noise along each bench axis that one of them follows."""
    axes = np.array(frame[:3])
    out = points @ axes + np.array(frame.origin)
    size = np.abs(axes)
    exact = (size.max(axis=0) == 1.0) & (size.sum(axis=0) == 1.0)
    out[:, exact] = np.round(out[:, exact], 9) + 0.0
    return np.ascontiguousarray(out)
