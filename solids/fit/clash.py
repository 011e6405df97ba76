"""Where two parts share wood, and how deep."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from solids.fit.facing import Facing
from solids.fit.scene import Scene
from solids.kernel.mesh import Floats, Ints

LEAST_VOLUME = 1e-6  # mm³


@dataclass(frozen=True, slots=True)
class Clash:
    """Parts i < j share `volume` mm³ within the box low..high; `depth` mm is how far they run into each other.

    `film` is twice the volume over its surface: the mean thickness, which tells
    a skin from a lump.
    """

    i: int
    j: int
    volume: float
    depth: float
    film: float
    low: tuple[float, float, float]
    high: tuple[float, float, float]


def clashes(scene: Scene, pairs: tuple[Ints, Ints], facing: Facing, press: float) -> dict[tuple[int, int], Clash]:
    """All pairs that share wood deeper than `press`, by part numbers."""
    i, j = pairs
    lap = np.all(
        (scene.part_low[i] < scene.part_high[j] - 1e-6) & (scene.part_low[j] < scene.part_high[i] - 1e-6), axis=1
    )
    deepest = _deepest_gaps(scene, facing)
    found = {}
    for a, b in zip(i[lap].tolist(), j[lap].tolist(), strict=True):
        common = scene.world(a) ^ scene.world(b)
        if common.num_tri() and common.volume() > LEAST_VOLUME:
            clash = _measured(scene, a, b, common, deepest.get((a, b), 0.0))
            if clash.depth > press and clash.film > press / 4:
                found[a, b] = clash
    return found


def _deepest_gaps(scene: Scene, facing: Facing) -> dict[tuple[int, int], float]:
    """The worst negative gap of each pair of parts, as a depth."""
    deep: dict[tuple[int, int], float] = {}
    for k in np.flatnonzero(facing.least < 0).tolist():
        p, q = int(scene.part[facing.a[k]]), int(scene.part[facing.b[k]])
        key = (min(p, q), max(p, q))
        deep[key] = max(deep.get(key, 0.0), float(-facing.least[k]))
    return deep


def _measured(scene: Scene, a: int, b: int, common: Any, deepest: float) -> Clash:
    box = common.bounding_box()
    film = 2 * common.volume() / max(common.surface_area(), 1e-12)
    depth = deepest or _least_width(scene, a, b, common)
    return Clash(a, b, float(common.volume()), depth, film, tuple(box[:3]), tuple(box[3:]))


def _least_width(scene: Scene, a: int, b: int, common: Any) -> float:
    """The greatest, over its lumps, of a lump's least width square to a face of either part."""
    width = 0.0
    for lump in common.decompose():
        if lump.volume() < LEAST_VOLUME:
            continue
        points: Floats = np.asarray(lump.to_mesh64().vert_properties)[:, :3]
        low, high = points.min(0) - 0.01, points.max(0) + 0.01
        faces = np.concatenate([np.arange(scene.first[k], scene.first[k + 1]) for k in (a, b)])
        near = faces[np.all((scene.low[faces] <= high) & (scene.high[faces] >= low), axis=1)]
        if len(near):
            normals = np.unique(np.round(scene.normal[near], 9), axis=0)
            width = max(width, float(np.ptp(points @ normals.T, axis=0).min()))
    return width
