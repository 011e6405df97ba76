"""What the router makes: stopped trenches and rabbets, mortises, openings, slots, and arrises broken or rounded."""

from __future__ import annotations

import math
from collections.abc import Hashable, Iterator

from solids.cuts.arris import Chamfer, Roundover
from solids.cuts.cutout import Cutout
from solids.cuts.hole import Hole
from solids.cuts.mortise import Mortise
from solids.cuts.rabbet import Rabbet
from solids.cuts.shapes import Stops
from solids.cuts.trench import Trench
from solids.model.side import Side
from solids.shop.saw import is_sawn, trench_place
from solids.shop.set_up import Job, Line, SetUp
from solids.shop.words import Words, listed

TRENCH, RABBET, MORTISE, CUTOUT, SLOT, ARRIS = range(1, 7)  # the order of work
Planned = Iterator[tuple[Hashable, SetUp, Line]]
AMPLE = 50.0  # mm: more wood than this under a cut needs no thought


def stopped_trenches(job: Job) -> Planned:
    """Dados and grooves that end in the wood."""
    cut, blank = job.made.cut, job.blank
    if not isinstance(cut, Trench) or is_sawn(cut):
        return
    w, near = job.words, cut.placed_by(blank)
    title = f"Stopped trench {w.setting(cut.width)} wide, {w.setting(cut.depth)} deep"
    settings = [f"cutter {cutter(w, cut.width, cut.radius)}", f"{w.setting(cut.depth)} deep, in passes"]
    if cut.tilt:
        settings.append(f"base tilted {w.both_ways(cut.tilt)}")
    drift = f", leans to {cut.toward}" if cut.toward else ""
    cells = (str(cut.side), trench_place(job, cut, near) + drift, stops(w, cut.stop))
    columns = ("in side", "nearer wall", "stops")
    found = SetUp("router", (TRENCH, cut.width, cut.depth), title, tuple(settings), columns, job.tried)
    key = ("stopped", round(cut.width, 4), round(cut.depth, 4), round(cut.tilt, 4), round(cut.radius, 4))
    yield key, found, job.line(cells, cut.row.count if cut.row else 1)


def cutter(w: Words, width: float, radius: float) -> str:
    """Which router bit a trench or a pocket takes."""
    if radius:
        return f"{w.setting(2 * radius)} across, which leaves its own round in the corners"
    return f"{w.setting(width)} across or less; square its corners with a chisel"


def stops(w: Words, given: Stops) -> str:
    """Where a cut ends, from marked sides."""
    return " and ".join(f"{w.size(d)} short of {side}" for side, d in given) or "runs out"


def stopped_rabbets(job: Job) -> Planned:
    """Rabbets that end in the wood."""
    cut = job.made.cut
    if not isinstance(cut, Rabbet) or not cut.stop:
        return
    w = job.words
    title = f"Stopped rabbet {w.setting(cut.width)} wide, {w.setting(cut.depth)} deep"
    settings = (f"{w.setting(cut.width)} in from the side", f"{w.setting(cut.depth)} deep, in passes")
    cells = (f"along {cut.side}, in {cut.on}", stops(w, cut.stop))
    found = SetUp("router", (RABBET, cut.width, cut.depth), title, settings, ("where", "stops"), job.tried)
    yield ("stopped rabbet", round(cut.width, 4), round(cut.depth, 4)), found, job.line(cells)


def mortises(job: Job) -> Planned:
    """Pockets with four walls."""
    cut, blank = job.made.cut, job.blank
    if not isinstance(cut, Mortise):
        return
    w, (a, b) = job.words, cut.size
    deep = "through" if cut.depth is None else f"{w.setting(cut.depth)} deep"
    title = f"Mortise {w.setting(a)} x {w.setting(b)}, {deep}"
    settings = (
        f"cutter {cutter(w, min(cut.size), cut.radius)}",
        f"{deep}, in passes" if cut.depth else "through, from both sides",
    )
    left = "through" if cut.depth is None else wood_left(w, blank.reach(cut.side) - cut.depth)
    cells = (str(cut.side), w.spot(blank, cut.side, cut.at, (a, b), cut.row), left)
    proof = f"Chop or rout the first in an offcut{f'; try {job.guest}' if job.guest else ''}."
    found = SetUp("router", (MORTISE, a, b), title, settings, ("in side", "nearer walls", "wood left"), proof)
    key = ("mortise", round(a, 4), round(b, 4), deep, round(cut.radius, 4))
    yield key, found, job.line(cells, cut.row.count if cut.row else 1)


def wood_left(w: Words, mm: float) -> str:
    """The wood under a cut that ends in it; where that is much, only so."""
    return "ample" if mm > AMPLE else w.size(mm)


def cutouts(job: Job) -> Planned:
    """Openings and recesses in a face."""
    cut, blank = job.made.cut, job.blank
    if not isinstance(cut, Cutout):
        return
    w = job.words
    deep = "through" if cut.depth is None else f"{w.setting(cut.depth)} deep"
    if cut.diameter is not None:
        shape, size = f"round, {w.setting(cut.diameter)} across", (0.0, 0.0)
    elif cut.size is not None:
        shape, size = f"{w.setting(cut.size[0])} x {w.setting(cut.size[1])}", (cut.size[0], cut.size[1])
    else:
        shape, size = "to a template from its drawing", (0.0, 0.0)
    where = "as drawn" if cut.outline is not None else w.spot(blank, cut.side, cut.at, size, cut.row)
    corners = f"corners {w.setting(cut.radius)} round" if cut.radius else "corners as drawn"
    settings = (
        "saw inside the line, then rout to a template" if cut.depth is None else f"{deep}, to a template",
        corners,
    )
    title = f"{'Opening' if cut.depth is None else 'Recess'} {shape}, {deep}"
    found = SetUp("router", (CUTOUT,), title, settings, ("in face", "place"), "Try the template on an offcut first.")
    key = ("cutout", shape, deep, round(cut.radius, 4), cut.outline)
    yield key, found, job.line((str(cut.side), where), cut.row.count if cut.row else 1)


def slots(job: Job) -> Planned:
    """Holes drawn out."""
    cut, blank = job.made.cut, job.blank
    if not isinstance(cut, Hole) or cut.slot is None:
        return
    w = job.words
    deep = "through" if cut.depth is None else f"{w.setting(cut.depth)} deep"
    title = f"Slot {w.setting(cut.diameter)} wide, {w.setting(cut.slot.length)} long, {deep}"
    settings = (f"cutter {w.setting(cut.diameter)} across", deep, *wider(w, cut))
    where = f"centre {w.spot(blank, cut.side, cut.at, row=cut.row)}; runs toward {cut.slot.toward}"
    found = SetUp("router", (SLOT, cut.diameter), title, settings, ("in side", "starts at"), job.tried)
    key = ("slot", round(cut.diameter, 4), round(cut.slot.length, 4), deep, cut.counterbore, cut.countersink)
    yield key, found, job.line((str(cut.side), where), cut.row.count if cut.row else 1)


def wider(w: Words, cut: Hole) -> tuple[str, ...]:
    """What is bored wider above a hole, to be bored first: its middle then guides the smaller bit."""
    found = []
    if cut.counterbore:
        across, deep = w.setting(cut.counterbore.diameter), w.setting(cut.counterbore.depth)
        found.append(f"first the counterbore: {across} across, {deep} deep")
    if cut.countersink:
        sink = cut.countersink
        down = (sink.diameter - cut.diameter) / 2 / math.tan(math.radians(sink.angle / 2))
        size = f"{w.setting(sink.diameter)} across at the surface, {w.size(down)} deep"
        found.append(f"countersink {w.angle(sink.angle)}, {size}")
    return tuple(found)


def arrises(job: Job) -> Planned:
    """Chamfers and roundovers."""
    cut = job.made.cut
    if isinstance(cut, Chamfer):
        a, b = cut.size
        size = (
            job.words.setting(a)
            if a == b
            else f"{job.words.setting(a)} on the face, {job.words.setting(b)} down the side"
        )
        title, settings = f"Chamfer {size}", (_chamfer_bit(job, a, b),)
    elif isinstance(cut, Roundover):
        size = job.words.setting(cut.radius)
        title, settings = f"Roundover {size}", (f"bit of radius {size} with a bearing",)
    else:
        return
    before = "before glue-up: where parts meet, the bit can't reach afterwards"
    found = SetUp(
        "router", (ARRIS,), title, (*settings, before), ("arrises",), "Try the depth on an offcut of the same wood."
    )
    yield (cut.kind, size), found, job.line((f"{_sides(cut.sides)} with {cut.on}",), len(cut.sides))


def _chamfer_bit(job: Job, a: float, b: float) -> str:
    if abs(a - b) < 1e-6:
        return "45° bit with a bearing, across the grain first"
    return f"bit or plane at {job.words.angle(math.degrees(math.atan2(b, a)))} to the face, across the grain first"


def _sides(sides: tuple[Side, ...]) -> str:
    return listed(map(str, sides))


PLANNERS = (stopped_trenches, stopped_rabbets, mortises, cutouts, slots, arrises)
