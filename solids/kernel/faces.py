"""The planar faces of finished parts: exact outlines, each with the name of the side or cut it came from."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
import shapely

from solids.kernel.mending import Face, flat_axes, mended, without_skins
from solids.kernel.mesh import TOOL, Floats, Ints
from solids.kernel.outlines import Outlines, Planes, outlines_of
from solids.kernel.shape import Shape, planes
from solids.model.geometry import Plane


@dataclass(frozen=True, slots=True)
class FaceSet:
    """All planar faces of one shape, as arrays.

    normal (n, 3), offset (n,), area (n,), source (n,): tool * TOOL + side;
    `also` holds the other sources of a face that lies in one plane with them;
    points (v, 3) of all rings, shell first; ring_sizes (r,), ring_counts (n,),
    point_counts (n,). `met` has every source that left any face at all, round
    ones too. Normals and offsets come from the spec's numbers, not from the mesh.
    """

    normal: Floats
    offset: Floats
    area: Floats
    source: Ints
    also: tuple[tuple[int, ...], ...]
    points: Floats
    ring_sizes: Ints
    ring_counts: Ints
    point_counts: Ints
    met: frozenset[int]
    volume: float
    bodies: int


def face_planes(shape: Shape) -> dict[int, Plane | None]:
    """The plane of each source, looking out of the wood that is left; None where it is round."""
    found: dict[int, Plane | None] = dict(enumerate(planes(shape.blank)))
    for k, tool in enumerate(shape.tools):
        for side, plane in enumerate(planes(tool.waste)):
            key = (k + 1) * TOOL + side
            if isinstance(tool.waste, Plane):
                key = (k + 1) * TOOL + 4  # the floor of the block that stands for a half-space
            if plane is None:
                found[key] = None
            else:
                found[key] = Plane(plane.normal.times(-1), -plane.offset, plane.name)
    return found


def faces_of(shape: Shape, manifold: Any) -> FaceSet:
    """One finished part's planar faces. An empty part has none."""
    return faces_of_all([shape], [manifold])[0]


def faces_of_all(shapes: Sequence[Shape], manifolds: Sequence[Any]) -> list[FaceSet]:
    """The planar faces of many finished parts, worked out together."""
    known = [face_planes(s) for s in shapes]
    found = outlines_of(manifolds, known)
    faces = without_skins(mended(list(_assembled(found, known))))
    return _packed(faces, manifolds)


def _assembled(found: Outlines, known: Planes) -> Iterator[Face]:
    """Faces from loops: each shell with the holes that lie in it. Round sides are none."""
    owners = zip(found.shape.tolist(), found.source.tolist(), strict=True)
    plane_of = [known[shape].get(source) for shape, source in owners]
    normal = np.array([p.normal if p else (0.0, 0.0, 0.0) for p in plane_of]).reshape(-1, 3)
    area = _areas(found, normal[found.region])
    order = np.argsort(found.region, kind="stable")
    borders = np.flatnonzero(np.diff(found.region[order])) + 1
    starts, points = found.starts.tolist(), found.points[found.corners]
    for loops in np.split(order, borders) if len(order) else ():
        g = int(found.region[loops[0]])
        plane = plane_of[g]
        if plane is not None:
            rings = [(float(area[k]), points[starts[k] : starts[k + 1]]) for k in loops.tolist()]
            yield from _shells(Face(int(found.shape[g]), int(found.source[g]), found.also[g], plane, [], 0.0), rings)


def _areas(found: Outlines, normal: Floats) -> Floats:
    """The area within each loop, negative about a hole; NaN on a round side."""
    sizes = np.diff(found.starts)
    owner = np.repeat(np.arange(len(sizes)), sizes)
    axis = np.argmax(np.abs(np.round(normal, 9)), axis=1)
    points = found.points[found.corners]
    points = points - points[found.starts[:-1]][owner]
    rows = np.arange(len(points))
    x, y = (points[rows, ((axis + k) % 3)[owner]] for k in (1, 2))
    after = rows + 1
    after[found.starts[1:] - 1] = found.starts[:-1]
    cross = x * y[after] - x[after] * y
    with np.errstate(divide="ignore", invalid="ignore"):
        scale = 2 * normal[np.arange(len(axis)), axis]
        areas: Floats = np.add.reduceat(cross, found.starts[:-1]) / scale if len(rows) else x
    return areas


def _shells(face: Face, rings: list[tuple[float, Floats]]) -> Iterator[Face]:
    """The faces that the loops of one region bound, by the area within each."""
    shells = [(a, r) for a, r in rings if a > 0]
    holes = [(-a, r) for a, r in rings if a <= 0]
    if len(shells) == 1:
        inside = [holes]
    else:
        inside = _sorted_in(face, [r for _, r in shells], holes)
    for (area, ring), within in zip(shells, inside, strict=True):
        left = area - sum(a for a, _ in within)
        yield Face(face.shape, face.source, face.also, face.plane, [ring, *(r for _, r in within)], left)


def _sorted_in(face: Face, shells: list[Floats], holes: list[tuple[float, Floats]]) -> list[list[tuple[float, Floats]]]:
    """Each shell's holes: a hole lies in the smallest that it is within."""
    _, u, v = flat_axes(face.plane)
    polygons = [shapely.Polygon(r[:, [u, v]]) for r in shells]
    inside: list[list[tuple[float, Floats]]] = [[] for _ in shells]
    for area, ring in holes:
        point = shapely.Polygon(ring[:, [u, v]]).representative_point()
        within = [k for k, p in enumerate(polygons) if p.contains(point)]
        if within:
            inside[min(within, key=lambda k: polygons[k].area)].append((area, ring))
    return inside


def _packed(faces: list[Face], manifolds: Sequence[Any]) -> list[FaceSet]:
    """Each shape's faces as arrays, in the order of their sources, and where they lie beside each other."""
    first = np.array([f.rings[0].min(0) for f in faces]).reshape(-1, 3)
    shape, source = (np.array([getattr(f, k) for f in faces], np.int64) for k in ("shape", "source"))
    order = np.lexsort((*first.T[::-1], source, shape))
    ends = np.searchsorted(shape[order], np.arange(len(manifolds) + 1)).tolist()
    ordered = [faces[k] for k in order.tolist()]
    return [_face_set(ordered[a:b], m) for a, b, m in zip(ends[:-1], ends[1:], manifolds, strict=True)]


def _face_set(faces: list[Face], manifold: Any) -> FaceSet:
    rings = [r for f in faces for r in f.rings]
    return FaceSet(
        normal=np.array([f.plane.normal for f in faces], float).reshape(-1, 3),
        offset=np.array([f.plane.offset for f in faces], float),
        area=np.array([f.area for f in faces], float),
        source=np.array([f.source for f in faces], np.int64),
        also=tuple(f.also for f in faces),
        points=np.concatenate(rings) if rings else np.zeros((0, 3)),
        ring_sizes=np.array([len(r) for r in rings], np.int64),
        ring_counts=np.array([len(f.rings) for f in faces], np.int64),
        point_counts=np.array([sum(map(len, f.rings)) for f in faces], np.int64),
        met=frozenset(np.asarray(manifold.to_mesh64().face_id).tolist()),
        volume=float(manifold.volume()),
        bodies=sum(lump.volume() > 0 for lump in manifold.decompose()) if manifold.num_tri() else 0,  # a void is none
    )
