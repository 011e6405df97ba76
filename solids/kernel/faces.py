"""The planar faces of a finished part: exact outlines, each with the name of the side or cut it came from."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
import shapely

from solids.kernel.mesh import TOOL, Floats, Ints
from solids.kernel.shape import SAME, Shape, planes
from solids.model.geometry import Plane

LEAST_AREA = 1e-6  # mm²


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


@dataclass(slots=True)
class _Face:
    source: int
    also: tuple[int, ...]
    plane: Plane
    rings: list[Floats]
    area: float


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
    """The finished part's planar faces. An empty part has none."""
    mesh = manifold.to_mesh64()
    points = np.asarray(mesh.vert_properties)[:, :3]
    triangles = np.asarray(mesh.tri_verts).astype(np.int64)
    source = np.asarray(mesh.face_id).astype(np.int64)
    known = face_planes(shape)
    faces: list[_Face] = []
    if len(triangles):
        region, names = _regions(triangles, source, known, points)
        loops = _loops(triangles, region)
        for g, rings in loops.items():
            first, *also = names[g]
            plane = known.get(first)
            if plane is not None:
                faces += _assembled(first, tuple(also), plane, [points[r] for r in rings])
        faces = _without_skins(_mended(faces))
    bodies = sum(lump.volume() > 0 for lump in manifold.decompose()) if len(triangles) else 0  # a void is none
    return _packed(faces, frozenset(np.unique(source).tolist()), float(manifold.volume()), bodies)


def _twins(triangles: Ints) -> tuple[Ints, Ints, Ints]:
    """Half-edges from a to b, and for each the one that runs the other way."""
    a = triangles.ravel()
    b = triangles[:, [1, 2, 0]].ravel()
    size = int(a.max()) + 1
    key = a * size + b
    order = np.argsort(key)
    twin = order[np.searchsorted(key, b * size + a, sorter=order)]
    return a, b, twin


def _regions(
    triangles: Ints, source: Ints, known: dict[int, Plane | None], points: Floats
) -> tuple[Ints, dict[int, list[int]]]:
    """A region number for each triangle, and each region's sources, largest first.

    Where sides of two tools lie in one plane, the mesh draws the line between
    them anyhow; so triangles that hang together in one plane are one region.
    """
    ids, where = np.unique(source, return_inverse=True)
    plane_of: dict[tuple[float, ...], int] = {}
    number = np.empty(len(ids), np.int64)
    for k, i in enumerate(ids.tolist()):
        p = known.get(i)
        key = (float(i),) if p is None else (*(round(c, 7) + 0.0 for c in p.normal), round(p.offset, 5))
        number[k] = plane_of.setdefault(key, k)
    if len(plane_of) == len(ids):
        return source, {i: [i] for i in ids.tolist()}
    own = number[where.ravel()]
    _, _, twin = _twins(triangles)
    here = np.arange(len(twin)) // 3
    there = here[twin]
    joined = own[here] == own[there]
    label = _components(len(triangles), here[joined], there[joined])
    return label, _sources(label, source, triangles, points)


def _components(n: int, a: Ints, b: Ints) -> Ints:
    """The least number in each connected group of n things joined by pairs a, b."""
    label = np.arange(n)
    while True:
        low = np.minimum(label[a], label[b])
        new = label.copy()
        np.minimum.at(new, a, low)
        np.minimum.at(new, b, low)
        new = new[new]
        if np.array_equal(new, label):
            return label
        label = new


def _sources(label: Ints, source: Ints, triangles: Ints, points: Floats) -> dict[int, list[int]]:
    u = points[triangles[:, 1]] - points[triangles[:, 0]]
    v = points[triangles[:, 2]] - points[triangles[:, 0]]
    area = np.linalg.norm(np.cross(u, v), axis=1)
    pairs, where = np.unique(np.column_stack([label, source]), axis=0, return_inverse=True)
    weight = np.bincount(where.ravel(), area)
    found: dict[int, list[int]] = {}
    for k in np.lexsort((pairs[:, 1], -weight)):
        found.setdefault(int(pairs[k, 0]), []).append(int(pairs[k, 1]))
    return found


def _loops(triangles: Ints, region: Ints) -> dict[int, list[list[int]]]:
    """The boundary loops of every region, as vertex numbers."""
    a, b, twin = _twins(triangles)
    owner = np.repeat(region, 3)
    edge = np.flatnonzero(owner[twin] != owner)
    nexts: dict[tuple[int, int], list[int]] = {}
    order = edge[np.lexsort((a[edge], owner[edge]))].tolist()
    for e in order:
        nexts.setdefault((int(owner[e]), int(a[e])), []).append(int(b[e]))
    loops: dict[int, list[list[int]]] = {}
    for e in order:
        g, start = int(owner[e]), int(a[e])
        while nexts.get((g, start)):
            loops.setdefault(g, []).extend(_walked(nexts, g, start))
    return loops


def _walked(nexts: dict[tuple[int, int], list[int]], g: int, start: int) -> list[list[int]]:
    """One walk along a region's edges, with any smaller loop that it closes on the way cut off."""
    done: list[list[int]] = []
    path = [start]
    seen = {start: 0}
    while options := nexts.get((g, path[-1])):
        v = options.pop(0)
        if v in seen:
            loop = path[seen[v] :]
            if len(loop) > 2:
                done.append(loop)
            for w in loop[1:]:
                del seen[w]
            path = path[: seen[v] + 1]
            if v == start and not nexts.get((g, v)):
                break
            continue
        seen[v] = len(path)
        path.append(v)
    return done


def _axes(normal: Floats) -> tuple[int, int, int]:
    """The axis that a plane faces most nearly, and the two to lay it on."""
    ax = int(np.argmax(np.abs(np.round(normal, 9))))
    return ax, (ax + 1) % 3, (ax + 2) % 3


def _assembled(source: int, also: tuple[int, ...], plane: Plane, rings: list[Floats]) -> list[_Face]:
    """Faces from loops: each shell with the holes that lie in it."""
    normal = np.array(plane.normal)
    ax, u, v = _axes(normal)
    scale = 1.0 / normal[ax]
    shells: list[tuple[float, Floats]] = []
    holes: list[tuple[float, Floats]] = []
    for ring in rings:
        x, y = ring[:, u] - ring[0, u], ring[:, v] - ring[0, v]
        area = 0.5 * scale * float(x[:-1] @ y[1:] - x[1:] @ y[:-1])
        (shells if area > 0 else holes).append((abs(area), ring))
    if len(shells) == 1:
        area = shells[0][0] - sum(a for a, _ in holes)
        return [_Face(source, also, plane, [shells[0][1], *(h for _, h in holes)], area)]
    polygons = [shapely.Polygon(r[:, [u, v]]) for _, r in shells]
    inside: list[list[tuple[float, Floats]]] = [[] for _ in shells]
    for area, ring in holes:
        point = shapely.Polygon(ring[:, [u, v]]).representative_point()
        within = [k for k, p in enumerate(polygons) if p.contains(point)]
        if within:
            inside[min(within, key=lambda k: polygons[k].area)].append((area, ring))
    return [
        _Face(source, also, plane, [r, *(h for _, h in hs)], a - sum(x for x, _ in hs))
        for (a, r), hs in zip(shells, inside, strict=True)
    ]


def _mended(faces: list[_Face]) -> list[_Face]:
    """Outlines that touch themselves in a point, or cross by a rounding error, made into proper polygons."""
    if not faces:
        return faces
    doubtful = [k for k, f in enumerate(faces) if len(f.rings) > 1 or len(f.rings[0]) > 4]  # four corners can't cross
    laid = [_laid(faces[k]) for k in doubtful]
    bad = {k: p for k, p, ok in zip(doubtful, laid, shapely.is_valid(laid), strict=True) if not ok}
    out: list[_Face] = []
    for k, f in enumerate(faces):
        out += _split(f, bad[k]) if k in bad else [f]
    return [f for f in out if f.area > LEAST_AREA]


def _laid(face: _Face) -> shapely.Polygon:
    _, u, v = _axes(np.array(face.plane.normal))
    return shapely.Polygon(face.rings[0][:, [u, v]], [r[:, [u, v]] for r in face.rings[1:]])


def _split(face: _Face, polygon: shapely.Polygon) -> list[_Face]:
    n = np.array(face.plane.normal)
    ax, u, v = _axes(n)
    out = []
    for piece in shapely.get_parts(shapely.get_parts(shapely.make_valid(polygon))):
        if piece.geom_type != "Polygon" or piece.area < LEAST_AREA:
            continue
        rings = []
        for ring in (piece.exterior, *piece.interiors):
            flat = np.asarray(ring.coords)[:-1, :2]
            points = np.zeros((len(flat), 3))
            points[:, [u, v]] = flat
            points[:, ax] = (face.plane.offset - points @ n) / n[ax]
            rings.append(points)
        out.append(_Face(face.source, face.also, face.plane, rings, piece.area / abs(n[ax])))
    return out


def _without_skins(faces: list[_Face]) -> list[_Face]:
    """Where two faces lie back to back in one plane there is no wood between them: what they share is no face."""
    sheets = np.array([(*f.plane.normal, f.plane.offset) for f in faces]).reshape(-1, 4)
    pairs = np.argwhere(np.abs(sheets[:, None] + sheets).max(axis=2) < SAME)
    gone: dict[int, list[shapely.Geometry]] = {}
    for a, b in pairs.tolist():
        shared = _laid(faces[a]).intersection(_laid(faces[b]))
        if shared.area > LEAST_AREA:
            gone.setdefault(a, []).append(shared)
    out: list[_Face] = []
    for k, f in enumerate(faces):
        out += _split(f, _laid(f).difference(shapely.union_all(gone[k]))) if k in gone else [f]
    return out


def _packed(faces: list[_Face], met: frozenset[int], volume: float, bodies: int) -> FaceSet:
    faces = sorted(faces, key=lambda f: (f.source, *f.rings[0].min(0).tolist()))
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
        met=met,
        volume=volume,
        bodies=bodies,
    )
