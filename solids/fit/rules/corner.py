"""Bevels that meet: whether two slanted faces make up their corner, close it, and cover each other.

What it checks
    Each pair of beveled, mitered or trimmed faces that face each other: the
    angle between them, the gap over their length, and the widest strip of
    either that the other leaves bare. Also a single bevel against a plain face.

Why it matters
    A bevel that is out by a third of a degree is found at glue-up, when the
    wood is cut. Errors add up round a ring.

Findings
    miter-mismatch  the two don't make up the corner: degrees, and how far it opens
    open-joint      they are parallel and stay apart, or one leaves a strip of the other bare

Known limits
    Two bevels more than 15 degrees from fitting are told as a clash, or as a
    joint that never meets.

What to do
    Set the saw by the corner's own angle: each bevel takes half of what is
    missing to 180 degrees. Prove it on two offcuts before the good wood.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace

import numpy as np
import shapely

from solids.fit.contacts import SLANTS, Contact, Surface
from solids.fit.dryfit import DryFit, dry_fit
from solids.fit.rule import Rule
from solids.fit.scene import laid
from solids.fit.tell import Tell
from solids.joints.miter import corner_width
from solids.kernel.mesh import Floats
from solids.model.finding import Edit, Finding, Severity

NOISE = 1e-6


def check(dry: DryFit) -> Iterator[Finding]:
    """Every pair of bevels, and every bevel on a plain face."""
    for c in dry.contacts:
        if c.meeting == "miter" and c.angle > dry.limits.miter:
            yield _mismatch(dry, c)
        elif c.meeting == "miter":
            yield from _gap(dry, c)
            if not _asked_clear(c):
                yield from _lip(dry, c)
        elif c.meeting == "slant" and c.guest.kind != "hole":  # the floor of a hole beside it meets nothing
            yield from _gap(dry, c)


def _mismatch(dry: DryFit, c: Contact) -> Finding:
    t = Tell(dry)
    a, b = dry.part(c.host.part), dry.part(c.guest.part)
    width = corner_width(a, b) or 0.0
    opening = width * math.tan(math.radians(c.angle))
    inside = opens_inside(dry, c)
    where = "inside" if inside else "outside"
    names = [f"{p.id}.{s.made.name}" for p, s in ((a, c.host), (b, c.guest)) if s.made]
    sizes = " and ".join(f"{n} is {_setting(s)}" for n, s in zip(names, (c.host, c.guest), strict=False))
    message = (
        f"the bevels of {a.id} and {b.id} miss their corner by {t.angle(c.angle)}: "
        f"pulled up tight it opens {t.small(opening)} at the {where}; {sizes}"
    )
    edits, advice = _remedy(dry, c, inside)
    place = c.host.made.place if c.host.made else None
    if edits:
        owner = c.host if edits[0].target.startswith(f"{a.id}.{c.host.made.name}.") else c.guest  # type: ignore[union-attr]
        place = (owner.made.places.get("tilt") or owner.made.place) if owner.made else place
    return t.finding(
        "miter-mismatch", Severity.STOP, message, (c.host.part, c.guest.part), tuple(names), c.point,
        values={"degrees": c.angle, "opening": opening, "least": c.least, "greatest": c.greatest},
        allowed={"degrees": dry.limits.miter}, remedy=edits, advice=advice, place=place,
    )  # fmt: skip


def _setting(s: Surface) -> str:
    cut = s.made.cut if s.made else None
    angle, tilt = getattr(cut, "angle", None), getattr(cut, "tilt", None)
    if angle is not None and tilt is not None:
        return f"{angle:.2f}° and {tilt:.2f}° tilt"
    value = tilt if tilt is not None else angle
    return f"{value:.2f}°" if value is not None else "as it stands"


def opens_inside(dry: DryFit, c: Contact) -> bool:
    """Too much tilt closes the outside first and leaves the inside open."""
    i, j = c.parts
    a, b = dry.scene.normal[c.host.face], dry.scene.normal[c.guest.face]
    other = dry.part(j).frame.point(dry.part(j).blank.middle())
    own = dry.part(i).frame.point(dry.part(i).blank.middle())
    toward_inside = _inward(dry, c.host, np.array(other) - np.array(own))
    along = a - b
    return float((a + b) @ toward_inside) > 0 if np.linalg.norm(along) else False


def _inward(dry: DryFit, s: Surface, to_other: Floats) -> Floats:
    """The direction from the outer to the inner face of a part, in the room."""
    part = dry.part(s.part)
    normals = [np.array(part.frame.direction(side.outward)) for side in (*part.blank.broad, *part.blank.edges)]
    inward = max(normals[:2], key=lambda n: float(n @ to_other))
    if abs(float(inward @ to_other)) < 1e-6:
        inward = max(normals[2:], key=lambda n: float(n @ to_other))
    return inward


def _remedy(dry: DryFit, c: Contact, inside: bool) -> tuple[tuple[Edit, ...], str]:
    """The bevel that is off: the one that its corner's own angle does not ask for."""
    t = Tell(dry)
    best: tuple[float, Edit, str] | None = None
    for s, other in ((c.host, c.guest), (c.guest, c.host)):
        cut = s.made.cut if s.made else None
        field = "tilt" if getattr(cut, "tilt", None) else "angle" if getattr(cut, "angle", None) else ""
        if not field or s.made is None:
            continue
        part = dry.part(s.part)
        now = float(getattr(cut, field))
        wants = now + (-c.angle if inside else c.angle)
        ideal = _asked(dry, s, other, field)
        off = abs(wants - ideal) if ideal is not None else abs(now - wants)
        edit = Edit(f"{part.id}.{s.made.name}.{field}", now, wants)
        advice = f"set the saw to {t.angle(wants)} for {part.id}.{s.made.name}, not {t.angle(now)}"
        if best is None or off < best[0] - 1e-6:
            best = (off, edit, advice)
    return ((best[1],), best[2]) if best else ((), "cut both at half of the corner's angle")


def _asked(dry: DryFit, s: Surface, other: Surface, field: str) -> float | None:
    """What the corner's own plane asks of this bevel, in degrees."""
    from solids.cuts.saw import sawn
    from solids.joints.miter import corner_plane
    from solids.joints.outcome import local_plane

    part = dry.part(s.part)
    plane = corner_plane(part, dry.part(other.part))
    if plane is None or s.made is None:
        return None
    side = getattr(s.made.cut, "side", None)
    local = local_plane(part, plane)
    for candidate in (local, type(local)(local.normal.times(-1), -local.offset)):
        cut = sawn(part.blank, side, candidate) if side is not None else None
        if cut is not None:
            value = getattr(cut, field, None)
            return float(value) if value is not None else None
    return None


def _gap(dry: DryFit, c: Contact) -> Iterator[Finding]:
    if c.greatest > dry.limits.glue.most + _asked_clear(c) + NOISE:
        yield _open(dry, c)


def _asked_clear(c: Contact) -> float:
    """The room that trims leave on purpose, in mm: what they are `clear` of the plane."""
    return sum(float(getattr(s.made.cut, "clear", 0.0)) for s in (c.host, c.guest) if s.made)


def _open(dry: DryFit, c: Contact) -> Finding:
    t = Tell(dry)
    a, b = dry.part(c.host.part), dry.part(c.guest.part)
    size = t.small(c.greatest) if c.greatest - c.least < 1e-3 else f"{t.small(c.least)} to {t.small(c.greatest)}"
    names = [f"{p.id}.{s.made.name}" for p, s in ((a, c.host), (b, c.guest)) if s.made]
    lean = f", {t.angle(c.angle)} from parallel" if c.angle > dry.limits.miter else ""
    return t.finding(
        "open-joint", Severity.STOP,
        f"{a.id} and {b.id} stay {size} apart where {' and '.join(names)} should meet{lean}",
        (c.host.part, c.guest.part), tuple(names), c.point,
        values={"least": c.least, "greatest": c.greatest, "degrees": c.angle},
        allowed={"least": dry.limits.glue.least, "most": dry.limits.glue.most},
        advice="one of the two is short, or stands too far off: compare their lengths to the long points",
        place=c.host.made.place if c.host.made else None,
    )  # fmt: skip


def _lip(dry: DryFit, c: Contact) -> Iterator[Finding]:
    """The widest strip of either bevel that the other leaves bare, leaving aside the grooves that cross them."""
    pair = (min(c.parts), max(c.parts))
    if any(j.trouble for j in dry.joints_by_pair.get(pair, ())):
        return
    widest, owner = _bare_strip(dry, c)
    if widest > dry.limits.lip:
        widest, owner = _without_grooves(dry, c)
    if widest <= dry.limits.lip:
        return
    t = Tell(dry)
    part, other = dry.part(owner.part), dry.part(c.guest.part if owner.part == c.host.part else c.host.part)
    yield t.finding(
        "open-joint", Severity.STOP, f"{part.id}'s bevel at {other.id} has a strip {t.small(widest)} wide left bare",
        (c.host.part, c.guest.part), tuple(f"{dry.part(s.part).id}.{s.made.name}" for s in (c.host, c.guest) if s.made),
        c.point, values={"lip": widest, "least": c.least, "greatest": c.greatest}, allowed={"lip": dry.limits.lip},
        advice=f"{part.id} and {other.id} are not of one thickness or width; a miter joint cuts unlike bevels",
        place=owner.made.place if owner.made else None,
    )  # fmt: skip


def _bare_strip(dry: DryFit, c: Contact) -> tuple[float, Surface]:
    """How wide the widest strip is that one of two bevels leaves bare of the other, and whose it is."""
    f, k = dry.facing, c.index
    widest, owner = 0.0, c.host
    for s in (c.host, c.guest):
        outline = laid(dry.scene, np.array([s.face]), f.x[[k]], f.y[[k]], f.origin[[k]])[0]
        for piece in shapely.get_parts(shapely.difference(outline, f.overlap[k])):
            if shapely.is_empty(shapely.buffer(piece, -0.02)):
                continue
            strip = _width(piece)
            if strip > widest:
                widest, owner = strip, s
    return widest, owner


def _width(piece: shapely.Geometry) -> float:
    """How wide a piece is at its widest, in mm: twice the depth by which it can be shrunk before nothing is left.

    Halving an interval is far faster than looking for the largest circle.
    """
    low, high = 0.0, max(piece.bounds[2] - piece.bounds[0], piece.bounds[3] - piece.bounds[1])
    for _ in range(24):
        half = (low + high) / 2
        low, high = (low, half) if shapely.is_empty(shapely.buffer(piece, -half, join_style="mitre")) else (half, high)
    box = shapely.get_coordinates(shapely.oriented_envelope(piece))
    narrow = min(float(np.hypot(*(box[k + 1] - box[k]))) for k in (0, 1))
    return narrow if abs(narrow - 2 * low) < 1e-3 else 2 * low  # of a plain strip, exactly its width


def _without_grooves(dry: DryFit, c: Contact) -> tuple[float, Surface]:
    """The same of the two parts with their saw cuts only: a groove that runs out in one bevel bares no corner."""
    i, j = c.parts
    sawn_only = [replace(p, cuts=tuple(m for m in p.cuts if m.cut.kind in SLANTS)) for p in (dry.part(i), dry.part(j))]
    plain = dry_fit(replace(dry.piece, parts=tuple(sawn_only), joints=()))
    names = {s.made.name for s in (c.host, c.guest) if s.made}
    for o in plain.contacts:
        if {s.made.name for s in (o.host, o.guest) if s.made} == names:
            widest, owner = _bare_strip(plain, o)
            return widest, c.host if plain.part(owner.part).id == dry.part(c.host.part).id else c.guest
    return 0.0, c.host


RULE = Rule("corner", ("miter-mismatch", "open-joint"), check, __doc__)
