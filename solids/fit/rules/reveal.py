"""Reveals: the gaps round fronts and doors, as wide as they were asked for, and even.

      __________________
     |  ______________  |
     | |              | |     each side's gap is measured, at its narrowest
     | |    front     | |     and at its widest
     | |______________| |
     |__________________|

What it checks
    Every gap that a `reveal` joint asks for, from end to end; and, round each
    front, that all gaps of one asked width are alike.

Why it matters
    The eye sees half a millimetre between two gaps side by side. A front that
    is too large rubs; one that is too small shows it for good.

Findings
    reveal  a gap differs from what was asked, or narrows, or is unlike the others: each side's gap

Known limits
    Wood moves: what is even today is not in August. That is told by the seasons.

What to do
    Plane the front, or shift it, by the half of what two opposite gaps differ.
"""

from __future__ import annotations

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
