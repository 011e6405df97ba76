"""How far a ring of mitered parts may be from closing: the errors of all its bevels add up at the last corner."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from solids.fit.change import FLAT, HAIR
from solids.fit.contacts import Contact
from solids.fit.dryfit import DryFit
from solids.fit.rows import Planes, lasting, planes_of
from solids.fit.rules.ring import closed_rings
from solids.fit.settings import Setting, settings_of
from solids.fit.tolerance import USUAL, sampled
from solids.joints.miter import corner_width
from solids.kernel.mesh import Floats
from solids.model.shop import TrueTo


@dataclass(frozen=True, slots=True)
class RingSpread:
    """A ring with all its corners' errors on the last one; degrees and mm.

    `worst` and `usual` are degrees, `opening` and `usual_opening` what they open
    over the `width` of the miter; `needs` is how true every bevel must be, in
    degrees, for the last corner to close in the worst case.
    """

    parts: tuple[str, ...]
    bevels: int
    width: float
    worst: float
    usual: float
    opening: float
    usual_opening: float
    needs: float


def ring_tolerance(dry: DryFit, true_to: TrueTo) -> Iterator[RingSpread]:
    """The spread of every closed ring of miters."""
    for ring, corners in closed_rings(dry):
        slopes = [abs(s) for _, s in _slopes(dry, corners, true_to)]
        if not slopes or not true_to.angle:
            continue
        width = max(corner_width(dry.part(c.host.part), dry.part(c.guest.part)) or 0.0 for c in corners)
        worst = sum(slopes) * true_to.angle
        usual = float(np.quantile(np.abs(sampled(np.array(slopes) * true_to.angle)), USUAL))
        needs = bevel_needed(dry.limits.glue.most, width, sum(slopes))
        names = tuple(dry.part(i).id for i in ring)
        opens = [opening(width, d) for d in (worst, usual)]
        yield RingSpread(names, len(slopes), width, worst, usual, opens[0], opens[1], needs)


def opening(width: float, degrees: float) -> float:
    """How far a miter of that width opens at one edge, in mm."""
    return width * math.tan(math.radians(degrees))


def bevel_needed(gap: float, width: float, bevels: float) -> float:
    """How true each of so many bevels must be for the last corner to open no more than `gap`; degrees."""
    return math.degrees(math.atan2(gap, width)) / bevels if bevels else 90.0


def _slopes(dry: DryFit, corners: list[Contact], true_to: TrueTo) -> Iterator[tuple[Setting, float]]:
    """The angles of the ring's bevels, with how many degrees their corner goes out for each of theirs."""
    base = Planes(dry.piece)
    for c in corners:
        for own in (c.host, c.guest):
            for setting in settings_of(dry.part(own.part), true_to):
                if own.made is None or setting.cut != own.made.name or not setting.is_angle:
                    continue
                slope = _turned(dry, base, c, own.part, setting)
                if abs(slope) > FLAT:
                    yield setting, slope


def _turned(dry: DryFit, base: Planes, c: Contact, part: int, setting: Setting) -> float:
    """How far a bevel's face turns about the line of its corner; degrees for one degree."""
    face = c.host.face if c.host.part == part else c.guest.face
    key = lasting(dry, part, int(dry.scene.source[face]))
    changed = next(iter(setting.off_by(dry.part(part), HAIR)))
    here, there = base.of(key), planes_of(changed).get(key[1:])
    if here is None or there is None:
        return 0.0
    turn = np.cross(here[0], there[0])
    return math.degrees(float(turn @ _line(dry, part, here[0]))) / HAIR


def _line(dry: DryFit, part: int, normal: Floats) -> Floats:
    """The direction of the arris of a bevel and the broad face that it runs out on."""
    face = np.array(dry.part(part).frame.direction(dry.part(part).blank.face.outward))
    line: Floats = np.cross(face, normal)
    edge = np.array(dry.part(part).frame.direction(dry.part(part).blank.edges[1].outward))
    if np.linalg.norm(line) < 0.1:  # a bevel across the face of a flat frame: the corner stands on its face
        line = edge
    out: Floats = line / np.linalg.norm(line)
    return out
