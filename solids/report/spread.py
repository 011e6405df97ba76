"""How far the joints of a piece may come out otherwise, as a paper: each with the cut that matters most."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator
from dataclasses import replace
from typing import Any

from solids.fit.dryfit import DryFit
from solids.fit.ring_tolerance import RingSpread, ring_tolerance
from solids.fit.tolerance import Spread, tolerance
from solids.model.shop import TrueTo
from solids.report.table import columns
from solids.units import Units, show_angle, show_full, show_small

HEAD = ("joint", "gap", "planned", "at worst", "usually", "closes", "most by", "true enough at")
NOISE = 1e-6  # mm
SHOWN = 25  # joints on the terminal; the paper has all


def lines(dry: DryFit, name: str) -> Iterator[str]:
    """The paper, a line at a time."""
    true_to = dry.piece.shop.true_to
    if true_to is None:
        yield f"{name}: how true its cuts come out is not said: add `shop: {{true_to: {{length: 0.4 mm, angle: 0.1}}}}`"
        return
    units = dry.piece.told_in
    found = tolerance(dry, true_to)
    unsure = [s for s in found if s.needs < 1]
    yield f"{name}: with cuts true to {_true(true_to, 1.0, units)}, {len(unsure)} of {len(found)} joints may not close."
    yield ""
    yield from columns([HEAD, *(_row(s, true_to, units) for s in found[:SHOWN])])
    if len(found) > SHOWN:
        yield f"  and {len(found) - SHOWN} more, which close more surely"
    for ring in ring_tolerance(dry, true_to):
        yield ""
        yield from _ring(ring, units)


def _row(s: Spread, true_to: TrueTo, units: Units) -> tuple[str, ...]:
    joint = " and ".join(s.cuts if len(s.cuts) > 1 else s.parts)
    own = replace(
        true_to,
        length=true_to.length if any(not setting.is_angle for setting, _ in s.slopes) else None,
        angle=true_to.angle if any(setting.is_angle for setting, _ in s.slopes) else None,
    )
    enough = "as it is" if s.needs >= 1 else _true(own, s.needs, units) if s.needs > 0 else "it has no play"
    most = f"{s.first.name}, {s.share:.0%}"
    planned = 0.0 if abs(s.value) < NOISE else s.value
    sizes = (show_small(planned, units), show_small(s.worst, units), show_small(s.usual, units))
    return joint, s.what, sizes[0], f"± {sizes[1]}", f"± {sizes[2]}", f"{s.closes:.0%}", most, enough


def _true(true_to: TrueTo, share: float, units: Units) -> str:
    """`0.4 mm and 0.1°`, or a share of that."""
    said = [show_full(round(true_to.length * share, 3), units)] if true_to.length else []
    said += [show_angle(true_to.angle * share)] if true_to.angle else []
    return " and ".join(said) or "nothing"


def _ring(ring: RingSpread, units: Units) -> Iterator[str]:
    yield f"  The ring {', '.join(ring.parts)}: the errors of its {ring.bevels} bevels add up at the last corner,"
    yield (
        f"  to {show_angle(ring.worst)} at worst, which opens {show_small(ring.opening, units)}, "
        f"and usually to {show_angle(ring.usual)}, {show_small(ring.usual_opening, units)}."
    )
    yield f"  It closes for certain with every bevel true to {ring.needs:.3f}°."


def spread_data(dry: DryFit) -> dict[str, Any] | None:
    """The same for programs: mm and degrees, in full."""
    true_to = dry.piece.shop.true_to
    if true_to is None:
        return None
    joints = [
        {"what": s.what, "parts": list(s.parts), "cuts": list(s.cuts), "planned": s.value, "least": s.least,
         "most": s.most, "worst": s.worst, "usual": s.usual, "closes": s.closes, "needs": s.needs,
         "slopes": {setting.name: slope for setting, slope in s.slopes}}
        for s in tolerance(dry, true_to)
    ]  # fmt: skip
    rings = [
        {"parts": list(r.parts), "bevels": r.bevels, "worst_degrees": r.worst, "usual_degrees": r.usual,
         "opening": r.opening, "usual_opening": r.usual_opening, "needs_degrees": r.needs}
        for r in ring_tolerance(dry, true_to)
    ]  # fmt: skip
    return {"true_to": {"length": true_to.length, "angle": true_to.angle}, "joints": joints, "rings": rings}


def as_csv(dry: DryFit) -> str:
    """The joints as a table, in mm."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    head = ["what", "part", "other", "cuts", "planned_mm", "least_mm", "most_mm", "worst_mm", "usual_mm", "closes"]
    writer.writerow([*head, "most_by", "share", "needs"])
    for s in tolerance(dry, dry.piece.shop.true_to) if dry.piece.shop.true_to else ():
        sizes = [f"{v + 0.0:.3f}" for v in (s.value, s.least, s.most, s.worst, s.usual)]
        shares = [f"{s.closes:.3f}", s.first.name, f"{s.share:.3f}", f"{s.needs:.3f}"]
        writer.writerow([s.what, *s.parts, " ".join(s.cuts), *sizes, *shares])
    return out.getvalue()
