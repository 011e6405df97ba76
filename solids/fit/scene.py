"""All parts of a piece where they stand, and all their faces as arrays: what everything is measured on."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

import numpy as np
import shapely
from numpy.typing import NDArray

from solids.kernel.faces import FaceSet, faces_of_all
from solids.kernel.mesh import TOOL, Floats, Ints, manifold_of
from solids.kernel.shape import Shape, names, shape_of
from solids.model.part import Made, Part
from solids.model.piece import Piece

Polygons = NDArray[Any]
AT_ONCE = 1000  # shapes whose faces are worked out together, so that memory stays flat


@dataclass(frozen=True, slots=True)
class Solid:
    """One distinct part: its numbers, its mesh and its faces, on the bench."""

    shape: Shape
    mesh: Any
    faces: FaceSet


@dataclass(frozen=True, slots=True)
class Scene:
    """Every face of every part, placed.

    Over faces: part (n,), normal (n, 3), offset (n,), area (n,), source (n,),
    low and high (n, 3). Points of all rings in one array (v, 3); `starts`
    (n + 1,) where each face's points begin, `ring_starts` (n + 1,) where its
    rings begin, `ring_sizes` (r,). `first` (parts + 1,) is where each part's
    faces begin. Lengths in mm, in the piece's own frame.
    """

    piece: Piece
    solids: tuple[Solid, ...]
    rotation: Floats
    origin: Floats
    part: Ints
    first: Ints
    normal: Floats
    offset: Floats
    area: Floats
    source: Ints
    also: tuple[tuple[int, ...], ...]
    points: Floats
    starts: Ints
    ring_sizes: Ints
    ring_starts: Ints
    low: Floats
    high: Floats
    part_low: Floats
    part_high: Floats
    _world: dict[int, Any] = field(default_factory=dict, compare=False)

    def world(self, i: int) -> Any:
        """Part i's mesh where it stands."""
        if i not in self._world:
            move = np.column_stack([self.rotation[i], self.origin[i]])
            self._world[i] = self.solids[i].mesh.transform(move)
        return self._world[i]

    def made(self, face: int) -> Made | None:
        """The cut that a face came from; None for a side of the blank."""
        return self.cut_of(int(self.part[face]), int(self.source[face]))

    def cut_of(self, part: int, source: int) -> Made | None:
        tool = source // TOOL
        if tool == 0:
            return None
        return self.piece.parts[part].cuts[self.solids[part].shape.tools[tool - 1].cut]

    def role(self, face: int) -> str:
        """What the face is in its cut (`floor`, `left wall`, `cheek`), or the side of the blank."""
        part, source = int(self.part[face]), int(self.source[face])
        tool, side = divmod(source, TOOL)
        shape = self.solids[part].shape
        if tool == 0:
            return names(shape.blank)[side]
        words = names(shape.tools[tool - 1].waste)
        return words[side] if side < len(words) else words[0]

    def called(self, face: int) -> str:
        """The face by part, cut and role, as a maker would say it."""
        part = self.piece.parts[int(self.part[face])]
        made = self.made(face)
        role = self.role(face)
        return f"{part.id}'s {role}" if made is None else f"{part.id}.{made.name}'s {role}"


def solids_of(parts: tuple[Part, ...], known: dict[str, Solid] | None = None) -> tuple[Solid, ...]:
    """The solid of each part; parts of the same wood share one mesh."""
    known = {} if known is None else known
    shapes = [shape_of(part) for part in parts]
    new = list({s.key: s for s in shapes if s.key not in known}.values())
    for start in range(0, len(new), AT_ONCE):
        some = new[start : start + AT_ONCE]
        meshes = [manifold_of(s) for s in some]
        for shape, mesh, faces in zip(some, meshes, faces_of_all(some, meshes), strict=True):
            known[shape.key] = Solid(shape, mesh, faces)
    return tuple(Solid(s, known[s.key].mesh, known[s.key].faces) for s in shapes)


def scene_of(piece: Piece, solids: tuple[Solid, ...] | None = None) -> Scene:
    """Place every part of a piece and lay all faces into arrays."""
    solids = solids_of(piece.parts) if solids is None else solids
    rotation, origin = _poses(piece)
    sets = [s.faces for s in solids]
    counts = np.array([len(f.offset) for f in sets], np.int64)
    part = np.repeat(np.arange(len(sets)), counts)
    normal = _joined([f.normal for f in sets], (0, 3))
    turned = np.einsum("fij,fj->fi", rotation[part], normal)
    offset = _joined([f.offset for f in sets], (0,)) + np.einsum("fi,fi->f", turned, origin[part])
    point_counts = _joined([f.point_counts for f in sets], (0,), np.int64)
    owner = np.repeat(part, point_counts)
    local = _joined([f.points for f in sets], (0, 3))
    points = np.einsum("vij,vj->vi", rotation[owner], local) + origin[owner]
    starts = _starts(point_counts)
    low, high = _boxes(points, starts)
    first = _starts(counts)
    return Scene(
        piece=piece,
        solids=solids,
        rotation=rotation,
        origin=origin,
        part=part,
        first=first,
        normal=turned,
        offset=offset,
        area=_joined([f.area for f in sets], (0,)),
        source=_joined([f.source for f in sets], (0,), np.int64),
        also=tuple(a for f in sets for a in f.also),
        points=points,
        starts=starts,
        ring_sizes=_joined([f.ring_sizes for f in sets], (0,), np.int64),
        ring_starts=_starts(_joined([f.ring_counts for f in sets], (0,), np.int64)),
        low=low,
        high=high,
        part_low=_part_boxes(low, first, np.inf, np.minimum),
        part_high=_part_boxes(high, first, -np.inf, np.maximum),
    )


def _poses(piece: Piece) -> tuple[Floats, Floats]:
    """Rotation (p, 3, 3) and origin (p, 3) of each part from the bench to its place."""
    frames = [p.blank.bench().within(p.frame) for p in piece.parts]
    rotation = np.array([[f.x, f.y, f.z] for f in frames], float).reshape(-1, 3, 3).transpose(0, 2, 1)
    return rotation, np.array([f.origin for f in frames], float).reshape(-1, 3)


def _joined(arrays: list[Any], empty: tuple[int, ...], kind: Any = float) -> Any:
    return np.concatenate(arrays) if arrays else np.zeros(empty, kind)


def _starts(counts: Ints) -> Ints:
    return np.concatenate([[0], np.cumsum(counts)]).astype(np.int64)


def _boxes(points: Floats, starts: Ints) -> tuple[Floats, Floats]:
    if len(starts) == 1:
        return np.zeros((0, 3)), np.zeros((0, 3))
    return np.minimum.reduceat(points, starts[:-1]), np.maximum.reduceat(points, starts[:-1])


def _part_boxes(corner: Floats, first: Ints, empty: float, pick: Any) -> Floats:
    out = np.full((len(first) - 1, 3), empty)
    some = np.flatnonzero(np.diff(first))
    if len(some):
        out[some] = pick.reduceat(corner, first[:-1][some])
    return out


def near_parts(scene: Scene, reach: float) -> tuple[Ints, Ints]:
    """Pairs of parts whose boxes are within reach: a tree over two axes, the third by comparison."""
    low, high = scene.part_low, scene.part_high
    real = np.flatnonzero(np.isfinite(low).all(1))
    if len(real) < 2:
        return np.zeros(0, np.int64), np.zeros(0, np.int64)
    lo, hi = low[real], high[real]
    a, b, c = np.argsort(hi.max(0) - lo.min(0))[::-1]
    boxes = shapely.box(lo[:, a], lo[:, b], hi[:, a], hi[:, b])
    grown = shapely.box(lo[:, a] - reach, lo[:, b] - reach, hi[:, a] + reach, hi[:, b] + reach)
    i, j = shapely.STRtree(grown).query(boxes)
    keep = (i < j) & (lo[i, c] <= hi[j, c] + reach) & (lo[j, c] <= hi[i, c] + reach)
    i, j = real[i[keep]], real[j[keep]]
    order = np.lexsort((j, i))
    return i[order], j[order]


def face_pairs(scene: Scene, i: Ints, j: Ints, reach: float = np.inf) -> tuple[Ints, Ints]:
    """Every face of part i with every face of part j, for each of the given pairs; of faces near the other part only.

    Near is within `reach` mm of the other part's box.
    """
    (of_i, ni), (of_j, nj) = _faces_near(scene, i, j, reach), _faces_near(scene, j, i, reach)
    total = ni * nj
    pair = np.repeat(np.arange(len(i)), total)
    rank, width = within(total), nj[pair]
    return of_i[(np.cumsum(ni) - ni)[pair] + rank // width], of_j[(np.cumsum(nj) - nj)[pair] + rank % width]


def _faces_near(scene: Scene, i: Ints, j: Ints, reach: float) -> tuple[Ints, Ints]:
    """The faces of each part i that are near part j, and how many each has."""
    counts = scene.first[i + 1] - scene.first[i]
    pair = np.repeat(np.arange(len(i)), counts)
    faces = np.repeat(scene.first[i], counts) + within(counts)
    other = j[pair]
    below, above = scene.part_low[other] - reach, scene.part_high[other] + reach
    near = np.all((scene.low[faces] <= above) & (scene.high[faces] >= below), axis=1)
    return faces[near], np.bincount(pair[near], minlength=len(i))


def laid(scene: Scene, faces: Ints, x: Floats, y: Floats, origin: Floats, digits: int | None = None) -> Polygons:
    """Faces as plane polygons on the axes x and y about origin, one of each for every face.

    With `digits`, corners are rounded to so many decimals of a mm.
    """
    if not len(faces):
        return np.zeros(0, object)
    flat, _ = laid_corners(scene, faces, x, y, origin)
    if digits is not None:
        flat = np.round(flat, digits)
    ring_counts = scene.ring_starts[faces + 1] - scene.ring_starts[faces]
    ring_index = np.repeat(scene.ring_starts[faces], ring_counts) + within(ring_counts)
    sizes = scene.ring_sizes[ring_index]
    rings = shapely.linearrings(flat, indices=np.repeat(np.arange(len(sizes)), sizes))
    shells = np.cumsum(ring_counts) - ring_counts
    out: Polygons = shapely.polygons(rings[shells])
    for k in np.flatnonzero(ring_counts > 1):
        out[k] = shapely.polygons(rings[shells[k]], rings[shells[k] + 1 : shells[k] + ring_counts[k]])
    return out


def laid_corners(scene: Scene, faces: Ints, x: Floats, y: Floats, origin: Floats) -> tuple[Floats, Ints]:
    """The corners of faces on the axes x and y about origin, face after face, and how many each has."""
    counts = scene.starts[faces + 1] - scene.starts[faces]
    owner = np.repeat(np.arange(len(faces)), counts)
    p = scene.points[np.repeat(scene.starts[faces], counts) + within(counts)] - origin[owner]
    return np.column_stack([np.einsum("ij,ij->i", p, x[owner]), np.einsum("ij,ij->i", p, y[owner])]), counts


def within(counts: Ints) -> Ints:
    """0, 1, 2 ... up to each count, one run after another."""
    return np.arange(counts.sum()) - np.repeat(np.cumsum(counts) - counts, counts)


def plane_axes(direction: Floats) -> tuple[Floats, Floats]:
    """Two axes square to each direction (n, 3) and to each other."""
    flat = np.eye(3)[np.argmin(np.abs(np.round(direction, 9)), axis=1)]
    x = np.cross(flat, direction)
    x /= np.linalg.norm(x, axis=1)[:, None]
    return x, np.cross(direction, x)
