"""Holes that belong together and are not in line.

          A    |    B
         ______|_______
               |          the two axes, square to themselves, where the
         ------|- - - -   parts meet and at the end of the hole in B
         ______|_______
               |

What it checks
    The axis of each hole of a bolt, screw or dowel in one part against that of
    its fellow in the other, at the joint and at the far end; the bore of a cross
    dowel against its bolt; the middles of the two mortises of a loose tenon. All
    as they are cut, where they stand.

Why it matters
    A bolt that does not find its nut is found on delivery day.

Findings
    holes-astray  how far one axis lies from the other

Known limits
    A slot lets the axis be anywhere along it. What is allowed is half of what
    the holes are wider than the bolt or screw; of dowels and loose tenons, the
    step that is allowed in flush faces.

What to do
    Drill both from one template, or one through the other; make the clearance
    hole wider and use a larger washer.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from solids.fit.dryfit import DryFit
from solids.fit.fastened import Drilled, Fastening, nut_off, wood_before
from solids.fit.rule import Rule
from solids.fit.tell import Tell
from solids.model.finding import Finding, Severity

NOISE = 1e-6  # mm


def check(dry: DryFit) -> Iterator[Finding]:
    """The worst of each two cuts, whose rows may hold many holes."""
    worst: dict[tuple[object, ...], Pair] = {}
    for f in dry.fastenings:
        if f.b is None:
            yield _alone(dry, f)
            continue
        for pair in _pairs(dry, f, f.b):
            key = (pair.one.part, pair.one.made.name, pair.other.part, pair.other.made.name)
            if pair.off > pair.most + NOISE and (key not in worst or pair.off > worst[key].off + NOISE):
                worst[key] = pair
    for pair in worst.values():
        yield _told(dry, pair)


class Pair(NamedTuple):
    """Two holes that one fastener goes through: how far they are out of line, and the most that is allowed; mm."""

    one: Drilled
    other: Drilled
    off: float
    most: float
    by_play: bool


def _pairs(dry: DryFit, f: Fastening, b: Drilled) -> Iterator[Pair]:
    yield Pair(f.a, b, offset(dry, f.a, b), _allowed(dry, f, b), f.ware is not None)
    if f.nut is not None and f.ware is not None:
        yield Pair(b, f.nut, nut_off(f.nut, b), (b.diameter - f.ware.diameter) / 2, True)


def offset(dry: DryFit, a: Drilled, b: Drilled) -> float:
    """How far the second axis is from the first, at its side and at its end, whichever is more; mm."""
    end = b.depth if b.depth is not None else wood_before(dry.part(b.part), b.start, b.axis)
    return max(a.off_axis(b.start), a.off_axis(b.below(end)))


def _allowed(dry: DryFit, f: Fastening, b: Drilled) -> float:
    """Half of what the holes are wider than what goes through; in wood that a thread or an insert fills, none."""
    if f.ware is None:
        return dry.limits.step
    play = f.a.diameter - f.ware.diameter
    if f.nut is not None or (b.depth is None and f.joint.kind == "bolt"):
        play += b.diameter - f.ware.diameter
    return max(0.0, play / 2)


def _told(dry: DryFit, p: Pair) -> Finding:
    t = Tell(dry)
    names = tuple(t.cut(dry.part(d.part), d.made) for d in (p.one, p.other))
    leaves = f"{t.small(p.most)} is the most" + (" that the holes let it be" if p.by_play else "")
    parts = tuple(dict.fromkeys((p.one.part, p.other.part)))
    return t.finding(
        "holes-astray", Severity.STOP, f"{names[0]} and {names[1]} are {t.small(p.off)} out of line; {leaves}",
        parts, names, p.other.start, values={"offset": p.off}, allowed={"most": p.most},
        advice=f"move one of the two by {t.small(p.off)}, or drill one through the other", place=p.other.made.place,
    )  # fmt: skip


def _alone(dry: DryFit, f: Fastening) -> Finding:
    t = Tell(dry)
    other = f.joint.b
    name = t.cut(dry.part(f.a.part), f.a.made)
    return t.finding(
        "holes-astray", Severity.STOP, f"{name} has no fellow in {other}", (f.a.part, dry.number[other]), (name,),
        f.a.start, advice=f"drill {other} there too, or leave this one out", place=f.a.made.place,
    )  # fmt: skip


RULE = Rule("astray", ("holes-astray",), check, __doc__)
