"""The piece taken apart in the air: every part by its mark, and the list of them."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

import numpy as np

from solids.drawing.arrangement import FREE, fitted_sheet, parts_list
from solids.drawing.balloons import balloons
from solids.drawing.depth import Seen, seen
from solids.drawing.linework import drawn
from solids.drawing.pack import Block
from solids.drawing.paper import Scale
from solids.drawing.pens import CENTRE, FINE, RULE
from solids.drawing.sheet import Line, Mark, Point, Sheet, bounds
from solids.drawing.table import column
from solids.drawing.title import Heading, Style
from solids.drawing.whole import Standing, Whole, whole_of
from solids.kernel.mesh import Floats
from solids.kernel.strokes import Stroke
from solids.model.geometry import Vector
from solids.model.motion import Body, Slide
from solids.model.piece import Joint, Piece

TOWARD = Vector(0.62, -1.0, 0.62)  # where the reader stands: before the piece, to the right and above
SPREAD = 0.85  # how much farther from the middle of all a part's own middle is moved
SAMPLES = 120


def right_of(toward: Vector) -> Vector:
    """The way to the right of one who looks from there, level."""
    return Vector(0.0, 0.0, 1.0).cross(toward).unit()


def apart(whole: Whole, bodies: Sequence[Body]) -> Whole:
    """Every part moved out from the middle by its own distance from it, and what slides pulled out too."""
    middle = whole.low.plus(whole.high).times(0.5)
    pulled = {id_: b.motion for b in bodies if isinstance(b.motion, Slide) for id_ in b.parts}
    moved = []
    for s in whole.standing:
        points = s.points()
        own = Vector(*(float(v) for v in (points.min(0) + points.max(0)) / 2))
        out = own.minus(middle).times(SPREAD)
        slide = pulled.get(s.part.id)
        moved.append(s.moved(out if slide is None else out.plus(slide.toward.times(slide.travel))))
    return whole_of(moved)


def exploded_sheet(
    whole: Whole, piece: Piece, style: Style, heading: Heading, notes: Sequence[str], name: str
) -> Sheet:
    """The exploded view with balloons, traces from joint to joint, and the parts list."""
    far = apart(whole, piece.bodies)
    right = right_of(TOWARD)
    strokes = far.strokes(TOWARD, right)
    wide = float(np.ptp(np.vstack([s.points() for s in far.standing]) @ np.array(right)))
    picture = seen(far.standing, TOWARD, right, max(wide / 500, 0.5))
    targets = _targets(far, picture)
    traces = list(_traces(whole, far, piece.joints, picture))
    listed, words = parts_list(whole, style.figures), column(notes, room=90.0)

    def blocks(scale: Scale) -> list[Block]:
        return [
            Block(listed, 1.0, 0.0),
            Block(words, 0.0, 0.0),
            Block(_drawn(strokes, traces, targets, scale.ratio), 0.2, 0.9),
        ]

    return fitted_sheet(style, heading, name, blocks, FREE)


def _drawn(
    strokes: Sequence[Stroke], traces: Sequence[Line], targets: Mapping[int, Point], scale: float
) -> tuple[Mark, ...]:
    marks: list[Mark] = list(drawn(strokes, scale, outline=RULE))
    box = bounds(marks)
    for t in traces:
        a, b = ((p[0] * scale, p[1] * scale) for p in (t.a, t.b))
        if abs(a[0] - b[0]) + abs(a[1] - b[1]) > 1.5:
            marks.append(Line(a, b, CENTRE if abs(a[0] - b[0]) + abs(a[1] - b[1]) > 8 else FINE))
    return (*marks, *balloons({m: (x * scale, y * scale) for m, (x, y) in targets.items()}, box))


def _targets(far: Whole, picture: Seen) -> dict[int, Point]:
    """For each mark the roomiest seen point of the part of it that shows most."""
    best: dict[int, tuple[float, Point]] = {}
    for k, s in enumerate(far.standing):
        found = picture.roomiest(k)
        if found is not None and (s.mark not in best or found[0] > best[s.mark][0] + 1e-9):
            best[s.mark] = found
    return {mark: p for mark, (_, p) in sorted(best.items())}


def _traces(whole: Whole, far: Whole, joints: Sequence[Joint], picture: Seen) -> Iterator[Line]:
    """From where a joint was on one part to where it was on the other, as far as that can be seen."""
    place = {s.part.id: k for k, s in enumerate(whole.standing)}
    t, r = np.array(TOWARD.unit()), np.array(right_of(TOWARD))
    axes = np.column_stack([r, np.cross(t, r), t])
    for j in joints:
        if j.a not in place or j.b not in place or j.asked is not None:
            continue
        a, b = place[j.a], place[j.b]
        middle = _meeting(whole.standing[a], whole.standing[b])
        ends = [middle + _shift(whole, far, k) for k in (a, b)]
        if float(np.abs(ends[0] - ends[1]).max()) < 1.0:
            continue
        shares = np.linspace(0.0, 1.0, SAMPLES)[:, None]
        points = (ends[0] * (1 - shares) + ends[1] * shares) @ axes
        shown = ~picture.hides(points, points[:, 2])
        yield from _runs(points, shown)


def _meeting(a: Standing, b: Standing) -> Floats:
    """The middle of the box that the boxes round two parts share."""
    p, q = a.points(), b.points()
    low, high = np.maximum(p.min(0), q.min(0)), np.minimum(p.max(0), q.max(0))
    middle: Floats = (low + high) / 2
    return middle


def _shift(whole: Whole, far: Whole, k: int) -> Floats:
    moved: Floats = np.array(far.standing[k].frame.origin) - np.array(whole.standing[k].frame.origin)
    return moved


def _runs(points: Floats, shown: Any) -> Iterator[Line]:
    """The stretches of a line of points that are seen."""
    start: int | None = None
    for k, is_seen in enumerate([*shown.tolist(), False]):
        if is_seen and start is None:
            start = k
        elif not is_seen and start is not None:
            a, b = points[start], points[k - 1]
            yield Line((float(a[0]), float(a[1])), (float(b[0]), float(b[1])), CENTRE)
            start = None
