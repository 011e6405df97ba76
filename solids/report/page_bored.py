"""A bolt, screw or dowel cut open along its axis: the wood on both sides, the steel in its hole, and what is wrong.

               |
 ______________|_____________
|  ___         |    ______   |     the plane of the cut holds the axis; it lies square
|-|   |========|===|======|- |     to a cross dowel, through the nearest face of a hole
|  ---         |    ------   |     too near it, through both axes where they part
|______________|_____________|
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Any

import numpy as np
import shapely

from solids.fit.beside_axis import faces_beside
from solids.fit.dryfit import DryFit
from solids.fit.fastened import Drilled, Fastening, nut_distance, skin, wood_before
from solids.fit.tell import Tell
from solids.kernel.mesh import Floats
from solids.model.finding import Finding
from solids.model.geometry import AXES
from solids.report.page_layout import STILL, TALL, sliced
from solids.report.page_place import Colouring, Place, Size
from solids.report.page_spot import LIKED, Spot
from solids.report.page_steel import Bored, head, radius, steel
from solids.report.visible import View

ROOM = 1.35  # times as wide as what must be seen
LEAST = 5.0  # diameters of the hole that are seen across it
SAME = 1e-3  # mm: a finding's point and a hole's are one


def bored_place(dry: DryFit, f: Finding) -> Place | None:
    """What the finding is about, cut open; None where no fastener is behind it."""
    if f.kind not in _SHOWN:
        return None
    found = _meant(dry, f)
    if found is None:
        return None
    shape, ends, text = _SHOWN[f.kind](found)
    return _place(found, shape, ends, text)


def _meant(dry: DryFit, f: Finding) -> Bored | None:
    """The fastening that the finding's cuts belong to, and of its holes the one that its point lies on."""
    if f.at is None:
        return None
    near = [
        (round(h.off_axis(f.at), 6), round(h.start.minus(f.at).length(), 6), n, fastening, h)
        for n, fastening in enumerate(dry.fastenings)
        for h in (fastening.a, fastening.b, fastening.nut)
        if h is not None and f"{dry.part(h.part).id}.{h.made.name}" in f.cuts
    ]
    if not near:
        return None
    *_, fastening, hole = min(near, key=lambda found: found[:3])
    return Bored(dry, f, fastening, hole, _across(dry, f, fastening, hole))


def _across(dry: DryFit, f: Finding, fastening: Fastening, hole: Drilled) -> Floats:
    """The way in the cut that is square to the axis: the one in which something is to be seen."""
    axis = np.array(fastening.a.axis)
    ways: list[Floats] = []
    if f.kind == "near-edge":
        ways += [dry.scene.normal[k] for k in _nearest(dry, f, hole)]
    elif f.kind == "holes-astray" and fastening.b is not None:
        ways.append(np.array(fastening.b.start) - np.array(fastening.a.start))
    if fastening.nut is not None:
        ways.append(np.cross(np.array(fastening.nut.axis), axis))
    frame = dry.part((fastening.b or fastening.a).part).frame
    rest = [np.array(frame.direction(a)) for a in AXES]
    ways += sorted(rest, key=lambda w: -round(abs(float(np.cross(axis, w) @ LIKED)), 6))
    square = [w - axis * float(w @ axis) for w in ways]
    way = next(s for s in square if np.linalg.norm(s) > SAME)
    return np.asarray(way / np.linalg.norm(way), float)


def _nearest(dry: DryFit, f: Finding, hole: Drilled) -> list[int]:
    """The face that a hole is as far from as the finding says; none where that is the joint."""
    part = dry.part(hole.part)
    deep = wood_before(part, hole.start, hole.axis)
    deep = deep if hole.depth is None else min(deep, hole.depth)
    return [k for k, d in faces_beside(dry.scene, hole, deep) if abs(d - f.values["distance"]) < SAME][:1]


# What each finding shows: the shape to colour, the ends of the line with its number, the number ------------

Shown = tuple[tuple[Any, Colouring], tuple[tuple[float, float], tuple[float, float]], str]


def _short(b: Bored) -> Shown:
    """From the end of the bolt to where it should reach."""
    lack = b.finding.values["need"] - b.finding.values["engaged"]
    wide = radius(b)
    box = shapely.box(b.tip, -wide, b.tip + lack, wide)
    return (box, "gap"), ((b.tip, 0.0), (b.tip + lack, 0.0)), Tell(b.dry).small(lack)


def _long(b: Bored) -> Shown:
    """What of the bolt is beyond the floor or out of the wood."""
    past = b.finding.values["past"]
    wide = radius(b)
    box = shapely.box(b.tip - past, -wide, b.tip, wide)
    return (box, "clash"), ((b.tip - past, 0.0), (b.tip, 0.0)), Tell(b.dry).small(past)


def _breaks_out(b: Bored) -> Shown:
    """The wood left beyond the floor of the hole."""
    left, _ = skin(b.dry.part(b.hole.part), b.hole, b.hole.depth or 0.0)
    floor = b.at(b.hole.below(b.hole.depth or 0.0))[0]
    wide = b.hole.diameter / 2
    box = shapely.box(min(floor, floor + left), -wide, max(floor, floor + left), wide)
    return (box, "web"), ((floor, 0.0), (floor + left, 0.0)), Tell(b.dry).small(left)


def _astray(b: Bored) -> Shown:
    """From the one axis to the other, where they are furthest apart."""
    a, other = b.fastening.a, b.hole if b.hole is not b.fastening.a else b.fastening.b or b.fastening.a
    ends = [other.start, other.below(other.depth or 0.0)]
    far = max(ends, key=lambda p: round(a.off_axis(p), 6))
    t, u = b.at(far)
    wide = max(abs(u), 0.1)
    box = shapely.box(t - wide / 8, min(0.0, u), t + wide / 8, max(0.0, u))
    return (box, "gap"), ((t, 0.0), (t, u)), Tell(b.dry).small(b.finding.values.get("offset", abs(u)))


def _edge(b: Bored) -> Shown:
    """From the axis to the nearest face, or from a cross dowel to the joint."""
    distance = b.finding.values["distance"]
    text = Tell(b.dry).small(distance)
    if b.hole is b.fastening.nut and b.fastening.b is not None:
        joint = b.at(b.fastening.b.start)[0]
        nut = joint + nut_distance(b.hole, b.fastening.b)
        wide = b.hole.diameter / 4
        return (shapely.box(joint, -wide, nut, wide), "web"), ((joint, 0.0), (nut, 0.0)), text
    t, u = b.at(b.hole.below((b.hole.depth or wood_before(b.dry.part(b.hole.part), b.hole.start, b.hole.axis)) / 2))
    wide = b.hole.diameter / 4
    return (shapely.box(t - wide, u, t + wide, u + distance), "web"), ((t, u), (t, u + distance)), text


def _no_reach(b: Bored) -> Shown:
    """The way before the head up to the part that stands in it."""
    free = b.finding.values["free"]
    ware = b.fastening.ware
    wide = head(ware) / 2 if ware is not None else b.hole.diameter / 2
    return (shapely.box(-free, -wide, 0.0, wide), "gap"), ((-free, 0.0), (0.0, 0.0)), Tell(b.dry).small(free)


_SHOWN: dict[str, Callable[[Bored], Shown]] = {
    "bolt-short": _short, "bolt-long": _long, "insert-breaks-out": _breaks_out,
    "holes-astray": _astray, "near-edge": _edge, "no-reach": _no_reach,
}  # fmt: skip
COLOURED = {
    "bolt-short": "yellow is thread that is lacking",
    "bolt-long": "red is what is too long",
    "insert-breaks-out": "red is the wood left",
    "holes-astray": "yellow is how far the axes are apart",
    "near-edge": "red is the wood left beside it",
    "no-reach": "yellow is the way that is free",
}


# The place ----------------------------------------------------------------------------------------


def _place(b: Bored, shape: tuple[Any, Colouring], ends: tuple[tuple[float, float], ...], text: str) -> Place:
    view = View.looking(b.toward)
    base = np.array([view.flat(b.axis)[0], view.flat(b.across)[0]])

    def flat(points: Any) -> Floats:
        return np.asarray(np.asarray(points, float) @ base, float)

    numbers = _parts(b)
    spot = Spot(
        "bored", numbers[0], numbers[1], (-1, -1), b.start, b.axis, b.toward, (0.0, 0.0), 0.0,
        (text, COLOURED[b.finding.kind]),
    )  # fmt: skip
    outlines = list(steel(b))
    seen = shapely.union_all([shape[0], *outlines, *(shapely.Point(e) for e in ends), *_mouths(b)])
    low, high = np.array(seen.bounds[:2]), np.array(seen.bounds[2:])
    corners = flat([low, high, (low[0], high[1]), (high[0], low[1])])
    size = np.ptp(corners, axis=0)
    width = ROOM * float(max(size[0], size[1] / TALL))
    size_line = Size(text, (flat(ends[0]), flat(ends[1])), _beside(b, flat, ends))
    return Place(
        spot, view, width, 1, STILL, tuple(sliced(b.dry.scene.world(k), view, b.start) for k in dict.fromkeys(numbers)),
        shapely.transform(shape[0], flat), shape[1], (size_line,), (), (corners.min(0) + corners.max(0)) / 2,
        tuple(shapely.transform(o, flat) for o in outlines), tuple((flat(p), flat(q)) for p, q in _axes(b)),
    )  # fmt: skip


def _parts(b: Bored) -> tuple[int, int]:
    """The part that the head is in, and the other that is to be seen with it."""
    if b.finding.kind == "no-reach":
        return b.fastening.a.part, b.dry.number[b.finding.parts[1]]
    return b.fastening.a.part, (b.fastening.b or b.fastening.a).part


def _mouths(b: Bored) -> Iterator[Any]:
    """Wood about each hole that must be in sight."""
    wide = LEAST / 2 * b.hole.diameter
    for hole in (b.fastening.a, b.fastening.b):
        if hole is not None:
            t, u = b.at(hole.start)
            yield shapely.box(t, u - wide, t + wide / 2, u + wide)
    if b.finding.kind == "no-reach":
        before = -b.finding.values["free"]
        yield shapely.box(before - wide, -wide, before, wide)


def _axes(b: Bored) -> Iterator[tuple[tuple[float, float], tuple[float, float]]]:
    """The centre line of each hole that is not a cross dowel's, run out a little."""
    for hole in (b.fastening.a, b.fastening.b):
        if hole is not None:
            deep = hole.depth or wood_before(b.dry.part(hole.part), hole.start, hole.axis)
            past = hole.diameter / 2
            yield b.at(hole.below(-past)), b.at(hole.below(deep + past))


def _beside(b: Bored, flat: Callable[[Any], Floats], ends: tuple[tuple[float, float], ...]) -> Floats:
    """How far the line with the number stands off: clear of the hole where it runs along the axis."""
    along = abs(ends[0][0] - ends[1][0]) > abs(ends[0][1] - ends[1][1])
    return flat((0.0, 1.4 * b.hole.diameter)) if along else np.zeros(2)
