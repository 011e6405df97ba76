"""Wood left: the least thickness between two surfaces of one part, where a cut made one of them."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from solids.fit.beside_axis import faces_beside
from solids.fit.facing import overlapping
from solids.fit.fastened import Drilled, drilled, wood_before
from solids.fit.scene import Scene, face_pairs
from solids.kernel.mesh import TOOL, Floats
from solids.model.part import Made


@dataclass(frozen=True, slots=True)
class Web:
    """Wood of one part between faces a and b, `left` mm thick at its thinnest, about `point`."""

    part: int
    a: int
    b: int
    left: float
    point: tuple[float, float, float]


def webs(scene: Scene, under: float) -> list[Web]:
    """Every web thinner than `under` mm between nearly opposite faces of one part."""
    own = np.arange(len(scene.solids))
    a, b = face_pairs(scene, own, own)
    keep = (a < b) & ((scene.source[a] >= TOOL) | (scene.source[b] >= TOOL))
    a, b = a[keep], b[keep]
    keep = np.einsum("ij,ij->i", scene.normal[a], scene.normal[b]) < -np.cos(np.radians(15))
    keep &= np.all((scene.low[a] <= scene.high[b] + under) & (scene.low[b] <= scene.high[a] + under), axis=1)
    a, b = a[keep], b[keep]
    along = scene.normal[a] - scene.normal[b]
    along /= np.linalg.norm(along, axis=1)[:, None]
    origin = (np.maximum(scene.low[a], scene.low[b]) + np.minimum(scene.high[a], scene.high[b])) / 2
    pairs = overlapping(scene, a, b, along, origin, under)
    found = []
    for k in range(len(pairs)):
        left = float(-pairs.greatest[k])
        if 0 < left < under - 1e-6:
            face = int(pairs.a[k])
            point = tuple(pairs.middle[k].tolist())
            found.append(Web(int(scene.part[face]), face, int(pairs.b[k]), left, point))
    return found


@dataclass(frozen=True, slots=True)
class Rim:
    """Wood between the wall of a round hole and a flat `face`, or another hole's wall where that is -1; mm."""

    part: int
    made: Made
    other: Made | None
    face: int
    left: float
    point: tuple[float, float, float]


def rims(scene: Scene, part: int, under: float) -> list[Rim]:
    """The thinnest rim of each hole of one part toward each face and each other cut, under `under` mm."""
    owner = scene.piece.parts[part]
    holes = [h for m in owner.cuts if m.cut.kind == "hole" for h in drilled(part, owner, m)]
    deep = [_deep(scene, h) for h in holes]
    found: dict[tuple[str, str, int], Rim] = {}
    for k, hole in enumerate(holes):
        near = [*_to_faces(scene, hole, deep[k], under)]
        near += [r for j in range(k) if (r := _to_hole(hole, deep[k], holes[j], deep[j], under)) is not None]
        for rim in near:
            key = (rim.made.name, rim.other.name if rim.other else "", rim.face)
            if key not in found or rim.left < found[key].left - 1e-9:
                found[key] = rim
    return list(found.values())


def _deep(scene: Scene, hole: Drilled) -> float:
    """How long its wall is, in mm."""
    whole = wood_before(scene.piece.parts[hole.part], hole.start, hole.axis)
    return whole if hole.depth is None else min(whole, hole.depth)


def _to_faces(scene: Scene, hole: Drilled, deep: float, under: float) -> list[Rim]:
    radius = hole.diameter / 2
    x, y, z = hole.below(deep / 2)
    return [
        Rim(hole.part, hole.made, scene.made(face), face, distance - radius, (x, y, z))
        for face, distance in faces_beside(scene, hole, deep, radius + under)
        if 1e-6 < distance - radius < under - 1e-6
    ]


def _to_hole(hole: Drilled, deep: float, other: Drilled, other_deep: float, under: float) -> Rim | None:
    """Between the walls of two holes; None where they run into each other, or are far apart."""
    a, b = (np.array([h.start, h.below(d)]) for h, d in ((hole, deep), (other, other_deep)))
    radii = (hole.diameter + other.diameter) / 2
    if np.linalg.norm(a.mean(0) - b.mean(0)) > radii + under + (deep + other_deep) / 2:
        return None
    p, q = _nearest(a, b)
    left = float(np.linalg.norm(p - q)) - radii
    if np.linalg.norm(np.cross(a[1] - a[0], b[1] - b[0])) < 1e-6 * deep * other_deep:
        left = _between_parallel(a, b, radii)
    if not 1e-6 < left < under - 1e-6:
        return None
    return Rim(hole.part, hole.made, other.made, -1, left, tuple(((p + q) / 2).tolist()))


def _between_parallel(a: Floats, b: Floats, radii: float) -> float:
    """Between two walls whose axes are parallel: beside each other, or from floor to floor; under 0 where they meet."""
    way = (a[1] - a[0]) / np.linalg.norm(a[1] - a[0])
    off = b[0] - a[0]
    beside = float(np.linalg.norm(off - way * (off @ way))) - radii
    ours, theirs = np.sort(a @ way), np.sort(b @ way)
    beyond = max(float(theirs[0] - ours[1]), float(ours[0] - theirs[1]))
    if beyond <= 0:
        return beside
    return float(np.hypot(beyond, max(0.0, beside)))


def _nearest(a: Floats, b: Floats) -> tuple[Floats, Floats]:
    """The nearest points of two straight stretches, each given by its two ends."""
    u, v, w = a[1] - a[0], b[1] - b[0], a[0] - b[0]
    uu, uv, vv, uw, vw = u @ u, u @ v, v @ v, u @ w, v @ w
    square = uu * vv - uv * uv
    s = float(np.clip((uv * vw - vv * uw) / square, 0, 1)) if square > 1e-9 * uu * vv else 0.5
    t = float(np.clip((uv * s + vw) / vv, 0, 1))
    s = float(np.clip((uv * t - uw) / uu, 0, 1))
    return a[0] + u * s, b[0] + v * t
