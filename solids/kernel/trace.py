"""Which sides of the blank and of its tools each face of a solid came from, by geometry alone.

Nothing is asked of the boolean's history, so a solid read from a file is
traced as well as one just made.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any, TypeAlias

import numpy as np
import shapely
from OCP.BRep import BRep_Tool
from OCP.BRepAdaptor import BRepAdaptor_Curve, BRepAdaptor_Surface
from OCP.BRepTools import BRepTools
from OCP.GeomAbs import GeomAbs_CurveType, GeomAbs_SurfaceType
from OCP.TopAbs import TopAbs_Orientation
from OCP.TopExp import TopExp

from solids.kernel.faces import face_planes
from solids.kernel.mesh import TOOL, Floats, placed
from solids.kernel.shape import Shape
from solids.kernel.solid import area
from solids.model.geometry import AXES, Bore, Corner, Frame, Plane, Prism, Vector, Waste, arc, sides

SAME = 1e-6  # mm, and the sine of an angle: surfaces nearer than this are one
LEAST_OVERLAP = 1e-3  # mm²: less is the seam between two neighbours
STEP = math.radians(5)  # of a round outline, where only inside and outside matter

Named: TypeAlias = tuple[tuple[int, ...], float, bool]


def named_faces(solid: Any, shape: Shape) -> list[Named]:
    """Each face's sources (tool * TOOL + side), its area in mm² and whether it is planar, as `solid.Faces()` has them.

    A face that several sides made lists them all, least first; one that no
    side accounts for lists none.
    """
    flat = {key: p for key, p in face_planes(shape).items() if p is not None}
    keys = np.array(list(flat), np.int64)
    sheets = np.array([(*p.normal, p.offset) for p in flat.values()], float)
    rounds = list(round_sides(shape))
    found: list[Named] = []
    for face in solid.Faces():
        surface = BRepAdaptor_Surface(face.wrapped, False)
        planar = surface.GetType() == GeomAbs_SurfaceType.GeomAbs_Plane
        if planar:
            normal, offset = _sheet(surface, face)
            near = np.abs(sheets - np.array([*normal, offset])).max(axis=1) < SAME
            sources = _covering(face, normal, keys[near].tolist(), shape)
        else:
            sources = _wrapping(face, surface, rounds)
        found.append((tuple(sorted(sources)), area(face), planar))
    return found


def _is_reversed(face: Any) -> bool:
    return bool(face.wrapped.Orientation() == TopAbs_Orientation.TopAbs_REVERSED)


def _sheet(surface: Any, face: Any) -> tuple[Vector, float]:
    """A planar face's normal, out of the wood, and how far along it the plane lies."""
    plane = surface.Plane()
    normal = Vector(*plane.Axis().Direction().Coord())
    if plane.Direct() == _is_reversed(face):
        normal = normal.times(-1)
    return normal, normal.dot(Vector(*plane.Location().Coord()))


def _covering(face: Any, normal: Vector, keys: list[int], shape: Shape) -> list[int]:
    """Those sides in the face's plane that lie on any of it; the only one in the plane needs no test."""
    if len(keys) < 2:
        return keys
    frame = _laid(normal)
    mine = _face_polygon(face, frame)
    overlaps = {}
    for key in keys:
        side = _side_polygon(shape, key, frame)
        overlaps[key] = mine.area if side is None else mine.intersection(side).area
    return [key for key in keys if overlaps[key] > LEAST_OVERLAP] or [max(keys, key=overlaps.__getitem__)]


def _laid(normal: Vector) -> Frame:
    """Axes with z along a normal."""
    flat = min(AXES, key=lambda a: abs(a.dot(normal)))
    x = flat.cross(normal).unit()
    return Frame(x, normal.cross(x), normal)


def _face_polygon(face: Any, frame: Frame) -> Any:
    """A planar face laid flat; its edges are joined by their ends, since a wire may be walked only in part."""
    lines = []
    for edge in face.Edges():
        if edge.wrapped.Orientation() in (TopAbs_Orientation.TopAbs_FORWARD, TopAbs_Orientation.TopAbs_REVERSED):
            lines.append(shapely.LineString([frame.local_point(p)[:2] for p in _edge_points(edge.wrapped)]))
    return shapely.make_valid(shapely.build_area(shapely.GeometryCollection(lines)))


def _edge_points(edge: Any) -> Iterator[Vector]:
    """Points along an edge, its ends just where its vertices are."""
    curve = BRepAdaptor_Curve(edge)
    start, end = curve.FirstParameter(), curve.LastParameter()
    straight = curve.GetType() == GeomAbs_CurveType.GeomAbs_Line
    n = 1 if straight else max(8, math.ceil(abs(end - start) / STEP))
    yield Vector(*BRep_Tool.Pnt_s(TopExp.FirstVertex_s(edge)).Coord())
    for k in range(1, n):
        yield Vector(*curve.Value(start + (end - start) * k / n).Coord())
    yield Vector(*BRep_Tool.Pnt_s(TopExp.LastVertex_s(edge)).Coord())


def _waste(shape: Shape, key: int) -> Waste:
    return shape.tools[key // TOOL - 1].waste if key >= TOOL else shape.blank


def _side_polygon(shape: Shape, key: int, frame: Frame) -> Any | None:
    """A flat side of the blank or of a tool, laid on a frame; None where it has no end."""
    waste, side = _waste(shape, key), key % TOOL
    if isinstance(waste, Plane):
        return None
    if isinstance(waste, Bore):
        radius, at = (waste.radius, 0.0) if side == 1 else (waste.far_radius, waste.depth)
        centre = frame.local_point(waste.start.plus(waste.axis.times(at)))
        return shapely.Point(centre[:2]).buffer(radius)
    n = len(waste.outline)
    if side < n:
        p, q = waste.outline[side], waste.outline[(side + 1) % n]
        ring = [(p.a, p.b, 0.0), (q.a, q.b, 0.0), (q.a, q.b, waste.depth), (p.a, p.b, waste.depth)]
    else:
        ring = [(a, b, waste.depth * (side - n)) for a, b in _plan(waste)]
    points = placed(np.array(ring), waste.frame)
    return shapely.make_valid(shapely.Polygon([frame.local_point(Vector(*p))[:2] for p in points.tolist()]))


def _plan(prism: Prism) -> Iterator[tuple[float, float]]:
    for p, q in sides(prism.outline):
        yield p.a, p.b
        if p.bulge:
            a, b, r, start, swept = arc(p, q)
            n = max(2, math.ceil(abs(swept) / STEP))
            for k in range(1, n):
                yield a + r * math.cos(start + swept * k / n), b + r * math.sin(start + swept * k / n)


@dataclass(frozen=True, slots=True)
class Round:
    """A round side along the z of its frame, `depth` mm long, from `start` over `swept` radians.

    `radius` is that at z = 0, and grows by `slope` a mm.
    """

    key: int
    frame: Frame
    radius: float
    slope: float
    depth: float
    start: float
    swept: float
    is_hollow: bool

    def radius_at(self, z: float) -> float:
        return self.radius + self.slope * z

    def holds(self, point: Vector) -> bool:
        """Whether a point of the same surface lies on this part of it."""
        p = self.frame.local_point(point)
        if not -SAME < p.z < self.depth + SAME:
            return False
        turn = (math.atan2(p.y, p.x) - self.start) * math.copysign(1.0, self.swept)
        return (turn + SAME) % (2 * math.pi) < abs(self.swept) + 2 * SAME

    def distance(self, point: Vector) -> float:
        """How far off this surface, drawn on without end, a point is; mm, square to the axis."""
        p = self.frame.local_point(point)
        return abs(math.hypot(p.x, p.y) - self.radius_at(p.z))


def round_sides(shape: Shape) -> Iterator[Round]:
    """Every round side of the blank and the tools."""
    for k, waste in enumerate((shape.blank, *(t.waste for t in shape.tools))):
        if isinstance(waste, Bore):
            frame = _laid(waste.axis)._replace(origin=waste.start)
            slope = (waste.far_radius - waste.radius) / waste.depth
            yield Round(k * TOOL, frame, waste.radius, slope, waste.depth, 0.0, 2 * math.pi, True)
        elif isinstance(waste, Prism):
            for side, (p, q) in enumerate(sides(waste.outline)):
                if p.bulge:
                    yield _arc_side(waste, k, side, p, q)


def _arc_side(prism: Prism, tool: int, side: int, p: Corner, q: Corner) -> Round:
    a, b, radius, start, swept = arc(p, q)
    frame = prism.frame._replace(origin=prism.frame.point(Vector(a, b, 0.0)))
    is_hollow = (p.bulge > 0) == (tool > 0)
    return Round(tool * TOOL + side, frame, radius, 0.0, prism.depth, start, swept, is_hollow)


def _wrapping(face: Any, surface: Any, rounds: list[Round]) -> list[int]:
    """Those round sides whose surface the face lies on, the right way round, and that reach any of it."""
    points = _samples(face, surface)
    hollow = _is_hollow(face, surface)
    near = [r for r in rounds if r.is_hollow == hollow and all(r.distance(p) < SAME for p in points)]
    return [r.key for r in near if any(r.holds(p) for p in points)]


def _samples(face: Any, surface: Any) -> list[Vector]:
    """Points spread over a round face and its nearest surroundings on the same surface."""
    u0, u1, v0, v1 = BRepTools.UVBounds_s(face.wrapped)
    spread: Floats = (np.arange(7) + 0.5) / 7
    us, vs = u0 + (u1 - u0) * spread, v0 + (v1 - v0) * spread
    return [Vector(*surface.Value(u, v).Coord()) for u in us.tolist() for v in vs.tolist()]


def _is_hollow(face: Any, surface: Any) -> bool:
    """Whether the wood lies outside the round, as round a hole."""
    is_cylinder = surface.GetType() == GeomAbs_SurfaceType.GeomAbs_Cylinder
    drawn = surface.Cylinder() if is_cylinder else surface.Cone()
    return bool(drawn.Position().Direct() == _is_reversed(face))
