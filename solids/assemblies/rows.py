"""An opening parted into rows and columns of faces with even gaps: their sizes, and where they stand."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from solids.model.opening import Edge, Opening


@dataclass(frozen=True, slots=True)
class Gaps:
    """How far faces are from each other, from what is left and right of them, and from what is below and above; mm."""

    between: float
    sides: float
    ends: float


@dataclass(frozen=True, slots=True)
class Face:
    """A face between two heights and two straight edges, in the axes of its opening; counted from 0."""

    row: int
    column: int
    low: float
    high: float
    left: Edge
    right: Edge

    @property
    def height(self) -> float:
        return self.high - self.low

    def width(self, z: float) -> float:
        """Level, at a height."""
        return self.right.x(z) - self.left.x(z)


def sizes(whole: float, count: int, given: Sequence[float], gap: float) -> list[float]:
    """The sizes of `count` pieces: those given, the last taking what is left; all alike where none is given."""
    wood = whole - (count - 1) * gap
    if not given:
        return [wood / count] * count
    return list(given) if len(given) == count else [*given, wood - sum(given)]


def starts(at: float, found: Sequence[float], gap: float) -> list[float]:
    """Where each piece begins, the first at `at`."""
    out, here = [], at
    for size in found:
        out.append(here)
        here += size + gap
    return out


def faces(
    opening: Opening, heights: Sequence[float], lows: Sequence[float], columns: int, widths: Sequence[float],
    gaps: Gaps, over: float | None,
) -> list[Face] | None:  # fmt: skip
    """The faces from the lower left, row by row; None where a side of the opening has a corner within a row.

    `over` is how far they lie over what stands round the opening; None where they lie in it.
    """
    out = []
    for row, (low, high) in enumerate(zip(lows, (z + h for z, h in zip(lows, heights, strict=True)), strict=True)):
        inside = max(low, opening.bottom), min(high, opening.top)
        left, right = (opening.side_edge(side, *inside) for side in (False, True))
        if left is None or right is None:
            return None
        out += _row(row, low, high, left, right, columns, widths, gaps, over)
    return out


def _row(
    row: int, low: float, high: float, left: Edge, right: Edge, columns: int, widths: Sequence[float], gaps: Gaps,
    over: float | None,
) -> list[Face]:  # fmt: skip
    """One row: reveals and overlays are square to the edges, so that level they are longer where an edge leans."""
    inward = gaps.sides if over is None else -over
    first = Edge(left.x0 + inward * slanted(left), left.z0, left.slope)
    last = Edge(right.x0 - inward * slanted(right), right.z0, right.slope)
    if columns == 1:
        return [Face(row, 0, low, high, first, last)]
    gap = gaps.between * slanted(left)
    found = sizes(last.x(low) - first.x(low), columns, widths, gap)
    here, out = first.x(low), []
    for k, wide in enumerate(found):
        edges = Edge(here, low, left.slope), Edge(here + wide, low, left.slope)
        out.append(Face(row, k, low, high, *edges))
        here += wide + gap
    return out


def slanted(edge: Edge) -> float:
    """How much longer a distance square to an edge is when it is measured level."""
    return math.hypot(1.0, edge.slope)
