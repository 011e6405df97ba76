"""What is seen of a part: its triangles with the way that they look at each corner, and the lines where faces meet."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any

import numpy as np

from solids.kernel.mesh import Floats, Ints

FLAT = 1e-6  # by how much the unit normals of one face's triangles may differ for it to be planar
CREASE = math.cos(math.radians(12))  # two faces that meet flatter than this run into each other: no line is drawn


@dataclass(frozen=True, slots=True)
class Skin:
    """A closed mesh on the bench, in mm, ready to be shown.

    points (n, 3); faces (m, 3), numbers of points, anticlockwise from outside;
    source (m,), the face of the part that each triangle lies on; normals
    (m, 3, 3), unit, at each triangle's corners: its own on a planar face, those
    of the surface on a round one; edges (e, 2), numbers of points.
    """

    points: Floats
    faces: Ints
    source: Ints
    normals: Floats
    edges: Ints

    @property
    def size(self) -> Floats:
        """Length, width and thickness of its box in mm."""
        return np.asarray(np.ptp(self.points, axis=0)) if len(self.points) else np.zeros(3)


def skin_of(points: Floats, faces: Ints, source: Ints) -> Skin:
    """The skin of a closed mesh, where each triangle names the face that it lies on."""
    normals = _corner_normals(points, faces, source)
    return Skin(points, faces, source, normals, _edges(faces, source, normals))


def skin_of_mesh(mesh: Any) -> Skin:
    """The skin of a manifold3d mesh, on which the fit is measured."""
    mesh = mesh.to_mesh64()
    points = np.asarray(mesh.vert_properties, float)[:, :3]
    faces = np.asarray(mesh.tri_verts).astype(np.int64).reshape(-1, 3)
    return skin_of(points, faces, np.asarray(mesh.face_id).astype(np.int64))


def _corner_normals(points: Floats, faces: Ints, source: Ints) -> Floats:
    """(m, 3, 3): a round face's triangles share the mean of their normals by the angle they have at a point."""
    if not len(faces):
        return np.zeros((0, 3, 3))
    crossed = np.cross(points[faces[:, 1]] - points[faces[:, 0]], points[faces[:, 2]] - points[faces[:, 0]])
    own = _unit(crossed)
    _, face = np.unique(source, return_inverse=True)
    face = face.ravel()
    low, high = np.full((face.max() + 1, 3), np.inf), np.full((face.max() + 1, 3), -np.inf)
    wide = np.linalg.norm(crossed, axis=1) > FLAT
    np.minimum.at(low, face[wide], own[wide])
    np.maximum.at(high, face[wide], own[wide])
    is_round = (high - low).max(1) > FLAT
    _, corner = np.unique(face[:, None] * len(points) + faces, return_inverse=True)
    corner = corner.reshape(-1)
    total = np.zeros((corner.max() + 1, 3))
    np.add.at(total, corner, (own[:, None, :] * _angles(points, faces)[:, :, None]).reshape(-1, 3))
    shared = _unit(total)[corner].reshape(-1, 3, 3)
    return np.where(is_round[face][:, None, None], shared, own[:, None, :])


def _angles(points: Floats, faces: Ints) -> Floats:
    """(m, 3): radians at each corner. Area would favour the side on which a strip has two triangles in a corner."""
    at = points[faces]
    onward, back = _unit(np.roll(at, -1, axis=1) - at), _unit(np.roll(at, 1, axis=1) - at)
    return np.asarray(np.arccos(np.clip(np.einsum("ijk,ijk->ij", onward, back), -1.0, 1.0)))


def _unit(v: Floats) -> Floats:
    length = np.linalg.norm(v, axis=-1, keepdims=True)
    return np.asarray(v / np.where(length > 0, length, 1.0))


def _edges(faces: Ints, source: Ints, normals: Floats) -> Ints:
    """The edges where two faces of the part meet at an angle that is seen."""
    if not len(faces):
        return np.zeros((0, 2), np.int64)
    a, b = faces.ravel(), faces[:, [1, 2, 0]].ravel()
    triangle = np.repeat(np.arange(len(faces)), 3)
    corner = np.tile(np.arange(3), len(faces))
    low, high = np.minimum(a, b), np.maximum(a, b)
    order = np.lexsort((source[triangle], high, low))
    low, high, triangle, corner = low[order], high[order], triangle[order], corner[order]
    same = (low[1:] == low[:-1]) & (high[1:] == high[:-1])
    parted = source[triangle[1:]] != source[triangle[:-1]]
    # The normal half way along the edge, in each of its two triangles.
    along = normals[triangle, corner] + normals[triangle, (corner + 1) % 3]
    along = _unit(along)
    turned = np.einsum("ij,ij->i", along[1:], along[:-1]) < CREASE
    k = np.flatnonzero(same & parted & turned)
    return np.unique(np.column_stack([low[k], high[k]]), axis=0)
