"""What a bolt or a screw reaches: thread enough, and wood enough beyond its end.

      head   A   |    B
       _ ________|_____________
      | |________|______===    |     the thread that is in the nut or insert,
      |_|        |      ===    |     what is past it, and the skin that is left
         ________|_____________|

What it checks
    How much thread is in an insert, a cross dowel, the wood, or past the far
    side for a nut; whether the end meets the floor of its hole, or comes out of
    the wood; how much wood a blind hole leaves beyond its floor. The length of
    the bolt counts from under its head, the washer taken off, the depth of the
    counterbore added.

Why it matters
    Two turns of thread strip; a bolt that meets the floor is tight and the joint
    is not; an insert behind a skin of a millimetre pushes it out.

Findings
    bolt-short         thread engaged, and what is wanted: one diameter of a bolt; half of a screw or six diameters
    bolt-long          how far it is past the floor, or out of the wood
    insert-breaks-out  the wood left beyond the hole of a bolt

Known limits
    Of the thread that a bolt has all is taken to be cut; many long ones are
    plain near the head. The strength of the joint is not reckoned.

What to do
    Take the next length of bolt; make the counterbore deeper or shallower; add a
    washer; move a cross dowel.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

import numpy as np
import shapely

from solids.fit.beside_axis import ON
from solids.fit.dryfit import DryFit
from solids.fit.fastened import Drilled, Fastening, nut_distance, skin, wood_before
from solids.fit.rule import Rule
from solids.fit.scene import laid, plane_axes
from solids.fit.tell import Tell
from solids.model.finding import Finding, Severity
from solids.model.hardware import Bolt, Screw

NOISE = 1e-6  # mm
NEAR = 0.01  # mm
ROUND = 1.0  # mm beyond a hole's wall at which its mouth is looked for
THREAD = 1.0  # diameters of thread in a nut or insert: full strength where both are of one metal (common practice)
IN_WOOD = (
    6.0  # diameters of a wood screw in the second part: timber design practice, from memory; in thin wood half of it
)


class Reach(NamedTuple):
    """How far the end of a fastener is below the second part's side, and how much wood there is; mm."""

    end: float
    wood: float


def check(dry: DryFit) -> Iterator[Finding]:
    """Each bolt and screw in turn."""
    for f in dry.fastenings:
        if f.ware is None or f.b is None:
            continue
        r = reach(dry, f.a, f.b, f.ware)
        got = engaged(f, f.b, f.ware, r, recess(dry, f.b))
        need = wanted(f.ware)
        if got < need - NOISE:
            yield _short(dry, f, f.b, f.ware, max(0.0, got), need)
        long = list(_long(dry, f, f.b, f.ware, r))
        yield from long
        if not long and isinstance(f.ware, Bolt) and f.b.depth is not None:
            yield from _breaks_out(dry, f, f.b)


def wanted(ware: Bolt | Screw) -> float:
    """How much thread must hold, in mm."""
    if isinstance(ware, Screw):
        return min(IN_WOOD * ware.diameter, ware.length / 2)
    return THREAD * ware.diameter


def reach(dry: DryFit, a: Drilled, b: Drilled, ware: Bolt | Screw) -> Reach:
    """Where the end comes to, from the head's seat through all that stands between."""
    between = b.start.minus(a.start).dot(a.axis)
    washer = ware.washer_thickness if isinstance(ware, Bolt) else 0.0
    return Reach(a.sunk - washer + ware.length - between, wood_before(dry.part(b.part), b.start, b.axis))


def recess(dry: DryFit, b: Drilled) -> float:
    """How far below the second part's side its wood begins round a hole: the depth of a recess there, in mm."""
    scene, axis, start = dry.scene, np.array(b.axis), np.array(b.start)
    x, y = plane_axes(-axis[None])
    ring = np.array([(1, 0), (-1, 0), (0, 1), (0, -1)]) * (b.diameter / 2 + ROUND)
    faces = np.arange(scene.first[b.part], scene.first[b.part + 1])
    faces = faces[scene.normal[faces] @ axis < -0.999]
    below = scene.normal[faces] @ (start + ring @ np.concatenate([x, y])).T - scene.offset[faces][:, None]
    each = [np.repeat(v, len(faces), axis=0) for v in (x, y, start[None])]
    outlines = laid(scene, faces, each[0], each[1], each[2])
    there = shapely.dwithin(outlines[:, None], shapely.points(ring)[None], ON) & (below > -NEAR)
    first = np.where(there, below, np.inf).min(0, initial=np.inf)
    return max(0.0, float(np.where(np.isfinite(first), first, 0.0).min()))


def engaged(f: Fastening, b: Drilled, ware: Bolt | Screw, r: Reach, below: float) -> float:
    """How much thread holds, in mm: in the insert, across the cross dowel, past the far side, or in the wood.

    The wood, or the insert, begins so far `below` the second part's side.
    """
    if isinstance(ware, Bolt) and f.nut is not None:
        radius = f.nut.diameter / 2
        return min(r.end - (nut_distance(f.nut, b) - radius), 2 * radius)
    if isinstance(ware, Bolt) and ware.insert:
        return min(r.end - below, ware.insert.length)
    if isinstance(ware, Bolt) and b.depth is None:
        return r.end - r.wood
    return min(r.end, r.wood) - below


def _short(dry: DryFit, f: Fastening, b: Drilled, ware: Bolt | Screw, got: float, need: float) -> Finding:
    t = Tell(dry)
    into, wants = _into(f, b, ware), "half of it or 6 diameters" if isinstance(ware, Screw) else "one diameter"
    grave = isinstance(ware, Bolt) or got < need / 2
    message = f"{_called(ware)} of {_parts(f)} has {t.small(got)} of thread in {into}, {t.small(need - got)} too little"
    return t.finding(
        "bolt-short", Severity.STOP if grave else Severity.WARN,
        f"{message}: {wants}, {t.small(need)}, is the least (common practice)",
        (f.a.part, b.part), _cuts(dry, f, b), b.start, values={"engaged": got, "need": need}, allowed={"least": need},
        advice=f"take one {t.small(need - got)} longer or more, or sink its head as much deeper",
        place=f.joint.place,
    )  # fmt: skip


def _long(dry: DryFit, f: Fastening, b: Drilled, ware: Bolt | Screw, r: Reach) -> Iterator[Finding]:
    """Whether it meets the floor of its hole or comes out of the wood; a nut beyond is meant."""
    t = Tell(dry)
    meant = isinstance(ware, Bolt) and b.depth is None and not ware.insert and f.nut is None
    if r.end > r.wood + NOISE and not meant:
        past, where = r.end - r.wood, f"comes out of {dry.part(b.part).id} by"
    elif isinstance(ware, Bolt) and b.depth is not None and r.end > b.depth + dry.limits.press:
        past, where = r.end - b.depth, f"meets the floor of {t.cut(dry.part(b.part), b.made)}, too long by"
    else:
        return
    yield t.finding(
        "bolt-long", Severity.STOP, f"{_called(ware)} of {_parts(f)} {where} {t.small(past)}",
        (f.a.part, b.part), _cuts(dry, f, b), b.below(r.end), values={"past": past}, allowed={"most": 0.0},
        advice=f"take one {t.small(past)} shorter or more, or a thicker washer; or drill deeper where there is wood",
        place=f.joint.place,
    )  # fmt: skip


def _breaks_out(dry: DryFit, f: Fastening, b: Drilled) -> Iterator[Finding]:
    """What a blind hole leaves of the wood beyond its floor."""
    t = Tell(dry)
    part = dry.part(b.part)
    left, side = skin(part, b, b.depth or 0.0)
    least = dry.limits.wood_left
    if left >= least - NOISE:
        return
    name = t.cut(part, b.made)
    told = (
        f"{name} leaves {t.small(left)} of wood"
        if left > NOISE
        else f"{name} comes out of {part.id} by {t.small(-left)}"
    )
    yield t.finding(
        "insert-breaks-out", Severity.WARN if left > NOISE else Severity.STOP, f"{told} toward its {side}",
        (b.part,), (name,), b.below(b.depth or 0.0), values={"left": left}, allowed={"least": least},
        advice=f"take a shorter bolt or insert, or leave {t.small(least)} of wood or more", place=f.joint.place,
    )  # fmt: skip


def _called(ware: Bolt | Screw) -> str:
    return f"{ware.name} ({ware.bolt if isinstance(ware, Bolt) else ware.screw})"


def _parts(f: Fastening) -> str:
    return f"{f.joint.a} and {f.joint.b}"


def _into(f: Fastening, b: Drilled, ware: Bolt | Screw) -> str:
    if isinstance(ware, Bolt) and f.nut is not None:
        return "its cross dowel"
    if isinstance(ware, Bolt) and ware.insert:
        return "its insert"
    return f"a nut behind {f.joint.b}" if isinstance(ware, Bolt) and b.depth is None else f.joint.b


def _cuts(dry: DryFit, f: Fastening, b: Drilled) -> tuple[str, ...]:
    t = Tell(dry)
    return tuple(t.cut(dry.part(d.part), d.made) for d in (f.a, b))


RULE = Rule("bolt", ("bolt-short", "bolt-long", "insert-breaks-out"), check, __doc__)
