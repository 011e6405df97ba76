"""Cuts that come out of the other side.

         |<-- depth ----->|
      ___|    ________    |
         |___|        |___|      the wood ends before the hole does
      ________________|

What it checks
    The depth that each hole, pocket, trench, rabbet and recess is given against
    the wood that is there, as it is sawn; and whether the wall of a round hole
    comes out beside it, though its middle is in the wood.

Why it matters
    A blind hole that is not blind is seen, and holds nothing.

Findings
    breaks-through  the wood left, under 0: by so much it comes out; 0 where a trench or a pocket has no floor

Known limits
    What a cut meets of another cut is not looked at here; a hole that runs into a
    dowel's bore is meant to. A hole whose middle lies on an edge is taken to be
    meant as a half round.

What to do
    Make it shallower, or leave `depth` out where it is meant to go through.
"""

from __future__ import annotations

from collections.abc import Iterator

from solids.fit.dryfit import DryFit
from solids.fit.fastened import Drilled, drilled, outer_planes, skin, wood_before
from solids.fit.rule import Rule
from solids.fit.tell import Tell
from solids.model.finding import Finding, Severity
from solids.model.part import Made, Part
from solids.model.side import Side

NOISE = 1e-6  # mm
ALONG = 0.26  # sine of 15 degrees: a side runs along a hole within this
SUNK = ("mortise", "dado", "groove", "rabbet", "cutout")


def check(dry: DryFit) -> Iterator[Finding]:
    """Each cut of each part; copies and twins of one wood once."""
    seen: set[tuple[str, str]] = set()
    for i, part in enumerate(dry.piece.parts):
        key = (part.source, dry.scene.solids[i].shape.key)
        if key in seen or dry.scene.solids[i].faces.bodies != 1:
            continue
        seen.add(key)
        for made in part.cuts:
            if (i, made.name) in dry.bolted or made.joint == "screw":
                continue  # what bolts leave, and screws that are too long, are told with them
            found = _comes_out(i, part, made)
            is_gone = made.cut.kind in SUNK and found is not None and found[0] < NOISE  # no skin of a floor is left
            if found is not None and (is_gone or found[0] < -NOISE):
                yield _told(dry, i, made, *found)


def _comes_out(number: int, part: Part, made: Made) -> tuple[float, str] | None:
    """The least wood that a cut leaves before it, in mm, and toward which side; None where it has no depth."""
    if made.cut.kind == "hole":
        found = [each for hole in drilled(number, part, made) for each in _round(part, hole)]
        return min(found, default=None)
    depth = getattr(made.cut, "depth", None)
    if made.cut.kind not in SUNK or depth is None:
        return None
    into: Side = made.cut.on if made.cut.kind == "rabbet" else made.cut.side  # type: ignore[attr-defined]
    return part.blank.reach(into) - float(depth), str(into.opposite)


def _round(part: Part, hole: Drilled) -> Iterator[tuple[float, str]]:
    """The wood past the floor of a blind hole, and beside the wall of any, where its middle is in the wood."""
    deep = wood_before(part, hole.start, hole.axis)
    if hole.depth is not None:
        yield skin(part, hole, hole.depth)
        deep = min(deep, hole.depth)
    way = part.frame.local_direction(hole.axis)
    ends = [part.frame.local_point(hole.below(d)) for d in (0.0, deep)]
    for p in outer_planes(part):
        distance = min(p.offset - p.normal.dot(e) for e in ends)
        if abs(p.normal.dot(way)) < ALONG and distance > NOISE and hole.slot.length() == 0:
            yield distance - hole.diameter / 2, p.name


def _told(dry: DryFit, i: int, made: Made, left: float, side: str) -> Finding:
    t = Tell(dry)
    part = dry.part(i)
    name = t.cut(part, made)
    at = next(drilled(i, part, made), None)
    by = f"comes out of {part.id} at its {side} by {t.small(-left)}"
    if left > -NOISE:
        by = f"goes right through {part.id}: it is as deep as the wood is thick, and has no floor"
    return t.finding(
        "breaks-through", Severity.STOP, f"{name} {by}", (i,), (name,),
        at.start if at else part.frame.point(part.blank.middle()), values={"left": left}, allowed={"least": 0.0},
        advice=f"make it {t.small(max(-left, dry.limits.wood_left))} shallower or more, or move it from its {side}",
        place=made.places.get("depth") or made.places.get("at") or made.place,
    )  # fmt: skip


RULE = Rule("through", ("breaks-through",), check, __doc__)
