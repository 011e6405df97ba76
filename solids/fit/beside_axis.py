"""The flat faces beside a hole: how far its axis runs from them, on the part as it is cut."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
import shapely

from solids.fit.fastened import Drilled
from solids.fit.scene import Scene, laid, plane_axes
from solids.kernel.mesh import Floats

BESIDE = 0.26  # sine of 15 degrees: a face is beside an axis that runs along it within this
SPOTS = np.array([0.02, 0.25, 0.5, 0.75, 0.98])  # of a hole's depth, where it is measured
ON = 0.01  # mm: a foot this near an outline is on the face
NOISE = 1e-6  # mm


def faces_beside(scene: Scene, hole: Drilled, deep: float, within: float = np.inf) -> Iterator[tuple[int, float]]:
    """Each face that an axis runs along, no further off than `within`, and how near the axis comes to it, in mm.

    Of a slot both axes count that its round ends are about.
    """
    ends = [hole.start, hole.start.plus(hole.slot)] if hole.slot.length() else [hole.start]
    points = np.concatenate([np.array(end) + np.outer(SPOTS * deep, np.array(hole.axis)) for end in ends])
    faces = np.arange(scene.first[hole.part], scene.first[hole.part + 1])
    faces = faces[np.abs(scene.normal[faces] @ np.array(hole.axis)) < BESIDE]
    apart = scene.offset[faces][:, None] - scene.normal[faces] @ points.T
    for k in np.flatnonzero(((apart > NOISE) & (apart < within)).any(1)).tolist():
        face = int(faces[k])
        made = scene.made(face)
        if made is not None and made.name == hole.made.name:
            continue
        here = [float(d) for p, d in zip(points, apart[k], strict=True) if d > NOISE and stands_on(scene, face, p, d)]
        if here:
            yield face, min(here)


def stands_on(scene: Scene, face: int, point: Floats, distance: float) -> bool:
    """Whether the foot of a point, so far before a face, lies on it."""
    normal = scene.normal[face]
    foot = point + normal * distance
    x, y = plane_axes(normal[None])
    outline = laid(scene, np.array([face]), x, y, foot[None])[0]
    return bool(shapely.dwithin(outline, shapely.Point(0, 0), ON))
