"""The room that hardware needs: runners beside a drawer, butt hinges beside a door.

     case   runner   box
      ||    _____    ||
      ||---|_____|---||      the room between the box and what the runner is
      ||             ||      screwed to is the runner's own

What it checks
    Every gap that a `clearance` joint asks for, least and greatest, against
    what the hardware says it needs and may be off. Beside a door on butt hinges:
    as wide as these are over both leaves when closed, less what the leaves are
    let in by; it may be off as a reveal may.

Why it matters
    A drawer a millimetre too wide does not go in; one that is two too narrow
    falls off its runners. Hinges let in too deep bind before the door is shut;
    too shallow, they push it over to its other side.

Findings
    clearance  too little or too much room: the room, and what is needed

Known limits
    The band is the one in the spec; the maker's sheet of the runner has the last word.
    Butts are looked at where the spec says what they are `closed`, or `let_in` other
    than by their thickness: how leaves are bent towards each other differs.

What to do
    Shim what the runner is screwed to, or make the box wider or narrower. Let
    hinges in by half of what they are over both leaves less the gap.
"""

from __future__ import annotations

from collections.abc import Iterator

from solids.fit.apart import Between, band_of, between
from solids.fit.dryfit import DryFit
from solids.fit.rule import Rule
from solids.fit.tell import Tell
from solids.joints.outcome import middle
from solids.model.finding import Finding, Severity
from solids.model.hardware import Hinge
from solids.model.piece import Joint

NOISE = 1e-6  # mm


def check(dry: DryFit) -> Iterator[Finding]:
    """Every clearance that is asked for, and what butt hinges make of the gap beside their door."""
    for joint in dry.piece.joints:
        if joint.kind in ("clearance", "hinge") and joint.asked is not None:
            band = band_of(dry, joint)
            gap = between(dry, dry.number[joint.a], dry.number[joint.b], joint.asked)
            if gap is None or _is_off(gap, joint.asked, band):
                yield _told(dry, joint, gap, joint.asked, band)
        elif joint.kind == "hinge" and joint.cuts:
            yield from _hung(dry, joint)


def _is_off(gap: Between, need: float, band: float) -> bool:
    return gap.least < need - band - NOISE or gap.greatest > need + band + NOISE


def _hung(dry: DryFit, joint: Joint) -> Iterator[Finding]:
    """A door on butt hinges, by the first leaf that is let into each."""
    ware = dry.piece.hardware.get(joint.hardware)
    if not isinstance(ware, Hinge) or ware.hinge != "butt":
        return
    need, planes = ware.stack, []
    usual = ware.closed is None  # and let in by its thickness: how its leaves are bent is not known
    for id_ in (joint.a, joint.b):
        part = dry.part(dry.number[id_])
        cuts = [m.cut for owner, name in joint.cuts if owner == id_ and (m := part.cut_named(name)) is not None]
        if not cuts or cuts[0].kind == "cutout":  # let into a mitered edge
            return
        deep = float(getattr(cuts[0], "depth", 0.0))
        usual = usual and abs(deep - (ware.leaf_thickness or 0.0)) < NOISE
        need -= deep
        planes.append(part.side_plane(getattr(cuts[0], "on", None) or cuts[0].side))  # type: ignore[attr-defined]
    if usual:
        return
    apart = -planes[0].offset - planes[1].offset
    door = dry.part(dry.number[joint.a])
    at = door.frame.point(door.blank.middle())
    at = at.minus(planes[0].normal.times(planes[0].normal.dot(at) - planes[0].offset))
    gap = Between(apart, apart, at, door.facing(planes[0].normal))
    if _is_off(gap, need, dry.limits.reveal):
        yield _bound(dry, joint, gap, need)


def _bound(dry: DryFit, joint: Joint, gap: Between, need: float) -> Finding:
    t, most = Tell(dry), dry.limits.reveal
    off = gap.least - need
    deeper = "deeper" if off < 0 else "less deep"
    return t.finding(
        "clearance", Severity.STOP,
        f"{joint.hardware}, let in as they are, keep {joint.a} and {joint.b} {t.small(need)} apart; "
        f"they stand {t.small(gap.least)} apart",
        (dry.number[joint.a], dry.number[joint.b]), tuple(f"{p}.{c}" for p, c in joint.cuts), gap.point,
        values={"room": gap.least, "need": need, "difference": abs(off)},
        allowed={"least": need - most, "most": need + most},
        advice=f"let each leaf in {t.small(abs(off) / 2)} {deeper}, or make the gap {t.small(max(0.0, need))}",
        place=joint.place,
    )  # fmt: skip


def _told(dry: DryFit, joint: Joint, gap: Between | None, need: float, band: float) -> Finding:
    t = Tell(dry)
    i, j = dry.number[joint.a], dry.number[joint.b]
    if gap is None:
        told = f"{joint.a} and {joint.b} have no faces that look at each other: {joint.hardware} has no place"
        return t.finding("clearance", Severity.STOP, told, (i, j), (), middle(dry.part(i)), place=joint.place)
    room = gap.least if need - gap.least > gap.greatest - need else gap.greatest
    off = room - need
    few = "too little" if off < 0 else "too much"
    told = f"{joint.hardware} has {t.small(room)} between {joint.a} and {joint.b}, {t.small(abs(off))} {few}; it needs"
    if room < -NOISE:
        told = f"{joint.a} runs {t.small(-room)} into {joint.b}, where {joint.hardware} needs"
    return t.finding(
        "clearance", Severity.STOP, f"{told} {t.small(need)}", (i, j), (), gap.point,
        values={"room": room, "need": need, "difference": abs(off)},
        allowed={"least": need - band, "most": need + band},
        advice=f"make {joint.a} {t.small(abs(off))} {'narrower' if off < 0 else 'wider'}, or move {joint.b} by as much",
        place=joint.place,
    )  # fmt: skip


RULE = Rule("clearance", ("clearance",), check, __doc__)
