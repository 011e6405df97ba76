"""Bolts and screws too near an edge or an end.

       |<----->|       edge distance: from the axis to the side of the wood
       |       |       beside it, as it is cut
    ___|_______|__
       |       O
       |

What it checks
    From the axis of each bolt and screw, of a slot from both of its ends, to
    every face beside it: 1.5 diameters
    to an edge or a face, of the bolt or of its insert; in solid wood, where the
    axis runs across the grain, 4 diameters of a bolt and 7 of a screw to the end
    of the second part; 4 diameters of its bolt from a cross dowel to the joint.

Why it matters
    Wood splits along the grain from a screw near its end, and a cross dowel too
    near the joint shears the plug before it out.

Findings
    near-edge  the distance, and what is wanted

Known limits
    Distances are those of timber design for bolts of 6 mm and more: 1.5 diameters
    is published practice for load along the grain, the others are common practice,
    from memory. They are no proof of strength: for what carries people or loads,
    local codes and an engineer have the last word.

What to do
    Move it from the edge, take a thinner one, or make the part wider.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from solids.fit.beside_axis import faces_beside
from solids.fit.dryfit import DryFit
from solids.fit.fastened import Drilled, Fastening, nut_distance, wood_before
from solids.fit.rule import Rule
from solids.fit.tell import Tell
from solids.model.finding import Finding, Severity
from solids.model.geometry import AXES
from solids.model.hardware import Bolt, Screw

NOISE = 1e-6  # mm
EDGE = 1.5  # diameters to an edge: National Design Specification for wood, as engineers quote it
BOLT_END, SCREW_END = 4.0, 7.0  # diameters to an end: common practice, from memory


def check(dry: DryFit) -> Iterator[Finding]:
    """The nearest face of each kind beside each fastener."""
    for f in dry.fastenings:
        if f.ware is None:
            continue
        yield from _beside(dry, f, f.ware, f.a, f.ware.diameter, 0.0)
        if f.b is not None:
            thick = f.ware.insert.diameter if isinstance(f.ware, Bolt) and f.ware.insert else f.ware.diameter
            yield from _beside(dry, f, f.ware, f.b, thick, _end(dry, f.ware, f.b))
            if f.nut is not None:
                yield from _nut(dry, f, f.ware, f.b, f.nut)


def _end(dry: DryFit, ware: Bolt | Screw, hole: Drilled) -> float:
    """How far it must be from an end of solid wood, in mm; 0 where it goes in along the grain."""
    part = dry.part(hole.part)
    way = part.frame.local_direction(hole.axis)
    if not part.blank.grained or abs(way[part.blank.grain]) > 0.7:
        return 0.0
    return ware.diameter * (SCREW_END if isinstance(ware, Screw) else BOLT_END)


def _beside(
    dry: DryFit, f: Fastening, ware: Bolt | Screw, hole: Drilled, thick: float, to_end: float
) -> Iterator[Finding]:
    part = dry.part(hole.part)
    grain = np.array(part.frame.direction(AXES[part.blank.grain]))
    worst: tuple[float, int, float, float] | None = None
    deep = wood_before(part, hole.start, hole.axis)
    for face, distance in faces_beside(dry.scene, hole, deep if hole.depth is None else min(deep, hole.depth)):
        is_end = abs(float(dry.scene.normal[face] @ grain)) > 0.7
        need = max(EDGE * thick, to_end if is_end else 0.0)
        lack = need - distance
        if lack > NOISE and (worst is None or lack > worst[0] + NOISE):
            worst = lack, face, distance, need
    if worst is not None:
        yield _told(dry, f, ware, hole, _beside_words(dry, worst[1]), worst[2], worst[3])


def _beside_words(dry: DryFit, face: int) -> str:
    """A face in a maker's words: a side of the part, or what cut made it."""
    made, part = dry.scene.made(face), dry.part(int(dry.scene.part[face]))
    return f"the {dry.scene.role(face)} of {part.id}" if made is None else dry.scene.called(face)


def _nut(dry: DryFit, f: Fastening, ware: Bolt | Screw, b: Drilled, nut: Drilled) -> Iterator[Finding]:
    distance, need = nut_distance(nut, b), BOLT_END * ware.diameter
    if distance < need - NOISE:
        yield _told(dry, f, ware, nut, "the joint", distance, need)


def _told(
    dry: DryFit, f: Fastening, ware: Bolt | Screw, hole: Drilled, side: str, distance: float, need: float
) -> Finding:
    t = Tell(dry)
    part = dry.part(hole.part)
    name = t.cut(part, hole.made)
    times = f"{need / ware.diameter:.3g} diameters of {ware.name}"
    grave = distance < ware.diameter / 2
    return t.finding(
        "near-edge", Severity.STOP if grave else Severity.WARN,
        f"{name} is {t.small(distance)} from {side} to its middle; {times}, {t.small(need)}, is usual",
        (hole.part,), (name,), hole.start, values={"distance": distance, "need": need}, allowed={"least": need},
        advice=f"move it {t.small(need - distance)} from there, or take a thinner one",
        place=hole.made.places.get("at") or hole.made.places.get("inset") or hole.made.place,
    )  # fmt: skip


RULE = Rule("edge", ("near-edge",), check, __doc__)
