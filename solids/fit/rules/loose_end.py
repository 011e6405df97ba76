"""Parts that nothing holds, and parts that are made of nothing.

What it checks
    Whether each part touches another, or stands in a housing of another; and
    whether it has a stock.

Why it matters
    A part that hangs in the air is in the wrong place, or lacks the part that
    carries it. A part without stock is forgotten when the lumber is divided.

Findings
    floating  it touches nothing
    no-stock  it is made of nothing that the spec names

Known limits
    What stands on the floor or hangs on the wall of the room touches no part.

What to do
    Look at its `at`; name its stock.
"""

from __future__ import annotations

from collections.abc import Iterator

from solids.fit.bodies import LOOSE
from solids.fit.contacts import HOUSINGS
from solids.fit.dryfit import DryFit
from solids.fit.rule import Rule
from solids.fit.tell import Tell
from solids.joints.outcome import middle
from solids.model.finding import Finding, Severity

NOISE = 1e-6  # mm


def check(dry: DryFit) -> Iterator[Finding]:
    """Each part in turn."""
    t = Tell(dry)
    held: set[int] = {k for pair in dry.clashes for k in pair}
    for joint in dry.piece.joints:
        if joint.kind in LOOSE:  # it hangs on a runner or a hinge, or lies on pins
            held.update((dry.number[joint.a], dry.number[joint.b]))
    for c in dry.contacts:
        most = dry.limits.loose.most if c.host.kind in HOUSINGS else dry.limits.glue.most
        if c.least <= most + NOISE:
            held.update(c.parts)
    for i, part in enumerate(dry.piece.parts):
        if len(dry.piece.parts) > 1 and i not in held:
            yield t.finding(
                "floating", Severity.STOP, f"{part.id} touches nothing", (i,), (), middle(part),
                advice="bring it up to what carries it, or add what does", place=part.place,
            )  # fmt: skip
    told: set[str] = set()
    for i, part in enumerate(dry.piece.parts):
        if part.stock is None and part.source not in told:
            told.add(part.source)
            yield t.finding(
                "no-stock", Severity.WARN, f"{part.id} has no stock", (i,), (), middle(part),
                advice="name its `stock`, so that it is cut from something", place=part.place,
            )  # fmt: skip


RULE = Rule("loose_end", ("floating", "no-stock"), check, __doc__)
