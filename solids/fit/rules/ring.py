r"""Rings of mitered parts: errors at the corners add up, and the last corner shows them all.

        _________
       |\       /|     each corner a little out: pulled up
       | \_____/ |     tight one after another, the last one
       | |     | |     stands open by all of it
       | |_____| |
       | /     \ |
       |/_______\|

What it checks
    Parts that are mitered to one another in a closed ring. Each corner is as
    far out as its two bevels; what opens at the inside and what opens at the
    outside take each other away, and the rest is told.

Why it matters
    A quarter of a degree on every cut of a box is two degrees at its last
    corner, though no corner by itself looks bad.

Findings
    ring-open  when the corners don't add up to (n - 2) x 180 degrees: degrees in all,
               and how far the last corner opens if all of it falls there

Known limits
    In a splayed ring the sum is that of the angles between the boards, which is
    right for small errors. One corner alone that is out is told as that corner.

What to do
    Prove the saw's setting on two offcuts held to a square: the error shows
    double. Share what is left over all the corners, not the last.
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterator

from solids.fit.contacts import Contact
from solids.fit.dryfit import DryFit
from solids.fit.rule import Rule
from solids.fit.rules.corner import opens_inside
from solids.fit.tell import Tell
from solids.joints.miter import corner_width
from solids.model.finding import Finding, Severity
from solids.model.geometry import Vector

LEAST = 0.1  # degrees: less than this over a whole ring is lost in the clamps


def check(dry: DryFit) -> Iterator[Finding]:
    """Every closed ring whose corners don't add up, where more than one corner has a share in it."""
    for ring, own in closed_rings(dry):
        total = sum(c.angle if opens_inside(dry, c) else -c.angle for c in own)
        sharing = [c for c in own if c.angle > 1e-3]
        if abs(total) > LEAST and len(sharing) > 1:
            yield _told(dry, ring, own, total)


def closed_rings(dry: DryFit) -> Iterator[tuple[list[int], list[Contact]]]:
    """The parts of every closed ring of miters, with its corners."""
    corners: dict[tuple[int, int], Contact] = {}
    for c in dry.contacts:
        pair = (min(c.parts), max(c.parts))
        if c.meeting == "miter" and (pair not in corners or c.angle > corners[pair].angle):
            corners[pair] = c
    for ring in _rings(list(corners)):
        yield sorted(ring), [c for pair, c in corners.items() if set(pair) <= ring]


def _rings(pairs: list[tuple[int, int]]) -> Iterator[set[int]]:
    """Groups of parts in which each is joined to just two others, all round."""
    beside: dict[int, set[int]] = defaultdict(set)
    for i, j in pairs:
        beside[i].add(j)
        beside[j].add(i)
    left = set(beside)
    while left:
        ring, edge = set(), [min(left)]
        while edge:
            part = edge.pop()
            if part not in ring:
                ring.add(part)
                edge += beside[part]
        left -= ring
        if len(ring) > 2 and all(len(beside[p]) == 2 for p in ring):
            yield ring


def _told(dry: DryFit, ring: list[int], corners: list[Contact], total: float) -> Finding:
    t = Tell(dry)
    widest = max(corner_width(dry.part(c.host.part), dry.part(c.guest.part)) or 0.0 for c in corners)
    opening = widest * math.tan(math.radians(abs(total)))
    where = "inside" if total > 0 else "outside"
    names = [dry.part(i).id for i in ring]
    cuts = tuple(
        dict.fromkeys(f"{dry.part(s.part).id}.{s.made.name}" for c in corners for s in (c.host, c.guest) if s.made)
    )
    worst = max(corners, key=lambda c: c.angle)
    place = worst.host.made.place if worst.host.made else None
    middle = Vector(*(sum(c.point[k] for c in corners) / len(corners) for k in range(3)))
    return t.finding(
        "ring-open", Severity.STOP,
        f"the corners of the ring {', '.join(names)} are {t.angle(abs(total))} out in all: "
        f"if all of it falls on the last corner, that opens {t.small(opening)} at the {where}",
        tuple(ring), cuts, middle, values={"degrees": abs(total), "opening": opening},
        allowed={"degrees": LEAST}, place=place,
        advice=f"set the saw truer: {t.angle(abs(total) / len(cuts))} on each of {len(cuts)} cuts makes this up",
    )  # fmt: skip


RULE = Rule("ring", ("ring-open",), check, __doc__)
