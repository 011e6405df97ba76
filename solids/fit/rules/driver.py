"""Room to put a bolt or a screw in.

        other part
      |           |   A   |
      |   free    |       |     the free way before the hole, along its axis,
      |<--------->|=======|     as wide as the head
      |           |       |

What it checks
    Before the head of each bolt and screw, along its axis and as wide as its
    head or washer, how far the nearest other part is: it must let the bolt in at
    its whole length.

Why it matters
    A bolt that can't be put in when the case stands as drawn has to be put in
    before, or from the other side; a driver needs its own length more.

Findings
    no-reach  the free way, and the length that has to go in

Known limits
    All parts are taken to be there; what is put on later, or comes off before, is
    in the way as well. The driver itself is not reckoned: hex keys turn corners.

What to do
    Put the head on the other side, or put the bolt in before the part in its way.
"""

from __future__ import annotations

from collections.abc import Iterator

import manifold3d
import numpy as np

from solids.fit.dryfit import DryFit
from solids.fit.fastened import Fastening
from solids.fit.rule import Rule
from solids.fit.scene import plane_axes
from solids.fit.tell import Tell
from solids.kernel.mesh import Floats
from solids.model.finding import Finding, Severity
from solids.model.hardware import Bolt, Screw

NOISE = 1e-6  # mm
CHORDS = 24  # of the head's outline
OFF = 0.02  # mm that the way begins before the wood


def check(dry: DryFit) -> Iterator[Finding]:
    """Each bolt and screw in turn; those of one joint that meet the same part by as much once."""
    told: set[tuple[int, int, float]] = set()
    for f in dry.fastenings:
        if f.ware is None:
            continue
        met = free_way(dry, f, f.ware)
        if met is not None and (id(f.joint), met[0], round(met[1], 3)) not in told:
            told.add((id(f.joint), met[0], round(met[1], 3)))
            yield _told(dry, f, f.ware, *met)


def free_way(dry: DryFit, f: Fastening, ware: Bolt | Screw) -> tuple[int, float] | None:
    """The part that stands nearest before the head, and how far off, in mm; None where the bolt's length is free."""
    wide = ware.seat if isinstance(ware, Bolt) else ware.head_diameter
    start, way = np.array(f.a.start), -np.array(f.a.axis)
    reach = manifold3d.Manifold.cylinder(ware.length - OFF, wide / 2, wide / 2, CHORDS).transform(_pose(start, way))
    low, high = np.asarray(reach.bounding_box()).reshape(2, 3)
    near: tuple[int, float] | None = None
    for i in np.flatnonzero(np.all((dry.scene.part_low < high) & (dry.scene.part_high > low), axis=1)).tolist():
        common = reach ^ dry.scene.world(i)
        if i == f.a.part or common.volume() < 1e-3:
            continue
        distance = float(((np.asarray(common.to_mesh64().vert_properties)[:, :3] - start) @ way).min())
        if near is None or distance < near[1]:
            near = i, distance
    return near


def _pose(start: Floats, way: Floats) -> Floats:
    """Where a cylinder along z stands that leads from a point along a direction."""
    x, y = plane_axes(way[None])
    out: Floats = np.column_stack([x[0], y[0], way, start + way * OFF])
    return out


def _told(dry: DryFit, f: Fastening, ware: Bolt | Screw, other: int, free: float) -> Finding:
    t = Tell(dry)
    name = t.cut(dry.part(f.a.part), f.a.made)
    part = dry.part(other).id
    return t.finding(
        "no-reach", Severity.WARN,
        f"{part} stands {t.small(free)} before {name}; {ware.name} is {t.size(ware.length)} long and can't be put in",
        (f.a.part, other), (name,), f.a.start, values={"free": free, "need": ware.length},
        allowed={"least": ware.length}, advice=f"put its head on the other side, or put it in before {part}",
        place=f.joint.place,
    )  # fmt: skip


RULE = Rule("driver", ("no-reach",), check, __doc__)
