"""How two parts hold each other where they meet: glued or screwed fast, housed, hung on hardware, or kept apart."""

from __future__ import annotations

from collections.abc import Iterator
from enum import Enum

from solids.cuts.hole import Hole
from solids.fit.bodies import LOOSE
from solids.fit.contacts import Contact
from solids.fit.dryfit import DryFit
from solids.model.geometry import Vector
from solids.model.part import Part
from solids.model.piece import Joint

FASTENED = ("bolt", "dowel", "screw", "loose_tenon")


class Grip(Enum):
    """`GLUED` moves along wholly; `HOUSED` only square to its walls; `HUNG` by its hardware; `APART` hardly."""

    GLUED = "glued"
    HOUSED = "housed"
    HUNG = "hung"
    APART = "apart"


def grip_of(dry: DryFit, c: Contact) -> Grip | None:
    """How the two parts of a contact hold each other there; None where they don't at all."""
    pair = (min(c.parts), max(c.parts))
    if pair in dry.apart:
        return None
    if is_floating(dry, c) or c.greatest > dry.limits.seat.most or _has_shoulder(dry, c):
        return Grip.APART
    return Grip.GLUED if is_fast(dry, c) else Grip.HOUSED


def _has_shoulder(dry: DryFit, c: Contact) -> bool:
    """Whether it is the end of a tongue or tenon, whose shoulders are pulled up tight: they hold, it does not."""
    return c.meeting == "floor" and any(o.meeting == "shoulder" for o in dry.by_pair[min(c.parts), max(c.parts)])


def is_floating(dry: DryFit, c: Contact) -> bool:
    """Whether a part has room to move there: a panel at the floor of its grooves, or what is meant to be loose."""
    if dry.fit_of(c) == "loose":
        return True
    return c.meeting in ("floor", "end") and c.guest.part in dry.floating_panels


def is_fast(dry: DryFit, c: Contact) -> bool:
    """Whether the spec says that the two are glued or screwed together."""
    return is_glued(dry, c) or bool(fasteners(dry, c))


def is_glued(dry: DryFit, c: Contact) -> bool:
    """Whether a joint says that their faces are glued; what screws hold, they hold where they are."""
    return any(j.fit == "glue" and j.kind not in FASTENED for j in joints_of(dry, c))


def joints_of(dry: DryFit, c: Contact) -> list[Joint]:
    """The joints that hold the two parts of a contact."""
    pair = (min(c.parts), max(c.parts))
    return [j for j in dry.joints_by_pair.get(pair, ()) if j.kind not in LOOSE]


def fasteners(dry: DryFit, c: Contact) -> list[Vector]:
    """Where screws, bolts, dowels and loose tenons hold the two parts of a contact fast, in the room."""
    found = []
    for joint in joints_of(dry, c):
        for hole, part, _ in holes(dry, joint):
            if hole.slot is None:
                found.append(part.frame.point(hole.centre(part.blank)))
        if joint.kind == "loose_tenon":
            found.append(c.point)
    return found


def holes(dry: DryFit, joint: Joint) -> Iterator[tuple[Hole, Part, str]]:
    """The holes that a joint drills in its first part, with their names there."""
    part = dry.part(dry.number[joint.a])
    for owner, name in joint.cuts:
        made = part.cut_named(name) if owner == joint.a and joint.kind in FASTENED else None
        if made is not None and isinstance(made.cut, Hole):
            yield made.cut, part, name
