"""Faces made proper: outlines that touch or cross themselves taken apart, and skins without wood removed."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
import shapely

from solids.kernel.mesh import Floats
from solids.kernel.shape import SAME
from solids.model.geometry import Plane

LEAST_AREA = 1e-6  # mm²


@dataclass(frozen=True, slots=True)
class Face:
    """A planar face of mesh `shape`: its source and what else lies in its plane, its rings (n, 3), its area in mm²."""

    shape: int
    source: int
    also: tuple[int, ...]
    plane: Plane
    rings: list[Floats]
    area: float


def flat_axes(plane: Plane) -> tuple[int, int, int]:
    """The axis that a plane faces most nearly, and the two to lay it on."""
    sizes = [abs(round(c, 9)) for c in plane.normal]
    axis = sizes.index(max(sizes))
    return axis, (axis + 1) % 3, (axis + 2) % 3


def mended(faces: list[Face]) -> list[Face]:
    """Outlines that touch themselves in a point, or cross by a rounding error, made into proper polygons."""
    doubtful = [k for k, f in enumerate(faces) if len(f.rings) > 1 or len(f.rings[0]) > 4]  # four corners can't cross
    laid = [_laid(faces[k]) for k in doubtful]
    bad = {k: p for k, p, ok in zip(doubtful, laid, shapely.is_valid(laid), strict=True) if not ok}
    out: list[Face] = []
    for k, f in enumerate(faces):
        out += _split(f, bad[k]) if k in bad else [f]
    return [f for f in out if f.area > LEAST_AREA]


def without_skins(faces: list[Face]) -> list[Face]:
    """Where two faces lie back to back in one plane there is no wood between them: what they share is no face."""
    gone: dict[int, list[shapely.Geometry]] = {}
    for a, b in _back_to_back(faces):
        first, second = _laid(faces[a]), _laid(faces[b])
        shared = first.intersection(second)
        if shared.area > LEAST_AREA:
            gone.setdefault(a, []).append(shared)
            gone.setdefault(b, []).append(shared)
    out: list[Face] = []
    for k, f in enumerate(faces):
        out += _split(f, _laid(f).difference(shapely.union_all(gone[k]))) if k in gone else [f]
    return out


def _back_to_back(faces: list[Face]) -> list[tuple[int, int]]:
    """Pairs of faces of one mesh that lie in the same plane and look opposite ways."""
    shape = np.array([f.shape for f in faces], np.int64)
    sheets = np.array([(*f.plane.normal, f.plane.offset) for f in faces]).reshape(-1, 4)
    # By distance from the origin, whichever way they look: only neighbours within `SAME` can be a pair.
    order = np.lexsort((np.abs(sheets[:, 3]), shape))
    found: list[tuple[int, int]] = []
    step = 1
    while step < len(order):
        a, b = order[:-step], order[step:]
        near = (shape[a] == shape[b]) & (np.abs(np.abs(sheets[a, 3]) - np.abs(sheets[b, 3])) < SAME)
        if not near.any():
            break
        pair = near & (np.abs(sheets[a] + sheets[b]).max(axis=1) < SAME)
        found += zip(a[pair].tolist(), b[pair].tolist(), strict=True)
        step += 1
    return sorted(found)


def _laid(face: Face) -> shapely.Polygon:
    _, u, v = flat_axes(face.plane)
    return shapely.Polygon(face.rings[0][:, [u, v]], [r[:, [u, v]] for r in face.rings[1:]])


def _split(face: Face, polygon: shapely.Polygon) -> list[Face]:
    """The face as proper polygons."""
    n = np.array(face.plane.normal)
    axis, u, v = flat_axes(face.plane)
    out = []
    for piece in shapely.get_parts(shapely.get_parts(shapely.make_valid(polygon))):
        if piece.geom_type != "Polygon" or piece.area < LEAST_AREA:
            continue
        rings = []
        for ring in (piece.exterior, *piece.interiors):
            flat = np.asarray(ring.coords)[:-1, :2]
            points = np.zeros((len(flat), 3))
            points[:, [u, v]] = flat
            points[:, axis] = (face.plane.offset - points @ n) / n[axis]
            rings.append(points)
        out.append(replace(face, rings=rings, area=piece.area / abs(n[axis])))
    return out
