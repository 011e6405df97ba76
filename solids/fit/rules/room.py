"""What stands in the room, and what is on no list.

What it checks
    Whether a part shares room with what the spec's `room` says is there; and,
    where the spec names `modules`, whether every part belongs to one.

Why it matters
    A case that is drawn through the radiator does not go where the client
    wants it. A part in no module stays behind in the shop.

Findings
    interference  a part and something of the room share space: depth, volume
    not-listed    a part that is in no module, though others are

Known limits
    What is in the room is a box.

What to do
    Move the piece or make it smaller by the depth; name the part in a module.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from solids.fit.dryfit import DryFit
from solids.fit.rule import Rule
from solids.fit.tell import Tell
from solids.joints.outcome import middle
from solids.kernel.mesh import box_mesh
from solids.model.carrying import Obstacle
from solids.model.finding import Finding, Severity
from solids.model.geometry import Vector


def check(dry: DryFit) -> Iterator[Finding]:
    """Every part against every obstacle, then the modules."""
    for obstacle in dry.piece.room:
        for i in _near(dry, obstacle):
            yield from _clash(dry, i, obstacle)
    if dry.piece.modules:
        yield from _left_behind(dry)


def _near(dry: DryFit, obstacle: Obstacle) -> list[int]:
    low, high = np.array(obstacle.low), np.array(obstacle.high)
    lap = np.all((dry.scene.part_low < high) & (dry.scene.part_high > low), axis=1)
    return [int(i) for i in np.flatnonzero(lap)]


def _clash(dry: DryFit, i: int, obstacle: Obstacle) -> Iterator[Finding]:
    """The space that a part and an obstacle share; it is as deep as the least move along x, y or z that ends it."""
    common = dry.scene.world(i) ^ box_mesh(obstacle.low, obstacle.high)
    if not common.num_tri() or common.volume() < 1e-6:
        return
    box = np.asarray(common.bounding_box()).reshape(2, 3)
    depth = float((box[1] - box[0]).min())
    if depth <= dry.limits.press:
        return
    t, part = Tell(dry), dry.part(i)
    low, high = Vector(*box[0].tolist()), Vector(*box[1].tolist())
    advice = f"move the piece by {t.small(depth)}, or make it smaller by as much"
    yield t.finding(
        "interference", Severity.STOP, f"{part.id} stands in {obstacle.name}, {t.small(depth)} deep", (i,), (),
        low.plus(high).times(0.5), values={"depth": depth, "volume": float(common.volume())},
        allowed={"depth": dry.limits.press}, advice=advice,
        place=obstacle.place or part.place, box=(low, high),
    )  # fmt: skip


def _left_behind(dry: DryFit) -> Iterator[Finding]:
    listed = {p for m in dry.piece.modules for p in m.parts}
    missing = [i for i, p in enumerate(dry.piece.parts) if p.id not in listed]
    told: set[str] = set()
    for i in missing:
        part = dry.part(i)
        if part.source in told:
            continue
        told.add(part.source)
        yield Tell(dry).finding(
            "not-listed", Severity.WARN, f"{part.id} is in no module: who carries it?", (i,), (), middle(part),
            advice="name it, or its group, in one of the `modules`", place=part.place,
        )  # fmt: skip


RULE = Rule("room", ("interference", "not-listed"), check, __doc__)
