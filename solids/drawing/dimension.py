"""Dimensions: linear ones in tiers, running ones from one datum, angles and radii.

Lines and figures after ISO 129-1 as a reader of a shop drawing knows them: the
first line 10 mm from the outline, the next 7 mm on; extension lines run 2 mm
past; figures stand over their line and are read from below or from the right.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Literal, NamedTuple

from solids.drawing.lettering import lettered
from solids.drawing.pens import DIMENSION
from solids.drawing.sheet import Arc, Box, Dimension, Line, Mark, Path, Point, Text, arrow, bounds

Side = Literal["below", "above", "left", "right"]

HEIGHT = 2.5  # mm, the least that ISO 3098 has for figures on A4 to A1
FIRST, NEXT = 10.0, 7.0  # mm from the outline, and from one line to the next
ARROW = 2.5
GAP, PAST = 1.0, 2.0  # mm left free at the outline, and run past the line
CLEAR = 0.9  # mm between a figure and any line
STUB = 5.0  # mm of line outside arrows that look inward


class Asked(NamedTuple):
    """A linear dimension that is wanted: two points of the sheet, its figure and what that is in mm or as told.

    Those of lower `rank` stand nearer to the outline.
    """

    a: Point
    b: Point
    text: str
    value: float
    rank: int = 0


@dataclass(frozen=True, slots=True)
class _Lying:
    """What runs along a side: `along` picks the coordinate along it, and `place` makes a point of the sheet."""

    side: Side

    @property
    def level(self) -> bool:
        return self.side in ("below", "above")

    @property
    def out(self) -> float:
        return 1.0 if self.side in ("above", "right") else -1.0

    def along(self, p: Point) -> float:
        return p[0] if self.level else p[1]

    def off(self, p: Point) -> float:
        return p[1] if self.level else p[0]

    def place(self, along: float, off: float) -> Point:
        return (along, off) if self.level else (off, along)

    def text(self, along: float, off: float, text: str) -> Text:
        """Over the line where it is level; at its left where it is upright, to be read from the right."""
        lift = CLEAR - lettered(text, HEIGHT).bottom
        if self.level:
            return Text((along, off + lift), text, HEIGHT, "middle", "base", 0.0, DIMENSION)
        return Text((off - lift, along), text, HEIGHT, "middle", "base", 90.0, DIMENSION)


def tiers(side: Side, box: Box, asked: Sequence[Asked], scale: float, skip: float = 0.0) -> list[Mark]:
    """Linear dimensions on one side of an outline, the short ones nearest; no figure lies on an extension line.

    `skip` mm beyond the outline are left to others.
    """
    lying = _Lying(side)
    rows = _rows(lying, asked)
    rim = {"below": box.bottom, "above": box.top, "left": box.left, "right": box.right}[side]
    off = rim + lying.out * (skip + FIRST)
    marks: list[Mark] = []
    before = 0.0
    for k, row in enumerate(rows):
        tall = max(_rise(a.text) for a in row)
        if k:
            off += lying.out * max(NEXT, max(tall, before) + CLEAR + PAST + 0.5)
        elif tall > HEIGHT + 1.0:
            off += lying.out * (tall - HEIGHT)
        before = tall
        stops = [lying.along(p) for later in rows[k:] for a in later for p in (a.a, a.b)]
        marks += [_linear(lying, a, off, scale, stops) for a in row]
    return marks


def _rise(text: str) -> float:
    laid = lettered(text, HEIGHT)
    return laid.top - laid.bottom


def _rows(lying: _Lying, asked: Sequence[Asked]) -> list[list[Asked]]:
    """Short before long; two share a row where both have room for their own figures and don't overlap."""
    order = sorted(asked, key=lambda a: (a.rank, abs(lying.along(a.a) - lying.along(a.b)), lying.along(a.a)))
    rows: list[list[Asked]] = []
    for a in order:
        last = rows[-1] if rows else []
        if last and all(_roomy(lying, o) and o.rank == a.rank and _apart(lying, a, o) for o in (*last, a)):
            last.append(a)
        else:
            rows.append([a])
    return rows


def _roomy(lying: _Lying, a: Asked) -> bool:
    return abs(lying.along(a.a) - lying.along(a.b)) >= max(lettered(a.text, HEIGHT).width + 2 * CLEAR, 2 * ARROW + 2)


def _apart(lying: _Lying, a: Asked, b: Asked) -> bool:
    if a is b:
        return True
    low, high = sorted((lying.along(a.a), lying.along(a.b)))
    other, end = sorted((lying.along(b.a), lying.along(b.b)))
    return high <= other + 1e-6 or end <= low + 1e-6


def _linear(lying: _Lying, asked: Asked, off: float, scale: float, stops: Sequence[float]) -> Dimension:
    a, b = sorted((asked.a, asked.b), key=lying.along)
    low, high = lying.along(a), lying.along(b)
    wide = lettered(asked.text, HEIGHT).width
    at = _figure_place(low, high, wide, stops)
    inside = high - low >= 2 * ARROW + 1
    marks: list[Line | Arc | Path | Text] = list(_extensions(lying, (a, b), off))
    start = min(low if inside else low - STUB, at - wide / 2) if at < low else (low if inside else low - STUB)
    end = max(high if inside else high + STUB, at + wide / 2) if at > high else (high if inside else high + STUB)
    marks.append(Line(lying.place(start, off), lying.place(end, off), DIMENSION))
    way = 0.0 if lying.level else math.pi / 2
    turn = math.pi if inside else 0.0
    marks.append(arrow(lying.place(low, off), way + turn, ARROW))
    marks.append(arrow(lying.place(high, off), way + math.pi - turn, ARROW))
    marks.append(lying.text(at, off, asked.text))
    points = (asked.a, asked.b, lying.place(low, off))
    return Dimension("linear", tuple(marks), points, asked.text, asked.value, scale, 0.0 if lying.level else 90.0)


def _extensions(lying: _Lying, points: Sequence[Point], off: float) -> Iterator[Line]:
    for p in points:
        start = lying.off(p)
        if abs(off - start) > GAP + 0.5:
            u = lying.along(p)
            yield Line(lying.place(u, start + lying.out * GAP), lying.place(u, off + lying.out * PAST), DIMENSION)


def _figure_place(low: float, high: float, wide: float, stops: Sequence[float]) -> float:
    """The middle of a figure: between the arrows, or outside where there is no room; on no extension line."""
    half = wide / 2 + CLEAR
    middle = (low + high) / 2
    shifts = [0.0, *(s * k for k in range(1, 60) for s in (1.5, -1.5))]
    within = [middle + s for s in shifts if low + half <= middle + s <= high - half]
    beyond = [v for k in range(80) for v in (high + STUB + half + 1.5 * k, low - STUB - half - 1.5 * k)]
    return next((v for v in (*within, *beyond) if all(abs(s - v) >= half - 1e-9 for s in stops)), beyond[-1])


def beyond(box: Box, marks: Sequence[Mark], side: Side) -> Box:
    """An outline moved out on one side past what stands there already, so that nothing new meets it."""
    if not marks:
        return box
    taken = bounds(marks).grown(-4.0)
    return {
        "left": box._replace(left=min(box.left, taken.left)),
        "right": box._replace(right=max(box.right, taken.right)),
        "below": box._replace(bottom=min(box.bottom, taken.bottom)),
        "above": box._replace(top=max(box.top, taken.top)),
    }[side]


class Running(NamedTuple):
    """A place on a side that is told from the datum: where it is on the outline, and its figure."""

    at: Point
    text: str
    value: float


def running(
    side: Side, box: Box, origin: Point, asked: Sequence[Running], scale: float, skip: float = 0.0
) -> list[Mark]:
    """Running dimensions: each extension line ends at its figure, counted from a ring at the datum."""
    lying = _Lying(side)
    rim = {"below": box.bottom, "above": box.top, "left": box.left, "right": box.right}[side]
    start, bend, end = (rim + lying.out * (skip + d) for d in (2.0, 4.0, 9.0))
    order = sorted(asked, key=lambda r: lying.along(r.at))
    spots = spread([lying.along(r.at) for r in order], [_rise(r.text) + 1.7 for r in order])
    zero = lying.along(origin)
    marks: list[Mark] = [Arc(lying.place(zero, start), 0.8, DIMENSION)]
    for r, spot in zip(order, spots, strict=True):
        u = lying.along(r.at)
        lines = [
            Line(lying.place(u, lying.off(r.at) + lying.out * GAP), lying.place(u, bend), DIMENSION),
            Line(lying.place(u, bend), lying.place(spot, end - lying.out * 2.0), DIMENSION),
            Line(lying.place(spot, end - lying.out * 2.0), lying.place(spot, end), DIMENSION),
        ]
        text = _end_text(lying, spot, end + lying.out * CLEAR, r.text)
        points = (origin, r.at, lying.place(spot, end))
        angle = 0.0 if lying.level else 90.0
        marks.append(Dimension("ordinate", (*lines, text), points, r.text, r.value, scale, angle))
    return marks


def _end_text(lying: _Lying, along: float, off: float, text: str) -> Text:
    """A figure that goes on where its line ends."""
    outward = lying.out > 0
    if lying.level:
        return Text((along, off), text, HEIGHT, "left" if outward else "right", "middle", 90.0, DIMENSION)
    return Text((off, along), text, HEIGHT, "left" if outward else "right", "middle", 0.0, DIMENSION)


def spread(wanted: Sequence[float], rooms: Sequence[float]) -> list[float]:
    """Places near those wanted, in their order, each with its room; clusters are shifted as little as can be."""
    groups: list[tuple[float, list[int]]] = []  # where a cluster begins, and who is in it
    for k, w in enumerate(wanted):
        groups.append((w - rooms[k] / 2, [k]))
        while len(groups) > 1 and groups[-2][0] + sum(rooms[i] for i in groups[-2][1]) > groups[-1][0] + 1e-9:
            members = groups[-2][1] + groups.pop()[1]
            offsets, reached = [], 0.0
            for i in members:
                offsets.append(wanted[i] - reached - rooms[i] / 2)
                reached += rooms[i]
            groups[-1] = (sum(offsets) / len(offsets), members)
    out = [0.0] * len(wanted)
    for begin, members in groups:
        at = begin
        for i in members:
            out[i] = at + rooms[i] / 2
            at += rooms[i]
    return out


def angular(vertex: Point, first: Point, second: Point, text: str, degrees: float, scale: float) -> Dimension:
    """The angle at `vertex` between the ways to two points; its figure stands outside the arc's end."""
    a, b = (math.atan2(p[1] - vertex[1], p[0] - vertex[0]) for p in (first, second))
    if (b - a) % (2 * math.pi) > math.pi:
        a, b = b, a
        first, second = second, first
    b = a + (b - a) % (2 * math.pi)
    radius = max(math.dist(vertex, first), math.dist(vertex, second)) + 6.0
    marks: list[Line | Arc | Path | Text] = []
    for p, angle in ((first, a), (second, b)):
        reach = math.dist(vertex, p) + GAP
        ends = [(vertex[0] + d * math.cos(angle), vertex[1] + d * math.sin(angle)) for d in (reach, radius + PAST)]
        marks.append(Line(ends[0], ends[1], DIMENSION))
    inside = radius * (b - a) > 3 * ARROW
    roomy = radius * (b - a) > lettered(text, HEIGHT).width + 6.0
    more = 0.0 if inside else STUB / radius
    arc = Arc(vertex, radius, DIMENSION, a - more, b + more)
    marks.append(arc)
    lean = ARROW / radius / 2
    for angle, way in ((a, -1.0), (b, 1.0)):
        turned = way if inside else -way
        marks.append(arrow(arc.at(angle), angle + turned * (math.pi / 2) - turned * lean, ARROW))
    marks.append(_angle_text(vertex, radius, (a + b) / 2 if inside else b + more, text, inside, roomy))
    return Dimension(
        "angular", tuple(marks), (vertex, first, vertex, second, arc.at((a + b) / 2)), text, degrees, scale
    )


def _angle_text(vertex: Point, radius: float, angle: float, text: str, inside: bool, roomy: bool) -> Text:
    """Level, so far outside the arc that no corner of it comes near."""
    laid = lettered(text, HEIGHT)
    wide, high = laid.width / 2 + CLEAR, HEIGHT / 2 + CLEAR
    c, s = math.cos(angle), math.sin(angle)
    x, y = vertex[0] + radius * c, vertex[1] + radius * s
    if inside:  # out along the ray, until the box round the figure is clear of the arc
        far = wide * abs(c) + high * abs(s) + 0.4 + (0.0 if roomy else PAST)
        return Text((x + far * c, y + far * s), text, HEIGHT, "middle", "middle", 0.0, DIMENSION)
    # On along the arc's end, the corner nearest to it just clear.
    x, y = x - s * 0.4, y + c * 0.4
    return Text(
        (x - math.copysign(wide, s), y + math.copysign(high, c)), text, HEIGHT, "middle", "middle", 0.0, DIMENSION
    )


def leader(tip: Point, knee: Point, text: Sequence[str], dot: bool = False) -> list[Line | Arc | Path | Text]:
    """Lines of text at the end of a line to what they speak of; its head an arrow, or a dot on a surface."""
    way = 1.0 if knee[0] >= tip[0] else -1.0
    angle = math.atan2(tip[1] - knee[1], tip[0] - knee[0])
    shelf = knee[0] + way * 2.5, knee[1]
    head: Path | Arc = arrow(tip, angle, ARROW)
    if dot:
        turns = [k * math.pi / 6 for k in range(12)]
        corners = tuple((tip[0] + 0.6 * math.cos(t), tip[1] + 0.6 * math.sin(t)) for t in turns)
        head = Path(corners, DIMENSION, True, True)
    marks: list[Line | Arc | Path | Text] = [Line(tip, knee, DIMENSION), Line(knee, shelf, DIMENSION), head]
    y = knee[1]
    for k, line in enumerate(text):
        if k:
            y -= line_step(text[k - 1], line)
        at = shelf[0] + way * 1.0, y
        marks.append(Text(at, line, HEIGHT, "left" if way > 0 else "right", "middle", 0.0, DIMENSION))
    return marks


def line_step(above: str, below: str) -> float:
    """How far the middles of two lines of a note are apart."""
    up, down = lettered(above, HEIGHT), lettered(below, HEIGHT)
    return max(HEIGHT * 1.6, (HEIGHT / 2 - up.bottom) + (down.top - HEIGHT / 2) + 0.6)
