"""Whether a piece comes apart at all, quickly: what is left when everything that is free has been taken off.

Only parts that stand next to each other are looked at face by face. Whatever is
farther ahead counts as in the way where its box would be met, which can hold a
part too long but never lets one go that is held.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import shapely

from solids.fit.ahead import BACK, SLIP, pinned, pins, runs_into, ways_out
from solids.fit.dryfit import DryFit
from solids.fit.scene import face_pairs, plane_axes
from solids.kernel.mesh import Floats, Ints

NEXT = 1.0  # mm: parts whose boxes are nearer than this stand next to each other


def left_over(dry: DryFit, units: Sequence[Sequence[int]]) -> list[Sequence[int]]:
    """The units that are left when all that comes off by itself has gone; none where it all comes apart."""
    unit_of = np.full(len(dry.piece.parts), -1)
    for k, parts in enumerate(units):
        unit_of[list(parts)] = k
    ways = _shortest_first(dry, ways_out(dry, (p for parts in units for p in parts)))
    stands = np.ones(len(units), bool)
    known: dict[int, tuple[Ints, Ints]] = {}
    while stands.sum() > 1:
        for k, way in enumerate(ways):
            if k not in known:
                known[k] = _in_the_way(dry, way, unit_of)
            free = _free(*known[k], stands)
            if free.any():
                stands &= ~free
                break
        else:
            return [units[k] for k in np.flatnonzero(stands).tolist()]
    return []


def _shortest_first(dry: DryFit, ways: Floats) -> Floats:
    """The ways along which the piece is short: there is least ahead."""
    extent = np.ptp(dry.scene.points @ ways.T, axis=0) if len(dry.scene.points) else np.zeros(len(ways))
    return np.asarray(ways[np.argsort(np.round(extent, 3), kind="stable")])


def _free(unit: Ints, other: Ints, stands: Ints) -> Ints:
    held = np.bincount(unit[stands[unit] & stands[other]], minlength=len(stands))
    return np.asarray(stands & (held == 0))


def _in_the_way(dry: DryFit, way: Floats, unit_of: Ints) -> tuple[Ints, Ints]:
    """Pairs of units, the first of which is held by the second."""
    i, j = _ahead(dry, way, unit_of)
    low, high = dry.scene.part_low, dry.scene.part_high
    beside = np.all((low[i] <= high[j] + NEXT) & (low[j] <= high[i] + NEXT), axis=1)
    a, b = face_pairs(dry.scene, i[beside], j[beside])
    slope = dry.scene.normal @ way
    looks = (slope[a] > SLIP) & (slope[b] < -SLIP)
    a, b = a[looks], b[looks]
    met = runs_into(dry, a, b, way)
    part = dry.scene.part
    held = np.array(list(pinned(pins(dry), way)), np.int64).reshape(-1, 2)
    first = unit_of[np.concatenate([i[~beside], part[a[met]], held[:, 0]])]
    second = unit_of[np.concatenate([j[~beside], part[b[met]], held[:, 1]])]
    real = (first >= 0) & (second >= 0) & (first != second)
    return first[real], second[real]


def _ahead(dry: DryFit, way: Floats, unit_of: Ints) -> tuple[Ints, Ints]:
    """Pairs of parts of different units whose boxes would meet, were the first moved along the way."""
    scene = dry.scene
    real = np.flatnonzero((unit_of >= 0) & (np.diff(scene.first) > 0))
    x, y = plane_axes(way[None])
    laid = np.column_stack([scene.points @ x[0], scene.points @ y[0], scene.points @ way])
    starts = scene.starts[scene.first[real]]
    low, high = np.minimum.reduceat(laid, starts), np.maximum.reduceat(laid, starts)
    shadow = shapely.box(low[:, 0] + BACK, low[:, 1] + BACK, high[:, 0] - BACK, high[:, 1] - BACK)
    i, j = shapely.STRtree(shadow).query(shadow)
    keep = (unit_of[real[i]] != unit_of[real[j]]) & (high[j, 2] > low[i, 2] + BACK)
    return real[i[keep]], real[j[keep]]
