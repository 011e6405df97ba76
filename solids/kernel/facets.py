"""Views made of facets made lines again: short straight pieces put back on the circles and curves they came from."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from itertools import pairwise
from typing import NamedTuple

import numpy as np

from solids.kernel.strokes import Bent, Point, Round, Straight, Stroke

ON = 2e-3  # mm: an end as near as this to a circle is on it
SHORT = 0.5  # radians of a circle that one facet may span; facets are finer, straight edges of the wood longer
NEAR = 4  # decimals of a mm to which two ends are one


class Circle(NamedTuple):
    """A round edge that a view shows as a circle."""

    centre: Point
    radius: float


def rejoined(
    pieces: Iterable[Straight], circles: Sequence[Circle], edges: Sequence[tuple[Point, Point]]
) -> list[Stroke]:
    """The same view with its circles whole, its straight edges straight, and every other curve as one run of points.

    `edges` are the straight edges of the wood as the view shows them.
    """
    out: list[Stroke] = []
    loose: list[Straight] = []
    straight = _Edges(edges)
    turns = _Turns(circles)
    for piece in pieces:
        if straight.hold(piece):
            out.append(piece)
        elif (round_ := turns.on(piece)) is not None:
            out.append(round_)
        else:
            loose.append(piece)
    return [*out, *_runs(loose)]


class _Edges:
    """The straight edges of the wood."""

    def __init__(self, edges: Sequence[tuple[Point, Point]]) -> None:
        laid = np.array([(*a, *b) for a, b in edges if math.dist(a, b) > ON]).reshape(-1, 4)
        self.start = laid[:, :2]
        self.length = np.hypot(*(laid[:, 2:] - laid[:, :2]).T)
        self.way = (laid[:, 2:] - laid[:, :2]) / self.length[:, None]

    def hold(self, piece: Straight) -> bool:
        """Whether both ends of a piece lie on one of them."""
        held = np.ones(len(self.start), bool)
        for end in (piece.a, piece.b):
            out = np.array(end) - self.start
            along = (out * self.way).sum(axis=1)
            off = np.abs(out[:, 0] * self.way[:, 1] - out[:, 1] * self.way[:, 0])
            held &= (off < ON) & (along > -ON) & (along < self.length + ON)
        return bool(held.any())


class _Turns:
    """The circles of a view."""

    def __init__(self, circles: Sequence[Circle]) -> None:
        self.circles = list(dict.fromkeys(circles))
        self.centre = np.array([c.centre for c in self.circles]).reshape(-1, 2)
        self.radius = np.array([c.radius for c in self.circles])

    def on(self, piece: Straight) -> Round | None:
        """The arc that a facet stands for; None where both its ends are on no one circle."""
        off = [np.abs(np.hypot(*(self.centre - end).T) - self.radius) for end in (piece.a, piece.b)]
        for k in np.flatnonzero((off[0] < ON) & (off[1] < ON)).tolist():
            centre, radius = self.circles[k]
            a, b = (math.atan2(p[1] - centre[1], p[0] - centre[0]) for p in (piece.a, piece.b))
            swept = (b - a + math.pi) % (2 * math.pi) - math.pi
            if 0 < abs(swept) < SHORT:
                start = a if swept > 0 else b
                return Round(centre, radius, start, start + abs(swept), piece.hidden, piece.smooth, piece.part)
        return None


def _runs(pieces: Sequence[Straight]) -> Iterator[Stroke]:
    """Pieces that meet end to end, two at a point, as one curve; alike in what hides them."""
    kinds: dict[tuple[bool, bool, int], list[Straight]] = defaultdict(list)
    for p in pieces:
        kinds[p.hidden, p.smooth, p.part].append(p)
    for (hidden, smooth, part), own in sorted(kinds.items()):
        for run in map(_bends, _chained({tuple(sorted((_key(p.a), _key(p.b)))): p for p in own})):
            if len(run) == 2:
                yield Straight(run[0], run[1], hidden, smooth, part)
            else:
                yield Bent(tuple(run), hidden, smooth, part)


def _key(p: Point) -> Point:
    return round(p[0], NEAR) + 0.0, round(p[1], NEAR) + 0.0


def _chained(pieces: dict[tuple[Point, ...], Straight]) -> Iterator[list[Point]]:
    """Runs of points; first those with an end, then what closes on itself."""
    at: dict[Point, list[tuple[Point, ...]]] = defaultdict(list)
    for key in sorted(pieces):
        for end in key:
            at[end].append(key)
    left = dict.fromkeys(sorted(pieces))
    for start in [*(e for e in sorted(at) if len(at[e]) != 2), *sorted(at)]:
        for first in at[start]:
            if first in left:
                yield _followed(start, first, at, left)


def _bends(run: list[Point]) -> list[Point]:
    """A run without the points at which it goes straight on."""
    out = run[:1]
    for p, after in pairwise(run[1:]):
        (ax, ay), (bx, by) = (p[0] - out[-1][0], p[1] - out[-1][1]), (after[0] - p[0], after[1] - p[1])
        if abs(ax * by - ay * bx) > ON * math.hypot(ax, ay) or ax * bx + ay * by < 0:
            out.append(p)
    return [*out, run[-1]]


def _followed(
    start: Point, key: tuple[Point, ...], at: dict[Point, list[tuple[Point, ...]]], left: dict[tuple[Point, ...], None]
) -> list[Point]:
    """On from one piece to the next until there is none or more than one."""
    run = [start]
    while True:
        del left[key]
        run.append(key[1] if key[0] == run[-1] else key[0])
        others = [k for k in at[run[-1]] if k in left]
        if len(at[run[-1]]) != 2 or not others:
            return run
        key = others[0]
