"""Faces that are meant to meet: in rabbets, at shoulders, in declared joints, and plain faces a hair apart.

What it checks
    Each panel against the walls of its rabbet; the shoulder of each tongue and
    tenon; every declared joint, whose faces must be there at all; and plain
    faces that stay less than a millimetre apart.

Why it matters
    A joint that does not close has no strength and shows a line.

Findings
    open-joint  least and greatest gap, and where
    not-seated  a part ends short of the housing that was asked for

Known limits
    Two plain faces that no cut and no joint says should meet are only a note.

What to do
    The panel is small, the rabbet deep, or one part short by the gap that is told.
"""

from __future__ import annotations

from collections.abc import Iterator

from solids.fit.contacts import HOUSINGS, TRENCHES, Contact
from solids.fit.dryfit import DryFit
from solids.fit.fastened import FASTENED, MADE_FOR_HARDWARE
from solids.fit.rule import Rule
from solids.fit.tell import Tell
from solids.joints.outcome import apart, middle
from solids.model.finding import Finding, Severity
from solids.model.piece import Joint

NOISE = 1e-6
ASKEW = 0.5  # degrees: a stop that is this far from parallel to what it stops was cut square
HAIR = 1.0  # mm: plain faces nearer than this were perhaps meant to touch


def check(dry: DryFit) -> Iterator[Finding]:
    """Rabbets and shoulders, declared joints, then what is only noted."""
    for c in dry.contacts:
        if c.meeting == "step":
            yield from _step(dry, c)
        elif c.meeting == "shoulder":
            yield from _shoulder(dry, c)
        elif c.meeting == "end":
            yield from _end(dry, c)
        elif c.meeting == "plain":
            yield from _plain(dry, c)
    for joint in dry.piece.joints:
        if joint.asked is None:
            yield from _declared(dry, joint)


def _end(dry: DryFit, c: Contact) -> Iterator[Finding]:
    """Where a trench stops: what is in it may keep off the round corner that the cutter leaves.

    A level panel in a leaning wall meets a square stop at one corner only.
    """
    made = c.host.made
    most = dry.limits.loose.most + (getattr(made.cut, "radius", 0.0) if made else 0.0)
    far = c.least if c.angle > ASKEW else c.greatest
    if far > most + NOISE:
        yield _apart(dry, c, Severity.STOP, most)


def _step(dry: DryFit, c: Contact) -> Iterator[Finding]:
    """A panel in its rabbet: it may have the room of a seat, no more."""
    if c.host.kind not in HOUSINGS:
        return
    most = dry.limits.loose.most if dry.fit_of(c) == "loose" else dry.limits.seat.most
    if c.greatest <= most + NOISE or _meets_beside(dry, c, most):
        return
    if not (c.greatest > dry.limits.loose.most and _is_tongue(dry, c)):
        yield _apart(dry, c, Severity.STOP, most)


def _meets_beside(dry: DryFit, c: Contact, most: float) -> bool:
    """Whether what stands off is a rabbet or groove of the guest's own, whose other wood meets the same wall."""
    if c.guest.kind not in HOUSINGS:
        return False
    beside = [o for o in dry.by_pair[min(c.parts), max(c.parts)] if o is not c and o.host.face == c.host.face]
    return any(o.greatest <= most + NOISE and o.guest.made is not c.guest.made for o in beside)


def _is_tongue(dry: DryFit, c: Contact) -> bool:
    """Whether the rabbet only thins the part for a trench of the other: the field of a panel stands off its frame."""
    pair = (min(c.parts), max(c.parts))
    return any(o.host.kind in TRENCHES and o.host.part == c.guest.part for o in dry.by_pair[pair])


def _shoulder(dry: DryFit, c: Contact) -> Iterator[Finding]:
    most = dry.limits.slip.most if dry.fit_of(c) != "glue" else dry.limits.glue.most
    if c.greatest > most + NOISE:
        yield _shoulder_off(dry, c, most)


def _shoulder_off(dry: DryFit, c: Contact, most: float) -> Finding:
    """The part that bears the tenon is the one to be mended."""
    t = Tell(dry)
    owner, other, made = dry.part(c.host.part), dry.part(c.guest.part), c.host.made
    size = t.small(c.greatest) if c.greatest - c.least < 1e-3 else f"{t.small(c.least)} to {t.small(c.greatest)}"
    name = f"{owner.id}.{made.name}" if made else owner.id
    return t.finding(
        "open-joint", Severity.STOP, f"the shoulder of {name} stays {size} off {other.id}",
        (c.host.part, c.guest.part), (name,), c.point,
        values={"least": c.least, "greatest": c.greatest}, allowed={"least": 0.0, "most": most},
        advice=f"make {owner.id} {t.small(c.greatest)} longer between its shoulders, or bring {other.id} up to it",
        place=made.place if made else owner.place,
    )  # fmt: skip


def _plain(dry: DryFit, c: Contact) -> Iterator[Finding]:
    """Plain faces a hair apart: only noted, and not where a housing or a joint holds the two."""
    pair = (min(c.parts), max(c.parts))
    if pair in dry.joints_by_pair or any(o.meeting != "plain" for o in dry.by_pair[pair]):
        return
    nearest = min(abs(o.least) for o in dry.by_pair[pair])
    if dry.limits.glue.most + NOISE < c.greatest <= HAIR and nearest > dry.limits.touch:
        yield _apart(dry, c, Severity.NOTE, dry.limits.glue.most)


def _apart(dry: DryFit, c: Contact, severity: Severity, most: float) -> Finding:
    t = Tell(dry)
    host, guest = dry.part(c.host.part), dry.part(c.guest.part)
    size = t.small(c.greatest) if c.greatest - c.least < 1e-3 else f"{t.small(c.least)} to {t.small(c.greatest)}"
    made = c.host.made
    return t.finding(
        "open-joint", severity, f"{guest.id} stays {size} away from {dry.scene.called(c.host.face)}",
        (c.host.part, c.guest.part), (f"{host.id}.{made.name}",) if made else (), c.point,
        values={"least": c.least, "greatest": c.greatest}, allowed={"least": 0.0, "most": most},
        advice=f"make {guest.id} {t.small(c.greatest)} larger there, or bring the two together",
        place=made.place if made else guest.place,
    )  # fmt: skip


def _declared(dry: DryFit, joint: Joint) -> Iterator[Finding]:
    """A joint that was asked for and is not there."""
    a, b = dry.number[joint.a], dry.number[joint.b]
    pair = (min(a, b), max(a, b))
    if pair in dry.clashes and not (joint.trouble and (joint.cuts or joint.kind in MADE_FOR_HARDWARE)):
        return
    if joint.kind == "hinge" and not joint.trouble:
        return  # a leaf keeps off what it is hinged to
    told, gap = _what_lacks(dry, joint, dry.by_pair.get(pair, []))
    if not told:
        return
    kind = "not-seated" if joint.kind == "house" and joint.cuts else "open-joint"
    values = {"distance": gap} if kind == "not-seated" else {"least": gap, "greatest": gap}
    yield Tell(dry).finding(
        kind, Severity.STOP, told, (a, b), tuple(f"{p}.{c}" for p, c in joint.cuts),
        middle(dry.part(a)).plus(middle(dry.part(b))).times(0.5), values=values,
        allowed={"least": 0.0, "most": _most(dry, joint)},
        advice=f"bring {joint.a} and {joint.b} together: move one, or make it longer", place=joint.place,
    )  # fmt: skip


def _blanks_apart(dry: DryFit, joint: Joint) -> float:
    return max(0.0, apart(*(dry.part(dry.number[id_]) for id_ in (joint.a, joint.b))))


def _most(dry: DryFit, joint: Joint) -> float:
    """The widest gap at which a joint is there: what only touches may have the play of its fit."""
    if joint.kind == "house":
        return dry.limits.seat.most
    play = {"glue": dry.limits.glue, "slip": dry.limits.slip, "loose": dry.limits.loose}
    return play[joint.fit].most if joint.kind == "touch" else dry.limits.glue.most


def _is_open_bevel(c: Contact) -> bool:
    """Whether it is between bevels, none of which was kept clear on purpose."""
    cleared = any(getattr(s.made.cut, "clear", 0.0) for s in (c.host, c.guest) if s.made)
    return c.meeting in ("miter", "slant") and not cleared


def _what_lacks(dry: DryFit, joint: Joint, between: list[Contact]) -> tuple[str, float]:
    """What a joint lacks, in words, and the gap; no words where it is there."""
    t = Tell(dry)
    own = set(joint.cuts)
    if joint.kind in ("touch", *FASTENED) and not joint.trouble:
        nearest = min((max(abs(c.least), abs(c.greatest)) for c in between), default=None)
        if nearest is not None and nearest <= _most(dry, joint) + NOISE:
            return "", 0.0
        if any(_is_open_bevel(c) and abs(c.greatest - (nearest or 0.0)) < NOISE for c in between):
            return "", 0.0  # told as such
        gap = _blanks_apart(dry, joint) if nearest is None else nearest
        return f"{joint.a} and {joint.b} should touch and are {t.small(gap)} apart", gap
    if joint.trouble and joint.cuts:
        told = f"{joint.kind} of {joint.a} and {joint.b}: {joint.trouble}, by {t.small(joint.gap)}"
        return (told if joint.gap > _most(dry, joint) else ""), joint.gap
    if joint.trouble:
        told = f"{joint.kind} of {joint.a} and {joint.b}: {joint.trouble}"
        return told + (f"; they are {t.small(joint.gap)} apart" if joint.gap > dry.limits.touch else ""), joint.gap
    if any((dry.part(s.part).id, s.made.name) in own for c in between for s in (c.host, c.guest) if s.made):
        return "", 0.0
    gap = _blanks_apart(dry, joint)
    return f"{joint.kind} of {joint.a} and {joint.b}: their faces never meet", gap


RULE = Rule("meeting", ("open-joint", "not-seated"), check, __doc__)
