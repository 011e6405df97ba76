"""Where two parts share wood, and how deep."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from typing import Any

import numpy as np

from solids.fit.facing import Facing
from solids.fit.scene import Scene
from solids.kernel.mesh import Floats, Ints

LEAST_VOLUME = 1e-6  # mm³
NEAR = 0.01  # mm: a face this near a lump's box bounds it


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
    low, high = scene.part_low, scene.part_high - 1e-6
    lap = np.all((low[i] < high[j]) & (low[j] < high[i]), axis=1)
    negative = _negative_gaps(scene, facing, press)
    found = {}
    for a, b in zip(i[lap].tolist(), j[lap].tolist(), strict=True):
        common = scene.world(a) ^ scene.world(b)
        if common.num_tri() and common.volume() > LEAST_VOLUME:
            clash = _measured(scene, a, b, common, facing, negative.get((a, b), []))
            if clash.depth > press and clash.film > press / 4:
                found[a, b] = clash
    return found


def _negative_gaps(scene: Scene, facing: Facing, press: float) -> dict[tuple[int, int], list[int]]:
    """The facing pairs that run into each other, by their parts."""
    found: dict[tuple[int, int], list[int]] = defaultdict(list)
    for k in np.flatnonzero(facing.least < -press).tolist():
        p, q = int(scene.part[facing.a[k]]), int(scene.part[facing.b[k]])
        found[min(p, q), max(p, q)].append(k)
    return found


def _measured(scene: Scene, a: int, b: int, common: Any, facing: Facing, negative: list[int]) -> Clash:
    box = common.bounding_box()
    film = 2 * common.volume() / max(common.surface_area(), 1e-12)
    lumps = [lump for lump in common.decompose() if lump.volume() > LEAST_VOLUME] or [common]
    depth = max(_depth(scene, a, b, lump, facing, negative) for lump in lumps)
    return Clash(a, b, float(common.volume()), depth, film, tuple(box[:3]), tuple(box[3:]))


def _depth(scene: Scene, a: int, b: int, lump: Any, facing: Facing, negative: list[int]) -> float:
    """How far one must move for a lump to be gone: the least of the gaps, taken as negative, across it.

    A tenon 1 mm too thick is 0.5 deep at each cheek, though its end is far below the host's side.
    """
    box = np.asarray(lump.bounding_box()).reshape(2, 3)
    across = [
        k for k in negative if np.all((facing.middle[k] > box[0] - NEAR) & (facing.middle[k] < box[1] + NEAR))
    ]  # fmt: skip
    return float(min((-facing.least[k] for k in across), default=0.0)) or _least_width(scene, a, b, lump)


def _least_width(scene: Scene, a: int, b: int, lump: Any) -> float:
    """A lump's least width square to a face of either part."""
    points: Floats = np.asarray(lump.to_mesh64().vert_properties)[:, :3]
    low, high = points.min(0) - NEAR, points.max(0) + NEAR
    faces = np.concatenate([np.arange(scene.first[k], scene.first[k + 1]) for k in (a, b)])
    near = faces[np.all((scene.low[faces] <= high) & (scene.high[faces] >= low), axis=1)]
    if not len(near):
        return 0.0
    normals = np.unique(np.round(scene.normal[near], 9), axis=0)
    return float(np.ptp(points @ normals.T, axis=0).min())
