"""Whether a piece stands on all its feet: a foot that stays off the floor lets it rock.

It settles on the plane under its lowest points that its weight lies over. What
comes near the floor beyond the outline of what then stands on it, and does not
reach it, is a foot too short; a back or a rail between the feet is none.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
import shapely

from solids.fit.carried import centre_of, mass_of
from solids.fit.dryfit import DryFit
from solids.kernel.mesh import Floats
from solids.kernel.swept import points_of
from solids.model.carrying import Module

LOW = 6.0  # mm above the lowest point: what is higher was never meant to stand
STANDS = 0.3  # mm off the floor that a foot settles by itself
BEYOND = 20.0  # mm outside what stands: what is nearer tips nothing
HIGH = 1e4  # mm: a point far above, so that even feet of one plane make a solid


@dataclass(frozen=True, slots=True)
class Rock:
    """A foot that stays `gap` mm off the floor when its module stands on the others."""

    module: str
    part: str
    gap: float


def rocks(dry: DryFit) -> tuple[Rock, ...]:
    """The worst foot of each module, or of the whole piece, that does not reach the floor."""
    modules = dry.piece.modules or (Module(dry.piece.title or "the piece", tuple(p.id for p in dry.piece.parts)),)
    found = (max(_short(dry, m), key=lambda r: round(r.gap, 6), default=None) for m in modules)
    return tuple(r for r in found if r is not None)


def _short(dry: DryFit, module: Module) -> Iterator[Rock]:
    """Every part of a module that hangs off the floor beyond what it stands on."""
    own = [dry.number[p] for p in module.parts]
    feet = _feet(dry, own)
    every = np.concatenate([*feet.values()]) if feet else np.zeros((0, 3))
    if len(every) < 3 or float(np.ptp(every[:, 2])) <= STANDS:
        return
    plane = _settled(every, _weight(dry, own))
    if plane is None:
        return
    off = {i: p[:, 2] - (p[:, :2] @ plane[:2] + plane[2]) for i, p in feet.items()}
    standing = np.concatenate([p[off[i] <= STANDS] for i, p in feet.items()])
    outline = shapely.MultiPoint(standing[:, :2]).convex_hull
    for i, p in feet.items():
        k = int(np.argmin(off[i]))
        if off[i][k] > STANDS and outline.distance(shapely.Point(p[k, :2])) > BEYOND:
            yield Rock(module.name, dry.part(i).id, float(off[i][k]))


def _feet(dry: DryFit, own: list[int]) -> dict[int, Floats]:
    """The corners of each part that come near the floor, by its number."""
    low = {i: z for i in own if np.isfinite(z := float(dry.scene.part_low[i, 2]))}
    floor = min(low.values(), default=0.0) + LOW
    points = {i: points_of(dry.scene.world(i)) for i, z in low.items() if z < floor}
    return {i: p[p[:, 2] < floor] for i, p in points.items()}


def _weight(dry: DryFit, own: list[int]) -> Floats:
    """Where the weight of parts lies, in plan."""
    mass = np.array([mass_of(dry, i) for i in own])
    centres = np.array([centre_of(dry, i) for i in own])[:, :2]
    return np.asarray(centres.mean(axis=0) if not mass.sum() else mass @ centres / mass.sum())


def _settled(points: Floats, weight: Floats) -> Floats | None:
    """The plane z = a x + b y + c under all points that the weight lies over; None where it stands on nothing there."""
    from scipy.spatial import ConvexHull, QhullError

    top = np.array([[*points[:, :2].mean(axis=0), points[:, 2].max() + HIGH]])
    try:
        hull = ConvexHull(np.concatenate([points, top]))
    except QhullError:
        return None
    for corners, (a, b, c, d) in zip(hull.simplices, hull.equations, strict=True):
        if c < -1e-6 and len(points) not in corners:
            triangle = shapely.MultiPoint(points[corners, :2]).convex_hull
            if triangle.distance(shapely.Point(weight)) < 1e-6:
                return np.array([-a / c, -b / c, -d / c])
    return None
