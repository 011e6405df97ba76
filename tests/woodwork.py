"""Pieces of wood for tests of the cuts: made by the kernel, asked about by means of their own.

What a test expects is said in distances from the sides of the blank. They are
worked out here by hand, not by the frames of the code under test, and whether
a point is wood is told by a ray through the mesh.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from itertools import product
from typing import Any, TypeAlias

import manifold3d
import numpy as np
from numpy.typing import NDArray

from solids.kernel import mesh
from solids.kernel.faces import face_planes, faces_of
from solids.kernel.mesh import manifold_of
from solids.kernel.shape import Shape, shape_of
from solids.model.field import mirrored
from solids.model.geometry import STILL, Vector
from solids.model.part import Blank, Cut, Made, Part
from solids.model.side import Side

LEFT, RIGHT, FRONT, REAR, BOTTOM, TOP = Side.LEFT, Side.RIGHT, Side.FRONT, Side.REAR, Side.BOTTOM, Side.TOP

# Written out by hand: the axis that each side looks along, and the side across from it.
AXIS = {LEFT: 0, RIGHT: 0, FRONT: 1, REAR: 1, BOTTOM: 2, TOP: 2}
ACROSS = {LEFT: RIGHT, RIGHT: LEFT, FRONT: REAR, REAR: FRONT, BOTTOM: TOP, TOP: BOTTOM}
PAIR = ((LEFT, RIGHT), (FRONT, REAR), (BOTTOM, TOP))

# Every side with every side beside it, in both orders: 24.
CORNERS = [(a, b) for a, b in product(AXIS, AXIS) if AXIS[a] != AXIS[b]]

# The board of the reference's own table: 600 x 300 x 20, length across, face top.
BOARD = Blank(Vector(600.0, 300.0, 20.0), 0, TOP)
BOARD_VOLUME = 600 * 300 * 20

Points: TypeAlias = NDArray[np.float64]
Far: TypeAlias = dict[Side, Points]  # how far points are from each side of the blank
Span: TypeAlias = tuple[float, float]
Margin: TypeAlias = Callable[[Far], Points]  # below 0 where the wood is gone, above where it stays


def set_down() -> Iterator[Blank]:
    """The same board in each of its twelve ways: along x, y or z, its face to any side beside."""
    for grain in range(3):
        for face in AXIS:
            if AXIS[face] != grain:
                size = [300.0, 300.0, 300.0]
                size[grain], size[AXIS[face]] = 600.0, 20.0
                yield Blank(Vector(*size), grain, face)


BLANKS = list(set_down())
SIX = [BLANKS[k] for k in (0, 3, 5, 6, 8, 11)]  # each way to run twice, each face once
THREE = [BLANKS[3], BLANKS[5], BLANKS[8]]  # thin in z, in z seen the other way, and in x


def told(value: object) -> str | None:
    """What a blank, a side or several are called in a test's name."""
    if isinstance(value, Blank):
        return f"{'xyz'[value.grain]}/{value.face}"
    if isinstance(value, Side):
        return str(value)
    if isinstance(value, tuple) and all(isinstance(v, Side) for v in value):
        return "-".join(map(str, value))
    return None


def third(a: Side, b: Side) -> tuple[Side, Side]:
    """The two sides that the arris of `a` and `b` runs between."""
    return PAIR[3 - AXIS[a] - AXIS[b]]


def reach(blank: Blank, side: Side) -> float:
    return blank.size[AXIS[side]]


def ends(blank: Blank) -> tuple[Side, Side]:
    return PAIR[blank.grain]


def broad(blank: Blank) -> tuple[Side, Side]:
    return PAIR[AXIS[blank.face]]


def edges(blank: Blank) -> tuple[Side, Side]:
    return PAIR[3 - blank.grain - AXIS[blank.face]]


# Making -----------------------------------------------------------------------------------------


def shape(blank: Blank, *cuts: Cut) -> Shape:
    return shape_of(Part("p", blank, STILL, tuple(Made(f"c{k}", c) for k, c in enumerate(cuts))))


def solid(blank: Blank, *cuts: Cut) -> Any:
    """The finished wood, in the blank's own axes as set down."""
    bench = blank.bench()
    return manifold_of(shape(blank, *cuts)).transform(np.column_stack([*bench[:3], bench.origin]))


def volume(blank: Blank, *cuts: Cut) -> float:
    """What the cuts take away, in mm³."""
    x, y, z = blank.size
    return float(x * y * z - solid(blank, *cuts).volume())


def box(blank: Blank, *cuts: Cut) -> list[tuple[float, float]]:
    """The least and greatest x, y and z of what the cuts take away."""
    cut = shape(blank, *cuts)
    low, high = mesh.bounds(cut.blank)
    # Blank less finished part would keep skins of no thickness where a slanted cut meets a face.
    taken = [mesh.manifold_of(cut_free(cut)) ^ mesh.tool_mesh(t.waste, low, high) for t in cut.tools]
    bench = blank.bench()
    gone = manifold3d.Manifold.batch_boolean(taken, manifold3d.OpType.Add)
    low_high = [round(c, 9) for c in gone.transform(np.column_stack([*bench[:3], bench.origin])).bounding_box()]
    return list(zip(low_high[:3], low_high[3:], strict=True))


def cut_free(cut: Shape) -> Shape:
    return Shape(cut.blank, (), cut.key)


def named(*cuts: Cut) -> dict[str, tuple[float, tuple[float, float, float]]]:
    """The planar faces that the cuts leave in BOARD: by name, the area and the way that the face looks."""
    made = shape(BOARD, *cuts)
    found = faces_of(made, manifold_of(made))
    known = face_planes(made)
    out: dict[str, tuple[float, tuple[float, float, float]]] = {}
    for k, source in enumerate(found.source.tolist()):
        plane = known[source]
        if source >= 4096 and plane is not None:
            area = out.get(plane.name, (0.0,))[0] + float(found.area[k])
            x, y, z = (round(float(c), 9) + 0.0 for c in found.normal[k])
            out[plane.name] = area, (x, y, z)
    return out


def off_from_twin(blank: Blank, axis: int, *cuts: Cut) -> float:
    """How much wood, in mm³, the handed twin has that the mirrored piece has not, or the other way."""
    skin = solid(blank, *cuts).to_mesh64()
    points = np.array(skin.vert_properties)[:, :3]
    points[:, axis] = blank.size[axis] - points[:, axis]
    flipped = manifold3d.Manifold(manifold3d.Mesh64(points, np.array(skin.tri_verts)[:, ::-1].copy()))
    face = ACROSS[blank.face] if AXIS[blank.face] == axis else blank.face
    twin = solid(Blank(blank.size, blank.grain, face), *(mirrored(c, blank, axis) for c in cuts))
    return float((twin - flipped).volume() + (flipped - twin).volume())


# Asking -----------------------------------------------------------------------------------------


def far(blank: Blank, points: Points) -> Far:
    """How far points are from each side."""
    out: Far = {}
    for axis, (low, high) in enumerate(PAIR):
        out[low] = points[:, axis]
        out[high] = blank.size[axis] - points[:, axis]
    return out


def is_wood(wood: Any, points: Points) -> NDArray[np.bool_]:
    """Whether points lie in a solid: a ray upward from them leaves it once more than it enters."""
    skin = wood.to_mesh64()
    a, b, c = np.asarray(skin.vert_properties)[:, :3][np.asarray(skin.tri_verts).astype(int)].transpose(1, 0, 2)
    area = (b[:, 0] - a[:, 0]) * (c[:, 1] - a[:, 1]) - (b[:, 1] - a[:, 1]) * (c[:, 0] - a[:, 0])
    a, b, c, area = (v[abs(area) > 1e-12] for v in (a, b, c, area))
    flat = np.column_stack([points[:, :2], np.ones(len(points))])
    weights = []
    for p, q in ((b, c), (c, a), (a, b)):
        line = np.array([p[:, 1] - q[:, 1], q[:, 0] - p[:, 0], p[:, 0] * q[:, 1] - p[:, 1] * q[:, 0]])
        weights.append(flat @ (line / area))
    height = sum(w * v[:, 2] for w, v in zip(weights, (a, b, c), strict=True))
    met = (np.minimum.reduce(weights) > 0) & (height > points[:, 2:])
    out: NDArray[np.bool_] = (met * np.sign(area)).sum(1) > 0.5
    return out


def expect(
    blank: Blank, cuts: Cut | tuple[Cut, ...], gone: Margin, around: Mapping[Side, Span], rough: float = 0.0
) -> None:
    """The wood is gone just where `gone` says: at random points, and close on both sides of its border.

    `around` says from where to where, from a side, it is worth looking;
    points nearer than `rough` to the border are not asked about.
    """
    wood = solid(blank, *(cuts if isinstance(cuts, tuple) else (cuts,)))
    points = _worth_asking(blank, gone, around, max(3 * rough, 1e-3))
    margin = gone(far(blank, points))
    points, margin = points[abs(margin) > max(rough, 1e-7)], margin[abs(margin) > max(rough, 1e-7)]
    assert min((margin < 0).sum(), (margin > 0).sum()) > 40, "too few points to tell"
    wrong = is_wood(wood, points) != (margin > 0)
    told_points = ", ".join(str(p.round(3).tolist()) for p in points[wrong][:4])
    assert not wrong.any(), f"{wrong.sum()} of {len(points)} points: {told_points}"


def _worth_asking(blank: Blank, gone: Margin, around: Mapping[Side, Span], step: float) -> Points:
    dice = np.random.default_rng(11)
    size = np.array(blank.size)
    low, high = np.zeros(3), size.copy()
    for side, (near, away) in around.items():
        axis = AXIS[side]
        span = (near, away) if side in (LEFT, FRONT, BOTTOM) else (size[axis] - away, size[axis] - near)
        low[axis], high[axis] = span
    slack = 0.3 * (high - low)
    low, high = np.maximum(low - slack, 0), np.minimum(high + slack, size)
    points = dice.uniform(0, size, (60, 3))
    for _ in range(10):
        points = np.concatenate([points, dice.uniform(low, high, (160, 3))])
        margin = gone(far(blank, points))
        if min((margin < 0).sum(), (margin >= 0).sum()) > 45:
            break
    a, b = points[margin < 0], points[margin >= 0]
    n = min(len(a), len(b), 80)
    a, b = a[:n].copy(), b[:n].copy()
    way = (b - a) / np.linalg.norm(b - a, axis=1)[:, None]
    for _ in range(50):
        middle = (a + b) / 2
        out = gone(far(blank, middle))[:, None] < 0
        a, b = np.where(out, middle, a), np.where(out, b, middle)
    close = np.concatenate([points, a - step * way, b + step * way])
    return close[((close > 0) & (close < size)).all(1)]


def rounded_box(u: Points, v: Points, spans: tuple[float, float, float, float], radius: float = 0.0) -> Points:
    """How far points are outside a rectangle u0 to u1, v0 to v1 with round corners; below 0 within."""
    u0, u1, v0, v1 = spans
    du = abs(u - (u0 + u1) / 2) - (u1 - u0) / 2 + radius
    dv = abs(v - (v0 + v1) / 2) - (v1 - v0) / 2 + radius
    out: Points = np.hypot(np.maximum(du, 0), np.maximum(dv, 0)) + np.minimum(np.maximum(du, dv), 0) - radius
    return out
