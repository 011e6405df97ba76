"""What the drill makes: every round hole by its bit and depth, with its place from marked sides and the wood left."""

from __future__ import annotations

import math
from collections.abc import Hashable, Iterator

from solids.cuts.hole import Hole
from solids.shop.router import wider
from solids.shop.set_up import Job, Line, SetUp

Planned = Iterator[tuple[Hashable, SetUp, Line]]


def holes(job: Job) -> Planned:
    """Round holes; slots are the router's."""
    cut, blank = job.made.cut, job.kind.part.blank
    if not isinstance(cut, Hole) or cut.slot is not None:
        return
    w = job.words
    deep = "through" if cut.depth is None else f"{w.setting(cut.depth)} deep"
    lean = f", tilted {w.angle(cut.tilt)}" if cut.tilt else ""
    title = f"Hole {w.setting(cut.diameter)}, {deep}{lean}"
    settings = [f"bit {w.setting(cut.diameter)}", _depth(job, cut)]
    if cut.tilt:
        settings.append(f"table or jig tilted {w.both_ways(cut.tilt)}")
    settings = [*wider(w, cut), *settings]
    drift = f"; drifts to {cut.toward} as it goes in" if cut.tilt and cut.toward else ""
    count = cut.row.count if cut.row else 1
    cells = (str(cut.side), w.spot(blank, cut.side, cut.at, row=cut.row) + drift, str(count), _left(job, cut))
    columns = ("in side", "centre", "holes", "wood left")
    found = SetUp("drill", (-_widest(cut), cut.diameter), title, tuple(settings), columns, _proof(job))
    key = ("hole", round(cut.diameter, 4), deep, round(cut.tilt, 4), cut.counterbore, cut.countersink)
    yield key, found, job.line(cells, count)


def _depth(job: Job, cut: Hole) -> str:
    if cut.depth is None:
        return "through, a backing board behind it"
    return f"{job.words.setting(cut.depth)} deep to the bit's full width, by the stop"


def _widest(cut: Hole) -> float:
    """Large bits come first: a counterbore's middle guides the smaller one."""
    return max(cut.diameter, cut.counterbore.diameter if cut.counterbore else 0.0)


def _left(job: Job, cut: Hole) -> str:
    """The wood left under a hole that ends in it."""
    if cut.depth is None:
        return "through"
    straight = cut.depth * math.cos(math.radians(cut.tilt))
    return job.words.size(job.kind.part.blank.reach(cut.side) - straight)


def _proof(job: Job) -> str:
    joint = job.dry.joint_of_cut.get((job.kind.part.id, job.made.name))
    if joint is None or not joint.hardware:
        return "Drill an offcut first, measure its depth, and try what goes in."
    return f"Drill an offcut first and try the {joint.hardware} itself in it."


PLANNERS = (holes,)
