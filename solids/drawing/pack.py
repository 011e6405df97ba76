"""Packing: finished blocks put on the free part of a sheet, none over another."""

from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple

import numpy as np

from solids.drawing.sheet import Box, Mark, bounds, moved

STEP = 2.0  # mm


class Block(NamedTuple):
    """Marks that stay together, and where on the sheet they would best be: shares of its width and height.

    `boxes` are what they cover, where that is less than the rectangle round them all.
    """

    marks: tuple[Mark, ...]
    across: float
    up: float
    boxes: tuple[Box, ...] = ()


def packed(blocks: Iterable[Block], space: Box, taken: Iterable[Box], gap: float = 6.0) -> list[Mark] | None:
    """All blocks' marks where there is room, in the order given; None where one has none."""
    used = list(taken)
    out: list[Mark] = []
    for block in blocks:
        if not block.marks:
            continue
        box = bounds(block.marks)
        place = _place(box, block, space, used, gap)
        if place is None:
            return None
        dx, dy = place[0] - box.left, place[1] - box.bottom
        out += moved(block.marks, dx, dy)
        used += [b.moved(dx, dy) for b in block.boxes or (box,)]
    return out


def _place(box: Box, block: Block, space: Box, used: list[Box], gap: float) -> tuple[float, float] | None:
    """The lower left corner, of a grid over the sheet, that is free and nearest to where the block would best be."""
    xs = np.arange(space.left + gap, space.right - gap - box.width + 1e-6, STEP)
    ys = np.arange(space.bottom + gap, space.top - gap - box.height + 1e-6, STEP)
    if not len(xs) or not len(ys):
        return None
    x, y = (v.ravel() for v in np.meshgrid(xs, ys))
    free = np.ones(len(x), bool)
    for u in used:
        beside = (x + box.width <= u.left - gap) | (x >= u.right + gap)
        free &= beside | (y + box.height <= u.bottom - gap) | (y >= u.top + gap)
    if not free.any():
        return None
    best_x = space.left + gap + block.across * (space.width - 2 * gap - box.width)
    best_y = space.bottom + gap + block.up * (space.height - 2 * gap - box.height)
    far = np.where(free, np.hypot(x - best_x, y - best_y), np.inf)
    k = int(far.argmin())
    return float(x[k]), float(y[k])
