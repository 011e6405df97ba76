"""From what is seen to light: sun with shadows, sky, dark corners, grain, and a thin line where faces meet."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, TypeAlias

import numpy as np
from numpy.typing import NDArray

from solids.kernel.mesh import Floats
from solids.picture.camera import Camera
from solids.picture.grain import grain
from solids.picture.raster import Seen, seen
from solids.picture.stage import Stage

Bools = NDArray[np.bool_]
Numbers: TypeAlias = NDArray[np.int32]

SUN = np.array([0.34, -0.46, 0.82]) / np.linalg.norm([0.34, -0.46, 0.82])  # from the right, the front and above
SUNLIGHT, SKYLIGHT, BOUNCE = (
    0.72,
    0.46,
    0.16,
)  # shares of light: of the sun, of the sky, and back from the viewer's side
PAPER = (0.955, 0.950, 0.935)  # sRGB, where there is no ground
FAR = 1e7  # mm
AT_ONCE = 1 << 16  # px that are shaded in one go, so that they stay in the processor's cache
CORNERS = ((-1.3, -1.3), (1.3, -1.3), (-1.3, 1.3), (1.3, 1.3))  # px of the sun's map round a point: first looks
BETWEEN = ((0.0, -1.3), (-1.3, 0.0), (1.3, 0.0), (0.0, 1.3), (0.0, 0.0))  # and further ones where those differ
SHADOW_PX = 1400  # across the map of what the sun sees
SHADOW_SLACK = 1.6  # px of that map that a point may lie behind what the sun sees
LIFT = 1.9  # px of that map by which a point is lifted off its face: as far as looks go, so that no face shades itself
GRAIN = 0.26
END_GRAIN = 0.82  # end grain drinks finish, and darkens
CORNER_REACH = 0.014  # share of the picture's width round a px in which nearer things darken it
CORNER_DARK = 0.55
INK = np.array([0.030, 0.022, 0.016])  # light of a line
INK_SHARE = 0.72


@dataclass(frozen=True, slots=True)
class Ground:
    """What the piece stands on, at a height in mm, and the wall behind it, at a y in mm; `wall` is None in the open.

    Colours are sRGB, 0 to 1; `shadow` is the share of light that the sun brings.
    """

    floor: float
    wall: float | None = None
    floor_colour: tuple[float, float, float] = (0.955, 0.950, 0.935)
    wall_colour: tuple[float, float, float] = (0.90, 0.885, 0.855)
    shadow: float = 0.30


def to_light(srgb: Any) -> Floats:
    """sRGB, 0 to 1, as light: IEC 61966-2-1."""
    srgb = np.asarray(srgb, float)
    return np.asarray(np.where(srgb <= 0.04045, srgb / 12.92, ((srgb + 0.055) / 1.055) ** 2.4))


def to_srgb(light: Any) -> NDArray[np.uint8]:
    """Light as sRGB of 8 bits, by a table of the 4096 lights that they can tell apart."""
    shares = np.arange(4097) / 4096.0
    curve = np.where(shares <= 0.0031308, shares * 12.92, 1.055 * shares ** (1 / 2.4) - 0.055)
    table = np.round(255 * curve).astype(np.uint8)
    return np.asarray(table[(np.clip(light, 0.0, 1.0) * 4096 + 0.5).astype(np.int16)])


class Sun:
    """What the sun sees, and so what lies in shadow."""

    def __init__(self, stage: Stage) -> None:
        up = np.array([0.0, 0.0, 1.0])
        right = np.cross(up, SUN) / np.linalg.norm(np.cross(up, SUN))
        self.axes = np.column_stack([right, -np.cross(SUN, right), SUN])
        laid = stage.points @ self.axes
        low = laid.min(0) if len(laid) else np.zeros(3)
        self.scale = (SHADOW_PX - 4) / max(float(np.ptp(laid[:, :2], axis=0).max(initial=1e-9)), 1e-9)
        self.move = np.array([2 - low[0] * self.scale, 2 - low[1] * self.scale, 1 - low[2]])
        corners = laid.reshape(-1, 3, 3) * [self.scale, self.scale, 1.0] + self.move
        self.tops = seen(corners[..., :2], corners[..., 2], SHADOW_PX, SHADOW_PX).near.ravel()

    def shines(self, points: Floats) -> Floats:
        """The share of sun, 0 to 1, at points (n, 3): the mean of nine looks round each, which softens the edge."""
        laid = points @ self.axes * [self.scale, self.scale, 1.0] + self.move
        height = laid[:, 2] + SHADOW_SLACK / self.scale
        lit = np.zeros(len(points))
        looks = [self._free(laid, height, dx, dy) for dx, dy in CORNERS]
        total = np.sum(looks, axis=0)
        lit = total / len(CORNERS)
        unsure = (total > 0) & (total < len(CORNERS))
        if unsure.any():
            more = [self._free(laid[unsure], height[unsure], dx, dy) for dx, dy in BETWEEN]
            lit[unsure] = (total[unsure] + np.sum(more, axis=0)) / (len(CORNERS) + len(BETWEEN))
        return np.asarray(lit)

    def _free(self, laid: Floats, height: Floats, dx: float, dy: float) -> Bools:
        j, i = (laid[:, 0] + dx).astype(np.int32), (laid[:, 1] + dy).astype(np.int32)
        inside = (i >= 0) & (j >= 0) & (i < SHADOW_PX) & (j < SHADOW_PX)
        return np.asarray(self.tops[np.where(inside, i * SHADOW_PX + j, 0)] <= height) | ~inside


class Scene:
    """One picture being shaded."""

    def __init__(self, stage: Stage, camera: Camera, found: Seen, ground: Ground | None) -> None:
        self.stage, self.camera, self.found, self.ground = stage, camera, found, ground
        self.sun = Sun(stage)
        self.light = to_light(stage.colour)
        self.round = np.abs(stage.normals - stage.normals[:, :1]).max((1, 2), initial=0.0) > 1e-6

    def shade(self, x: Floats, y: Floats, triangle: Numbers) -> Floats:
        """Light (n, 3) at places on the picture, where these triangles are seen; -1 for none."""
        out = np.empty((len(x), 3))
        for start in range(0, len(x), AT_ONCE):
            some = slice(start, start + AT_ONCE)
            wood = triangle[some] >= 0
            for which, look in ((wood, self._wood), (~wood, self._surroundings)):
                k = np.flatnonzero(which) + start
                if len(k):
                    out[k] = look(x[k], y[k], triangle[k])
        return out

    def at_the_foot(self, x: Floats, y: Floats) -> Floats:
        """How far places on the picture are above the line where the wall stands on the floor: over 0 on the floor.

        In no particular unit, but linear in x and y; as large as need be where there is no wall.
        """
        if self.ground is None or self.ground.wall is None:
            return np.full(len(x), FAR)
        rays, eye = self.camera.rays(x, y), self.camera.eye
        return np.asarray((self.ground.floor - eye[2]) * rays[:, 1] - (self.ground.wall - eye[1]) * rays[:, 2])

    def _wood(self, x: Floats, y: Floats, triangle: Numbers) -> Floats:
        slope = self.found.planes[triangle]
        near = slope[:, 0] * x + slope[:, 1] * y + slope[:, 2]
        points = self.camera.eye + self.camera.rays(x, y) / near[:, None]
        part = self.stage.part[triangle]
        normal = self._normals(points, triangle)
        turn = self.stage.turn[part]
        on_bench = np.einsum("nij,nj->ni", turn, points - self.stage.origin[part])
        along = np.abs(np.einsum("nj,nj->n", turn[:, 0], normal))
        figure = 1 - GRAIN * self.stage.grain[part] * grain(on_bench, part) * (1 - along)
        figure *= 1 - (1 - END_GRAIN) * along**4
        return np.asarray(self.light[part] * (figure * self._lit(points, normal))[:, None])

    def _normals(self, points: Floats, triangle: Numbers) -> Floats:
        """Normals between the three of a triangle's corners, by how near each is."""
        out = np.asarray(self.stage.normals[triangle, 0])
        bent = np.flatnonzero(self.round[triangle])
        if len(bent):
            corners = self.stage.corners[triangle[bent]]
            a, b, c = corners[:, 0], corners[:, 1], corners[:, 2]
            whole = np.cross(b - a, c - a)
            area = np.maximum((whole**2).sum(1), 1e-12)
            v = np.einsum("ni,ni->n", np.cross(points[bent] - a, c - a), whole) / area
            w = np.einsum("ni,ni->n", np.cross(b - a, points[bent] - a), whole) / area
            share = np.clip(np.stack([1 - v - w, v, w], 1), 0.0, 1.0)
            mixed = np.einsum("nk,nki->ni", share, self.stage.normals[triangle[bent]])
            out[bent] = mixed / np.maximum(np.linalg.norm(mixed, axis=1), 1e-9)[:, None]
        return out

    def _lit(self, points: Floats, normal: Floats) -> Floats:
        facing = normal @ SUN
        lit = facing > 0
        sun = np.zeros(len(points))
        sun[lit] = facing[lit] * self.sun.shines(points[lit] + normal[lit] * (LIFT / self.sun.scale))
        sky = 0.5 + 0.5 * normal[:, 2]
        front = np.clip(normal @ self.camera.back, 0.0, 1.0)
        return np.asarray(SUNLIGHT * sun + SKYLIGHT * (0.45 + 0.55 * sky) + BOUNCE * front)

    def _surroundings(self, x: Floats, y: Floats, triangle: Numbers) -> Floats:
        """The floor and the wall where there are any, else paper."""
        if self.ground is None:
            return np.broadcast_to(to_light(PAPER), (len(x), 3))
        rays, eye = self.camera.rays(x, y), self.camera.eye
        down = np.where(rays[:, 2] < -1e-9, (self.ground.floor - eye[2]) / np.minimum(rays[:, 2], -1e-9), FAR)
        back = np.full(len(x), FAR)
        if self.ground.wall is not None:
            back = np.where(rays[:, 1] > 1e-9, (self.ground.wall - eye[1]) / np.maximum(rays[:, 1], 1e-9), FAR)
        on_floor = down <= back
        points = eye + rays * np.minimum(np.minimum(down, back), FAR)[:, None]
        base = np.where(on_floor[:, None], to_light(self.ground.floor_colour), to_light(self.ground.wall_colour))
        full = self.ground.shadow * np.where(on_floor, 1.0, -SUN[1] / SUN[2])
        light = 1 - full * (1 - self.sun.shines(points))
        return np.asarray(base * light[:, None])


def dark_corners(near: Floats, reach: int) -> Floats:
    """(h, w): what light is left, 0 to 1, where nearer things stand round a px.

    The depth buffer less its own blur, after Luft, Colditz and Deussen, "Image
    enhancement by unsharp masking the depth buffer" (2006), on depths relative
    to the piece.
    """
    stands = near > 0
    if not stands.any():
        return np.ones(near.shape)
    depth = 1.0 / np.maximum(near, 1e-9)
    nearest, farthest = depth[stands].min(), depth[stands].max()
    relative = np.where(stands, (depth - nearest) / max(farthest - nearest, 1e-9), 1.0)
    behind = np.clip(relative - _blurred(_blurred(relative, reach), reach), 0.0, 0.25)
    return np.asarray(np.where(stands, 1 - CORNER_DARK * behind / (behind + 0.06), 1.0))


def _blurred(image: Floats, reach: int) -> Floats:
    """The mean of a square of px round each, the rim continued."""
    for axis in (0, 1):
        pad = [(reach + 1, reach) if k == axis else (0, 0) for k in range(2)]
        sums = np.cumsum(np.pad(image, pad, mode="edge"), axis=axis)
        wide = 2 * reach + 1
        image = (sums[wide:] - sums[:-wide] if axis == 0 else sums[:, wide:] - sums[:, :-wide]) / wide
    return image
