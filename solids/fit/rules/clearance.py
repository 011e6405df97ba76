"""The room that hardware needs: runners beside a drawer.

     case   runner   box
      ||    _____    ||
      ||---|_____|---||      the room between the box and what the runner is
      ||             ||      screwed to is the runner's own

What it checks
    Every gap that a `clearance` joint asks for, least and greatest, against
    what the hardware says it needs and may be off.

Why it matters
    A drawer a millimetre too wide does not go in; one that is two too narrow
    falls off its runners.

Findings
    clearance  too little or too much room: the room, and what is needed

Known limits
    The band is the one in the spec; the maker's sheet of the runner has the last word.

What to do
    Shim what the runner is screwed to, or make the box wider or narrower.
"""

from __future__ import annotations

from collections.abc import Iterator

from solids.fit.apart import Between, between
from solids.fit.dryfit import DryFit
from solids.fit.rule import Rule
from solids.fit.tell import Tell
from solids.joints.outcome import middle
from solids.model.finding import Finding, Severity
from solids.model.piece import Joint

NOISE = 1e-6  # mm


def check(dry: DryFit) -> Iterator[Finding]:
    """Every clearance that is asked for."""
    for joint in (j for j in dry.piece.joints if j.kind == "clearance"):
        need = joint.asked or 0.0
        ware = dry.piece.hardware.get(joint.hardware)
        band = float(getattr(ware, "clearance_band", dry.limits.reveal))
        gap = between(dry, dry.number[joint.a], dry.number[joint.b], need)
        if gap is None or gap.least < need - band - NOISE or gap.greatest > need + band + NOISE:
            yield _told(dry, joint, gap, need, band)


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
