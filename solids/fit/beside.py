"""How much room there is beside the way of a drawer or a door."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from typing import Any, TypeAlias

import numpy as np
import shapely

from solids.fit.dryfit import DryFit
from solids.kernel.mesh import Floats
from solids.kernel.swept import points_of, swept
from solids.model.motion import Motion, Slide

ROOM = 30.0  # mm: how far it is looked for
Pieces: TypeAlias = list[tuple[int, Floats]]  # convex pieces of what moves: the part's number, and corners


@dataclass(frozen=True, slots=True)
class Still:
    """What stands in the way or beside it: `part` is its number, -1 for what is only in the room.

    What `yields` is another drawer or door that is open and may be shut first.
    """

    name: str
    part: int
    mesh: Any
    opened: bool = False
    yields: bool = False


def length_of(motion: Motion) -> float:
    """The whole way, in mm or degrees."""
    return motion.travel if isinstance(motion, Slide) else motion.by


def clearance(dry: DryFit, motion: Motion, pieces: Pieces, still: list[Still]) -> tuple[float | None, str]:
    """The least room beside the way, in mm, and what is there; None where nothing is near.

    Of a straight way square to it; of a turn anywhere, but for what is touched
    when shut. What is open does not count: its own way does.
    """
    found: list[tuple[float, str]] = []
    stretches = [] if isinstance(motion, Slide) else _stretches(motion, pieces)
    for s in (s for s in still if not s.opened):
        room = _beside(motion, pieces, s) if isinstance(motion, Slide) else _around(dry, pieces, stretches, s)
        if room is not None and room < ROOM:
            found.append((room, s.name))
    return min(found) if found else (None, "")


def _beside(motion: Slide, pieces: Pieces, still: Still) -> float | None:
    """Between the outlines seen along the way; None for what stands before or behind, or is not passed."""
    d = np.array(motion.toward)
    x = np.linalg.svd(d[None, :])[2][1:]
    corners = points_of(still.mesh)
    reach = corners @ d
    passed = [
        points @ x.T
        for _, points in pieces
        if (points @ d).max() + motion.travel > reach.min() and (points @ d).min() < reach.max()
    ]
    flat = corners @ x.T
    near = [p for p in passed if (np.maximum(p.min(0) - flat.max(0), flat.min(0) - p.max(0)) < ROOM).all()]
    if not near:
        return None
    seen = shapely.MultiPoint(flat).convex_hull if still.part < 0 else _outline(still.mesh, x)
    gaps = [float(shapely.distance(shapely.MultiPoint(p).convex_hull, seen)) for p in near]
    return min((gap for gap in gaps if gap > 0), default=None)


def _outline(mesh: Any, x: Floats) -> Any:
    """The mesh as seen along a direction: all its triangles laid flat."""
    raw = mesh.to_mesh64()
    flat = (np.asarray(raw.vert_properties, float)[:, :3] @ x.T)[np.asarray(raw.tri_verts)]
    triangles = shapely.polygons(flat)
    return shapely.union_all(triangles[shapely.area(triangles) > 1e-6], grid_size=1e-6)


def _stretches(motion: Motion, pieces: Pieces) -> list[Any]:
    """What each piece sweeps in every two degrees of a turn."""
    steps = max(1, int(np.ceil(length_of(motion) / 2)))
    shares = np.linspace(0, 1, steps + 1)
    return [swept(points, motion, a, b) for _, points in pieces for a, b in pairwise(shares)]


def _around(dry: DryFit, pieces: Pieces, stretches: list[Any], still: Still) -> float | None:
    """The least distance at any angle, at most a few hundredths too small; None for what is touched when shut."""
    parts = {i for i, _ in pieces}
    if any(dry.scene.world(i).min_gap(still.mesh, 1.0) < dry.limits.touch for i in parts):
        return None
    boxes = np.array([m.bounding_box() for m in stretches]).reshape(-1, 2, 3)
    low, high = np.asarray(still.mesh.bounding_box()).reshape(2, 3)
    apart = np.maximum(0.0, np.maximum(low - boxes[:, 1], boxes[:, 0] - high))
    far = np.linalg.norm(apart, axis=1)  # no nearer than their boxes
    best = ROOM
    for k in np.argsort(far, kind="stable").tolist():
        if far[k] >= best:
            break
        best = min(best, float(stretches[k].min_gap(still.mesh, best)))
    return best
