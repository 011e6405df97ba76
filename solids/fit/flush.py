"""Exposed faces of touching parts that look the same way: whether one stands proud of the other."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from typing import Any

import numpy as np
import shapely

from solids.fit.facing import Facing, relaid
from solids.fit.scene import Scene, face_pairs, laid, plane_axes
from solids.kernel.mesh import Floats, Ints

SAME_WAY = 1.0  # degrees
BESIDE = 0.6  # mm between two outlines that meet at an edge
SLIVER = 0.25  # mm: what the play of a housing leaves bare beside what is covered does not show
HIDDEN = ("dado", "groove", "mortise", "rabbet", "tongue", "tenon")  # cuts whose faces a joint hides
FAR = 25.0  # mm: faces of jointed parts further apart than this were never meant to be flush
STRIP = 3.0  # mm² of the strip in which two outlines, each grown by half a mm, must meet


@dataclass(frozen=True, slots=True)
class Step:
    """Face b stands `height` mm proud of face a (shy where negative), at `point`."""

    a: int
    b: int
    height: float
    point: tuple[float, float, float]


def steps(scene: Scene, facing: Facing, most: float, jointed: set[tuple[int, int]]) -> list[Step]:
    """Steps up to `most` mm between exposed faces of touching parts; of jointed parts, any step."""
    touching = facing.least < 0.5
    sides = np.column_stack([scene.part[facing.a[touching]], scene.part[facing.b[touching]]])
    if not len(sides):
        return []
    pairs = np.unique(np.sort(sides, axis=1), axis=0)
    candidates = _candidates(scene, pairs, most, jointed)
    if not len(candidates[0]):
        return []
    return _exposed_steps(scene, facing, *candidates)


def _candidates(
    scene: Scene, pairs: Ints, most: float, jointed: set[tuple[int, int]]
) -> tuple[Ints, Ints, Floats, Floats, Floats]:
    a, b = face_pairs(scene, pairs[:, 0], pairs[:, 1])
    keep = np.einsum("ij,ij->i", scene.normal[a], scene.normal[b]) > np.cos(np.radians(SAME_WAY))
    a, b = a[keep], b[keep]
    along = scene.normal[a] + scene.normal[b]
    along /= np.linalg.norm(along, axis=1)[:, None]
    origin = (np.maximum(scene.low[a], scene.low[b]) + np.minimum(scene.high[a], scene.high[b])) / 2
    to_a = (scene.offset[a] - np.einsum("ij,ij->i", scene.normal[a], origin)) / np.einsum(
        "ij,ij->i", scene.normal[a], along
    )
    to_b = (scene.offset[b] - np.einsum("ij,ij->i", scene.normal[b], origin)) / np.einsum(
        "ij,ij->i", scene.normal[b], along
    )
    step = to_b - to_a
    is_jointed = np.fromiter(
        ((int(p), int(q)) in jointed for p, q in zip(scene.part[a], scene.part[b], strict=True)), bool, len(a)
    )
    keep = (np.abs(step) > 1e-3) & (np.abs(step) < np.where(is_jointed, FAR, most))
    keep[keep] = [_can_show(scene, int(p)) and _can_show(scene, int(q)) for p, q in zip(a[keep], b[keep], strict=True)]
    return a[keep], b[keep], along[keep], origin[keep], step[keep]


def _can_show(scene: Scene, face: int) -> bool:
    """Whether a face is one to be flush with: the floor of a groove or the cheek of a tenon is none."""
    made = scene.made(face)
    return made is None or made.cut.kind not in HIDDEN


def _exposed_steps(
    scene: Scene, facing: Facing, a: Ints, b: Ints, along: Floats, origin: Floats, step: Floats
) -> list[Step]:
    """Of the candidates, those that meet along an edge after what other parts cover is taken away."""
    x, y = plane_axes(along)
    first, second = laid(scene, a, x, y, origin), laid(scene, b, x, y, origin)
    keep = shapely.dwithin(first, second, BESIDE)
    keep &= shapely.area(shapely.intersection(first, second)) < 1.0
    covers: dict[int, list[int]] = defaultdict(list)
    for k in range(len(facing)):
        covers[int(facing.a[k])].append(k)
        covers[int(facing.b[k])].append(k)
    found = []
    for k in np.flatnonzero(keep).tolist():
        sides = [
            _exposed(facing, covers, int(f), outline, origin[k], x[k], y[k])
            for f, outline in ((a[k], first[k]), (b[k], second[k]))
        ]
        grown = shapely.buffer(sides, 0.5, join_style="mitre")
        strip = shapely.intersection(grown[0], grown[1])
        if shapely.area(strip) > STRIP:
            at = shapely.get_coordinates(shapely.centroid(strip))[0]
            point = origin[k] + x[k] * at[0] + y[k] * at[1]
            found.append(Step(int(a[k]), int(b[k]), float(step[k]), tuple(point.tolist())))
    return found


def _exposed(
    facing: Facing, covers: dict[int, list[int]], face: int, outline: Any, origin: Floats, x: Floats, y: Floats
) -> Any:
    """A face's outline less what another part covers: a panel's edge deep in a rabbet need not be flush."""
    hidden = [relaid(facing, h, origin, x, y) for h in covers.get(face, ())]
    if not hidden:
        return outline
    return shapely.difference(outline, shapely.buffer(shapely.union_all(hidden), SLIVER))
