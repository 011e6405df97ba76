r"""Shelves and tops that bend under what lies on them.

      __________________________
     |__________________________|     w, spread over it
      ^  \                   /  ^
      |    ` - . _ _ _ _ . - '  |     the sag, in the middle between two supports
      |<---------- L ---------->|

What it checks
    Every part that `loads` puts something on and that lies level: how far it
    bends at once between what bears it from below, in its housings or at its
    joined ends, and how far its end droops where it stands out.

    5 w L^4 / (384 E I) and P L^3 / (48 E I) between two supports, w L^4 / (8 E I)
    at a free end, I = b t^3 / 12: the engineer's formulas for a beam that just
    lies on its supports. E along the grain is the Wood Handbook's for the wood
    (tables 5-3 and 5-5), and by the tables of sheets for sheet goods; both
    limits are those of an article on shelves, and usual in the trade.

Why it matters
    A shelf that bends by a 384th of its span (1/32 in to the foot) looks bent;
    design keeps to a 600th (1/50 in to the foot) under the full load. With the
    years wood goes on bending, by half as much again or more.

Findings
    sag  a part bends by more than a 600th of its span, or of what stands out: how far, and in time

Known limits
    A caution, no proof: it says nothing of strength, of fasteners that pull out,
    or of a case that racks. E differs by a quarter from board to board and from
    one make of plywood to another. What the part itself weighs is left out; a lip
    glued to its edge, a back that holds it, or a third support make it stiffer
    than is told. A narrow part that is turned on edge is not looked at.

What to do
    Halve the span with a divider, take thicker stock, glue a lip to the edge, or
    let the back carry it. For what can fall on someone ask one who is licensed
    to say what it bears, and keep to local codes.
"""

from __future__ import annotations

from collections.abc import Iterator

from solids.fit.dryfit import DryFit
from solids.fit.rule import Rule
from solids.fit.sag import Sag, is_level, sags, spans, stiffness_of
from solids.fit.tell import Tell
from solids.joints.outcome import middle
from solids.model.finding import Finding, Severity
from solids.model.load import Load
from solids.units import FOOT, POUND

LATER = 1.5  # times: what the sag grows to in years, or more
SEEN = 384.0  # of the span: 1/32 in to the foot shows


def check(dry: DryFit) -> Iterator[Finding]:
    """Only where the spec says what lies on its parts."""
    for load in dry.piece.loads:
        reason = _unknown(dry, load)
        if reason:
            yield _untold(dry, load, reason)
    for found in sags(dry):
        if found.sag > found.span.length / dry.limits.sag:
            yield _told(dry, found)


def _unknown(dry: DryFit, load: Load) -> str:
    """Why the sag of a loaded part can't be worked out; nothing where it can."""
    i = dry.number[load.part]
    part = dry.part(i)
    if part.stock is None or stiffness_of(part.stock) is None:
        return "how stiff its stock is, is not in the tables"
    if not is_level(part):
        return "it does not lie level"
    return "" if spans(dry, i) or _is_borne(dry, i) else "nothing bears it"


def _is_borne(dry: DryFit, i: int) -> bool:
    """Whether it is held at all: borne all along, it has no span."""
    return any(True for _ in dry.touching(i))


def _untold(dry: DryFit, load: Load, reason: str) -> Finding:
    i = dry.number[load.part]
    return Tell(dry).finding(
        "sag", Severity.NOTE, f"how far {load.part} sags can't be said: {reason}", (i,), (), middle(dry.part(i)),
        advice="take the load from it, or ask one who can say what it bears", place=load.place,
    )  # fmt: skip


def _told(dry: DryFit, found: Sag) -> Finding:
    t = Tell(dry)
    part, span = dry.part(found.part), found.span.length
    where = f"over {t.size(span)} between its supports"
    if found.span.free:
        where = f"at its free end, {t.size(span)} beyond its support,"
    most, seen = span / dry.limits.sag, span / SEEN
    shows = "and shows" if found.sag > seen else f"and shows from {t.small(seen)} on"
    return t.finding(
        "sag", Severity.WARN,
        f"{part.id} sags {t.small(found.sag)} {where} under {_words(dry, found.load)}, {shows}; "
        f"in time half as much again or more",
        (found.part,), (), middle(part),
        values={"sag": found.sag, "later": LATER * found.sag, "span": span}, allowed={"sag": most, "seen": seen},
        advice=f"{t.small(most)} is usual at most: halve the span, take thicker stock, or glue a lip to its edge",
        place=found.load.place,
    )  # fmt: skip


def _words(dry: DryFit, load: Load) -> str:
    """The load as its maker reads it."""
    inches = dry.piece.told_in == "in"
    said = []
    if load.spread is not None:
        said.append(f"{load.spread * FOOT / POUND:.3g} lb/ft" if inches else f"{load.spread:.3g} kg/m")
    for kilograms, where in ((load.total, ""), (load.middle, " in the middle")):
        if kilograms is not None:
            said.append((f"{kilograms / POUND:.3g} lb" if inches else f"{kilograms:.3g} kg") + where)
    return " and ".join(said)


RULE = Rule("sag", ("sag",), check, __doc__)
