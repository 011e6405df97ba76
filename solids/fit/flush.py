"""Exposed faces of touching parts that look the same way: whether one stands proud of the other."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import shapely

from solids.fit.facing import Facing, gap_at, relaid_all
from solids.fit.scene import Polygons, Scene, face_pairs, laid, plane_axes
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
    a, b = face_pairs(scene, pairs[:, 0], pairs[:, 1], max(FAR, most) + BESIDE)
    keep = np.einsum("ij,ij->i", scene.normal[a], scene.normal[b]) > np.cos(np.radians(SAME_WAY))
    a, b = a[keep], b[keep]
    along = scene.normal[a] + scene.normal[b]
    along /= np.linalg.norm(along, axis=1)[:, None]
    origin = (np.maximum(scene.low[a], scene.low[b]) + np.minimum(scene.high[a], scene.high[b])) / 2
    step = gap_at(scene, a, b, along, origin)
    keep = np.abs(step) > 1e-3
    a, b = a[keep], b[keep]
    along, origin, step = along[keep], origin[keep], step[keep]
    is_jointed = np.fromiter(
        (pair in jointed for pair in zip(scene.part[a].tolist(), scene.part[b].tolist(), strict=True)), bool, len(a)
    )
    keep = np.abs(step) < np.where(is_jointed, FAR, most)
    can_show = {f: _can_show(scene, f) for f in np.unique(np.concatenate([a[keep], b[keep]])).tolist()}
    keep[keep] = [can_show[p] and can_show[q] for p, q in zip(a[keep].tolist(), b[keep].tolist(), strict=True)]
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
    keep[keep] = shapely.area(shapely.intersection(first[keep], second[keep])) < 1.0
    a, b, x, y, origin, step = (z[keep] for z in (a, b, x, y, origin, step))
    sides = [_exposed(facing, f, outline[keep], x, y, origin) for f, outline in ((a, first), (b, second))]
    grown = [shapely.buffer(side, 0.5, join_style="mitre") for side in sides]
    strip = shapely.intersection(*grown)
    seen = np.flatnonzero(shapely.area(strip) > STRIP)
    at = shapely.get_coordinates(shapely.centroid(strip[seen]))
    points = origin[seen] + x[seen] * at[:, :1] + y[seen] * at[:, 1:]
    return [Step(int(a[k]), int(b[k]), float(step[k]), tuple(p)) for k, p in zip(seen, points.tolist(), strict=True)]


def _exposed(facing: Facing, faces: Ints, outlines: Polygons, x: Floats, y: Floats, origin: Floats) -> Polygons:
    """Outlines of faces less what other parts cover: a panel's edge deep in a rabbet need not be flush."""
    out = outlines.copy()
    owner, cover = _covers(facing, faces)
    hidden = shapely.buffer(relaid_all(facing, cover, origin[owner], x[owner], y[owner]), SLIVER)
    # One cover of each face at a time, all faces together.
    turn = np.arange(len(owner)) - np.searchsorted(owner, owner)
    for k in range(int(turn.max(initial=-1)) + 1):
        now = turn == k
        out[owner[now]] = shapely.difference(out[owner[now]], hidden[now])
    return out


def _covers(facing: Facing, faces: Ints) -> tuple[Ints, Ints]:
    """Whatever faces each of the given faces: which of them, in order, and which facing pair."""
    sides = np.concatenate([facing.a, facing.b])
    order = np.argsort(sides, kind="stable")
    first, last = (np.searchsorted(sides[order], faces, side) for side in ("left", "right"))
    counts = last - first
    owner = np.repeat(np.arange(len(faces)), counts)
    within = np.arange(len(owner)) - np.repeat(np.cumsum(counts) - counts, counts)
    return owner, order[first[owner] + within] % max(1, len(facing))
