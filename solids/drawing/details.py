"""Details of the joints: one of each kind cut through at full size, so that a part can be laid on it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any, NamedTuple

import numpy as np
import shapely

from solids.drawing.cut_through import wood_marks
from solids.drawing.detail_sizes import axes, sockets, told
from solids.drawing.figures import Figures
from solids.drawing.notes import Note, placed
from solids.drawing.pack import Block, packed
from solids.drawing.paper import PAPERS, Paper, Scale, frame, scales
from solids.drawing.pens import CENTRE, RULE
from solids.drawing.sheet import Box, Line, Mark, Sheet, Text, bounds, moved, rectangle
from solids.drawing.table import column
from solids.drawing.title import Heading, Style, title_block
from solids.drawing.whole import Standing, Whole, sliced
from solids.model.geometry import AXES, Frame, Vector
from solids.model.piece import Joint

REACH = 32.0  # mm of wood shown round the middle of a joint
NEAR = 1.0  # mm: parts that near to each other meet
FAR, PAST = 130.0, 8.0  # mm that a hole is followed from there, and shown beyond its end
NAMES = {"house": "housing", "miter": "miter", "lap": "lap", "touch": "butt"}


class Detail(NamedTuple):
    """A joint that is shown: its title, the two parts, the plane that it is cut by, how much of that, and what is cut.

    `window` is in mm of wood along the plane's own x and y.
    """

    title: str
    a: Standing
    b: Standing
    plane: Frame
    window: Box
    angled: bool
    joint: Joint
    bores: tuple[tuple[Vector, Vector], ...] = ()


def details(whole: Whole, joints: Sequence[Joint]) -> list[Detail]:
    """One joint of each kind, and of those that are cut one between each two thicknesses of wood."""
    by_id = {s.part.id: s for s in whole.standing}
    found: dict[tuple[object, ...], Detail] = {}
    for j in joints:
        if j.asked is None and j.a in by_id and j.b in by_id:  # a gap that is wanted is no joint
            a, b = by_id[j.a], by_id[j.b]
            faces = [s.part.frame.direction(s.part.blank.face.outward) for s in (a, b)]
            thick = sorted(round(s.part.blank.thickness, 3) for s in (a, b))
            sizes = thick if j.cuts else []  # where nothing is cut one stands for all
            key = j.kind, *sizes, round(abs(faces[0].dot(faces[1])), 4), j.hardware
            if key not in found:
                found[key] = _detail(j, a, b)
    return [found[key] for key in sorted(found, key=str)]


def _detail(joint: Joint, a: Standing, b: Standing) -> Detail:
    """Cut by a plane across both; along the first hole or pocket where there is one."""
    lines = [ends for s in (a, b) for ends in axes(s.part, [name for id_, name in joint.cuts if id_ == s.part.id])]
    along = _across(a, b)
    middle = _meeting(a, b, along)
    if lines:
        start, end = lines[0]
        way = end.minus(start).unit()
        if abs(along.dot(way)) > 0.5:
            face = a.part.frame.direction(a.part.blank.face.outward)
            grain = a.part.frame.direction(AXES[a.part.blank.grain])
            along = way.cross(face if abs(way.dot(face)) < 0.5 else grain).unit()
            middle = _meeting(a, b, along)
        middle = start.plus(way.times(middle.minus(start).dot(way)))
    up = min((Vector(0.0, 0.0, 1.0), Vector(0.0, 1.0, 0.0)), key=lambda v: abs(v.dot(along)))
    x = up.cross(along).unit()
    plane = Frame(x, along.cross(x), along, middle)
    if not lines:
        plane = _centred(plane, a, b)
    faces = [s.part.frame.direction(s.part.blank.face.outward) for s in (a, b)]
    angled = 1e-4 < abs(faces[0].dot(faces[1])) < 1 - 1e-4
    name = NAMES.get(joint.kind, joint.kind).replace("_", " ")
    title = f"{name}{f' {joint.hardware}' if joint.hardware else ''}: {a.part.id} and {b.part.id}"
    return Detail(title, a, b, plane, _window(plane, lines), angled, joint, tuple(lines))


def _centred(plane: Frame, a: Standing, b: Standing) -> Frame:
    """The same plane with its origin where the two meet in it: the middle of their boxes may be far from that."""
    cut = [wood.buffer(NEAR) for _, wood in sliced((a, b), plane)]
    shared = shapely.intersection(*cut) if len(cut) == 2 else shapely.Polygon()
    if shared.is_empty:
        return plane
    # Of several as large the one at the lower left, in whatever order they come.
    places = [(round(p.area, 3), -round(p.centroid.x, 3), -round(p.centroid.y, 3)) for p in shapely.get_parts(shared)]
    _, x, y = max(places)
    return plane._replace(origin=plane.point(Vector(-x, -y, 0.0)))


def _window(plane: Frame, lines: Sequence[tuple[Vector, Vector]]) -> Box:
    """What is shown: round the middle, and as far as the first hole goes."""
    box = Box(-REACH, -REACH, REACH, REACH)
    for p in (p for ends in lines for p in ends):
        x, y, off = plane.local_point(p)
        if abs(off) < 1.0 and max(abs(x), abs(y)) < FAR:
            box = box.joined(Box(x - PAST, y - PAST, x + PAST, y + PAST))
    return box


def _across(a: Standing, b: Standing) -> Vector:
    """The line along which the two faces meet; where they look one way, across the edges that meet."""
    faces = [s.part.frame.direction(s.part.blank.face.outward) for s in (a, b)]
    along = faces[0].cross(faces[1])
    if along.length() < 1e-6:
        grains = [s.part.frame.direction(AXES[s.part.blank.grain]) for s in (a, b)]
        along = grains[0].cross(faces[0]) if abs(grains[0].dot(grains[1])) > 0.999 else grains[1]
    return along.unit()


def _meeting(a: Standing, b: Standing, along: Vector) -> Vector:
    """The middle of what the boxes of the two share; along the joint a third of the way, away from its ends."""
    p, q = a.points(), b.points()
    low, high = np.maximum(p.min(0), q.min(0)), np.minimum(p.max(0), q.max(0))
    middle = Vector(*(float(v) for v in (low + high) / 2))
    shared = float(np.abs((high - low) @ np.array(along)))
    return middle.plus(along.times(shared * 0.137))


def drawn(detail: Detail, scale: Scale, figures: Figures) -> tuple[Mark, ...]:
    """The two parts cut through, with their sockets' sizes, each with its mark; the title and what is cut below."""
    window = shapely.box(*detail.window)
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
    if not detail.angled:
        for (_, own), (_, other) in (shown, shown[::-1]):
            marks += sockets(own, other, scale.ratio, box, figures)
    marks += _centre_lines(detail, scale.ratio)
    new, _ = placed([_label(s, part, scale.ratio, figures) for s, part in shown], marks, [box])
    marks += new
    whole = bounds(marks)
    lines = [f"{detail.title}   {scale.text}"]
    lines += [f"{s.mark}: {words}" for s, _ in shown for words in told(detail.joint, s.part, figures)]
    return (*marks, *moved(column(lines, room=110.0, numbered=False), box.left, whole.bottom - 5.5))


def _centre_lines(detail: Detail, scale: float) -> Iterator[Line]:
    """Along each hole and pocket that the plane goes through."""
    for ends in detail.bores:
        p, q = (detail.plane.local_point(e) for e in ends)
        if max(abs(p.z), abs(q.z)) < 1.0 and all(max(abs(e.x), abs(e.y)) < FAR for e in (p, q)):
            way = q.minus(p).unit().times(2.0 / scale)
            a, b = p.minus(way), q.plus(way)
            yield Line((a.x * scale, a.y * scale), (b.x * scale, b.y * scale), CENTRE)


def _label(s: Standing, part: Any, scale: float, figures: Figures) -> Note:
    """The part's mark, id and thickness on a leader that ends in its wood."""
    polygon = max(shapely.get_parts(part).tolist(), key=lambda p: p.area)
    spot = shapely.Point(shapely.maximum_inscribed_circle(polygon, tolerance=1.0).coords[0])
    words = f"{s.mark}  {s.part.id}", f"{figures.length(s.part.blank.thickness)} thick"
    return Note(words, ((spot.x * scale, spot.y * scale),), dot=True)


def detail_sheets(shown: Sequence[Detail], style: Style, heading: Heading, name: str) -> Iterator[Sheet]:
    """As many sheets as the details take, each with a bar to check the printer by."""
    paper = style.paper if style.paper.name != "A4" and style.paper.name != "A" else _next(style.paper)
    scale = next(s for s in scales(paper.standard) if s.ratio == 1.0)
    blocks = [Block(m, 0.0, 1.0) for d in shown if (m := drawn(d, scale, style.figures))]
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
