"""Wood left: the least thickness between two surfaces of one part, where a cut made one of them."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from solids.fit.facing import overlapping
from solids.fit.scene import Scene, face_pairs
from solids.kernel.mesh import TOOL


@dataclass(frozen=True, slots=True)
class Web:
    """Wood of one part between faces a and b, `left` mm thick at its thinnest, about `point`."""

    part: int
    a: int
    b: int
    left: float
    point: tuple[float, float, float]


def webs(scene: Scene, under: float) -> list[Web]:
    """Every web thinner than `under` mm between nearly opposite faces of one part."""
    own = np.arange(len(scene.solids))
    a, b = face_pairs(scene, own, own)
    keep = (a < b) & ((scene.source[a] >= TOOL) | (scene.source[b] >= TOOL))
    a, b = a[keep], b[keep]
    keep = np.einsum("ij,ij->i", scene.normal[a], scene.normal[b]) < -np.cos(np.radians(15))
    keep &= np.all((scene.low[a] <= scene.high[b] + under) & (scene.low[b] <= scene.high[a] + under), axis=1)
    a, b = a[keep], b[keep]
    along = scene.normal[a] - scene.normal[b]
    along /= np.linalg.norm(along, axis=1)[:, None]
    origin = (np.maximum(scene.low[a], scene.low[b]) + np.minimum(scene.high[a], scene.high[b])) / 2
    pairs = overlapping(scene, a, b, along, origin, under)
    found = []
    for k in range(len(pairs)):
        left = float(-pairs.greatest[k])
        if 0 < left < under - 1e-6:
            face = int(pairs.a[k])
            point = tuple(pairs.middle[k].tolist())
            found.append(Web(int(scene.part[face]), face, int(pairs.b[k]), left, point))
    return found
