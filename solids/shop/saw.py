"""What the saw makes: angled ends and edges, and straight trenches, rabbets, tongues, tenons, tapers, notches.

An angled part lies with its short face on the table and its long face up: the
blade then leans away from the stop or the fence, and the waste falls free.
Joint cuts come before angled ones, while the sides that they are measured from
are still there.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Hashable, Iterator
from itertools import product
from typing import NamedTuple

from solids.cuts.notch import Notch
from solids.cuts.rabbet import Rabbet
from solids.cuts.saw import Bevel, Compound, Miter
from solids.cuts.taper import Taper
from solids.cuts.tenon import Stand, Tenon, Tongue
from solids.cuts.trench import Trench
from solids.cuts.trim import Trim
from solids.fit.rules.tool import Setting, setting
from solids.model.geometry import Plane
from solids.model.part import Blank
from solids.model.side import Side, sides_of
from solids.shop.set_up import Job, Line, SetUp
from solids.shop.words import Words

USUAL_TILT = 45.0  # degrees: what most table saws tilt to (found in three manuals)
NOISE = 1e-6  # degrees
TRENCH, RABBET, STAND, TAPER, NOTCH, ANGLE = range(1, 7)  # the order of work
Planned = Iterator[tuple[Hashable, SetUp, Line]]


class Arris(NamedTuple):
    """Where a cut's plane crosses one arris of the blank: how far from the opposite side, and the arris."""

    length: float
    sides: tuple[Side, Side]


def arrises(blank: Blank, side: Side, plane: Plane) -> list[Arris]:
    """The four lengths that a cut leaves, from the opposite side of the blank to the plane, the longest first."""
    edge_axis = blank.across if side in blank.ends else blank.grain
    found = []
    for a, b in product(sides_of(edge_axis), blank.broad):
        point = [0.0, 0.0, 0.0]
        for s in (a, b):
            point[s.axis] = blank.size[s.axis] if s.sign > 0 else 0.0
        n = plane.normal
        here = (plane.offset - sum(n[k] * point[k] for k in range(3))) / n[side.axis]
        found.append(Arris(here if side.sign > 0 else blank.size[side.axis] - here, (a, b)))
    return sorted(found, key=lambda a: -round(a.length, 6))


def angled(job: Job) -> Planned:
    """Bevels, miters, compound cuts and trims, by the tilt of the blade and the turn of the gauge."""
    cut, blank = job.made.cut, job.blank
    found = setting(cut, blank)
    if not isinstance(cut, Bevel | Miter | Compound | Trim) or found is None or cut.side in blank.broad:
        return
    w, at = job.words, arrises(blank, cut.side, cut.plane(blank))
    edge, face = at[0].sides
    if is_on_end(job, found):
        lies, against = f"on its {cut.side}", f"{face} to the tall fence"
    else:
        lies = f"{face} up, {face.opposite} down"
        against = f"{edge} to the gauge" if cut.side in blank.ends else f"{cut.side.opposite} to the fence"
    cells = (str(cut.side), lies, against, w.size(at[0].length), w.size(at[-1].length))
    key = ("angle", round(found.tilt, 4), round(found.gauge, 4), found.stands_on)
    yield key, _angle_set_up(job, found), job.line(cells)


def tilt_limit(job: Job) -> float:
    """How far the blade tilts: as the spec says, else as most do."""
    limit = job.dry.piece.shop.tilt
    return USUAL_TILT if limit is None else limit


def is_on_end(job: Job, s: Setting) -> bool:
    """Whether the blade can't tilt so far, but does by the complement with the part stood on its end or edge."""
    return 90 - s.tilt <= tilt_limit(job) + NOISE < s.tilt


def _angle_set_up(job: Job, s: Setting) -> SetUp:
    w = job.words
    rip = s.stands_on == "edge"
    turn = "taper sled" if rip else "miter gauge"
    name, turned = "Rip" if rip else "Crosscut", f", {turn} {w.angle(s.gauge)}" if s.gauge else ""
    if is_on_end(job, s):
        title = f"{name} {w.angle(s.tilt)}, on {'edge' if rip else 'end'}: blade {w.angle(90 - s.tilt)}"
        settings = list(_stood_up(job, s))
    elif s.tilt > tilt_limit(job) + NOISE:
        title, settings = f"{name} {w.angle(s.tilt)}, on a wedge{turned}", list(_wedged(job, s))
    else:
        title, settings = f"{name}, blade {w.angle(s.tilt)}{turned}", list(_flat(w, s, turn))
    columns = ("end or edge", "how it lies", "against", "long point", "short point")
    order = (ANGLE, float(not rip), s.tilt, s.gauge)
    return SetUp("saw", order, title, tuple(settings), columns, _angle_proof(job, s))


def _flat(w: Words, s: Setting, turn: str) -> Iterator[str]:
    """The part flat on the table."""
    rip = s.stands_on == "edge"
    yield f"blade tilted {w.both_ways(s.tilt)}" if s.tilt else "blade square to the table"
    if s.tilt:
        yield "the blade leans away from the stop or fence: the long face is up, the waste falls free"
    yield f"{turn} turned {w.both_ways(s.gauge)}" if s.gauge else f"{'fence' if rip else turn} square"
    if s.gauge and not rip:
        yield "turned the one way for one end, as far the other way for the other"
    yield "at the table, fence to blade is the short point" if rip else "stop set to the long point"


def _stood_up(job: Job, s: Setting) -> Iterator[str]:
    """The part on its end or edge, its long face to a tall fence: the blade is set to the complement."""
    w, way = job.words, "edge" if s.stands_on == "edge" else "end"
    rest = 90 - s.tilt
    yield f"{w.angle(s.tilt)} off square is beyond the {w.angle(tilt_limit(job))} of the saw: not with the face down"
    yield f"saw it square to the long point first; then stand it on that {way}, its long face to a tall fence"
    leaned = f", leaned {w.angle(s.gauge)} along it" if s.gauge else ""
    yield f"clamped to a carriage that rides the fence{leaned}; never held by hand, never a piece too short to clamp"
    yield f"blade tilted {w.both_ways(rest)}, leaning away from the fence, so that the waste falls free"
    yield "fence set so that the blade comes out at the long point: creep up to it from the waste side"
    yield f"too long to stand: lean it {w.angle(rest)} on a sled, blade square; or saw by hand and plane to the line"


def _wedged(job: Job, s: Setting) -> Iterator[str]:
    """Neither flat nor on end: on a wedge that gives what the blade lacks."""
    w, limit = job.words, tilt_limit(job)
    yield f"{w.angle(s.tilt)} off square is beyond the {w.angle(limit)} of the saw, and so is its complement"
    yield f"on a wedge or a sled of {w.angle(s.tilt - limit)} square to the cut, clamped to it"
    yield f"blade tilted {w.both_ways(limit)}, leaning away from the stop"
    if s.gauge:
        yield f"gauge turned {w.both_ways(s.gauge)}"


def _angle_proof(job: Job, s: Setting) -> str:
    """Two offcuts show the error of one twice over."""
    w = job.words
    if s.tilt and s.gauge:
        inside = w.angle(180 - 2 * s.tilt)
        return f"Two offcuts so cut, the gauge the other way for the second, make {inside} inside: twice any error."
    if s.tilt:
        return f"Two offcuts so cut make a corner of {w.angle(180 - 2 * s.tilt)} inside; an error shows twice."
    if s.gauge:
        return f"Two offcuts so cut, one turned over, make {w.angle(180 - 2 * s.gauge)}; an error shows twice."
    return "Turn an offcut over against its other half: no light shows between them, or the cut is not square."


def trenches(job: Job) -> Planned:
    """Dados and grooves that run out at both ends."""
    cut, blank = job.made.cut, job.blank
    if not isinstance(cut, Trench) or not is_sawn(cut):
        return
    w, near = job.words, cut.placed_by(blank)
    settings = [f"{w.setting(cut.width)} wide between its walls: a trenching head, or a blade in passes"]
    settings.append(f"{w.setting(cut.depth)} deep")
    if cut.tilt:
        settings.append(f"tilted {w.both_ways(cut.tilt)}, toward the side in the table as it goes in")
    lean = f", tilted {w.angle(cut.tilt)}" if cut.tilt else ""
    drift = f", leans to {cut.toward}" if cut.toward else ""
    cells = (f"{cut.side} down", f"{near} to the fence", trench_place(job, cut, near) + drift)
    title = f"Trench {w.setting(cut.width)} wide, {w.setting(cut.depth)} deep{lean}"
    proof = f"Cut it in an offcut: {job.guest or 'what goes in'} slides in by hand and does not rattle."
    key = ("trench", round(cut.width, 4), round(cut.depth, 4), round(cut.tilt, 4))
    found = SetUp(
        "saw", (TRENCH, cut.width, cut.depth), title, tuple(settings), ("how it lies", "against", "nearer wall"), proof
    )
    yield key, found, job.line(cells, cut.row.count if cut.row else 1)


def is_sawn(cut: Trench) -> bool:
    """Whether a straight blade can make it: it runs out, with square ends."""
    return not cut.stop and not cut.radius


def trench_place(job: Job, cut: Trench, near: Side) -> str:
    """How far the nearer wall is from the side that it is placed from; at both ends where it is swung."""
    w, blank = job.words, job.blank
    given = dict(cut.at).get(near)
    if isinstance(given, tuple):
        return " and ".join(f"{w.size(d)} from {near} at {end}" for end, d in given)
    wide = cut.width / math.cos(math.radians(cut.tilt))
    return w.off(blank, near.axis, cut.at, wide, cut.row) + w.row(cut.row)


def rabbets(job: Job) -> Planned:
    """Rabbets that run out at both ends."""
    cut = job.made.cut
    if not isinstance(cut, Rabbet) or cut.stop:
        return
    w = job.words
    title = f"Rabbet {w.setting(cut.width)} wide, {w.setting(cut.depth)} deep"
    settings = (f"{w.setting(cut.width)} in from the side", f"{w.setting(cut.depth)} into the face")
    proof = f"Cut it in an offcut and lay {job.guest or 'what goes in'} into it: flush where it should be."
    found = SetUp("saw", (RABBET, cut.width, cut.depth), title, settings, ("along", "how it lies"), proof)
    key = ("rabbet", round(cut.width, 4), round(cut.depth, 4))
    yield key, found, job.line((f"the whole of {cut.side}", f"{cut.on} down, {cut.side} to the fence"))


def stands(job: Job) -> Planned:
    """Tongues and tenons: shoulders square from the end, then what is taken off each side."""
    cut, blank = job.made.cut, job.blank
    if not isinstance(cut, Tongue | Tenon):
        return
    w, several = job.words, cut.stands(blank)
    first = several[0]
    title = f"{cut.kind.capitalize()} {w.setting(first.length)} long, {w.setting(cut.thickness)} thick"
    settings = (f"shoulder {w.setting(first.length)} from the end", "blade square; depth as the table says")
    proof = (
        f"Try it in an offcut of its own mortise or groove{f' ({job.guest})' if job.guest else ''}: by hand, no mallet."
    )
    columns = ("on", "off the faces", "off the edges")
    found = SetUp("saw", (STAND, first.length, cut.thickness), title, settings, columns, proof)
    cells = (str(cut.side), _off_faces(w.setting, blank, first), _off_edges(w.setting, blank, cut.side, several))
    yield (cut.kind, round(first.length, 4), round(cut.thickness, 4)), found, job.line(cells, len(several))


def _off_faces(say: Callable[[float], str], blank: Blank, s: Stand) -> str:
    low, high = blank.broad
    return f"{say(s.v0)} {low}, {say(blank.thickness - s.v1)} {high}"


def _off_edges(say: Callable[[float], str], blank: Blank, side: Side, several: list[Stand]) -> str:
    """What is taken off beside a tenon; where several stand, from where to where each is."""
    axis = blank.across if side in blank.ends else blank.grain
    low, high = sides_of(axis)
    if len(several) == 1:
        s = several[0]
        off = [(s.u0, low), (blank.size[axis] - s.u1, high)]
        return ", ".join(f"{say(d)} {edge}" for d, edge in off if d > 1e-6) or "none"
    return "; ".join(f"stands {say(s.u0)} to {say(s.u1)} from {low}" for s in several)


def tapers(job: Job) -> Planned:
    """Tapers on a sled, by how much they take off over how long a way."""
    cut, blank = job.made.cut, job.blank
    if not isinstance(cut, Taper):
        return
    w = job.words
    (end, deep), start = cut.by[0], cut.stop[0][1] if cut.stop else 0.0
    way = blank.length - start
    slope = math.degrees(math.atan2(deep, way))
    title = f"Taper {w.size(deep)} over {w.size(way)}"
    settings = (f"sled at {w.both_ways(slope)}", f"from nothing to {w.setting(deep)} over {w.setting(way)}")
    proof = "Draw the line on the part itself and stop before it; plane down to it."
    found = SetUp("saw", (TAPER, slope), title, settings, ("side", "begins", "deepest"), proof)
    begins = f"{w.size(start)} from {end.opposite}" if start else f"at {end.opposite}"
    yield ("taper", round(deep, 4), round(way, 4)), found, job.line((str(cut.side), begins, f"{w.size(deep)} at {end}"))


def notches(job: Job) -> Planned:
    """Corners taken out, at the band saw or by hand."""
    cut = job.made.cut
    if not isinstance(cut, Notch):
        return
    w = job.words
    (a, wide), (b, deep) = cut.corner
    settings = ("band saw or hand saw, inside the line; pare to the line",)
    proof = "Hold what goes there against it before the line is pared away."
    found = SetUp("saw", (NOTCH,), "Notches", settings, ("corner", "size"), proof)
    yield ("notch",), found, job.line((f"{a} and {b}", f"{w.size(wide)} from {a}, {w.size(deep)} from {b}"))


PLANNERS = (trenches, rabbets, stands, tapers, notches, angled)
