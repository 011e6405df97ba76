"""How far apart two parts are that are meant to keep a gap: the faces that look at each other across it."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from solids.fit.dryfit import DryFit
from solids.fit.facing import facing
from solids.kernel.mesh import Floats
from solids.model.geometry import Vector
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
    pair = (np.array([i]), np.array([j]))
    found = facing(dry.scene, pair, asked + FAR, AWRY)
    if not len(found):
        return None
    off = np.abs((found.least + found.greatest) / 2 - asked)
    k = int(np.lexsort((-found.area, np.round(off, 6)))[0])
    side = dry.part(i).facing(_way(dry, int(found.a[k]), i, found.along[k]))
    return Between(float(found.least[k]), float(found.greatest[k]), Vector(*found.middle[k].tolist()), side)


def _way(dry: DryFit, face: int, i: int, along: Floats) -> Vector:
    """The direction from part i to the other."""
    sign = 1.0 if int(dry.scene.part[face]) == i else -1.0
    return Vector(*(along * sign).tolist())
