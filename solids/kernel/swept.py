"""What a moving part sweeps: its convex pieces, each carried along a way or about an axis, never too small.

A straight way sweeps just the hull of its two ends. A turn sweeps less than the
hull of both ends and of the arcs' tangents, so what that hull clears is clear.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Any

import manifold3d
import numpy as np

from solids.kernel.mesh import Floats
from solids.model.motion import Motion, Slide

MOST_PIECES = 24  # into which one part is taken apart; what is left over is taken by its hull
CONVEX = 1e-6  # share of its volume by which a hull may be larger


def points_of(mesh: Any) -> Floats:
    """The corners of a mesh (n, 3)."""
    return np.asarray(mesh.to_mesh64().vert_properties, float)[:, :3]


def convex_pieces(mesh: Any) -> list[Floats]:
    """The corners of convex pieces that together are the mesh, or a little more where it has many hollows."""
    left: list[Any] = [mesh]
    done: list[Floats] = []
    while left:
        piece = left.pop()
        hull = piece.hull()
        full = len(left) + len(done) + 1 >= MOST_PIECES
        halves = () if full or hull.volume() - piece.volume() <= CONVEX * hull.volume() + 1e-3 else _halves(piece)
        if halves:
            left += halves
        else:
            done.append(points_of(hull))
    return done


def _halves(mesh: Any) -> tuple[Any, ...]:
    """The mesh parted along its largest face beyond which it goes on; nothing where no face parts it.

    Where an earlier cut left a skin there is no wood behind such a face; what it
    trims off the skin is still a step on.
    """
    hull = mesh.hull().volume()
    for normal, offset in _hollows(mesh):
        halves = tuple(half for half in mesh.split_by_plane(normal, offset) if half.volume() > 1e-6)
        if len(halves) == 2 or (halves and halves[0].hull().volume() < hull - 1e-3):
            return halves
    return ()


def _hollows(mesh: Any) -> Iterator[tuple[Floats, float]]:
    """The planes of faces beyond which the mesh goes on, the largest triangles first."""
    points = points_of(mesh)
    triangles = np.asarray(mesh.to_mesh64().tri_verts)
    a, b, c = (points[triangles[:, k]] for k in range(3))
    square = np.cross(b - a, c - a)
    size = np.linalg.norm(square, axis=1)
    seen: set[tuple[float, ...]] = set()
    for k in np.argsort(-size, kind="stable")[: np.count_nonzero(size > 1e-9)].tolist():
        normal = square[k] / size[k]
        offset = float(normal @ a[k])
        plane = (*np.round(normal, 6).tolist(), round(offset, 4))
        if plane not in seen and (points @ normal).max() > offset + 1e-4:
            seen.add(plane)
            yield normal, offset


def carried(points: Floats, motion: Motion, share: float) -> Floats:
    """Points (n, 3) at a share of the way."""
    frame = motion.at(share)
    return np.asarray(points @ np.array([frame.x, frame.y, frame.z]) + np.array(frame.origin))


def swept(points: Floats, motion: Motion, start: float, end: float) -> Any:
    """A convex piece over a stretch of its way, as a mesh; a turn of over 60 degrees is too long a stretch."""
    ends = [carried(points, motion, start), carried(points, motion, end)]
    if not isinstance(motion, Slide):
        ends.append(_tangents(points, motion, start, end))
    return manifold3d.Manifold.hull_points(np.concatenate(ends))


def _tangents(points: Floats, motion: Any, start: float, end: float) -> Floats:
    """Where the tangents at both ends of each corner's arc meet."""
    half = math.radians(motion.by * (end - start)) / 2
    axis, about = np.array(motion.axis), np.array(motion.about)
    rel = points - about
    along = np.outer(rel @ axis, axis)
    out = about + along + (rel - along) / math.cos(half)
    return carried(out, motion, (start + end) / 2)
