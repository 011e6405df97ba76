"""The best change of one number: how far it should go, and which value is the roundest there."""

from __future__ import annotations

import math

import numpy as np

from solids.kernel.mesh import Floats
from solids.model.piece import Figure
from solids.model.side import SIDES
from solids.units import INCH

FARTHEST = (80.0, 20.0)  # mm and degrees: no remedy goes further
LARGEST = 10.0  # times: a point in the wrong place is the worst that is written
POSITIONS = {"about", "outline", "step", "at"}
PLACES = ("x", "y", "z")
SIDE_WORDS = tuple(str(side) for side in SIDES)
PLAY = ("slack", "room")  # may be anything down to nothing
HAIR = 1e-4  # mm or degrees: the change by which slopes are measured
SAME = 1e-6  # mm or degrees
NEAR = 1e-5  # mm or degrees by which the end of an interval may be off, where a row is not quite straight
FLAT = 1e-6  # mm per mm: a row that moves less does not depend on the number
ANGLES = (15.0, 5.0, 1.0, 0.5, 0.25, 0.1, 0.05, 0.01, 0.001)  # degrees
METRIC = (10.0, 5.0, 1.0, 0.5, 0.25, 0.1, 0.05, 0.01, 0.001)  # mm
INCHES = (*(INCH / n for n in (1, 2, 4, 8, 16, 32, 64)), INCH / 1000)  # mm


def best_interval(
    values: Floats, slopes: Floats, least: Floats, most: Floats, farthest: float
) -> tuple[int, float, float] | None:
    """The changes that leave the fewest rows out of their bands: how many rows, and from where to where.

    Exact, since each row is linear in the change; of equally good runs the one
    nearest to no change.
    """
    moved = np.abs(slopes) > FLAT
    v, s, lo, hi = values[moved], slopes[moved], least[moved], most[moved]
    still = int(((values < least - 1e-9) | (values > most + 1e-9))[~moved].sum())
    edges = np.concatenate([(lo - v) / s, (hi - v) / s])
    edges = np.unique(np.round(edges[np.abs(edges) < farthest], 9))
    if not len(edges):
        return None
    points = np.sort(np.concatenate([edges, (edges[1:] + edges[:-1]) / 2]))
    at = v + np.outer(points, s)
    off = ((at < lo - 1e-7) | (at > hi + 1e-7)).sum(1)
    good = off == off.min()
    k = int(np.argmin(np.where(good, np.abs(points), np.inf)))
    low = high = k
    while low > 0 and good[low - 1]:
        low -= 1
    while high < len(points) - 1 and good[high + 1]:
        high += 1
    return int(off.min()) + still, float(points[low]), float(points[high])


def round_values(figure: Figure, low: float, high: float, inches: bool) -> list[float]:
    """The values within an interval of changes that are round, the coarsest first: on each step the smallest change.

    A little inside the interval where there is room; an end of it, that just touches, where it is round itself.
    """
    inset = min(0.1 * (high - low), 0.02)
    a, b = figure.value + low + inset, figure.value + high - inset
    found: list[float] = []
    for grid in grids(figure, inches):
        nearest = min(max(figure.value, a), b)
        steps = {math.ceil(a / grid - SAME), math.floor(b / grid + SAME), round(nearest / grid)}
        inside = [k * grid for k in steps if a - SAME <= k * grid <= b + SAME]
        found += sorted(inside, key=lambda v: abs(v - figure.value))[:1]
        ends = (figure.value + low, figure.value + high)
        found += [round(end / grid) * grid for end in ends if abs(end - round(end / grid) * grid) < NEAR]
    return list(dict.fromkeys(round(v, 9) for v in found)) or [(a + b) / 2]


def grids(figure: Figure, inches: bool) -> tuple[float, ...]:
    """The steps that a maker rounds to, the coarsest first; of the unit that is written beside a number, if one is."""
    if figure.is_angle:
        return ANGLES
    own = "in" in figure.needs or (inches and "mm" not in figure.needs)
    return INCHES if own else METRIC


def roundness(figure: Figure, value: float, inches: bool) -> int:
    """How coarse a grid the value lies on: more is rounder, 0 is on none."""
    steps = grids(figure, inches)
    for k, grid in enumerate(steps):
        if abs(value / grid - round(value / grid)) < SAME:
            return len(steps) - k
    return 0


def is_likely(figure: Figure, after: float) -> bool:
    """Whether a number may be that wrong: a size keeps its sign, and its order."""
    change = abs(after - figure.value)
    if change > FARTHEST[figure.is_angle]:
        return False
    if is_position(figure):
        return True
    if figure.target.rsplit(".", 1)[-1] in PLAY:
        return after >= 0
    if figure.value < 0:
        return after >= 0
    if figure.value == 0:
        return after > 0 and "." not in figure.target  # a named size; a cut's own number may well be nothing
    return after > 0 and figure.value > 0 and max(after / figure.value, figure.value / after) <= LARGEST


def is_position(figure: Figure) -> bool:
    """Whether it says where something stands, and not how large it is."""
    steps = figure.target.split(".")
    is_from_side = len(steps) > 2 and steps[-1] in SIDE_WORDS  # a cut's distance from a side
    return steps[-1] in PLACES or is_from_side or bool(POSITIONS & set(steps[1:]))
