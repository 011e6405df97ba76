"""An opening parted into rows and columns of faces with even gaps: their sizes, and where they stand."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from solids.model.opening import Edge, Opening


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


def shared(whole: float, count: int, gap: float, outer: int) -> float:
    """The size of each of `count` pieces that share a whole with their gaps, `outer` of them at its ends."""
    return (whole - (count - 1 + outer) * gap) / count


def sizes(whole: float, count: int, given: Sequence[float], gap: float, outer: int) -> list[float]:
    """The sizes of `count` pieces: those given, the last taking what is left; all alike where none is given."""
    if not given:
        return [shared(whole, count, gap, outer)] * count
    rest = whole - (len(given) + outer) * gap - sum(given)
    return list(given) if len(given) == count else [*given, rest]


def starts(at: float, found: Sequence[float], gap: float, outer: int) -> list[float]:
    """Where each piece begins, from `at` on."""
    out, here = [], at + (gap if outer else 0.0)
    for size in found:
        out.append(here)
        here += size + gap
    return out


def faces(
    opening: Opening, heights: Sequence[float], lows: Sequence[float], columns: int, widths: Sequence[float],
    reveal: float, over: float | None,
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
        out += _row(row, low, high, left, right, columns, widths, reveal, over)
    return out


def _row(
    row: int, low: float, high: float, left: Edge, right: Edge, columns: int, widths: Sequence[float], reveal: float,
    over: float | None,
) -> list[Face]:  # fmt: skip
    """One row: reveals and overlays are square to the edges, so that level they are longer where an edge leans."""
    out_left, out_right = (
        (reveal if over is None else -over) * slanted(left),
        (reveal if over is None else -over) * slanted(right),
    )
    first = Edge(left.x0 + out_left, left.z0, left.slope)
    last = Edge(right.x0 - out_right, right.z0, right.slope)
    if columns == 1:
        return [Face(row, 0, low, high, first, last)]
    gap = reveal * slanted(left)
    found = sizes(last.x(low) - first.x(low), columns, widths, gap, 0)
    here, out = first.x(low), []
    for k, wide in enumerate(found):
        edges = Edge(here, low, left.slope), Edge(here + wide, low, left.slope)
        out.append(Face(row, k, low, high, *edges))
        here += wide + gap
    return out


def slanted(edge: Edge) -> float:
    """How much longer a distance square to an edge is when it is measured level."""
    return math.hypot(1.0, edge.slope)
