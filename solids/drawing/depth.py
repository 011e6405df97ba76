"""What stands before what, as a grid over the picture: which part is seen at each cell, and how near it is."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from scipy.ndimage import distance_transform_edt

from solids.drawing.sheet import Box, Point
from solids.drawing.whole import Standing
from solids.model.geometry import Vector

NONE = -1


@dataclass(frozen=True, slots=True)
class Seen:
    """`part` is the number of the part seen at each cell, -1 where none is; `near` how far toward the eye, in mm.

    Rows run up from `low`, columns to the right; a cell is `cell` mm of wood wide.
    """

    part: Any
    near: Any
    low: Point
    cell: float

    def roomiest(self, number: int) -> tuple[float, Point] | None:
        """The seen point of a part that is farthest from anything else, and how far that is; mm of wood."""
        own = self.part == number
        if not own.any():
            return None
        far = distance_transform_edt(np.pad(own, 1))[1:-1, 1:-1]
        row, column = np.unravel_index(int(far.argmax()), far.shape)
        x, y = self.low[0] + (column + 0.5) * self.cell, self.low[1] + (row + 0.5) * self.cell
        return float(far[row, column]) * self.cell, (float(x), float(y))

    def hides(self, points: Any, nearness: Any) -> Any:
        """Whether something stands before each of some points of the picture."""
        column = np.clip(((points[:, 0] - self.low[0]) / self.cell).astype(int), 0, self.part.shape[1] - 1)
        row = np.clip(((points[:, 1] - self.low[1]) / self.cell).astype(int), 0, self.part.shape[0] - 1)
        return self.near[row, column] > nearness + 1.0


def seen(standing: Sequence[Standing], toward: Vector, right: Vector, cell: float) -> Seen:
    """The picture from where `toward` points, in cells so many mm wide."""
    t, r = np.array(toward.unit()), np.array(right.unit())
    axes = np.column_stack([r, np.cross(t, r), t])
    laid = [(np.asarray(s.mesh.to_mesh64().tri_verts).astype(int), s.points() @ axes) for s in standing]
    everything = np.vstack([p for _, p in laid])
    low = everything[:, :2].min(0) - cell
    columns, rows = (int(v) + 3 for v in (everything[:, :2].max(0) - low) / cell)
    part, near = np.full((rows, columns), NONE), np.full((rows, columns), -np.inf)
    for number, (triangles, points) in enumerate(laid):
        corners = points[triangles]
        flat = (corners[:, :, :2] - low) / cell - 0.5
        ab, ac = flat[:, 1] - flat[:, 0], flat[:, 2] - flat[:, 0]
        twice = ab[:, 0] * ac[:, 1] - ab[:, 1] * ac[:, 0]
        for k in np.flatnonzero(twice > 1e-6).tolist():
            _fill(part, near, number, flat[k], corners[k, :, 2], float(twice[k]))
    return Seen(part, near, (float(low[0]), float(low[1])), cell)


def _fill(part: Any, near: Any, number: int, flat: Any, nearness: Any, twice: float) -> None:
    """One triangle into the grid, where it is nearer than what is there."""
    (x0, y0), (x1, y1) = np.floor(flat.min(0)).astype(int), np.ceil(flat.max(0)).astype(int)
    x0, y0 = max(int(x0), 0), max(int(y0), 0)
    x, y = np.meshgrid(np.arange(x0, x1 + 1), np.arange(y0, y1 + 1))
    (ax, ay), (bx, by), (cx, cy) = flat
    u = ((bx - x) * (cy - y) - (by - y) * (cx - x)) / twice
    v = ((cx - x) * (ay - y) - (cy - y) * (ax - x)) / twice
    w = 1.0 - u - v
    depth = u * nearness[0] + v * nearness[1] + w * nearness[2]
    rows, columns = slice(y0, y1 + 1), slice(x0, x1 + 1)
    inside = (u >= -1e-9) & (v >= -1e-9) & (w >= -1e-9) & (depth > near[rows, columns])
    near[rows, columns][inside] = depth[inside]
    part[rows, columns][inside] = number


def bounds_of(picture: Seen) -> Box:
    """The rectangle round all that is seen, in mm of wood."""
    rows, columns = np.nonzero(picture.part != NONE)
    x, y = picture.low
    right, top = float(columns.max() + 1), float(rows.max() + 1)
    c = picture.cell
    return Box(x + float(columns.min()) * c, y + float(rows.min()) * c, x + right * c, y + top * c)
