"""What a part would run into on a straight way out, however far off: exactly, with nothing sampled.

The first contact is between a face that looks ahead and one that looks back,
whose outlines overlap when both are laid along the way. Faces that slide along
it have no outline there and drop out.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

from solids.cuts.hole import Hole
from solids.cuts.mortise import Mortise
from solids.fit.dryfit import DryFit
from solids.fit.facing import gap_at
from solids.fit.scene import laid, plane_axes
from solids.kernel.mesh import Floats, Ints
from solids.model.geometry import Vector
from solids.model.part import Cut

MOST_WAYS = 26  # directions that are tried, the most common first
SLIP = 1e-3  # a face this near along the way slides
BACK = 0.05  # mm that a thing may lie behind and still be in the way
STRAIGHT = 1 - 1e-6  # cosine to which a way runs along a pin
PINNED = ("dowel", "loose_tenon")
LEAST_AREA = 0.5  # mm²: less of an overlap is a corner that passes
LEAST_WIDTH = 0.1  # mm: thinner ones are outlines that share an edge


def ways_out(dry: DryFit, parts: Iterable[int]) -> Floats:
    """The directions (n, 3) worth trying: those that faces of these parts look in, and opposite; most common first."""
    chosen = np.isin(dry.scene.part, np.fromiter(parts, np.int64))
    normals = np.round(np.concatenate([dry.scene.normal[chosen], -dry.scene.normal[chosen]]), 6) + 0.0
    if not len(normals):
        return np.zeros((0, 3))
    found, counts = np.unique(normals, axis=0, return_counts=True)
    best = np.lexsort((*(-found.T[::-1]), -counts))[:MOST_WAYS]
    return np.asarray(found[best] / np.linalg.norm(found[best], axis=1)[:, None])


@dataclass(frozen=True, slots=True)
class Pin:
    """Dowels or loose tenons between parts i and j: i leaves j along `leaves` only, and j leaves i the other way."""

    i: int
    j: int
    leaves: Vector


def pins(dry: DryFit) -> tuple[Pin, ...]:
    """The pinned pairs of a piece. Bolts and screws are put in afterwards and hold nothing on its way."""
    found = []
    for joint in dry.piece.joints:
        if joint.kind in PINNED:
            i, j = dry.number[joint.a], dry.number[joint.b]
            cuts = [dry.part(i).cut_named(name) for part, name in joint.cuts if part == joint.a]
            into = next((_into(made.cut) for made in cuts if made is not None), None)
            if into is not None:
                found.append(Pin(i, j, dry.part(i).frame.direction(into)))
    return tuple(found)


def _into(cut: Cut) -> Vector | None:
    """The way that a hole or a mortise goes into its part."""
    if isinstance(cut, Hole):
        return cut.axis()
    return cut.side.inward if isinstance(cut, Mortise) else None


def pinned(found: Iterable[Pin], way: Floats) -> Iterator[tuple[int, int]]:
    """Pairs of parts, the first of which can't go that way for the pins between it and the second."""
    for pin in found:
        along = float(np.dot(way, pin.leaves))
        if along < STRAIGHT:
            yield pin.i, pin.j
        if along > -STRAIGHT:
            yield pin.j, pin.i


def runs_into(dry: DryFit, a: Ints, b: Ints, way: Floats) -> NDArray[np.bool_]:
    """Which of the faces a, which look ahead, would run into the faces b beside them, which look back."""
    scene = dry.scene
    far = np.maximum(scene.low[b] * way, scene.high[b] * way).sum(1)
    near = np.minimum(scene.low[a] * way, scene.high[a] * way).sum(1)
    met = (far > near - BACK) & ~_clashing(dry, a, b)
    k = np.flatnonzero(met)
    faces, where = np.unique(np.concatenate([a[k], b[k]]), return_inverse=True)
    outlines = along(dry, faces, way)[where]
    shared = shapely.intersection(outlines[: len(k)], outlines[len(k) :])
    area = shapely.area(shared)
    large = (area > LEAST_AREA) & (2 * area > LEAST_WIDTH * shapely.length(shared))
    met[k[~large]] = False
    k, shared = k[large], shared[large]
    if len(k):
        nearest, farthest = _gaps(dry, a[k], b[k], way, shared)
        met[k] = (farthest > BACK) | (nearest > -BACK)
    return np.asarray(met)


def along(dry: DryFit, faces: Ints, way: Floats) -> Floats:
    """The outlines of faces, laid along a way."""
    x, y = plane_axes(way[None])
    n = len(faces)
    outlines = laid(dry.scene, faces, np.repeat(x, n, 0), np.repeat(y, n, 0), np.zeros((n, 3)))
    crossed = ~shapely.is_valid(outlines)  # a face seen almost edge on may cross itself by rounding
    outlines[crossed] = shapely.buffer(outlines[crossed], 0)
    return outlines


def _gaps(dry: DryFit, a: Ints, b: Ints, way: Floats, shared: Floats) -> tuple[Floats, Floats]:
    """The least and greatest way from faces a to faces b over what they share, in mm."""
    x, y = plane_axes(way[None])
    flat, k = shapely.get_coordinates(shared, return_index=True)
    points = x * flat[:, :1] + y * flat[:, 1:]
    gap = gap_at(dry.scene, a[k], b[k], np.repeat(way[None], len(k), 0), points)
    nearest, farthest = np.full(len(a), np.inf), np.full(len(a), -np.inf)
    np.minimum.at(nearest, k, gap)
    np.maximum.at(farthest, k, gap)
    return nearest, farthest


def _clashing(dry: DryFit, a: Ints, b: Ints) -> Ints:
    """Which pairs of faces belong to parts that share wood: that is told as what it is."""
    if not dry.clashes:
        return np.zeros(len(a), bool)
    count = len(dry.piece.parts)
    shared = np.array([min(p) * count + max(p) for p in dry.clashes])
    p, q = dry.scene.part[a], dry.scene.part[b]
    return np.asarray(np.isin(np.minimum(p, q) * count + np.maximum(p, q), shared))
