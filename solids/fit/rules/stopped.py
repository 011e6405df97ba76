r"""Stopped cuts: they end too early, or in a round corner that a square one does not go into.

      ______________________
     |                      |
     |   trench        __   |     the cutter leaves its radius; the corner of
     |________________/  |  |     what goes in is square
     |________________\__|  |
     |                      |

What it checks
    Whether a stopped trench or rabbet runs as far as the part in it; and whether
    the wood that two parts share lies in the round corners that a cut's `radius`
    leaves.

Why it matters
    The shelf stays off by as much, or the case splits when it is driven home.

Findings
    stopped-short  the length that lacks; or how far the corner overlaps, square to the walls: r (1 - 1/sqrt 2)

Known limits
    Only corners that the spec gives a `radius` are round; what the shop's smallest
    cutter leaves of others, `tool-limit` says.

What to do
    Stop the cut further out, or notch what goes in; chop the corner square, or
    round the part's.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Any, NamedTuple

import manifold3d
import numpy as np

from solids.cuts.shapes import OVER
from solids.fit.contacts import Contact
from solids.fit.dryfit import DryFit
from solids.fit.rule import Rule
from solids.fit.scene import plane_axes
from solids.fit.tell import Tell
from solids.kernel.mesh import Floats
from solids.model.finding import Finding, Severity
from solids.model.geometry import Prism, Vector, arc, sides
from solids.model.part import Made

FILM = 0.05  # mm off the floor and the mouth, where touching faces leave a film of common wood
CHORDS = 64  # of the bar in which a corner's wood is looked for
MOSTLY = 0.95  # of the common wood that lies in the corners, where they are all that is wrong
ROUND = ("dado", "groove", "rabbet", "mortise", "cutout")


def check(dry: DryFit) -> Iterator[Finding]:
    """Stops that come too early, then round corners."""
    for c in dry.contacts:
        if c.meeting == "end" and c.least < -dry.limits.press:
            yield _ends_early(dry, c)
    for i, j in dry.clashes:
        for host, guest in ((i, j), (j, i)):
            yield from _round(dry, host, guest)


def _ends_early(dry: DryFit, c: Contact) -> Finding:
    t = Tell(dry)
    host, guest, made = dry.part(c.host.part), dry.part(c.guest.part), c.host.made
    assert made is not None
    name, short = t.cut(host, made), -c.least
    return t.finding(
        "stopped-short", Severity.STOP, f"{name} stops {t.small(short)} before {guest.id} does",
        (c.host.part, c.guest.part), (name,), c.point, values={"length": short}, allowed={"most": 0.0},
        advice=f"run it {t.small(short)} further, or notch {guest.id} by as much",
        place=made.places.get("stop") or made.place,
    )  # fmt: skip


class Fillet(NamedTuple):
    """A round inside corner in the room: `centre` and `corner` lie above its side, `depth` above its floor; mm."""

    centre: Floats
    axis: Floats
    corner: Floats
    radius: float
    depth: float

    def past(self, points: Floats) -> float:
        """How far the furthest of some points lies beyond the arc, along the diagonal; mm."""
        return float((_from_line(points, self.centre, self.axis)).max()) - self.radius

    def zone(self) -> Any:
        """A round bar about the corner, within the cut, that holds all that the cutter leaves of it."""
        x, y = plane_axes(self.axis[None])
        pose = np.column_stack([x[0], y[0], self.axis, self.corner + self.axis * (OVER + FILM)])
        long = self.depth - OVER - 2 * FILM
        return manifold3d.Manifold.cylinder(long, self.radius, self.radius, CHORDS).transform(pose)


def _from_line(points: Floats, on: Floats, axis: Floats) -> Floats:
    off = points - on
    off = off - np.outer(off @ axis, axis)
    out: Floats = np.linalg.norm(off, axis=1)
    return out


def _round(dry: DryFit, host: int, guest: int) -> Iterator[Finding]:
    """What two parts share, where nearly all of it lies in the round corners of one cut."""
    part = dry.part(host)
    for made in part.cuts:
        if made.cut.kind not in ROUND or not getattr(made.cut, "radius", 0.0):
            continue
        common = dry.scene.world(host) ^ dry.scene.world(guest)
        fillets = list(_fillets(dry, host, made))
        held = [common ^ f.zone() for f in fillets]
        if sum(m.volume() for m in held) < MOSTLY * common.volume():
            continue
        found = [
            (f.past(_points(m)), k) for k, (f, m) in enumerate(zip(fillets, held, strict=True)) if m.volume() > 1e-3
        ]
        if found and max(found)[0] / math.sqrt(2) > dry.limits.press:
            yield _corner(dry, host, guest, made, max(found)[0], fillets[max(found)[1]])


def _points(mesh: Any) -> Floats:
    out: Floats = np.asarray(mesh.to_mesh64().vert_properties)[:, :3]
    return out


def _fillets(dry: DryFit, host: int, made: Made) -> Iterator[Fillet]:
    """The round inside corners of a cut."""
    part = dry.part(host)
    for waste in made.cut.waste(part.blank):
        if not isinstance(waste, Prism):
            continue
        frame = waste.frame.within(part.frame)
        for p, q in sides(waste.outline):
            if p.bulge > 0:
                a, b, radius, _, swept = arc(p, q)
                out = 1 / math.cos(swept / 2) ** 2
                corner = a + ((p.a + q.a) / 2 - a) * out, b + ((p.b + q.b) / 2 - b) * out
                centre, sharp = (np.array(frame.point(Vector(u, v, 0.0))) for u, v in ((a, b), corner))
                yield Fillet(centre, np.array(frame.z), sharp, radius, waste.depth)


def _corner(dry: DryFit, host: int, guest: int, made: Made, over: float, fillet: Fillet) -> Finding:
    t = Tell(dry)
    part, other = dry.part(host), dry.part(guest)
    name, square = t.cut(part, made), over / math.sqrt(2)
    return t.finding(
        "stopped-short", Severity.STOP,
        f"a square corner of {other.id} meets the round one of {name} and overlaps it by {t.small(square)}",
        (host, guest), (name,), Vector(*fillet.corner.tolist()),
        values={"overlap": square, "diagonal": over, "radius": fillet.radius}, allowed={"most": 0.0},
        advice=f"chop the corners of {name} square, or round {other.id}'s to {t.full(fillet.radius)}",
        place=made.places.get("radius") or made.place,
    )  # fmt: skip


RULE = Rule("stopped", ("stopped-short",), check, __doc__)
