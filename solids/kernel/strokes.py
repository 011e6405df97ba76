"""Strokes: the straight and round lines of a view, made fit to be drawn.

What a kernel gives when it takes hidden lines away has doubles, lines on lines
and pieces of one line; here each line is drawn once, and nothing hidden lies
under what is visible.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from typing import NamedTuple, TypeAlias

Point: TypeAlias = tuple[float, float]
Span: TypeAlias = tuple[float, float]

SAME = 1e-3  # mm: lines nearer than this are one
TURN = 1e-5  # radians: directions nearer than this are one
LEAST = 2e-3  # mm: nothing shorter is drawn
FULL = 2 * math.pi


@dataclass(frozen=True, slots=True)
class Straight:
    """A straight line of a view, whose it is, and whether wood lies before it or it only bounds a smooth bend."""

    a: Point
    b: Point
    hidden: bool = False
    smooth: bool = False
    part: int = 0


@dataclass(frozen=True, slots=True)
class Round:
    """Part of a circle, anticlockwise from `start` to `end` in radians."""

    centre: Point
    radius: float
    start: float
    end: float
    hidden: bool = False
    smooth: bool = False
    part: int = 0


@dataclass(frozen=True, slots=True)
class Bent:
    """Any other curve, as points along it."""

    points: tuple[Point, ...]
    hidden: bool = False
    smooth: bool = False
    part: int = 0


Stroke: TypeAlias = Straight | Round | Bent


def clean(strokes: Iterable[Stroke]) -> list[Stroke]:
    """Each line once, the visible before the hidden, the sharp before the smooth; in one order."""
    strokes = list(strokes)
    straight = [s for s in strokes if isinstance(s, Straight)]
    rounds = [s for s in strokes if isinstance(s, Round)]
    bent = [s for s in strokes if isinstance(s, Bent)]
    return [*_straight(straight), *_round(rounds), *_bent(bent)]


class _Carrier(NamedTuple):
    """The line that straight strokes lie on: its direction, in the upper half, and its distance from the origin."""

    angle: float
    offset: float


def _straight(strokes: list[Straight]) -> Iterator[Straight]:
    groups: list[tuple[_Carrier, list[tuple[Span, Straight]]]] = []
    laid = sorted(((_carrier(s), s) for s in strokes if math.dist(s.a, s.b) > LEAST), key=lambda p: (p[0], p[1].a))
    open_from = 0
    for carrier, s in laid:
        while open_from < len(groups) and carrier.angle - groups[open_from][0].angle > TURN:
            open_from += 1
        for k in range(open_from, len(groups)):
            if abs(groups[k][0].offset - carrier.offset) < SAME:
                groups[k][1].append((_along(groups[k][0], s), s))
                break
        else:
            groups.append((carrier, [(_along(carrier, s), s)]))
    for carrier, members in groups:
        yield from _once_on(carrier, members)


def _carrier(s: Straight) -> _Carrier:
    angle = math.atan2(s.b[1] - s.a[1], s.b[0] - s.a[0]) % math.pi
    if math.pi - angle < TURN:
        angle = 0.0
    return _Carrier(angle, s.a[1] * math.cos(angle) - s.a[0] * math.sin(angle))


def _along(carrier: _Carrier, s: Straight) -> Span:
    c, n = math.cos(carrier.angle), math.sin(carrier.angle)
    u, v = s.a[0] * c + s.a[1] * n, s.b[0] * c + s.b[1] * n
    return min(u, v), max(u, v)


def _once_on(carrier: _Carrier, members: list[tuple[Span, Straight]]) -> Iterator[Straight]:
    """The strokes on one line by rank, each without what a better one has drawn."""
    c, n = math.cos(carrier.angle), math.sin(carrier.angle)
    taken: list[Span] = []
    for rank in sorted({_rank(s) for _, s in members}):
        own = [(span, s) for span, s in members if _rank(s) == rank]
        for a, b in without(union([span for span, _ in own]), taken):
            if b - a > LEAST:
                owner = next(s for (u, v), s in own if u - SAME <= a and a < v)
                p, q = ((t * c - carrier.offset * n, t * n + carrier.offset * c) for t in (a, b))
                yield replace(owner, a=p, b=q)
        taken = union([*taken, *(span for span, _ in own)])


def _rank(s: Stroke) -> int:
    return 2 * s.hidden + s.smooth


def union(spans: Iterable[Span]) -> list[Span]:
    """Spans that meet or overlap made one, in order."""
    out: list[Span] = []
    for a, b in sorted(spans):
        if out and a <= out[-1][1] + SAME:
            out[-1] = out[-1][0], max(out[-1][1], b)
        else:
            out.append((a, b))
    return out


def without(spans: Iterable[Span], taken: Iterable[Span]) -> list[Span]:
    """What of the spans no span of `taken` covers."""
    left = list(spans)
    for u, v in taken:
        left = [piece for a, b in left for piece in ((a, min(b, u)), (max(a, v), b)) if piece[1] - piece[0] > 1e-9]
    return sorted(left)


def _round(strokes: list[Round]) -> Iterator[Round]:
    groups: list[list[Round]] = []
    for s in sorted(strokes, key=lambda s: (s.centre, s.radius, s.start)):
        for g in groups:
            if math.dist(g[0].centre, s.centre) < SAME and abs(g[0].radius - s.radius) < SAME:
                g.append(s)
                break
        else:
            groups.append([s])
    for g in groups:
        taken: list[Span] = []
        for rank in sorted({_rank(s) for s in g}):
            own = [s for s in g if _rank(s) == rank]
            spans = union([span for s in own for span in _turns(s)])
            for a, b in _joined_over_nought(without(spans, taken)):
                if (b - a) * own[0].radius > LEAST:
                    yield replace(own[0], centre=g[0].centre, radius=g[0].radius, start=a, end=b)
            taken = union([*taken, *spans])


def _turns(s: Round) -> Iterator[Span]:
    """The arc as spans between 0 and a full turn."""
    if s.end - s.start >= FULL - 1e-9:
        yield 0.0, FULL
        return
    start = s.start % FULL
    end = start + s.end - s.start
    yield start, min(end, FULL)
    if end > FULL + 1e-9:
        yield 0.0, end - FULL


def _joined_over_nought(spans: list[Span]) -> list[Span]:
    if len(spans) > 1 and spans[0][0] < 1e-6 and spans[-1][1] > FULL - 1e-6:
        return [*spans[1:-1], (spans[-1][0], FULL + spans[0][1])]
    return spans


def _bent(strokes: list[Bent]) -> Iterator[Bent]:
    seen: dict[tuple[Point, ...], Bent] = {}
    for s in sorted(strokes, key=lambda s: (_rank(s), s.points)):
        way = tuple((round(x, 2), round(y, 2)) for x, y in s.points)
        key = min(way, way[::-1])
        seen.setdefault((key[0], key[len(key) // 2], key[-1]), s)
    yield from seen.values()
