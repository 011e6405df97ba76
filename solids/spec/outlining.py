"""Outlines: points that close, with corner radii, and do not cross."""

from __future__ import annotations

from solids.model import field as f
from solids.model.finding import Place
from solids.model.geometry import Corner, rounded
from solids.spec.plain import Reading, length
from solids.spec.scope import as_list, each
from solids.spec.source import Items, Node


def outline(kind: f.Outline, node: Node | None, r: Reading, place: Place, what: str) -> tuple[Corner, ...]:
    """Corners anticlockwise, the least at 0 or more. Raises Told."""

    def corner(item: Node) -> tuple[float, float, float]:
        numbers = as_list(item, r.scope.ledger, place, "a point")
        if len(numbers) not in (2, 3):
            raise r.tell(item.place, "a point is `[a, b]`, or `[a, b, corner radius]`")
        a, b, *rest = each(lambda n: length(f.Length(zero=True), n, r, item.place, "a point's distance"), numbers)
        return a, b, rest[0] if rest else 0.0

    points = each(corner, as_list(node, r.scope.ledger, place, what))
    at = node.place if node else place
    if len(points) < 3:
        raise r.tell(at, f"{what} takes three points or more; {len(points)} stand here")
    return closed_outline(points, r, at, what)


def closed_outline(points: list[tuple[float, float, float]], r: Reading, at: Place, what: str) -> tuple[Corner, ...]:
    """The points as an anticlockwise outline that does not cross itself. Raises Told."""
    area = sum(p[0] * q[1] - q[0] * p[1] for p, q in zip(points, points[1:] + points[:1], strict=True)) / 2
    if abs(area) < 1e-6:
        raise r.tell(at, f"{what} encloses no area")
    ordered = points if area > 0 else points[::-1]
    crossing = _crossing(ordered)
    if crossing:
        raise r.tell(at, f"{what} crosses itself: side {crossing[0]} and side {crossing[1]}")
    try:
        return rounded(ordered)
    except ValueError as e:
        raise r.tell(at, f"{what}: {e}") from None


def _crossing(points: list[tuple[float, float, float]]) -> tuple[int, int] | None:
    """Two sides that meet where they should not, counted from 1."""
    n = len(points)

    def turn(p: tuple[float, ...], q: tuple[float, ...], s: tuple[float, ...]) -> float:
        return (q[0] - p[0]) * (s[1] - p[1]) - (q[1] - p[1]) * (s[0] - p[0])

    for i in range(n):
        a, b = points[i], points[(i + 1) % n]
        if abs(a[0] - b[0]) < 1e-9 and abs(a[1] - b[1]) < 1e-9:
            return i + 1, (i + 1) % n + 1
        for j in range(i + 2, n - (i == 0)):
            c, d = points[j], points[(j + 1) % n]
            if turn(a, b, c) * turn(a, b, d) <= 0 and turn(c, d, a) * turn(c, d, b) <= 0:
                return i + 1, j + 1
    return None


def points(kind: f.Points, node: Node | None, r: Reading, place: Place, what: str) -> tuple[tuple[float, float], ...]:
    """Points of any sign, three or more. Raises Told."""

    def pair(item: Node) -> tuple[float, float]:
        if not isinstance(item, Items) or len(item.items) != 2:
            raise r.tell(item.place, "a point is two lengths, as `[0, 300]`")
        a, b = each(lambda n: r.scope.length(n, item.place), item.items)
        return a, b

    found = each(pair, as_list(node, r.scope.ledger, place, what))
    at = node.place if node else place
    if len(found) < 3:
        raise r.tell(at, f"{what} takes three points or more; {len(found)} stand here")
    if found[0] == found[-1]:
        raise r.tell(at, f"{what} closes by itself: its last point is its first again; leave that out")
    crossing = _crossing([(a, b, 0.0) for a, b in found])
    if crossing:
        raise r.tell(at, f"{what} crosses itself: side {crossing[0]} and side {crossing[1]}")
    return tuple(found)
