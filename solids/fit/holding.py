"""How two parts hold each other where they meet: glued or screwed fast, housed, hung on hardware, or kept apart."""

from __future__ import annotations

from enum import Enum

from solids.fit.bodies import LOOSE
from solids.fit.contacts import Contact
from solids.fit.dryfit import DryFit
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
    if is_floating(dry, c):
        return Grip.APART
    if c.greatest > dry.limits.seat.most:
        return Grip.APART
    return Grip.GLUED if is_fast(dry, c) else Grip.HOUSED


def is_floating(dry: DryFit, c: Contact) -> bool:
    """Whether a part has room to move there: a panel at the floor of its grooves, or what is meant to be loose."""
    if dry.fit_of(c) == "loose":
        return True
    return c.meeting in ("floor", "end") and c.guest.part in dry.floating_panels


def is_fast(dry: DryFit, c: Contact) -> bool:
    """Whether the spec says that the two are glued or screwed together."""
    own = joints_of(dry, c)
    if any(is_slotted(dry, j) for j in own):
        return False
    return any(j.kind in FASTENED or j.fit == "glue" for j in own)


def joints_of(dry: DryFit, c: Contact) -> list[Joint]:
    """The joints that hold the two parts of a contact."""
    pair = (min(c.parts), max(c.parts))
    return [j for j in dry.joints_by_pair.get(pair, ()) if j.kind not in LOOSE]


def is_slotted(dry: DryFit, joint: Joint) -> bool:
    """Whether a screw of the joint goes through a slot, along which the wood is free."""
    for part, name in joint.cuts:
        made = dry.part(dry.number[part]).cut_named(name)
        if made is not None and getattr(made.cut, "slot", None) is not None:
            return True
    return False
