"""How likely a number is the wrong one, of those that mend as much.

It becomes rounder; its like have just the other value; a formula comes back to
its names alone; all that the number touches is bad; the change is small.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import product

import numpy as np

from solids.fit.change import PLACES, SAME, grids, is_position, roundness
from solids.kernel.mesh import Floats
from solids.model.piece import Figure, Piece

ROUNDER = 0.25  # for each step of the rule that a number becomes rounder by
ORIGIN = 2  # steps by which nothing at all is rounder still: nobody slips to write 0
BY_FORMULA = 0.05  # against each step that a formula comes to less round: it chooses among its values
LIKE = 2.0  # its like have the value that it would get
NEIGHBOUR = 1.0  # the same of places, which are alike by chance more often
AGREED = 1.0  # its like have the value that it has: against it
NAMED = 1.25  # a formula comes back to its names alone; against it where it leaves them
MIRROR = 0.5  # against a mirror: it stands in the middle, and is seldom what was written wrong
ASKED = 1.5  # against what a reveal or a runner asks for
SIZE = 0.3  # against each tenfold of the change, in mm or degrees
RATIO = 0.5  # against each tenfold of a size
# By what a formula takes each of its names, by how many it has; of more, one sum or another is met by chance.
FACTORS = {1: (-2.0, -1.0, -0.5, 0.5, 1.0, 2.0), 2: (-2.0, -1.0, -0.5, 0.5, 1.0, 2.0), 3: (-2.0, -1.0, 1.0)}
UNITS = {"mm", "in", "deg"}  # words beside a number, and no names


def merit(piece: Piece, figure: Figure, after: float, share: float) -> float:
    """More is likelier; `share` of all that the number touches is bad."""
    field = _field(figure)
    score = share - SIZE * math.log10(1 + abs(after - figure.value)) - RATIO * _by_how_much(figure, after)
    score += _rounder(piece, figure, after) + _by_its_like(piece, figure, after)
    if ".about." in figure.target:
        score -= MIRROR
    if field == "gap":
        score -= ASKED
    return score


def _by_how_much(figure: Figure, after: float) -> float:
    """How many tens of times a size becomes larger or smaller; a place is neither."""
    if is_position(figure) or figure.value <= 0 or after <= 0:
        return 0.0
    return abs(math.log10(after / figure.value))


def _rounder(piece: Piece, figure: Figure, after: float) -> float:
    """A number becomes rounder, a formula comes back to its names; what a formula comes to need not be round."""
    inches = piece.units == "in"
    if set(figure.needs) - UNITS:
        named = from_names(piece, figure)
        score = NAMED * (int(is_among(named, after)) - int(is_among(named, figure.value)))
        return score - BY_FORMULA * (len(grids(figure, inches)) - roundness(figure, after, inches))
    before, now = (roundness(figure, v, inches) + ORIGIN * (v == 0) for v in (figure.value, after))
    return ROUNDER * (now - before)


def from_names(piece: Piece, figure: Figure) -> Floats:
    """What the names of a formula can come to without a number beside them: each once, twice or by half, (n,)."""
    sizes = [n.value for n in piece.figures if n.is_angle == figure.is_angle and _is_needed(n, figure)]
    if len(sizes) not in FACTORS:
        return np.zeros(0)
    return np.unique([float(np.dot(factors, sizes)) for factors in product(FACTORS[len(sizes)], repeat=len(sizes))])


def _is_needed(named: Figure, figure: Figure) -> bool:
    """Whether a formula names it: a size by its name, a stock's thickness or a part's size by both its words."""
    steps = named.target.split(".")
    return named.place != figure.place and len(steps) <= 2 and set(steps) <= set(figure.needs)


def is_among(values: Sequence[float] | Floats, value: float) -> bool:
    """Whether a value is one of several, in mm or degrees."""
    return bool((np.abs(np.asarray(values) - value) < SAME).any())


def _by_its_like(piece: Piece, figure: Figure, after: float) -> float:
    """A number that stands alone against numbers that agree with each other."""
    like = [n.value for n in piece.figures if _is_like(n, figure)]
    bonus = NEIGHBOUR if _field(figure) in PLACES else LIKE
    return bonus * is_among(like, after) - AGREED * is_among(like, figure.value)


def _is_like(other: Figure, figure: Figure) -> bool:
    """Whether two numbers are of one kind: the same field of the same kind of cut, or of parts."""
    same = _field(other) == _field(figure) != "thickness"  # two stocks need not be of one thickness
    return same and other.place != figure.place and other.is_angle == figure.is_angle and _stem(other) == _stem(figure)


def _field(figure: Figure) -> str:
    return figure.target.rsplit(".", 1)[-1]


def _stem(figure: Figure) -> str:
    """`rabbet` for `side.rabbet_rear.depth`, nothing for `side.length`."""
    steps = figure.target.split(".")
    return steps[-2].split("_")[0] if len(steps) > 2 else ""
