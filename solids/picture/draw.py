"""A picture from a stage and a camera: shaded at each px, four times where an edge runs through it, with lines."""

from __future__ import annotations

from typing import Any

import numpy as np
from PIL import Image

from solids.kernel.mesh import Floats
from solids.picture.camera import Camera
from solids.picture.raster import Seen, seen
from solids.picture.shade import CORNER_REACH, INK, INK_SHARE, Bools, Ground, Numbers, Scene, dark_corners, to_srgb
from solids.picture.stage import Stage

FINER = 2  # px each way that the edges are looked at with, for every px of the picture
CREASE = 0.96  # cosine between the normals of two faces of one part that a line parts


def draw(stage: Stage, camera: Camera, ground: Ground | None = None) -> Image.Image:
    """The picture, as wide and as high as the camera's. A stage without triangles is paper or an empty room."""
    fine = camera.scaled(FINER)
    places, near = fine.project(stage.corners)
    found = seen(places, near, fine.width, fine.height)
    light = _shaded(Scene(stage, fine, found, ground), found)
    light = _inked(light, _lines(stage, found))
    return Image.fromarray(to_srgb(light))


def _shaded(scene: Scene, found: Seen) -> Floats:
    """Light (h, w, 3): one look in the middle of a px, or one for each of its quarters where they differ."""
    quarters = _quarters(found.triangle)
    first, *others = _quarters(_face(scene.stage, found))
    mixed = np.logical_or.reduce([first != other for other in others])
    height, width = mixed.shape
    y, x = (c * float(FINER) for c in np.mgrid[0:height, 0:width])
    mixed |= _foot_of_wall(scene, width, height)
    out = np.empty((height, width, 3))
    # The middle of a plain px lies in the plane of any of its quarters.
    out[~mixed] = scene.shade(x[~mixed] + FINER / 2, y[~mixed] + FINER / 2, quarters[0][~mixed])
    looks = [
        scene.shade(x[mixed] + k % FINER + 0.5, y[mixed] + k // FINER + 0.5, quarter[mixed])
        for k, quarter in enumerate(quarters)
    ]
    out[mixed] = np.mean(looks, axis=0)
    near = found.near[::FINER, ::FINER].astype(float)
    return np.asarray(out * dark_corners(near, max(2, round(CORNER_REACH * width)))[..., None])


def _foot_of_wall(scene: Scene, width: int, height: int) -> Bools:
    """The px (h, w) through which the line runs where the wall meets the floor."""
    corners = np.array([[0.0, 0.0], [width, 0.0], [0.0, height]]) * FINER
    start, right, below = scene.at_the_foot(*corners.T)
    across, down = (right - start) / width, (below - start) / height
    y, x = np.ogrid[0:height, 0:width]
    middle = start + across * (x + 0.5) + down * (y + 0.5)
    return np.asarray(np.abs(middle) <= (abs(across) + abs(down)) / 2)


def _quarters(image: Numbers) -> list[Numbers]:
    """The fine px of each px: all the first ones, all the second ones and so on, row by row."""
    return [np.ascontiguousarray(image[i::FINER, j::FINER]) for i in range(FINER) for j in range(FINER)]


def _face(stage: Stage, found: Seen) -> Numbers:
    """A number for each face of each part at each fine px, -1 where there is none."""
    _, number = np.unique(np.column_stack([stage.part, stage.face]), axis=0, return_inverse=True)
    number = np.append(number.reshape(-1), -1).astype(np.int32)
    return np.asarray(number[found.triangle])


def _lines(stage: Stage, found: Seen) -> Bools:
    """Fine px along which two faces part: of two parts, or of one where they meet at an angle, or near and far."""
    triangle = found.triangle
    drawn = np.zeros(triangle.shape, bool)
    part = np.append(stage.part, -1)[triangle]
    normal = np.append(stage.normals[:, 0], [[0.0, 0.0, 0.0]], axis=0).astype(np.float32)
    face = _face(stage, found)
    for axis in (0, 1):
        here, there = _pairs(face, axis)
        changed = np.nonzero(here != there)
        a, b = (t[changed] for t in _pairs(triangle, axis))
        p, q = (t[changed] for t in _pairs(part, axis))
        turned = np.einsum("ij,ij->i", normal[a], normal[b]) < CREASE
        edge = turned | (p != q) | _step(found, changed, axis, a, b)
        k = tuple(c[edge] for c in changed)
        drawn[k] = True
        drawn[tuple(c + (n == axis) for n, c in enumerate(k))] = True
    return drawn


def _pairs(image: Numbers, axis: int) -> tuple[Numbers, Numbers]:
    """Each px and the one after it."""
    return (image[:-1], image[1:]) if axis == 0 else (image[:, :-1], image[:, 1:])


def _step(found: Seen, at: tuple[Any, ...], axis: int, a: Numbers, b: Numbers) -> Bools:
    """Whether one lies well behind the other: neither's plane, carried on, comes near the other."""
    y, x = at[0] + (1.0 if axis == 0 else 0.5), at[1] + (1.0 if axis == 1 else 0.5)
    first, second = (p[:, 0] * x + p[:, 1] * y + p[:, 2] for p in (found.planes[a], found.planes[b]))
    return np.asarray(np.abs(first - second) > 0.004 * np.maximum(np.abs(first), np.abs(second)))


def _inked(light: Floats, drawn: Bools) -> Floats:
    share = (
        np.mean([drawn[i::FINER, j::FINER] for i in range(FINER) for j in range(FINER)], axis=0)[..., None] * INK_SHARE
    )
    return np.asarray(light * (1 - share) + INK * share)
