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
            both only a note where the other is open and can be shut first

Known limits
    Each body moves while the others are shut, or wide open; not half open. A
    contact of less than 0.02 mm is a touch.

What to do
    Shorten what is in the way, stop the way before it, or hinge on the other side.
"""

from __future__ import annotations

from collections.abc import Iterator

from solids.fit.dryfit import DryFit
from solids.fit.motion import Meeting, Way, ways
from solids.fit.rule import Rule
from solids.fit.tell import Tell
from solids.model.finding import Finding, Severity
from solids.model.motion import Slide


def check(dry: DryFit) -> Iterator[Finding]:
    """Every body in turn."""
    if dry.piece.bodies:
        for way in ways(dry, beside=False):
            if way.meeting is not None:
                yield _told(dry, way, way.meeting)


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
