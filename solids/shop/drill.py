"""What the drill makes: every round hole by its bit and depth, with its place from marked sides and the wood left."""

from __future__ import annotations

import math
from collections.abc import Hashable, Iterator

from solids.cuts.hole import Hole
from solids.shop.router import wider, wood_left
from solids.shop.set_up import Job, Line, SetUp
from solids.shop.words import Words
from solids.units import INCH

SIXTY_FOURTH = INCH / 64
Planned = Iterator[tuple[Hashable, SetUp, Line]]


def holes(job: Job) -> Planned:
    """Round holes; slots are the router's."""
    cut, blank = job.made.cut, job.blank
    if not isinstance(cut, Hole) or cut.slot is not None:
        return
    w = job.words
    deep = "through" if cut.depth is None else f"{w.setting(cut.depth)} deep"
    lean = f", tilted {w.angle(cut.tilt)}" if cut.tilt else ""
    title = f"Hole {w.setting(cut.diameter)}, {deep}{lean}"
    settings = [f"bit {w.setting(cut.diameter)}{nearest_bit(w, cut.diameter)}", _depth(job, cut)]
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


def nearest_bit(w: Words, diameter: float) -> str:
    """The bit of a shop that counts in 64ths which comes nearest; empty where it is that one, or bits are metric."""
    if w.units != "in" or abs(diameter / SIXTY_FOURTH - round(diameter / SIXTY_FOURTH)) < 1e-3:
        return ""
    return f", nearest is {w.setting(round(diameter / SIXTY_FOURTH) * SIXTY_FOURTH)}"


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
    return wood_left(job.words, job.blank.reach(cut.side) - straight)


def _proof(job: Job) -> str:
    if job.joint is None or not job.joint.hardware:
        return "Drill an offcut first, measure its depth, and try what goes in."
    return f"Drill an offcut first and try the {job.joint.hardware} itself in it."


PLANNERS = (holes,)
