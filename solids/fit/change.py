"""The best change of one number: how far it should go, which value is the roundest there, and how likely it is."""

from __future__ import annotations

import math

import numpy as np

from solids.kernel.mesh import Floats
from solids.model.piece import Figure, Piece
from solids.units import INCH

FARTHEST = (80.0, 20.0)  # mm and degrees: no remedy goes further
LARGEST = 3.0  # times: no size was written so much too large or too small
POSITIONS = {"about", "outline", "step", "at"}
PLAY = ("slack", "room")  # may be anything down to nothing
ASKED = ("gap",)  # what a reveal or a runner asks for is never what is wrong
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


def roundest(figure: Figure, low: float, high: float, inches: bool) -> float:
    """The roundest value of a number within an interval of changes, a little inside it where there is room."""
    inset = min(0.1 * (high - low), 0.02)
    a, b = figure.value + low + inset, figure.value + high - inset
    middle = (a + b) / 2
    for grid in grids(figure, inches):
        value = round(middle / grid) * grid
        if a - 1e-9 <= value <= b + 1e-9:
            return value
        # What just touches is sound: an end of the interval that is as round as that will do.
        for end in sorted((figure.value + low, figure.value + high), key=lambda v: abs(v - figure.value)):
            if abs(end - round(end / grid) * grid) < 1e-6:
                return round(end / grid) * grid
    return middle


def grids(figure: Figure, inches: bool) -> tuple[float, ...]:
    """The steps that a maker rounds to, the coarsest first."""
    return ANGLES if figure.is_angle else INCHES if inches else METRIC


def roundness(figure: Figure, value: float, inches: bool) -> int:
    """How coarse a grid the value lies on: more is rounder, 0 is on none."""
    steps = grids(figure, inches)
    for k, grid in enumerate(steps):
        if abs(value / grid - round(value / grid)) < 1e-6:
            return len(steps) - k
    return 0


def is_likely(figure: Figure, after: float) -> bool:
    """Whether a number may be that wrong: a size keeps its sign, and its order."""
    change = abs(after - figure.value)
    if change > FARTHEST[figure.is_angle] or figure.target.rsplit(".", 1)[-1] in ASKED:
        return False
    if is_position(figure):
        return True
    if figure.target.rsplit(".", 1)[-1] in PLAY:
        return after >= 0
    if figure.value == 0:
        return after > 0 and "." not in figure.target  # a named size; a cut's own number may well be nothing
    return after > 0 and figure.value > 0 and max(after / figure.value, figure.value / after) <= LARGEST


def is_position(figure: Figure) -> bool:
    """Whether it says where something stands, and not how large it is."""
    steps = figure.target.split(".")
    return steps[-1] in ("x", "y", "z") or bool(POSITIONS & set(steps[1:]))


def merit(piece: Piece, figure: Figure, after: float, share: float) -> float:
    """How likely a number is the wrong one, of those that mend as much.

    Its like has just the other value; it becomes rounder; all that it touches
    is bad; the change is small.
    """
    inches = piece.units == "in"
    score = share
    if not figure.needs or _is_reference(piece, figure):  # what a formula comes to need not be round
        score += 0.25 * (roundness(figure, after, inches) - roundness(figure, figure.value, inches))
    if ".about." in figure.target:
        score -= 0.5  # a mirror stands in the middle, and is seldom what was written wrong
    if any(_has_the_value(other, figure, after) for other in piece.figures):
        score += 2.0
    return score - 0.3 * math.log10(1 + abs(after - figure.value))


def _is_reference(piece: Piece, figure: Figure) -> bool:
    """Whether it is no formula but another number's name."""
    return len(figure.needs) == 1 and any(
        other.target == figure.needs[0] and other.value == figure.value for other in piece.figures
    )


def _has_the_value(other: Figure, figure: Figure, value: float) -> bool:
    field = figure.target.rsplit(".", 1)[-1]
    same_field = other.target.rsplit(".", 1)[-1] == field != "thickness"  # two stocks need not be of one thickness
    is_like = other.place != figure.place and other.is_angle == figure.is_angle and same_field
    return is_like and _stem(other) == _stem(figure) and abs(other.value - value) < 1e-6


def _stem(figure: Figure) -> str:
    """`rabbet` for `side.rabbet_rear.depth`, nothing for `side.length`."""
    steps = figure.target.split(".")
    return steps[-2].split("_")[0] if len(steps) > 2 else ""
