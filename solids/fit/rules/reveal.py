"""Reveals: the gaps round fronts and doors, as wide as they were asked for, and even.

      __________________
     |  ______________  |
     | |              | |     each side's gap is measured, at its narrowest
     | |    front     | |     and at its widest
     | |______________| |
     |__________________|

What it checks
    Every gap that a `reveal` joint asks for, from end to end; round each front,
    that all gaps of one asked width are alike; and that its face lies in the
    plane of what it keeps its gap from, not turned out of it.

Why it matters
    The eye sees half a millimetre between two gaps side by side. A front that
    is too large rubs; one that is too small shows it for good.

Findings
    reveal  a gap differs from what was asked, or narrows, or is unlike the others: each side's gap;
            a front is turned, or stands before its neighbour: by how much at its far end

Known limits
    Wood moves: what is even today is not in August. That is told by the seasons.
    Fronts that stand 3.2 mm or more before each other, or that are turned by more
    than 5 degrees, are taken to be meant so.

What to do
    Plane the front, or shift it, by the half of what two opposite gaps differ.
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterator

from solids.fit.apart import Between, between
from solids.fit.bodies import LOOSE
from solids.fit.dryfit import DryFit
from solids.fit.rule import Rule
from solids.fit.tell import Tell
from solids.model.finding import Finding, Severity
from solids.model.piece import Joint

NOISE = 1e-6  # mm
MEANT = 5.0  # degrees: what is turned by more looks meant


def check(dry: DryFit) -> Iterator[Finding]:
    """Each gap by itself, then those of one front against each other where each is well."""
    asking = [j for j in dry.piece.joints if j.kind == "reveal"]
    fronts = _fronts(dry, asking)
    around: dict[tuple[str, float], list[tuple[Joint, Between]]] = defaultdict(list)
    for joint in asking:
        asked = joint.asked or 0.0
        gap, seen_back = _gap(dry, joint.a, joint.b, asked), _gap(dry, joint.b, joint.a, asked)
        if gap is None or seen_back is None:
            yield _none(dry, joint)
        elif _is_off(dry, gap, asked):
            yield _told(dry, joint, gap)
        else:
            around[fronts[joint.a], asked].append((joint, gap))
            if joint.b in fronts:
                around[fronts[joint.b], asked].append((joint, seen_back))
    for (front, asked), gaps in around.items():
        widest, narrowest = max(g.greatest for _, g in gaps), min(g.least for _, g in gaps)
        if widest - narrowest > dry.limits.reveal + NOISE:
            yield _uneven(dry, front, asked, gaps)
    yield from _out_of_plane(dry, fronts, asking)


def _out_of_plane(dry: DryFit, fronts: dict[str, str], asking: list[Joint]) -> Iterator[Finding]:
    """The worst that each front's face is off the plane of one of its neighbours."""
    worst: dict[str, tuple[float, float, Joint]] = {}
    for joint in asking:
        off = _off_plane(dry, joint, joint.b in fronts)
        if off is not None and off[0] > worst.get(fronts[joint.a], (dry.limits.reveal + NOISE,))[0]:
            worst[fronts[joint.a]] = (*off, joint)
    for off_by, degrees, joint in worst.values():
        yield _turned(dry, joint, off_by, degrees)


def _off_plane(dry: DryFit, joint: Joint, beside: bool) -> tuple[float, float] | None:
    """By how much a face leaves the other's plane from end to end, in mm, and the angle; of two fronts `beside` each
    other in one plane how far one stands before the other. None where no side of the other is meant to be flush."""
    a, b = (dry.part(dry.number[id_]) for id_ in (joint.a, joint.b))
    normal = a.frame.direction(a.blank.face.outward)
    side = b.facing(normal)
    plane = b.side_plane(side)
    degrees = math.degrees(math.acos(max(-1.0, min(1.0, plane.normal.dot(normal)))))
    if side in b.blank.ends or degrees > MEANT:
        return None
    outer = max(a.frame.point(c).dot(normal) for c in a.blank.corners())
    face = [p for c in a.blank.corners() if outer - (p := a.frame.point(c)).dot(normal) < NOISE]
    off = [plane.normal.dot(p) - plane.offset for p in face]
    runs = max(off) - min(off)
    before = abs(sum(off) / len(off))
    if runs <= dry.limits.reveal + NOISE and beside and before < dry.limits.flush:
        return before, 0.0
    return runs, degrees


def _turned(dry: DryFit, joint: Joint, off: float, degrees: float) -> Finding:
    t = Tell(dry)
    part = dry.part(dry.number[joint.a])
    gap = Between(off, off, part.frame.point(part.blank.middle()), part.blank.face)
    if not degrees:
        told = f"{joint.a} and {joint.b} are not in one plane: {t.small(off)} from face to face"
        return _finding(dry, joint, gap, told, {"difference": off}, f"shift {joint.a} in or out by {t.small(off)}")
    told = f"{joint.a} is turned by {t.angle(degrees)} out of the plane of {joint.b}: {t.small(off)} from end to end"
    return _finding(
        dry, joint, gap, told, {"difference": off, "degrees": degrees},
        f"square the case, or shim one end of {joint.a} by {t.small(off)}",
    )  # fmt: skip


def _fronts(dry: DryFit, asking: list[Joint]) -> dict[str, str]:
    """The front that each part belongs to, by the first of its parts: stiles and rails that are joined are one.

    A front is what a joint names first; what it stands beside may be the case.
    """
    front = {j.a: j.a for j in asking}
    for joint in dry.piece.joints:
        if joint.kind not in LOOSE and joint.a in front and joint.b in front:
            kept, gone = sorted((front[joint.a], front[joint.b]))
            front = {part: kept if of == gone else of for part, of in front.items()}
    return front


def _gap(dry: DryFit, a: str, b: str, asked: float) -> Between | None:
    return between(dry, dry.number[a], dry.number[b], asked)


def _is_off(dry: DryFit, gap: Between, asked: float) -> bool:
    most = dry.limits.reveal + NOISE
    return gap.least < asked - most or gap.greatest > asked + most


def _told(dry: DryFit, joint: Joint, gap: Between) -> Finding:
    t = Tell(dry)
    asked = joint.asked or 0.0
    off = max((gap.least, gap.greatest), key=lambda g: abs(g - asked))
    runs = gap.greatest - gap.least > dry.limits.reveal
    how = f"runs from {t.small(gap.least)} to {t.small(gap.greatest)}" if runs else f"is {t.small(off)}"
    told = f"the gap between {joint.a} and {joint.b} {how}; {t.small(asked)} is asked for"
    if not runs and off < -NOISE:
        told = f"{joint.a} runs {t.small(-off)} into {joint.b}, where a gap of {t.small(asked)} is asked for"
    return _finding(
        dry, joint, gap, told,
        {"least": gap.least, "greatest": gap.greatest, "difference": abs(off - asked)},
        f"{'plane' if off < asked else 'shift or replace'} {joint.a} at its {gap.side}, by {t.small(abs(off - asked))}",
    )  # fmt: skip


def _uneven(dry: DryFit, front: str, asked: float, gaps: list[tuple[Joint, Between]]) -> Finding:
    t = Tell(dry)
    shown = ", ".join(f"{g.side} {t.small(_worst(g, asked))}" for _, g in gaps)
    joint, gap = max(gaps, key=lambda jg: abs(_worst(jg[1], asked) - asked))
    spread = max(g.greatest for _, g in gaps) - min(g.least for _, g in gaps)
    values = {f"gap {g.side}": _worst(g, asked) for _, g in gaps} | {"difference": spread}
    return _finding(
        dry, joint, gap, f"the gaps round {front} are uneven: {shown}; {t.small(asked)} is asked for", values,
        f"shift {front} by half of what two opposite gaps differ",
    )  # fmt: skip


def _worst(gap: Between, asked: float) -> float:
    return max((gap.least, gap.greatest), key=lambda g: abs(g - asked))


def _none(dry: DryFit, joint: Joint) -> Finding:
    part = dry.part(dry.number[joint.a])
    gap = Between(0.0, 0.0, part.frame.point(part.blank.middle()), part.blank.face)
    told = f"{joint.a} and {joint.b} have no edges that face each other: there is no gap to be even"
    return _finding(dry, joint, gap, told, {}, f"look at the places of {joint.a} and {joint.b}")


def _finding(dry: DryFit, joint: Joint, gap: Between, told: str, values: dict[str, float], advice: str) -> Finding:
    asked, most = joint.asked or 0.0, dry.limits.reveal
    return Tell(dry).finding(
        "reveal", Severity.STOP, told, (dry.number[joint.a], dry.number[joint.b]), (), gap.point, values=values,
        allowed={"least": asked - most, "most": asked + most, "difference": most}, advice=advice, place=joint.place,
    )  # fmt: skip


RULE = Rule("reveal", ("reveal",), check, __doc__)
