"""Drawers and doors on their way: what they hit, and where.

          _________________
         |        |
         |________|-------->     the drawer runs out and hits the open door,
                     |           or the leg of the next case, or the wall
                     |

What it checks
    Every body that slides or swings, over its whole way: against all that
    stands, against the other bodies shut and open, and against the `room`.

Why it matters
    A drawer that hits the hinge of its door, or a door that hits the wall, is
    found when the piece stands in the client's room.

Findings
    travel  a drawer hits something: mm of its way, and how deep it would go
    swing   a door hits something: degrees of its way, and how deep it would go;
            both only a note where the other is open and can be shut first; two that
            hit each other are told as one

Known limits
    Each body moves while the others are shut, or wide open; not half open. A
    contact of less than 0.02 mm is a touch.

What to do
    Shorten what is in the way, stop the way before it, or hinge on the other side.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from solids.fit.dryfit import DryFit
from solids.fit.motion import Meeting, Way, ways
from solids.fit.rule import Rule
from solids.fit.tell import Tell
from solids.model.finding import Finding, Severity
from solids.model.motion import Slide


def check(dry: DryFit) -> Iterator[Finding]:
    """Every body in turn; two that hit each other are one finding."""
    if not dry.piece.bodies:
        return
    met = [(way, way.meeting) for way in ways(dry, beside=False) if way.meeting is not None]
    told = [(way, meeting, _told(dry, way, meeting)) for way, meeting in met]
    below: set[int] = set()
    for i, (way, meeting, first) in enumerate(told):
        others = [k for k in range(len(told)) if k != i and _is_way_back(dry, way, meeting, *told[k][:2])]
        if i in below:
            continue
        lead, *rest = sorted([first, *(told[k][2] for k in others)], key=_gravest)
        below.update(others)
        yield replace(lead, message=_with_way_back(lead, rest), folded=tuple(rest))


def _is_way_back(dry: DryFit, way: Way, meeting: Meeting, other: Way, back: Meeting) -> bool:
    """Whether the other hits the body that hits it: one of the two is to be moved, and both are mended."""
    hit, hit_back = (dry.part(m.other_part).id if m.other_part >= 0 else "" for m in (meeting, back))
    return hit in other.body.parts and hit_back in way.body.parts


def _gravest(finding: Finding) -> tuple[bool, float]:
    return finding.severity is Severity.NOTE, -round(finding.values["depth"], 3)


def _with_way_back(lead: Finding, rest: list[Finding]) -> str:
    return "; the other way round, ".join([lead.message, *(f.message for f in rest)])


def _told(dry: DryFit, way: Way, m: Meeting) -> Finding:
    t = Tell(dry)
    slides = isinstance(way.body.motion, Slide)
    part = dry.part(m.part)
    other = f"{m.other}, open" if m.opened else m.other
    where = t.size(m.at) if slides else t.angle(m.at)
    whole = t.size(way.whole) if slides else t.angle(way.whole)
    verb = "runs out" if slides else "swings"
    message = f"{way.body.name} {verb} {where} of {whole}, then {part.id} hits {other}, {t.small(m.depth)} deep"
    parts = (m.part, m.other_part) if m.other_part >= 0 else (m.part,)
    return t.finding(
        "travel" if slides else "swing", Severity.NOTE if m.yields else Severity.STOP, message, parts, (), m.point,
        values={"at": m.at, "depth": m.depth}, allowed={"at": way.whole}, advice=_advice(t, m, where),
        place=way.body.place or part.place,
    )  # fmt: skip


def _advice(t: Tell, m: Meeting, where: str) -> str:
    if m.yields:
        return "shut the one before the other is opened"
    return f"take {t.small(m.depth)} off what is in the way, or stop it after {where}"


RULE = Rule("motion", ("travel", "swing"), check, __doc__)
