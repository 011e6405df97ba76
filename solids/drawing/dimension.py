"""Linear dimensions in tiers along the sides of an outline.

Lines and figures after ISO 129-1 as a reader of a shop drawing knows them: the
first line 10 mm from the outline, the next 7 mm on; extension lines run 2 mm
past; figures stand over their line and are read from below or from the right.
On ASME's sheets they stand in a gap of their line and all read from below
(ASME Y14.5, from memory).
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
class Lying:
    """What runs along a side: `along` picks the coordinate along it, and `place` makes a point of the sheet.

    Where figures are `upright` all of them read from below.
    """

    side: Side
    upright: bool = False

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

    def length(self, text: str) -> float:
        """How much of its line a figure takes."""
        return rise(text) if self.upright and not self.level else lettered(text, HEIGHT).width

    def breadth(self, text: str) -> float:
        """How much a figure takes across its line."""
        return lettered(text, HEIGHT).width if self.upright and not self.level else rise(text)

    def text(self, along: float, off: float, text: str) -> Text:
        """Over the line where it is level; at its left where it is upright, to be read from the right; or in it."""
        if self.upright:
            return Text(self.place(along, off), text, HEIGHT, "middle", "middle", 0.0, DIMENSION)
        lift = CLEAR - lettered(text, HEIGHT).bottom
        if self.level:
            return Text((along, off + lift), text, HEIGHT, "middle", "base", 0.0, DIMENSION)
        return Text((off - lift, along), text, HEIGHT, "middle", "base", 90.0, DIMENSION)


def tiers(
    side: Side, box: Box, asked: Sequence[Asked], scale: float, skip: float = 0.0, *, upright: bool = False
) -> list[Mark]:
    """Linear dimensions on one side of an outline, the short ones nearest; no figure lies on an extension line.

    `skip` mm beyond the outline are left to others; `upright` figures all read from below.
    """
    lying = Lying(side, upright)
    rows = _rows(lying, asked)
    rim = {"below": box.bottom, "above": box.top, "left": box.left, "right": box.right}[side]
    off = rim + lying.out * skip
    marks: list[Mark] = []
    before: float | None = None
    for k, row in enumerate(rows):
        deep = max(lying.breadth(a.text) for a in row)
        off += lying.out * _step(lying, deep, before)
        before = deep
        stops = [lying.along(p) for later in rows[k:] for a in later for p in (a.a, a.b)]
        marks += [_linear(lying, a, off, scale, stops) for a in row]
    return marks


def _step(lying: Lying, deep: float, before: float | None) -> float:
    """How far a row is from the one before, so deep, or from the outline."""
    if lying.upright:
        return max(FIRST, deep / 2 + 3.0) if before is None else max(NEXT, (deep + max(before, 2 * PAST)) / 2 + CLEAR)
    if before is None:
        return FIRST + (deep - HEIGHT if deep > HEIGHT + 1.0 else 0.0)
    return max(NEXT, max(deep, before) + CLEAR + PAST + 0.5)


def rise(text: str) -> float:
    """How high a figure is from its lowest letter to its highest, in mm."""
    laid = lettered(text, HEIGHT)
    return laid.top - laid.bottom


def _rows(lying: Lying, asked: Sequence[Asked]) -> list[list[Asked]]:
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


def _roomy(lying: Lying, a: Asked) -> bool:
    arrows = 2 * ARROW + 2
    room = lying.length(a.text) + 2 * CLEAR + (arrows if lying.upright else 0.0)
    return abs(lying.along(a.a) - lying.along(a.b)) >= max(room, arrows)


def _apart(lying: Lying, a: Asked, b: Asked) -> bool:
    if a is b:
        return True
    low, high = sorted((lying.along(a.a), lying.along(a.b)))
    other, end = sorted((lying.along(b.a), lying.along(b.b)))
    return high <= other + 1e-6 or end <= low + 1e-6


def _linear(lying: Lying, asked: Asked, off: float, scale: float, stops: Sequence[float]) -> Dimension:
    a, b = sorted((asked.a, asked.b), key=lying.along)
    low, high = lying.along(a), lying.along(b)
    half = lying.length(asked.text) / 2
    at = _figure_place(low, high, half, stops, 2.0 * ARROW if lying.upright else 0.0)
    inside = high - low >= 2 * ARROW + 1
    marks: list[Line | Arc | Path | Text] = list(_extensions(lying, (a, b), off))
    for start, end in _spans(lying, (low, high), at, half, inside):
        marks.append(Line(lying.place(start, off), lying.place(end, off), DIMENSION))
    way = 0.0 if lying.level else math.pi / 2
    turn = math.pi if inside else 0.0
    marks.append(arrow(lying.place(low, off), way + turn, ARROW))
    marks.append(arrow(lying.place(high, off), way + math.pi - turn, ARROW))
    marks.append(lying.text(at, off, asked.text))
    points = (asked.a, asked.b, lying.place(low, off))
    return Dimension("linear", tuple(marks), points, asked.text, asked.value, scale, 0.0 if lying.level else 90.0)


def _spans(
    lying: Lying, ends: tuple[float, float], at: float, half: float, inside: bool
) -> Iterator[tuple[float, float]]:
    """The stretches of the dimension line: out to its figure and under it, or up to one that stands in the line."""
    low, high = ends
    start, end = (low, high) if inside else (low - STUB, high + STUB)
    if not lying.upright:
        yield min(start, at - half) if at < low else start, max(end, at + half) if at > high else end
        return
    near, far = at - half - CLEAR, at + half + CLEAR
    if at < low:
        yield min(far, start), end
    elif at > high:
        yield start, max(near, end)
    else:
        yield start, near
        yield far, end


def _extensions(lying: Lying, points: Sequence[Point], off: float) -> Iterator[Line]:
    for p in points:
        start = lying.off(p)
        if abs(off - start) > GAP + 0.5:
            u = lying.along(p)
            yield Line(lying.place(u, start + lying.out * GAP), lying.place(u, off + lying.out * PAST), DIMENSION)


def _figure_place(low: float, high: float, half: float, stops: Sequence[float], arrows: float) -> float:
    """The middle of a figure: between the arrows, or outside where there is no room; on no extension line."""
    half += CLEAR
    middle = (low + high) / 2
    shifts = [0.0, *(s * k for k in range(1, 60) for s in (1.5, -1.5))]
    room = half + arrows / 2 + (1.0 if arrows else 0.0)
    within = [middle + s for s in shifts if low + room <= middle + s <= high - room]
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
