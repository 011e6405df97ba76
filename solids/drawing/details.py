"""Details of the joints: one of each kind cut through at full size, so that a part can be laid on it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any, NamedTuple

import numpy as np
import shapely

from solids.drawing.cut_through import wood_marks
from solids.drawing.leader import leader
from solids.drawing.pack import Block, packed
from solids.drawing.paper import PAPERS, Paper, Scale, frame, scales
from solids.drawing.pens import RULE
from solids.drawing.sheet import Box, Dimension, Mark, Sheet, Text, bounds, rectangle
from solids.drawing.title import Heading, Style, title_block
from solids.drawing.whole import Standing, Whole, sliced
from solids.model.geometry import Frame, Vector
from solids.model.piece import Joint

REACH = 32.0  # mm of wood shown round the middle of a joint
NAMES = {"house": "housing", "miter": "miter", "lap": "lap", "touch": "butt"}


class Detail(NamedTuple):
    """A joint that is shown: its kind, the two parts, and the plane that it is cut by."""

    title: str
    a: Standing
    b: Standing
    plane: Frame
    angled: bool


def details(whole: Whole, joints: Sequence[Joint]) -> list[Detail]:
    """One joint of each kind, and between each two thicknesses of wood."""
    by_id = {s.part.id: s for s in whole.standing}
    found: dict[tuple[str, float, float, float], Detail] = {}
    for j in joints:
        if j.asked is None and j.a in by_id and j.b in by_id:  # a gap that is wanted is no joint
            a, b = by_id[j.a], by_id[j.b]
            plane, angled = _plane(a, b)
            faces = [s.part.frame.direction(s.part.blank.face.outward) for s in (a, b)]
            thick = sorted(round(s.part.blank.thickness, 3) for s in (a, b))
            key = j.kind, thick[0], thick[1], round(abs(faces[0].dot(faces[1])), 4)
            if key not in found:
                title = f"{NAMES.get(j.kind, j.kind).replace('_', ' ')}: {a.part.id} and {b.part.id}"
                found[key] = Detail(title, a, b, plane, angled)
    return [found[key] for key in sorted(found)]


def _plane(a: Standing, b: Standing) -> tuple[Frame, bool]:
    """Across the line along which the two faces meet, through the middle of the joint; whether that is at an angle."""
    faces = [s.part.frame.direction(s.part.blank.face.outward) for s in (a, b)]
    along = faces[0].cross(faces[1])
    if along.length() < 1e-6:  # faces look one way: across the edges that meet
        grains = [s.part.frame.direction(Vector(*(float(i == s.part.blank.grain) for i in range(3)))) for s in (a, b)]
        along = grains[0].cross(faces[0]) if abs(grains[0].dot(grains[1])) > 0.999 else grains[1]
    z = along.unit()
    middle = _meeting(a, b, z)
    up = min((Vector(0.0, 0.0, 1.0), Vector(0.0, 1.0, 0.0)), key=lambda v: abs(v.dot(z)))
    x = up.cross(z).unit()
    angled = max(abs(f.dot(v)) for f in faces for v in (x, z.cross(x))) < 0.9999
    return Frame(x, z.cross(x), z, middle), angled


def _meeting(a: Standing, b: Standing, along: Vector) -> Vector:
    """The middle of what the boxes of the two share; along the joint a third of the way, away from its ends."""
    p, q = a.points(), b.points()
    low, high = np.maximum(p.min(0), q.min(0)), np.minimum(p.max(0), q.max(0))
    middle = Vector(*(float(v) for v in (low + high) / 2))
    shared = float(np.abs((high - low) @ np.array(along)))
    return middle.plus(along.times(shared * 0.137))


def drawn(detail: Detail, scale: Scale) -> tuple[Mark, ...]:
    """The two parts cut through, each with its mark, and the title below."""
    window = shapely.box(-REACH, -REACH, REACH, REACH)
    marks: list[Mark] = []
    shown: list[tuple[Standing, Any]] = []
    for k, (s, wood) in enumerate(sliced((detail.a, detail.b), detail.plane)):
        part = shapely.intersection(wood, window)
        if part.area > 1.0:
            shown.append((s, part))
            marks += wood_marks(part, scale.ratio, k)
    if len(shown) < 2:
        return ()
    box = bounds(marks)
    for k, (s, part) in enumerate(shown):
        marks.append(_label(s, part, scale.ratio, box, k == 0))
    whole = bounds(marks)
    at = (box.left + box.right) / 2, whole.bottom - 2.5
    return (*marks, Text(at, f"{detail.title}   {scale.text}", 2.5, "middle", "top"))


def _label(s: Standing, part: Any, scale: float, box: Box, above: bool) -> Dimension:
    """The part's mark and id on a leader that ends in its wood."""
    polygon = max(shapely.get_parts(part).tolist(), key=lambda p: p.area)
    spot = polygon.representative_point()
    tip = spot.x * scale, spot.y * scale
    lift = (box.top - tip[1] + 5.0) if above else -(tip[1] - box.bottom + 5.0)
    knee = tip[0] + abs(lift) * 0.45, tip[1] + lift
    return Dimension("note", tuple(leader(tip, knee, [f"{s.mark}  {s.part.id}"], dot=True)), (tip,), "", 0.0)


def detail_sheets(shown: Sequence[Detail], style: Style, heading: Heading, name: str) -> Iterator[Sheet]:
    """As many sheets as the details take, each with a bar to check the printer by."""
    paper = style.paper if style.paper.name != "A4" and style.paper.name != "A" else _next(style.paper)
    scale = next(s for s in scales(paper.standard) if s.ratio == 1.0)
    blocks = [Block(m, 0.0, 1.0) for d in shown if (m := drawn(d, scale))]
    page = 0
    while blocks:
        page += 1
        title, furniture = title_block(style, paper, heading)
        bar = Block(check_bar(style), 0.0, 0.0)
        taken, rest = _filled(blocks, bar, paper, title)
        if not taken:
            break
        done = packed([bar, *taken], paper.space, [title], 6.0)
        assert done is not None
        marks = (*frame(paper), *furniture, *done)
        yield Sheet(paper.width, paper.height, f"{name}.{page}", heading.title, marks)
        blocks = rest


def _next(paper: Paper) -> Paper:
    return PAPERS["A3" if paper.standard == "ISO" else "B"]


def _filled(blocks: Sequence[Block], bar: Block, paper: Paper, title: Box) -> tuple[list[Block], list[Block]]:
    """As many of the blocks as one sheet takes, and the others."""
    taken: list[Block] = []
    rest = list(blocks)
    for block in blocks:
        if packed([bar, *taken, block], paper.space, [title], 6.0) is None:
            break
        taken.append(block)
        rest.pop(0)
    return taken, rest


def check_bar(style: Style) -> tuple[Mark, ...]:
    """A bar of known length: it tells whether the printer scaled."""
    count, unit = (10, 10.0) if style.units == "mm" else (4, 25.4)
    told = "100 mm" if style.units == "mm" else "4 in"
    marks: list[Mark] = []
    for k in range(count):
        marks.append(rectangle(Box(k * unit, 0.0, (k + 1) * unit, 2.0), RULE, solid=k % 2 == 0))
    marks.append(rectangle(Box(0.0, 0.0, count * unit, 2.0), RULE))
    text = f"This bar is {told} long. If it measures otherwise the printer scaled: print at 100 %, without fitting."
    marks.append(Text((0.0, 4.0), text, 2.5))
    return tuple(marks)
