"""The wood that is not there: what a part lacks up to the plane on which its joint would cut it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from manifold3d import Manifold

from solids.cuts.trim import Trim
from solids.fit.dryfit import DryFit
from solids.kernel.mesh import Floats
from solids.model.geometry import Vector
from solids.model.part import Part

LEAST = 0.02  # mm: a part that is less short is not


@dataclass(frozen=True, slots=True)
class Missing:
    """What one part lacks: its mesh, how short it is at most and which way, and where; `even` where it is so all along.

    `level` is the way in which the lack stays alike.
    """

    part: int
    mesh: Any
    short: float
    along: Floats
    level: Floats
    longest: Floats
    points: tuple[Floats, ...]
    even: bool


def missing_wood(dry: DryFit, i: int, j: int) -> list[Missing]:
    """What each of two parts lacks of a joint that found it too short."""
    found = []
    for joint in dry.joints_by_pair.get((min(i, j), max(i, j)), ()):
        for id_, name in joint.cuts if joint.trouble else ():
            k = dry.number[id_]
            made = dry.part(k).cut_named(name)
            if k in (i, j) and made is not None and isinstance(made.cut, Trim):
                found += _lacking(k, dry.part(k), made.cut)
    return found


def _lacking(k: int, part: Part, cut: Trim) -> list[Missing]:
    axis, sign = cut.side.axis, cut.side.sign
    n, offset = np.array(cut.to.normal), cut.to.offset
    out = np.array(cut.side.outward)
    if abs(float(n @ out)) < 1e-6:
        return []
    end = part.blank.size[axis] if sign > 0 else 0.0
    corners = [np.array(c) for c in part.blank.corners() if abs(c[axis] - end) < 1e-9]
    shorts = [float((offset - n @ c) / (n @ out)) for c in corners]
    worst = max(range(len(corners)), key=lambda q: round(shorts[q], 6))
    if shorts[worst] < LEAST:
        return []
    size = np.array(part.blank.size)
    size[axis] = shorts[worst]
    low = np.zeros(3)
    low[axis] = end if sign > 0 else -shorts[worst]
    block = Manifold.cube(size.tolist()).translate(low.tolist())
    keep = -n if float(n @ out) > 0 else n
    block = block.trim_by_plane(keep.tolist(), -offset if float(n @ out) > 0 else offset)
    frame = part.frame
    move = np.column_stack([np.array(frame[:3]).T, frame.origin])
    rising = np.cross(out, n)
    if np.linalg.norm(rising) < 1e-9:
        rising = np.eye(3)[max((q for q in range(3) if q != axis), key=lambda q: part.blank.size[q])]
    alike = sum(abs(s - shorts[worst]) < 1e-6 for s in shorts) > 1

    def room(p: Floats) -> Floats:
        return np.array(frame.point(Vector(*p.tolist())))

    along, level = (np.array(frame.direction(Vector(*v.tolist()))) for v in (out, rising))
    points = tuple(room(c) for c in corners)
    return [Missing(k, block.transform(move), shorts[worst], along, level, points[worst], points, alike)]
