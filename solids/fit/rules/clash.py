"""Two parts that share wood.

What it checks
    The common volume of every two parts. Its depth is the worst gap, taken as
    negative, of the faces involved; under 0.02 mm it is only touching.

Why it matters
    They can't both be there: a cut is missing or too shallow, or a part is too
    long or in the wrong place.

Findings
    interference  depth, volume, and the cut or size behind it

Known limits
    Measured on the finished solids: where a dado, a bevel or a floor explains
    it, that is what is told, and the clash stands below it.

What to do
    Cut the housing that is missing, or shorten or move one of them by the depth.
"""

from __future__ import annotations

from collections.abc import Iterator

from solids.fit.clash import Clash
from solids.fit.contacts import Contact
from solids.fit.dryfit import DryFit
from solids.fit.rule import Rule
from solids.fit.tell import Tell
from solids.model.finding import Finding, Severity
from solids.model.geometry import Vector


def check(dry: DryFit) -> Iterator[Finding]:
    """Every pair that shares wood."""
    for (i, j), clash in sorted(dry.clashes.items()):
        yield _told(dry, i, j, clash)


def _told(dry: DryFit, i: int, j: int, clash: Clash) -> Finding:
    t = Tell(dry)
    a, b = dry.part(i), dry.part(j)
    deepest = min((c for c in dry.by_pair.get((i, j), ()) if c.least < 0), key=lambda c: c.least, default=None)
    low, high = Vector(*clash.low), Vector(*clash.high)
    joint = next((o for o in dry.joints_by_pair.get((i, j), ()) if o.trouble and not o.cuts), None)
    where = f"; the {joint.kind} cuts nothing: {joint.trouble}" if joint else _where(dry, deepest)
    cuts = tuple(
        f"{dry.part(s.part).id}.{s.made.name}" for s in ((deepest.host, deepest.guest) if deepest else ()) if s.made
    )
    place = next((s.made.place for s in ((deepest.host, deepest.guest) if deepest else ()) if s.made), None)
    return t.finding(
        "interference", Severity.STOP, f"{a.id} and {b.id} share wood, {t.small(clash.depth)} deep{where}",
        (i, j), cuts, low.plus(high).times(0.5),
        values={"depth": clash.depth, "volume": clash.volume}, allowed={"depth": dry.limits.press},
        advice=f"take {t.small(clash.depth)} off one of them there, or move one by as much",
        place=joint.place if joint else place or b.place, box=(low, high),
    )  # fmt: skip


def _where(dry: DryFit, c: Contact | None) -> str:
    if c is None:
        return ""
    return f": {dry.scene.called(c.host.face)} runs into {dry.scene.called(c.guest.face)}"


RULE = Rule("clash", ("interference",), check, __doc__)
