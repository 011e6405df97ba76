"""Faces of different parts that face each other: how far apart, over which area, at which angle.

Two planar faces face each other when their normals are within 15 degrees of
opposite and their outlines overlap when both are laid along the direction that
halves the angle between them. The gap is the distance between the planes over
that overlap, negative where they run into each other. A third part between
them hides the pair.
"""

from __future__ import annotations

from dataclasses import dataclass, fields
from typing import Any

import numpy as np
import shapely

from solids.fit.scene import Polygons, Scene, face_pairs, laid, laid_corners, plane_axes, within
from solids.kernel.mesh import Floats, Ints

LEAST_AREA = 1.0  # mm²: smaller overlaps are corners, not joints
LEAST_WIDTH = 0.05  # mm: thinner ones are two outlines that share an edge
SLICE = 20_000  # part pairs at a time, so that memory stays flat
PARALLEL = 1e-12
FAR = 0.2  # mm: what is nearer touches, and nothing is between
NEARER = 0.05  # mm
GRAIN = 9  # decimals of a mm: corners that differ by less are one, else their overlap may come out empty


@dataclass(slots=True)
class Facing:
    """Faces a and b, `along` from a to b; their overlap laid on x, y about origin; gap range, angle, area, middle."""

    a: Ints
    b: Ints
    along: Floats
    x: Floats
    y: Floats
    origin: Floats
    overlap: Polygons
    least: Floats
    greatest: Floats
    angle: Floats
    area: Floats
    middle: Floats

    def __len__(self) -> int:
        return len(self.a)

    def take(self, keep: Any) -> Facing:
        """The pairs that a mask or an index picks."""
        return Facing(*(getattr(self, f.name)[keep] for f in fields(self)))

    def corners(self) -> tuple[Floats, Ints]:
        """Corners of all overlaps in space, and whose they are."""
        flat, k = shapely.get_coordinates(self.overlap, return_index=True)
        return self.origin[k] + self.x[k] * flat[:, :1] + self.y[k] * flat[:, 1:], k


def gap_at(scene: Scene, a: Ints, b: Ints, along: Floats, points: Floats) -> Floats:
    """The gap between the planes of faces a and b on the lines through points along a direction, in mm."""
    return _reach(scene, b, along, points) - _reach(scene, a, along, points)


def _reach(scene: Scene, faces: Ints, along: Floats, points: Floats) -> Floats:
    n = scene.normal[faces]
    left: Floats = scene.offset[faces] - np.einsum("ij,ij->i", n, points)
    reach: Floats = left / np.einsum("ij,ij->i", n, along)
    return reach


def facing(scene: Scene, pairs: tuple[Ints, Ints], reach: float, angle: float) -> Facing:
    """All facing pairs of the given pairs of parts, up to `reach` mm apart and `angle` degrees from opposite."""
    found = []
    for start in range(0, len(pairs[0]), SLICE):
        i, j = pairs[0][start : start + SLICE], pairs[1][start : start + SLICE]
        found.append(_candidates(scene, *face_pairs(scene, i, j, reach), reach, angle))
    if not found:
        found = [_candidates(scene, np.zeros(0, np.int64), np.zeros(0, np.int64), reach, angle)]
    a, b, along, origin = (np.concatenate(z) for z in zip(*found, strict=True))
    return overlapping(scene, a, b, along, origin, reach)


def _candidates(scene: Scene, a: Ints, b: Ints, reach: float, angle: float) -> tuple[Ints, Ints, Floats, Floats]:
    """Face pairs that look at each other, with boxes within reach, and the direction between them."""
    opposite = np.einsum("ij,ij->i", scene.normal[a], scene.normal[b])
    keep = opposite < -np.cos(np.radians(angle))
    a, b, opposite = a[keep], b[keep], opposite[keep]
    keep = np.all((scene.low[a] <= scene.high[b] + reach) & (scene.low[b] <= scene.high[a] + reach), axis=1)
    a, b, opposite = a[keep], b[keep], opposite[keep]
    along = scene.normal[a] - scene.normal[b]
    along /= np.linalg.norm(along, axis=1)[:, None]
    origin = (np.maximum(scene.low[a], scene.low[b]) + np.minimum(scene.high[a], scene.high[b])) / 2
    keep = (opposite > -1 + PARALLEL) | (np.abs(gap_at(scene, a, b, along, origin)) <= reach)
    return a[keep], b[keep], along[keep], origin[keep]


def overlapping(scene: Scene, a: Ints, b: Ints, along: Floats, origin: Floats, reach: float) -> Facing:
    """Of candidate pairs, those whose outlines overlap, measured."""
    x, y = plane_axes(along)
    a, b, along, x, y, origin = _taken(_may_overlap(scene, a, b, x, y, origin), a, b, along, x, y, origin)
    first, second = (laid(scene, face, x, y, origin, GRAIN) for face in (a, b))
    keep = shapely.intersects(first, second)
    a, b, along, x, y, origin = _taken(keep, a, b, along, x, y, origin)
    overlap = shapely.intersection(first[keep], second[keep])
    overlap = _within_reach(scene, a, b, along, x, y, origin, overlap, reach)
    zero = np.zeros(len(a))
    pairs = Facing(a, b, along, x, y, origin, overlap, zero, zero, zero, zero, np.zeros((len(a), 3)))
    return measured(scene, pairs.take(_large(overlap)))


def _taken(keep: Any, *arrays: Any) -> tuple[Any, ...]:
    return tuple(array[keep] for array in arrays)


def _may_overlap(scene: Scene, a: Ints, b: Ints, x: Floats, y: Floats, origin: Floats) -> Any:
    """Whether the boxes about two outlines, laid on the same axes, share enough that the outlines may."""
    (low_a, high_a), (low_b, high_b) = (_laid_box(scene, face, x, y, origin) for face in (a, b))
    sides = np.minimum(high_a, high_b) - np.maximum(low_a, low_b)
    return (sides > 0).all(axis=1) & (sides.prod(axis=1) > 0.99 * LEAST_AREA)


def _laid_box(scene: Scene, faces: Ints, x: Floats, y: Floats, origin: Floats) -> tuple[Floats, Floats]:
    if not len(faces):
        return np.zeros((0, 2)), np.zeros((0, 2))
    flat, counts = laid_corners(scene, faces, x, y, origin)
    starts = np.cumsum(counts) - counts
    return np.minimum.reduceat(flat, starts), np.maximum.reduceat(flat, starts)


def _large(overlap: Polygons) -> Any:
    area = shapely.area(overlap)
    return (area > LEAST_AREA) & (2 * area > LEAST_WIDTH * shapely.length(overlap))


def measured(scene: Scene, p: Facing) -> Facing:
    """The pairs with gap, angle, area and middle worked out from the planes and the overlap."""
    corners, k = p.corners()
    gap = gap_at(scene, p.a[k], p.b[k], p.along[k], corners)
    n = len(p)
    least, greatest = np.full(n, np.inf), np.full(n, -np.inf)
    np.minimum.at(least, k, gap)
    np.maximum.at(greatest, k, gap)
    na, nb = scene.normal[p.a], scene.normal[p.b]
    sine = np.linalg.norm(np.cross(na, nb), axis=1)
    angle = np.degrees(np.arctan2(sine, -np.einsum("ij,ij->i", na, nb)))
    centre = shapely.get_coordinates(shapely.centroid(p.overlap)).reshape(-1, 2)
    foot = p.origin + p.x * centre[:, :1] + p.y * centre[:, 1:]
    to_a, to_b = _reach(scene, p.a, p.along, foot), _reach(scene, p.b, p.along, foot)
    middle = foot + p.along * ((to_a + to_b) / 2)[:, None]
    area = shapely.area(p.overlap)
    return Facing(p.a, p.b, p.along, p.x, p.y, p.origin, p.overlap, least, greatest, angle, area, middle)


def _within_reach(
    scene: Scene, a: Ints, b: Ints, along: Floats, x: Floats, y: Floats, origin: Floats, overlap: Polygons, reach: float
) -> Polygons:
    """Where planes are not parallel, the part of the overlap over which the gap is within reach."""
    slant = np.flatnonzero(np.einsum("ij,ij->i", scene.normal[a], scene.normal[b]) > -1 + 1e-9)
    a, b, along, x, y, origin = _taken(slant, a, b, along, x, y, origin)
    here = gap_at(scene, a, b, along, origin)
    slope = np.column_stack([gap_at(scene, a, b, along, origin + axis) - here for axis in (x, y)])
    flat, k = shapely.get_coordinates(overlap[slant], return_index=True)
    widest = np.zeros(len(slant))
    np.maximum.at(widest, k, np.abs(here[k] + np.einsum("ij,ij->i", flat, slope[k])))
    for n in np.flatnonzero(widest > reach):
        strip = _strip(float(here[n]), float(slope[n, 0]), float(slope[n, 1]), reach)
        overlap[slant[n]] = shapely.intersection(overlap[slant[n]], strip)
    return overlap


def _strip(here: float, gx: float, gy: float, reach: float) -> shapely.Polygon:
    """Where a gap that runs by (gx, gy) from `here` lies between -reach and reach."""
    slope = float(np.hypot(gx, gy))
    u = np.array([gx, gy]) / slope
    v = np.array([-u[1], u[0]]) * 1e5
    near, far = (-reach - here) / slope, (reach - here) / slope
    return shapely.Polygon([u * near + v, u * far + v, u * far - v, u * near - v])


def unhidden(scene: Scene, p: Facing) -> Facing:
    """The pairs less what a nearer part hides: each face's overlaps, nearest first, are cut out of those behind."""
    far = p.greatest > FAR
    if not far.any():
        return p
    keep = p.overlap.copy()
    for own, other in ((p.a, p.b), (p.b, p.a)):
        _hide(p, *_nearer(p, own, scene.part[other], far), keep)
    p.overlap = keep
    return measured(scene, p.take(_large(keep)))


def _nearer(p: Facing, own: Ints, behind: Ints, far: Any) -> tuple[Ints, Ints]:
    """Each far pair with every nearer pair of the same face that has another part behind it."""
    order = np.lexsort((p.least, own))
    starts = np.flatnonzero(np.r_[True, own[order][1:] != own[order][:-1]])
    place = np.arange(len(order)) - np.repeat(starts, np.diff(np.r_[starts, len(order)]))
    at = np.flatnonzero(far[order] & (place > 0))
    i = np.repeat(order[at], place[at])
    h = order[np.repeat(at - place[at], place[at]) + within(place[at])]
    is_nearer = (p.least[h] < p.least[i] - NEARER) & (behind[h] != behind[i])
    return i[is_nearer], h[is_nearer]


def _hide(p: Facing, i: Ints, h: Ints, keep: Polygons) -> None:
    """Cut each overlap h, laid on the axes of its i, out of what is kept of i."""
    shadow = relaid_all(p, h, p.origin[i], p.x[i], p.y[i])
    one, other = shapely.bounds(shadow), shapely.bounds(keep[i])
    meet = np.all((one[:, :2] < other[:, 2:]) & (other[:, :2] < one[:, 2:]), axis=1)
    i, shadow = i[meet], shadow[meet]
    firsts = np.flatnonzero(np.r_[True, i[1:] != i[:-1]]) if len(i) else i
    shadows = [shapely.union_all(group) for group in np.split(shadow, firsts[1:])] if len(i) else []
    keep[i[firsts]] = shapely.difference(keep[i[firsts]], np.array(shadows, object))


def relaid_all(p: Facing, which: Ints, origin: Floats, x: Floats, y: Floats) -> Polygons:
    """Overlaps, each laid on other axes of its own."""
    flat, k = shapely.get_coordinates(p.overlap[which], return_index=True)
    h = which[k]
    world = p.origin[h] + p.x[h] * flat[:, :1] + p.y[h] * flat[:, 1:] - origin[k]
    moved = np.column_stack([np.einsum("ij,ij->i", world, x[k]), np.einsum("ij,ij->i", world, y[k])])
    return np.asarray(shapely.set_coordinates(p.overlap[which], moved))
