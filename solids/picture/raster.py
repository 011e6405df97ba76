"""Which triangle is seen at each px: a depth buffer in numpy.

A triangle covers, in each row, the px whose middles lie between two of its
edges; how near it is there is linear in the row, so all rows of many triangles
are worked out at once. The nearest is kept by one number of 64 bits: how near it
is in the upper half, as the bits of a number in single precision, which grow as
it does; in the lower half the triangle, counted from 1.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from solids.kernel.mesh import Floats, Ints

Singles = NDArray[np.float32]

AT_ONCE = 1_500_000  # px that are looked at in one go
LEAST = 1e-9  # px²: less is seen from the side


@dataclass(frozen=True, slots=True)
class Seen:
    """For each px, row by row: the triangle that is seen (h, w), or -1, and how near it is (h, w), or 0.

    Over triangles, planes (t, 3): how near each is at a place is a x + b y + c.
    """

    triangle: NDArray[np.int32]
    near: Singles
    planes: Floats


def seen(places: Floats, near: Floats, width: int, height: int) -> Seen:
    """`places` (t, 3, 2) in px, y down; `near` (t, 3), larger is nearer. Triangles that look away are passed over."""
    planes = _planes(places, near)
    best = np.zeros(width * height, "<u8")
    front = np.flatnonzero(_area(places) < -LEAST)  # anticlockwise seen from outside: y runs down
    rows = _rows(places[front], height)
    total = np.cumsum(rows[1] * np.ptp(places[front][:, :, 0], axis=1).clip(0, width) / 2 + rows[1])
    chunk = (total // AT_ONCE).astype(np.int64)
    for k in np.unique(chunk):
        own = chunk == k
        _fill(best, places, planes, front[own], rows[0][own], rows[1][own], width)
    halves = best.view("<u4").reshape(height, width, 2)
    triangle = halves[..., 0].view(np.int32) - np.int32(1)
    return Seen(triangle, halves[..., 1].view(np.float32), planes)


def _area(p: Floats) -> Floats:
    """Twice the area of each triangle, over 0 where it runs clockwise on paper with y down."""
    a, b = p[:, 1] - p[:, 0], p[:, 2] - p[:, 0]
    return np.asarray(a[:, 0] * b[:, 1] - a[:, 1] * b[:, 0])


def _planes(p: Floats, near: Floats) -> Floats:
    """(t, 3): nearness at a place is a x + b y + c."""
    a, b = p[:, 1] - p[:, 0], p[:, 2] - p[:, 0]
    area = a[:, 0] * b[:, 1] - a[:, 1] * b[:, 0]
    area = np.where(np.abs(area) < LEAST, np.inf, area)
    u, v = near[:, 1] - near[:, 0], near[:, 2] - near[:, 0]
    slope_x = (u * b[:, 1] - v * a[:, 1]) / area
    slope_y = (v * a[:, 0] - u * b[:, 0]) / area
    return np.column_stack([slope_x, slope_y, near[:, 0] - slope_x * p[:, 0, 0] - slope_y * p[:, 0, 1]])


def _rows(p: Floats, height: int) -> tuple[Ints, Ints]:
    """The first row of each triangle whose middle it reaches, and how many there are."""
    low = np.ceil(np.clip(p[:, :, 1].min(1), 0, height) - 0.5).astype(np.int64)
    high = np.floor(np.clip(p[:, :, 1].max(1), 0, height) - 0.5).astype(np.int64)
    return low, np.maximum(high - low + 1, 0)


def _fill(
    best: NDArray[np.uint64], places: Floats, planes: Floats, own: Ints, first: Ints, count: Ints, width: int
) -> None:
    """Enter some triangles into the buffer."""
    owner = np.repeat(np.arange(len(own)), count)
    row = np.repeat(first, count) + _within(count)
    left, right = _span(places[own], owner, row + 0.5)
    begin = np.ceil(np.clip(left, 0, width) - 0.5).astype(np.int64)
    end = np.floor(np.clip(right, 0, width) - 0.5).astype(np.int64)
    length = np.maximum(end - begin + 1, 0)
    triangle = own[owner]
    slope = planes[triangle]
    start = slope[:, 1] * (row + 0.5) + slope[:, 2] + slope[:, 0] * (begin + 0.5)
    step = _within(length)
    near = np.repeat(start, length) + np.repeat(slope[:, 0], length) * step
    upper = np.maximum(near, 1e-30).astype(np.float32).view(np.uint32).astype(np.uint64) << np.uint64(32)
    key = upper | np.repeat((triangle + 1).astype(np.uint64), length)
    np.maximum.at(best, np.repeat(row * width + begin, length) + step, key)


def _span(p: Floats, owner: Ints, y: Any) -> tuple[Floats, Floats]:
    """Between which x each row lies inside its triangle."""
    left, right = np.full(len(y), -np.inf), np.full(len(y), np.inf)
    for k in range(3):
        a, b = p[:, k], p[:, (k + 1) % 3]
        rise = b[:, 1] - a[:, 1]
        level = np.abs(rise) < LEAST  # it bounds no row
        slope = (b[:, 0] - a[:, 0]) / np.where(level, 1.0, rise)
        cross = a[owner, 0] + slope[owner] * (y - a[owner, 1])
        # Anticlockwise with y down: the inside lies left of an edge that runs up, and right of one that runs down.
        up, down = (rise < -LEAST)[owner], (rise > LEAST)[owner]
        np.copyto(right, np.minimum(right, cross), where=up)
        np.copyto(left, np.maximum(left, cross), where=down)
    return left, right


def _within(count: Ints) -> Ints:
    """0, 1, 2 … for each of several runs."""
    return np.arange(count.sum()) - np.repeat(np.cumsum(count) - count, count)
