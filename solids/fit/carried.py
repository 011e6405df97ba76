"""Modules as they are carried: what they weigh, and the least opening that they go through, turned any way.

A module is what its convex hull is: nothing passes through its hollows. It may
be moved along any direction between its own axes and turned about that; so
standing, lying, on end, and leaned to pass under a head are all tried.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from solids.fit.dryfit import DryFit
from solids.kernel.mesh import Floats
from solids.kernel.swept import points_of
from solids.model.carrying import Module, Passage
from solids.model.motion import Slide

COARSE, FINE = 1.0, 0.02  # degrees between the directions and turns that are tried, first and at last


@dataclass(frozen=True, slots=True)
class Carried:
    """A module's hull corners (n, 3) in its own axes, its extents along them, and kg with and without its drawers."""

    module: Module
    corners: Floats
    size: tuple[float, float, float]
    height: float
    mass: float
    mass_without: float


@dataclass(frozen=True, slots=True)
class Fit:
    """The best that a module does at an opening: how it is seen from there, wide and high, and what that spares."""

    wide: float
    high: float
    spare: float


def carried(dry: DryFit) -> tuple[Carried, ...]:
    """Every module; the whole piece is one where the spec names none."""
    modules = dry.piece.modules or (Module(dry.piece.title or "the piece", tuple(p.id for p in dry.piece.parts)),)
    return tuple(_carried(dry, m) for m in modules)


def _carried(dry: DryFit, module: Module) -> Carried:
    own = [dry.number[p] for p in module.parts]
    points = np.concatenate([points_of(dry.scene.world(i)) for i in own])
    axes = _axes(dry, own)
    local = points @ axes.T
    drawers = {p for b in dry.piece.bodies if isinstance(b.motion, Slide) for p in b.parts}
    mass = [mass_of(dry, i) for i in own]
    without = [m for i, m in zip(own, mass, strict=True) if dry.part(i).id not in drawers]
    size = np.ptp(local, axis=0)
    return Carried(
        module, _hull(local), (float(size[0]), float(size[1]), float(size[2])), float(np.ptp(points[:, 2])),
        sum(mass), sum(without),
    )  # fmt: skip


def mass_of(dry: DryFit, i: int) -> float:
    """kg of a part: its wood, without hardware and finish."""
    stock = dry.part(i).stock
    return float(dry.scene.solids[i].faces.volume) * 1e-9 * (stock.density if stock else 0.0)


def centre_of(dry: DryFit, i: int) -> Floats:
    """The centre of a part's wood in the room: that of the tetrahedra from the origin to each triangle, by volume."""
    raw = dry.scene.world(i).to_mesh64()
    points = np.asarray(raw.vert_properties, float)[:, :3]
    a, b, c = (points[np.asarray(raw.tri_verts)[:, k]] for k in range(3))
    volume = np.einsum("ij,ij->i", a, np.cross(b, c)) / 6
    return np.asarray(((a + b + c) / 4 * volume[:, None]).sum(0) / volume.sum())


def _axes(dry: DryFit, own: list[int]) -> Floats:
    """The module's own axes, as rows: square to most of its faces' area, and to most of the rest across that."""
    faces = np.concatenate([np.arange(dry.scene.first[i], dry.scene.first[i + 1]) for i in own])
    normals, areas = dry.scene.normal[faces], dry.scene.area[faces]
    first = _most(normals, areas)
    flat = normals - np.outer(normals @ first, first)
    far = np.linalg.norm(flat, axis=1)
    across = far > 0.5
    second = _most(flat[across] / far[across, None], areas[across] * far[across]) if across.any() else _any(first)
    return np.array([first, second, np.cross(first, second)])


def _most(normals: Floats, areas: Floats) -> Floats:
    """The direction that most area looks along, either way."""
    flipped = np.where((normals @ [1.0, 1e-3, 1e-6])[:, None] < 0, -normals, normals)
    keys, which = np.unique(np.round(flipped, 5), axis=0, return_inverse=True)
    total = np.bincount(which.reshape(-1), weights=areas, minlength=len(keys))
    best = np.asarray(keys[int(np.argmax(np.round(total, 3)))], float)
    return np.asarray(best / np.linalg.norm(best))


def _any(direction: Floats) -> Floats:
    side = np.eye(3)[int(np.argmin(np.abs(direction)))]
    out = np.cross(direction, side)
    return np.asarray(out / np.linalg.norm(out))


def _hull(points: Floats) -> Floats:
    """The corners of the convex hull."""
    import manifold3d

    return points_of(manifold3d.Manifold.hull_points(points))


def through(module: Carried, passage: Passage) -> Fit:
    """How it goes through an opening of `width` by `height`: straight where it can, else as it does best.

    Its spare is under 0 where it does not.
    """
    straight = max((_straight(module, k, passage) for k in range(3)), key=_best_and_least)
    if straight.spare >= 0:
        return straight
    best, plane, way, turn = straight, 0, 0.0, 0.0
    for k in range(3):
        ways = np.arange(0.0, 180.0, COARSE)
        found = [(_best(module.corners, k, float(w), np.arange(0.0, 180.0, COARSE), passage), float(w)) for w in ways]
        for (fit, at), w in found:
            if fit.spare > best.spare + 1e-9:
                best, plane, way, turn = fit, k, w, at
    for w in np.arange(way - COARSE, way + COARSE, COARSE / 5):
        turns = np.arange(turn - COARSE, turn + COARSE, FINE)
        fit, _ = _best(module.corners, plane, float(w), turns, passage)
        if fit.spare > best.spare + 1e-9:
            best = fit
    return best


def _best_and_least(fit: Fit) -> tuple[float, float]:
    """What spares the most; of two that spare as much the one that needs the lesser opening."""
    return round(fit.spare, 6), -(fit.wide + fit.high)


def _straight(module: Carried, k: int, passage: Passage) -> Fit:
    """Moved along one of its own axes, on either of its sides."""
    p, q = (module.size[i] for i in range(3) if i != k)
    fits = [Fit(a, b, min(passage.width - a, passage.height - b)) for a, b in ((p, q), (q, p))]
    return max(fits, key=lambda fit: fit.spare)


def _best(corners: Floats, plane: int, way: float, turns: Floats, passage: Passage) -> tuple[Fit, float]:
    """The best turn when it is moved along a direction that lies in the plane across one of its axes."""
    a, b = np.eye(3)[(plane + 1) % 3], np.eye(3)[(plane + 2) % 3]
    s, c = math.sin(math.radians(way)), math.cos(math.radians(way))
    x, y = corners @ np.eye(3)[plane], corners @ (b * c - a * s)
    angle = np.radians(turns)[:, None]
    wide = np.ptp(x * np.cos(angle) + y * np.sin(angle), axis=1)
    high = np.ptp(y * np.cos(angle) - x * np.sin(angle), axis=1)
    spare = np.minimum(passage.width - wide, passage.height - high)
    k = int(np.argmax(np.round(spare, 7)))
    return Fit(float(wide[k]), float(high[k]), float(spare[k])), float(turns[k])


def round_corner(module: Carried, passage: Passage) -> float:
    """What a module's length spares when it is turned from one passage into one `corner` wide, square to it; mm.

    By its box. It may stand on any of its sides that is low enough; and what is
    narrow both ways is slid round without turning. For a thing `d` thick the
    longest that turns is the least, over all angles, of
    a / sin + b / cos - d / (sin cos): plane geometry.
    """
    assert passage.corner is not None
    best = -math.inf
    for up in range(3):
        if module.size[up] > passage.height:
            continue
        p, q = (module.size[k] for k in range(3) if k != up)
        a, b = passage.width, passage.corner
        slid = max(min(a - p, b - q), min(a - q, b - p))
        best = max(best, slid, _longest(a, b, min(p, q)) - max(p, q))
    return best


def turned_round(module: Carried, passage: Passage) -> float:
    """What a landing spares when a module is turned on it on the spot: the diagonal of what it stands on; mm.

    By its box, on whichever of its sides is low enough and has the least diagonal.
    """
    assert passage.landing is not None
    spare = -math.inf
    for up in range(3):
        if module.size[up] <= passage.height:
            p, q = (module.size[k] for k in range(3) if k != up)
            spare = max(spare, passage.landing - math.hypot(p, q))
    return spare


def _longest(a: float, b: float, thick: float) -> float:
    """The longest thing of a thickness that turns from a passage a wide into one b wide."""
    if thick > min(a, b):
        return -math.inf
    angle = np.radians(np.arange(0.01, 90.0, 0.01))
    s, c = np.sin(angle), np.cos(angle)
    return float((a / s + b / c - thick / (s * c)).min())


def stood_up(module: Carried, passage: Passage) -> float:
    """What the ceiling spares when a module that was carried lying is tipped up to stand: its diagonal must pass."""
    assert passage.ceiling is not None
    others = sorted(module.size)
    base = min(others[0], others[1]) if module.height >= others[2] - 1e-6 else others[0]
    return passage.ceiling - math.hypot(module.height, base)
