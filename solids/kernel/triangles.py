"""Solids as closed triangle meshes: what STL, 3MF, GLB and the page show."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise
from typing import Any

import manifold3d
import numpy as np
from OCP.BRep import BRep_Tool
from OCP.BRepAdaptor import BRepAdaptor_Surface
from OCP.BRepMesh import BRepMesh_IncrementalMesh
from OCP.BRepTools import BRepTools
from OCP.GeomAbs import GeomAbs_SurfaceType
from OCP.TopAbs import TopAbs_Orientation, TopAbs_ShapeEnum
from OCP.TopExp import TopExp, TopExp_Explorer
from OCP.TopLoc import TopLoc_Location
from OCP.TopoDS import TopoDS
from OCP.TopTools import TopTools_IndexedDataMapOfShapeListOfShape

from solids.kernel.mesh import Floats, Ints
from solids.kernel.solid import area, volume

DEFLECTION = 0.05  # mm between a round face and its triangles, at most
ANGLE = 0.5  # radians between one triangle of a round face and the next
CLOSE = 1e-9  # relative: a planar part's mesh has the solid's own volume
LEAST = 1e-6  # mm³
NEAR = 1e-5  # mm


class OpenMesh(ValueError):
    """A solid whose triangles can't be made to close, or don't hold its volume."""


@dataclass(frozen=True, slots=True)
class Triangles:
    """A closed mesh in mm, its triangles anticlockwise seen from outside.

    points (n, 3), no two the same; faces (m, 3), numbers of points; source
    (m,), the solid's face that each triangle lies on, in the order of
    `solid.Faces()`; flat (f,), whether that face is planar.
    """

    points: Floats
    faces: Ints
    source: Ints
    flat: tuple[bool, ...]

    @property
    def volume(self) -> float:
        """What the mesh encloses, in mm³."""
        return _enclosed(self.points, self.faces)


@dataclass(slots=True)
class _Patch:
    """One face's own points, its triangles, and its directed outline, all by its own numbers."""

    points: Floats
    triangles: Ints
    outline: list[tuple[int, int]]
    normal: Floats | None


def triangles_of(solid: Any) -> Triangles:
    """The solid as triangles, the same whatever meshed it before.

    A planar face that the mesher left a gap in is filled anew from its
    outline. Raises OpenMesh where the result isn't closed or lacks volume.
    """
    faces = solid.Faces()
    patches = _meshed(solid, faces)
    found = _welded(patches)
    if not is_closed(found.faces):
        found = _joined(_welded([_refilled(p) if _has_gap(p) else p for p in patches]))
    _check(found, solid, faces)
    return found


def is_closed(faces: Ints) -> bool:
    """Whether every edge is used as often one way as the other: twice in all, but four times where two bodies touch."""
    uses = _edge_uses(faces)
    return all(uses[b, a] == n for (a, b), n in uses.items())


def _edge_uses(faces: Ints) -> Counter[tuple[int, int]]:
    starts, ends = faces.ravel().tolist(), faces[:, [1, 2, 0]].ravel().tolist()
    return Counter(zip(starts, ends, strict=True))


def _joined(found: Triangles) -> Triangles:
    """Points of open edges that are nearer than any saw could tell made one, as an edge meets it in two faces."""
    uses = _edge_uses(found.faces)
    loose = sorted({end for edge, n in uses.items() if uses[edge[::-1]] != n for end in edge})
    same = np.arange(len(found.points))
    for k, a in enumerate(loose):
        for b in loose[k + 1 :]:
            if np.linalg.norm(found.points[a] - found.points[b]) < NEAR:
                same[b] = same[a]
    return _wide(found.points, same[found.faces], found.source, found.flat)


def _check(found: Triangles, solid: Any, faces: list[Any]) -> None:
    """Closed, and with the solid's volume: exactly if it is planar, else within the deflection of its round faces."""
    if not is_closed(found.faces):
        uses = _edge_uses(found.faces)
        free = sum(uses[b, a] != n for (a, b), n in uses.items())
        raise OpenMesh(f"the mesh is open along {free} edges")
    exact, meshed = volume(solid), found.volume
    round_area = sum(area(f) for f, flat in zip(faces, found.flat, strict=True) if not flat)
    if abs(exact - meshed) > CLOSE * exact + LEAST + DEFLECTION * round_area:
        raise OpenMesh(f"the mesh encloses {meshed:.6f} mm³ of the solid's {exact:.6f} mm³")


def _enclosed(points: Floats, faces: Ints) -> float:
    if not len(faces):
        return 0.0
    p, q, r = (points[faces[:, k]] - points[0] for k in range(3))
    return float(np.einsum("ij,ij->", p, np.cross(q, r))) / 6


def _meshed(solid: Any, faces: list[Any]) -> list[_Patch]:
    """A patch for each face; the solid is left as it came, without a mesh."""
    BRepTools.Clean_s(solid.wrapped)
    BRepMesh_IncrementalMesh(solid.wrapped, DEFLECTION, False, ANGLE, False)
    patches = []
    for face in faces:
        refused = BRep_Tool.Triangulation_s(face.wrapped, TopLoc_Location()) is None
        patches.append(_unmeshed(face.wrapped, solid.wrapped) if refused else _patch(face.wrapped))
    BRepTools.Clean_s(solid.wrapped)
    return patches


def _patch(face: Any) -> _Patch:
    place = TopLoc_Location()
    mesh = BRep_Tool.Triangulation_s(face, place)
    nodes = _nodes(mesh, place)
    triangles = np.array([mesh.Triangle(k).Get() for k in range(1, mesh.NbTriangles() + 1)], np.int64) - 1
    triangles = triangles.reshape(-1, 3)
    is_reversed = face.Orientation() == TopAbs_Orientation.TopAbs_REVERSED
    if is_reversed:
        triangles = triangles[:, ::-1]
    outline = list(_outline(face, mesh, place))
    return _Patch(nodes, triangles, outline, _normal(face, is_reversed))


def _nodes(mesh: Any, place: TopLoc_Location) -> Floats:
    move = place.Transformation()
    return np.array([mesh.Node(k).Transformed(move).Coord() for k in range(1, mesh.NbNodes() + 1)], float)


def _unmeshed(face: Any, solid: Any) -> _Patch:
    """A face that the mesher refused, as where two of its circles touch: its outline as the faces beside it have it."""
    normal = _normal(face, face.Orientation() == TopAbs_Orientation.TopAbs_REVERSED)
    beside = TopTools_IndexedDataMapOfShapeListOfShape()
    TopExp.MapShapesAndAncestors_s(solid, TopAbs_ShapeEnum.TopAbs_EDGE, TopAbs_ShapeEnum.TopAbs_FACE, beside)
    points: list[Floats] = []
    outline: list[tuple[int, int]] = []
    for edge, is_reversed in _edges(face):
        line = _line(edge, beside.FindFromKey(edge))
        if line is None or normal is None:
            raise OpenMesh("a face could not be meshed at all")
        first = len(points)
        points += list(line[::-1] if is_reversed else line)
        outline += pairwise(range(first, len(points)))
    return _Patch(np.array(points), np.zeros((0, 3), np.int64), outline, normal)


def _line(edge: Any, faces: Any) -> Floats | None:
    """An edge's points, along the edge, from the first of its faces that has a mesh."""
    for face in faces:
        place = TopLoc_Location()
        mesh = BRep_Tool.Triangulation_s(TopoDS.Face_s(face), place)
        if mesh is not None:
            polygon = BRep_Tool.PolygonOnTriangulation_s(edge, mesh, place)
            return _nodes(mesh, place)[[polygon.Node(k) - 1 for k in range(1, polygon.NbNodes() + 1)]]
    return None


def _normal(face: Any, is_reversed: bool) -> Floats | None:
    """Out of the wood; None where the face is round."""
    surface = BRepAdaptor_Surface(face, False)
    if surface.GetType() != GeomAbs_SurfaceType.GeomAbs_Plane:
        return None
    plane = surface.Plane()
    sign = 1.0 if plane.Direct() != is_reversed else -1.0
    return np.array(plane.Axis().Direction().Coord(), float) * sign


def _edges(face: Any) -> Iterator[tuple[Any, bool]]:
    """The edges that bound a face, and whether it runs against each."""
    explorer = TopExp_Explorer(face, TopAbs_ShapeEnum.TopAbs_EDGE)
    while explorer.More():
        edge = TopoDS.Edge_s(explorer.Current())
        explorer.Next()
        way = edge.Orientation()
        if way in (TopAbs_Orientation.TopAbs_FORWARD, TopAbs_Orientation.TopAbs_REVERSED):
            yield edge, way == TopAbs_Orientation.TopAbs_REVERSED


def _outline(face: Any, mesh: Any, place: TopLoc_Location) -> Iterator[tuple[int, int]]:
    """The outline as the edges' own polygons, which the neighbouring faces share; seams cancel themselves."""
    for edge, is_reversed in _edges(face):
        polygon = BRep_Tool.PolygonOnTriangulation_s(edge, mesh, place)
        if polygon is not None:
            nodes = [polygon.Node(k) - 1 for k in range(1, polygon.NbNodes() + 1)]
            yield from pairwise(nodes[::-1] if is_reversed else nodes)


def _has_gap(patch: _Patch) -> bool:
    """Whether a planar face's triangles end anywhere but at its outline."""
    if patch.normal is None:
        return False
    uses = _edge_uses(patch.triangles)
    ends = {(a, b) for (a, b), n in uses.items() if n > uses[b, a]}
    return ends != {(a, b) for a, b in patch.outline if (b, a) not in patch.outline}


def _refilled(patch: _Patch) -> _Patch:
    """A planar face triangulated anew from its outline, with no point added or left out."""
    rings = _rings(_without_seams(patch))
    if patch.normal is None or not rings:
        return patch
    u, v = _axes_across(patch.normal)
    flat = [np.column_stack([patch.points[r] @ u, patch.points[r] @ v]) for r in rings]
    numbers = np.concatenate([np.array(r, np.int64) for r in rings])
    filled = np.asarray(manifold3d.triangulate(flat)).reshape(-1, 3).astype(np.int64)
    return _Patch(patch.points, numbers[filled], patch.outline, patch.normal)


def _axes_across(normal: Floats) -> tuple[Floats, Floats]:
    u = np.cross(np.eye(3)[int(np.argmin(np.abs(normal)))], normal)
    u /= np.linalg.norm(u)
    return u, np.cross(normal, u)


def _without_seams(patch: _Patch) -> list[tuple[int, int]]:
    """The outline by the first node at each place, less what runs both ways."""
    _, first, where = np.unique(patch.points, axis=0, return_index=True, return_inverse=True)
    same = first[where.ravel()].tolist()
    uses = Counter((same[a], same[b]) for a, b in patch.outline)
    return [e for e, n in uses.items() for _ in range(n - uses[e[1], e[0]]) if e[0] != e[1]]


def _rings(edges: list[tuple[int, int]]) -> list[list[int]]:
    """Directed edges chained by their ends; a ring that comes back to one of its points is closed there."""
    onward: dict[int, list[int]] = {}
    for a, b in edges:
        onward.setdefault(a, []).append(b)
    rings: list[list[int]] = []
    for start in list(onward):
        while onward[start]:
            path = [start]
            while onward.get(path[-1]):
                node = onward[path[-1]].pop()
                if node in path:
                    at = path.index(node)
                    rings.append(path[at:])
                    path = path[:at]
                path.append(node)
    return [r for r in rings if len(r) > 2]


def _welded(patches: list[_Patch]) -> Triangles:
    """All patches as one mesh: points that are the same to the last bit are one."""
    offsets = np.cumsum([0, *(len(p.points) for p in patches)])
    every = np.concatenate([p.points for p in patches]) + 0.0 if patches else np.zeros((0, 3))
    points, where = np.unique(every, axis=0, return_inverse=True)
    numbered = [p.triangles + at for p, at in zip(patches, offsets, strict=False)]
    faces = where.ravel()[np.concatenate(numbered)] if patches else np.zeros((0, 3), np.int64)
    source = np.repeat(np.arange(len(patches)), [len(p.triangles) for p in patches])
    return _wide(points, faces, source, tuple(p.normal is not None for p in patches))


def _wide(points: Floats, faces: Ints, source: Ints, flat: tuple[bool, ...]) -> Triangles:
    """A mesh without the triangles that have two corners in one point."""
    a, b, c = faces[:, 0], faces[:, 1], faces[:, 2]
    wide = (a != b) & (b != c) & (c != a)
    return Triangles(points, faces[wide], source[wide], flat)
