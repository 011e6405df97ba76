"""What goes into a dado, groove or mortise: too tight, too loose, not at the floor, or nothing at all.

What it checks
    Each trench against the part that stands in it. Its width less what goes in
    is the sum of the gaps at its two walls; its floor against the end that
    comes down to it.

Why it matters
    A shelf that is thicker than its dado won't go in; one that is thinner rocks
    and shows a line. One that does not reach the floor holds by its corners;
    one that meets the floor too early keeps the case from closing.

Findings
    tight        the trench is narrower than what goes in, or has less play than its fit asks
    loose        it is wider by more than its fit
    not-seated   what goes in does not reach the floor
    bottoms-out  it meets the floor before the case is closed
    empty-housing  nothing goes in

Known limits
    Round tenons and dowels are not measured here. A trench with one wall only
    (a rabbet) has no width.

What to do
    Cut the trench to the wood as it measures, not to its nominal size; leave
    0.1 to 0.3 mm of play for a slip fit (common practice).
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterator

import numpy as np

from solids.fit.beside_axis import stands_on
from solids.fit.contacts import HOUSINGS, TRENCHES, Contact
from solids.fit.dryfit import DryFit
from solids.fit.rule import Rule
from solids.fit.tell import Tell
from solids.joints.outcome import middle
from solids.model.finding import Finding, Severity
from solids.model.limits import Band

NOISE = 1e-6  # mm


def check(dry: DryFit) -> Iterator[Finding]:
    """Width, floor and guest of every trench."""
    trenches: dict[tuple[int, int], dict[int, list[Contact]]] = defaultdict(lambda: defaultdict(list))
    for c in dry.contacts:
        if c.host.kind in TRENCHES:
            trenches[c.host.part, c.host.tool][c.guest.part].append(c)
    for guests in trenches.values():
        for contacts in guests.values():
            walls = [c for c in contacts if c.meeting == "wall"]
            yield from _width(dry, walls)
            if len(guests) == 1 and len({c.host.face for c in walls}) == 1 and walls[0].host.kind != "mortise":
                yield from _rattles(dry, walls[0])
            yield from _floor(dry, [c for c in contacts if c.meeting == "floor"])
    yield from _empty(dry)


def band(dry: DryFit, fit: str) -> Band:
    """The play that a fit allows between a housing's walls."""
    limits = dry.limits
    return {"glue": limits.glue, "slip": limits.slip, "loose": Band(limits.slip.least, limits.loose.most)}[fit]


def _width(dry: DryFit, walls: list[Contact]) -> Iterator[Finding]:
    """Play between the two walls of a trench that face one guest; a pocket has two pairs of walls."""
    for pair in _opposite(dry, walls):
        first, one, other = pair[0], *(min(side, key=lambda c: c.least) for side in pair[1:])
        play = one.least + other.least
        allowed = band(dry, dry.fit_of(first)) if _through_thickness(dry, first) else Band(0.0, dry.limits.loose.most)
        if play < allowed.least - NOISE:
            grave = play < -dry.limits.press
            yield _told(dry, "tight", Severity.STOP if grave else Severity.WARN, first, play, allowed)
        elif play > allowed.most + NOISE:
            yield _told(dry, "loose", Severity.STOP, first, play, allowed)


def _rattles(dry: DryFit, c: Contact) -> Iterator[Finding]:
    """What stands alone in a trench, at one wall, so thin that the other is out of sight."""
    thick = _thickness(dry, c)
    allowed = band(dry, dry.fit_of(c))
    play = _across(dry, c) - thick
    if thick and play > max(allowed.most, dry.limits.near):
        yield _told(dry, "loose", Severity.STOP, c, play, allowed)


def _thickness(dry: DryFit, c: Contact) -> float:
    """How far the guest's opposite face is from the one that meets a wall, there; 0 where none lies opposite."""
    n, offset = dry.scene.normal[c.guest.face], float(dry.scene.offset[c.guest.face])
    part, point = c.guest.part, np.array(c.point)
    faces = range(int(dry.scene.first[part]), int(dry.scene.first[part + 1]))
    opposite = {f: offset + float(dry.scene.offset[f]) for f in faces if float(dry.scene.normal[f] @ n) < -0.9999}
    here = [a for f, a in opposite.items() if a > NOISE and stands_on(dry.scene, f, point, a)]
    return min(here or [a for a in opposite.values() if a > NOISE], default=0.0)


def _opposite(dry: DryFit, walls: list[Contact]) -> Iterator[tuple[Contact, list[Contact], list[Contact]]]:
    """The walls by pairs that look at each other, with the first of each pair; a wall alone has no width."""
    left = list(walls)
    while left:
        n = dry.scene.normal[left[0].host.face]
        along = {c.index: float(dry.scene.normal[c.host.face] @ n) for c in left}
        ours = [c for c in left if along[c.index] > 0.9]
        theirs = [c for c in left if along[c.index] < -0.9]
        if theirs:
            yield left[0], ours, theirs
        left = [c for c in left if abs(along[c.index]) <= 0.9]


def _through_thickness(dry: DryFit, c: Contact) -> bool:
    """Whether a wall faces the guest's cheek; at its edges a pocket may have more room."""
    guest = dry.part(c.guest.part)
    cheek = guest.frame.direction(guest.blank.face.outward)
    return abs(float(dry.scene.normal[c.host.face] @ cheek)) > 0.7


def _told(dry: DryFit, kind: str, severity: Severity, c: Contact, play: float, allowed: Band) -> Finding:
    t = Tell(dry)
    host, guest = dry.part(c.host.part), dry.part(c.guest.part)
    made = c.host.made
    assert made is not None
    width = _across(dry, c)
    thick = width - play
    wants = max(0.2, allowed.least) if allowed.most >= 0.2 else (allowed.least + allowed.most) / 2
    what = f"{t.cut(host, made)} is {t.small(width)} wide and {guest.id} there {t.small(thick)} thick{_askew(dry, c)}"
    if play < -NOISE:
        message = f"{what}: {t.small(-play)} too narrow"
    elif kind == "tight":
        message = f"{what}: {t.small(play)} of play, a {_fit_word(dry, c)} fit wants {t.small(allowed.least)} or more"
    else:
        message = f"{what}: {t.small(play)} of play, {t.small(allowed.most)} is the most for a {_fit_word(dry, c)} fit"
    joint = dry.joint_of_cut.get((host.id, made.name))
    edit = t.edit(f"{host.id}.{made.name}.width", width, thick + wants)
    if joint is not None and joint.kind == "house":
        slack = getattr(made, "places", {}).get("slack")
        advice = f"set `slack` of the joint to {t.exact(wants)}" if slack is None else f"make `slack` {t.exact(wants)}"
    else:
        advice = f"make {t.cut(host, made)} {t.small(thick + wants)} wide"
    return t.finding(
        kind, severity, message, (c.host.part, c.guest.part), (f"{host.id}.{made.name}",), c.point,
        values={"difference": play, "width": width, "guest": thick, "thickness": thick},
        allowed={"least": allowed.least, "most": allowed.most},
        cause=_stock_cause(dry, c, width, thick, allowed), remedy=(edit,), advice=advice,
        place=made.places.get("width") or made.places.get("slack") or made.place,
    )  # fmt: skip


def _askew(dry: DryFit, c: Contact) -> str:
    """That what goes in does not run along the walls, where it does not: it is set down or leaned otherwise."""
    facing = min(1.0, -float(dry.scene.normal[c.host.face] @ dry.scene.normal[c.guest.face]))
    angle = math.degrees(math.acos(facing))
    return f", as it runs {Tell(dry).angle(angle)} askew to the walls" if angle > dry.limits.miter else ""


def _fit_word(dry: DryFit, c: Contact) -> str:
    return dry.fit_of(c)


def _across(dry: DryFit, c: Contact) -> float:
    """The width of the trench, square to its walls."""
    made = c.host.made
    assert made is not None
    cut = made.cut
    if cut.kind in ("dado", "groove"):
        return float(cut.width)  # type: ignore[attr-defined]
    normal = dry.scene.normal[c.host.face]
    part = c.host.part
    faces = range(int(dry.scene.first[part]), int(dry.scene.first[part + 1]))
    here = float(dry.scene.offset[c.host.face])
    same = [
        f for f in faces
        if int(dry.scene.source[f]) // 4096 == c.host.tool and float(dry.scene.normal[f] @ normal) < -0.9999
    ]  # fmt: skip
    return min((abs(-float(dry.scene.offset[f]) - here) for f in same), default=0.0)


def _stock_cause(dry: DryFit, c: Contact, width: float, thick: float, allowed: Band) -> str:
    """Sheet or board that is not as thick as it is called, where the housing would suit what it is called."""
    stock = dry.part(c.guest.part).stock
    if stock is None or abs(stock.nominal - stock.thickness) < 0.05 or abs(thick - stock.thickness) > 1e-3:
        return ""
    if not -dry.limits.press <= width - stock.nominal <= allowed.most + NOISE:
        return ""
    t = Tell(dry)
    less = "thinner" if stock.thickness < stock.nominal else "thicker"
    off = abs(stock.nominal - stock.thickness)
    called = f"the {t.size(stock.nominal)} it is called"
    return f"{stock.name} measures {t.small(stock.thickness)}, {t.small(off)} {less} than {called}"


def _floor(dry: DryFit, floors: list[Contact]) -> Iterator[Finding]:
    """Whether what goes in comes down to the floor, and no further."""
    if not floors:
        return
    c = min(floors, key=lambda f: f.least)
    fit = dry.fit_of(c)
    limits = dry.limits
    t = Tell(dry)
    host, guest = dry.part(c.host.part), dry.part(c.guest.part)
    made = c.host.made
    assert made is not None
    most = limits.loose.most if fit == "loose" or c.guest.part in dry.floating_panels else limits.seat.most
    if _is_lap(dry, c):
        most = limits.glue.most
    cut, at = f"{host.id}.{made.name}", made.places.get("depth") or made.place
    depth = float(getattr(made.cut, "depth", None) or 0.0)
    if c.least < -limits.press:
        deep = -c.least
        message = f"{guest.id} meets the floor of {t.cut(host, made)} {t.small(deep)} before it is home"
        edit = t.edit(f"{cut}.depth", depth, depth + deep)
        yield t.finding(
            "bottoms-out", Severity.STOP, message, (c.host.part, c.guest.part), (cut,), c.point,
            values={"distance": deep}, allowed={"least": 0.0, "most": most}, remedy=(edit,),
            advice=f"cut {t.cut(host, made)} {t.small(deep)} deeper, or {guest.id} as much shorter", place=at,
        )  # fmt: skip
    elif fit == "loose" and c.least < limits.loose.least - NOISE:
        message = (
            f"{guest.id} has {t.small(c.least)} of room at the floor of {t.cut(host, made)}; "
            f"a loose fit wants {t.small(limits.loose.least)} or more, so that it can move"
        )
        edit = t.edit(f"{cut}.depth", depth, depth + limits.loose.least - c.least)
        yield t.finding(
            "bottoms-out", Severity.WARN, message, (c.host.part, c.guest.part), (cut,), c.point,
            values={"distance": -c.least}, allowed={"least": limits.loose.least, "most": most}, remedy=(edit,),
            advice=f"give the joint `room`, or cut {t.cut(host, made)} deeper", place=at,
        )  # fmt: skip
    elif c.greatest > most + NOISE:
        gap = c.greatest
        message = f"{guest.id} stays {t.small(gap)} off the floor of {t.cut(host, made)}"
        kind = "open-joint" if _is_lap(dry, c) else "not-seated"
        yield t.finding(
            kind, Severity.STOP, message, (c.host.part, c.guest.part), (cut,), c.point,
            values={"distance": gap, "least": c.least, "greatest": c.greatest},
            allowed={"least": 0.0, "most": most},
            advice=f"make {guest.id} {t.small(gap)} longer there, or {t.cut(host, made)} as much shallower", place=at,
        )  # fmt: skip


def _is_lap(dry: DryFit, c: Contact) -> bool:
    made = c.host.made
    joint = dry.joint_of_cut.get((dry.part(c.host.part).id, made.name)) if made else None
    return joint is not None and joint.kind == "lap"


def _empty(dry: DryFit) -> Iterator[Finding]:
    """Housings that face nothing at all."""
    if len(dry.piece.parts) < 2:
        return
    filled = _filled(dry)
    t = Tell(dry)
    for i, part in enumerate(dry.piece.parts):
        for made in part.cuts:
            if made.cut.kind not in HOUSINGS or (i, made.name) in filled:
                continue
            yield t.finding(
                "empty-housing", Severity.STOP, f"nothing goes into {t.cut(part, made)}",
                (i,), (t.cut(part, made),),
                middle(part),
                advice="bring the part that belongs there up to it, or leave the cut out", place=made.place,
            )  # fmt: skip


def _filled(dry: DryFit) -> set[tuple[int, str]]:
    """The cuts that something meets, and those that take hardware, by part number and name."""
    scene = dry.scene
    met = {(s.part, s.made.name) for c in dry.contacts for s in (c.host, c.guest) if s.made}
    several = {f for c in dry.contacts for f in (c.host.face, c.guest.face) if scene.also[f]}
    for face in several:
        part = int(scene.part[face])
        met |= {(part, made.name) for a in scene.also[face] if (made := scene.cut_of(part, a)) is not None}
    return met | dry.for_hardware


RULE = Rule("housing", ("tight", "loose", "not-seated", "bottoms-out", "empty-housing"), check, __doc__)
