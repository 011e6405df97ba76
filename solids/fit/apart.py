"""How far apart two parts are that are meant to keep a gap: the faces that look at each other across it."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from solids.fit.dryfit import DryFit
from solids.fit.facing import Facing, facing
from solids.kernel.mesh import Floats
from solids.model.geometry import Vector
from solids.model.piece import Joint
from solids.model.side import Side

FAR = 60.0  # mm beyond what is asked that is still looked at
AWRY = 20.0  # degrees from opposite at which two edges still make a gap


class Between(NamedTuple):
    """The gap from a to b, in mm, where it is measured, and the side of a that it is on."""

    least: float
    greatest: float
    point: Vector
    side: Side


def between(dry: DryFit, i: int, j: int, asked: float) -> Between | None:
    """The gap between two parts that is nearest to what is asked; None where no faces look across."""
    found = across(dry, i, j, asked)
    if found is None:
        return None
    side = dry.part(i).facing(_way(dry, int(found.a[0]), i, found.along[0]))
    return Between(float(found.least[0]), float(found.greatest[0]), Vector(*found.middle[0].tolist()), side)


def across(dry: DryFit, i: int, j: int, asked: float) -> Facing | None:
    """The one pair of faces that make this gap."""
    found = facing(dry.scene, (np.array([i]), np.array([j])), asked + FAR, AWRY)
    if not len(found):
        return None
    off = np.abs((found.least + found.greatest) / 2 - asked)
    return found.take(np.lexsort((-found.area, np.round(off, 6)))[:1])


def band_of(dry: DryFit, joint: Joint) -> float:
    """By how much the gap that a joint asks for may be off: what its hardware lets it be, else as a reveal; mm."""
    ware = dry.piece.hardware.get(joint.hardware)
    return float(getattr(ware, "clearance_band", dry.limits.reveal))


def _way(dry: DryFit, face: int, i: int, along: Floats) -> Vector:
    """The direction from part i to the other."""
    sign = 1.0 if int(dry.scene.part[face]) == i else -1.0
    return Vector(*(along * sign).tolist())
