"""What of a piece shows from one side: the visible part of every face, laid on the picture's plane.

Parallel projection. For each face that looks toward the eye, whatever lies in
front of it is taken away, found by comparing the depths of the two planes over
their overlap; so two faces that run through each other are split where they do.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any, NamedTuple

import numpy as np
import shapely

from solids.fit.scene import Solid
from solids.kernel.faces import face_planes
from solids.kernel.mesh import Floats, Ints
from solids.model.part import Part

EDGE_ON = 1e-9  # sine of the angle under which a face is seen edge on, and so not at all
SPECK = 1e-9  # mm²: less is rounding
NEARER = 1e-6  # mm by which a face must lie in front to hide another
HAIR = 1e-6  # mm: half the width of what is no face but rounding
GRID = 1e-7  # mm that corners are snapped to: without, GEOS may give back all of a shape that another wholly covers
SMOOTH = math.cos(math.radians(15))  # faces that meet at less run into each other without an edge


class View(NamedTuple):
    """The picture's plane: unit vectors to its right, up in it, and out of it toward the eye."""

    right: Floats
    up: Floats
    toward: Floats

    @classmethod
    def of(cls, turn: float, rise: float) -> View:
        """Seen from the front; the eye moved `turn` degrees to the right and `rise` degrees up."""
        t, r = math.radians(turn), math.radians(rise)
        toward = np.array([math.sin(t) * math.cos(r), -math.cos(t) * math.cos(r), math.sin(r)])
        right = np.array([math.cos(t), math.sin(t), 0.0])
        return cls(right, np.cross(toward, right), toward)

    @classmethod
    def looking(cls, toward: Floats) -> View:
        """Seen from where a direction of the room points; the room's top up, its rear up where seen from above."""
        toward = toward / np.linalg.norm(toward)
        right = np.cross([0.0, 0.0, 1.0], toward)
        if np.linalg.norm(right) < 1e-6:
            right = np.array([math.copysign(1.0, toward[2]), 0.0, 0.0])
        right = right / np.linalg.norm(right)
        return cls(right, np.cross(toward, right), toward)

    def flat(self, points: Any) -> Floats:
        """Points of the room on the picture's plane."""
        return np.asarray(points, float).reshape(-1, 3) @ np.column_stack([self.right, self.up])


@dataclass(frozen=True, slots=True)
class Surface:
    """A face or facet that looks toward the eye: whose it is, and where it lies on the picture.

    `depth` gives the distance toward the eye as a + b x + c y. Surfaces of one
    part with the same `group` run into each other without an edge.
    """

    part: int
    source: int
    group: int
    normal: Floats
    depth: Floats
    polygon: Any


def surfaces_of(parts: Sequence[Part], solids: Sequence[Solid], view: View) -> list[Surface]:
    """Every face that looks toward the eye, round walls as the mesh's facets."""
    found: list[Surface] = []
    for k, (part, solid) in enumerate(zip(parts, solids, strict=True)):
        frame = part.blank.bench().within(part.frame)
        turn, origin = np.array(frame[:3]).T, np.array(frame.origin)
        facets = _Facets.of(solid)
        for sources, normal, rings in (*_planar(solid), *facets.each()):
            n = turn @ normal
            if float(n @ view.toward) <= EDGE_ON:
                continue
            points = [ring @ turn.T + origin for ring in rings]
            polygon = shapely.Polygon(view.flat(points[0]), [view.flat(p) for p in points[1:]])
            if polygon.area > SPECK:
                depth = _depth(n, points[0], view)
                found.append(Surface(k, sources[0], facets.group(sources), n, depth, polygon))
    return found


def surfaces_of_mesh(number: int, mesh: Any, view: View) -> list[Surface]:
    """The same of a mesh where it stands: triangles of one plane are one face; a round wall's have one source."""
    found = mesh.to_mesh64()
    corners = np.asarray(found.vert_properties)[:, :3][np.asarray(found.tri_verts).astype(np.int64)]
    normal = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    size = np.linalg.norm(normal, axis=1)
    normal = normal / np.maximum(size, 1e-300)[:, None]
    planes: dict[tuple[float, ...], list[int]] = {}
    for k in np.flatnonzero((normal @ view.toward > EDGE_ON) & (size > SPECK)).tolist():
        key = (int(found.face_id[k]), *np.round(normal[k], 5).tolist(), round(float(normal[k] @ corners[k, 0]), 4))
        planes.setdefault(tuple(0.0 + v for v in key), []).append(k)
    out = []
    for key, members in planes.items():
        n, source = normal[members[0]], int(key[0])
        flat = [shapely.Polygon(view.flat(corners[k])) for k in members]
        whole = shapely.get_parts(shapely.coverage_union_all(flat)).tolist()
        depth = _depth(n, corners[members].reshape(-1, 3), view)
        out += [Surface(number, source, source, n, depth, p) for p in whole if p.area > SPECK]
    return sorted(out, key=lambda s: (s.source, s.polygon.bounds))


def _depth(normal: Floats, points: Floats, view: View) -> Floats:
    out = float(normal @ view.toward)
    middle = points.mean(0)
    return np.array([float(normal @ middle), -float(normal @ view.right), -float(normal @ view.up)]) / out


def _planar(solid: Solid) -> list[tuple[tuple[int, ...], Floats, list[Floats]]]:
    """Sources, normal and rings of each planar face, on the bench."""
    faces = solid.faces
    rings = np.split(faces.points, np.cumsum(faces.ring_sizes)[:-1])
    ends = np.cumsum(faces.ring_counts)
    return [
        (
            (int(faces.source[i]), *faces.also[i]),
            faces.normal[i],
            rings[int(ends[i] - faces.ring_counts[i]) : int(ends[i])],
        )
        for i in range(len(ends))
    ]


@dataclass(frozen=True, slots=True)
class _Facets:
    """The triangles of a solid's round walls, and which sources run into each other smoothly."""

    points: Floats
    triangles: Ints
    source: Ints
    normal: Floats
    round: frozenset[int]
    leader: dict[int, int]

    @classmethod
    def of(cls, solid: Solid) -> _Facets:
        known = face_planes(solid.shape)
        curved = frozenset(s for s in solid.faces.met if known.get(s) is None)
        if not curved:
            none = np.zeros((0, 3))
            return cls(none, none.astype(np.int64), np.zeros(0, np.int64), none, curved, {})
        mesh = solid.mesh.to_mesh64()
        points = np.asarray(mesh.vert_properties)[:, :3]
        triangles = np.asarray(mesh.tri_verts).astype(np.int64)
        source = np.asarray(mesh.face_id).astype(np.int64)
        a, b, c = (points[triangles[:, i]] for i in range(3))
        normal = np.cross(b - a, c - a)
        size = np.linalg.norm(normal, axis=1, keepdims=True)
        normal = normal / np.maximum(size, 1e-300)
        return cls(points, triangles, source, normal, curved, _leaders(points, triangles, source, normal, curved))

    def each(self) -> list[tuple[tuple[int, ...], Floats, list[Floats]]]:
        return [
            ((s,), self.normal[i], [self.points[self.triangles[i]]])
            for i, s in enumerate(self.source.tolist())
            if s in self.round and np.any(self.normal[i])
        ]

    def group(self, sources: tuple[int, ...]) -> int:
        return next((self.leader[s] for s in sources if s in self.leader), sources[0])


def _leaders(points: Floats, triangles: Ints, source: Ints, normal: Floats, curved: frozenset[int]) -> dict[int, int]:
    """For each source, the one that stands for all those it runs into smoothly over most of their common edge."""
    owner: dict[tuple[int, int], int] = {}
    for t, (a, b, c) in enumerate(triangles.tolist()):
        owner.update({(a, b): t, (b, c): t, (c, a): t})
    smooth: dict[tuple[int, int], float] = {}
    for (a, b), t in owner.items():
        u = owner.get((b, a), t)
        pair = (int(source[t]), int(source[u]))
        if pair[0] < pair[1] and curved & set(pair):
            long = float(np.linalg.norm(points[a] - points[b]))
            smooth[pair] = smooth.get(pair, 0.0) + (long if normal[t] @ normal[u] > SMOOTH else -long)
    leader: dict[int, int] = {}
    for (s, t), length in sorted(smooth.items()):
        if length > 0:
            one, other = leader.get(s, s), leader.get(t, t)
            leader.update({k: one for k, v in leader.items() if v == other})
            leader.update({s: one, t: one, other: one})
    return leader


def visible(surfaces: Sequence[Surface]) -> list[Any]:
    """What of each surface can be seen, as a geometry of the picture's plane; empty where nothing can."""
    if not surfaces:
        return []
    polygons = np.array([s.polygon for s in surfaces], dtype=object)
    depth = np.array([s.depth for s in surfaces])
    seen, hides = shapely.STRtree(polygons).query(polygons, predicate="intersects")
    low, high = _nearness(polygons, depth, seen, hides)
    gone: dict[int, list[Any]] = {}
    # What lies before the other all over their common box is taken away whole; only the rest is looked at closely.
    whole = low >= NEARER
    shapely.prepare(polygons)
    lost = np.zeros(len(polygons), bool)
    lost[seen[whole][shapely.covers(polygons[hides[whole]], polygons[seen[whole]])]] = True
    whole &= ~lost[seen]
    for a, b in zip(seen[whole].tolist(), hides[whole].tolist(), strict=True):
        gone.setdefault(a, []).append(polygons[b])
    unsure = ~whole & ~lost[seen] & ((high > NEARER) | ((low >= -NEARER) & (hides < seen)))
    for a, piece in _in_part(polygons, depth, seen[unsure], hides[unsure]):
        gone.setdefault(a, []).append(piece)
    cut = np.fromiter(gone, int, len(gone))
    unions = np.array([shapely.union_all(pieces) for pieces in gone.values()], dtype=object)
    left = polygons.copy()
    left[cut] = _without_hairs(shapely.difference(polygons[cut], unions, grid_size=GRID))
    left[lost] = shapely.Polygon()
    return list(left)


def _nearness(polygons: Any, depth: Floats, seen: Ints, hides: Ints) -> tuple[Floats, Floats]:
    """The least and most by which the second of each pair lies before the first, over the box that both lie in."""
    box = shapely.bounds(polygons)
    corner, other = np.maximum(box[seen, :2], box[hides, :2]), np.minimum(box[seen, 2:], box[hides, 2:])
    ahead = depth[hides] - depth[seen]
    ends = np.sort(np.stack([ahead[:, 1:] * corner, ahead[:, 1:] * other]), axis=0)
    low, high = ahead[:, 0] + ends[0].sum(1), ahead[:, 0] + ends[1].sum(1)
    itself = seen == hides
    return np.where(itself, -np.inf, low), np.where(itself, -np.inf, high)


def _in_part(polygons: Any, depth: Floats, seen: Ints, hides: Ints) -> Iterator[tuple[int, Any]]:
    """For pairs whose planes may run through each other: the first, and where the second hides it."""
    shared, index = shapely.get_parts(shapely.intersection(polygons[seen], polygons[hides]), return_index=True)
    solid = (shapely.get_type_id(shared) == 3) & (shapely.area(shared) > SPECK)
    for k, pair in zip(np.flatnonzero(solid).tolist(), index[solid].tolist(), strict=True):
        a, b = int(seen[pair]), int(hides[pair])
        piece = _nearer(shared[k], depth[b] - depth[a], b < a)
        if piece is not None:
            yield a, piece


def _without_hairs(shapes: Any) -> Any:
    """The shapes without the hair-thin strips that stay where two hiding faces meet a rounding error apart."""
    thinner = shapely.buffer(shapes, -HAIR, join_style="mitre")
    return shapely.buffer(thinner, HAIR, join_style="mitre")


def _nearer(shared: Any, ahead: Floats, wins: bool) -> Any:
    """Where over an overlap the other plane lies in front; of two in one plane the first does."""
    points = shapely.get_coordinates(shared)
    by = ahead[0] + points @ ahead[1:]
    if by.max() <= NEARER:
        return shared if wins and by.min() >= -NEARER else None
    if by.min() >= -NEARER:
        return shared
    piece = shapely.intersection(shared, _half_plane(points, ahead))
    parts = [p for p in shapely.get_parts(piece).tolist() if p.geom_type == "Polygon"]
    return shapely.union_all(parts) if parts else None


def _half_plane(points: Floats, ahead: Floats) -> Any:
    """A square that covers what of some points lies where a + b x + c y is over 0."""
    way = ahead[1:] / np.linalg.norm(ahead[1:])
    middle = points.mean(0)
    foot = middle - way * (ahead[0] + float(middle @ ahead[1:])) / float(np.linalg.norm(ahead[1:]))
    far = 4 * float(np.ptp(points, axis=0).sum()) + 1
    side = np.array([-way[1], way[0]])
    return shapely.Polygon([foot - side * far, foot + side * far, foot + (side + way) * far, foot + (way - side) * far])
