"""How far a loaded shelf or top bends between what bears it.

Each span is taken by itself, as a beam that just lies on its two supports:

    5 w L^4 / (384 E I)     of a load w spread over it
    P L^3 / (48 E I)        of a load P in its middle
    w L^4 / (8 E I)         at the end of what stands out beyond its last support
    I = b t^3 / 12          of a board b wide and t thick

These are the engineer's formulas for a slender beam of one stiffness E.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from solids import data
from solids.fit.contacts import HOUSINGS, Contact
from solids.fit.dryfit import DryFit
from solids.model.load import Load
from solids.model.part import Part, Stock

GRAVITY = 9.80665  # m/s², standard
LEVEL = 0.985  # cosine of 10 degrees: what tips more is no shelf
UNDER = -0.3  # a face that looks down by more than this lies on what is below it
BEARS = 0.5  # mm: what is nearer than this below a shelf comes to bear it


@dataclass(frozen=True, slots=True)
class Span:
    """A stretch of a board that nothing bears, from and to along its length, in mm; `free` at one end."""

    low: float
    high: float
    free: bool = False

    @property
    def length(self) -> float:
        return self.high - self.low


@dataclass(frozen=True, slots=True)
class Sag:
    """How far a part bends over its worst span, in mm, at once."""

    part: int
    load: Load
    span: Span
    sag: float


def stiffness_of(stock: Stock) -> float | None:
    """Modulus of elasticity along the grain, in N/mm²; None where the tables have none."""
    found = data.species(stock.material) if stock.solid_wood else data.sheet(stock.material)
    return None if found is None or found.moe is None else found.moe * 1000


def bending(span: float, spread: float, middle: float, stiffness: float, width: float, thickness: float) -> float:
    """How far a board bends that lies on two supports; mm, N/mm, N and N/mm²."""
    inertia = width * thickness**3 / 12
    return (5 * spread * span**4 / 384 + middle * span**3 / 48) / (stiffness * inertia)


def drooping(reach: float, spread: float, stiffness: float, width: float, thickness: float) -> float:
    """How far the end of a board goes down that stands out beyond its last support; the same units."""
    return spread * reach**4 / (8 * stiffness * width * thickness**3 / 12)


def sags(dry: DryFit) -> Iterator[Sag]:
    """The worst span of every loaded part that lies level and whose stiffness is known."""
    for load in dry.piece.loads:
        i = dry.number[load.part]
        part = dry.part(i)
        stiffness = stiffness_of(part.stock) if part.stock else None
        if stiffness is None or not is_level(part):
            continue
        found = [Sag(i, load, span, _under(load, part, span, stiffness)) for span in spans(dry, i)]
        if found:
            yield max(found, key=lambda s: s.sag / s.span.length)


def is_level(part: Part) -> bool:
    """Whether its broad faces look up and down."""
    return abs(part.frame.direction(part.blank.face.outward).z) > LEVEL


def _under(load: Load, part: Part, span: Span, stiffness: float) -> float:
    blank = part.blank
    spread = load.per_metre(blank.length) * GRAVITY / 1000
    if span.free:
        return drooping(span.length, spread, stiffness, blank.width, blank.thickness)
    middle = (load.middle or 0.0) * GRAVITY
    return bending(span.length, spread, middle, stiffness, blank.width, blank.thickness)


def spans(dry: DryFit, i: int) -> list[Span]:
    """What of a part's length nothing bears: between its supports, and beyond the outer ones."""
    blank = dry.part(i).blank
    borne = _merged([reach for c in dry.touching(i) if (reach := _bearing(dry, c, i)) is not None])
    if not borne:
        return []
    found = [Span(a, b) for (_, a), (b, _) in pairwise(borne)]
    found += [Span(0.0, borne[0][0], free=True), Span(borne[-1][1], blank.length, free=True)]
    return [s for s in found if s.length > blank.thickness]


def _bearing(dry: DryFit, c: Contact, i: int) -> tuple[float, float] | None:
    """From and to where a contact bears a part, along its length: from below, or at an end that is joined."""
    own, other = (c.guest, c.host) if c.guest.part == i else (c.host, c.guest)
    normal = dry.scene.normal[own.face]
    part = dry.part(i)
    way = np.array(part.frame.direction(part.blank.ends[1].outward))
    pair = (min(c.parts), max(c.parts))
    is_below = normal[2] < UNDER and c.least < BEARS
    is_end = abs(float(normal @ way)) > LEVEL and c.least < dry.limits.seat.most
    if not is_below and not (is_end and (pair in dry.joints_by_pair or other.kind in HOUSINGS)):
        return None
    corners, _ = dry.facing.take(np.array([c.index])).corners()
    along = corners @ way - float(np.array(part.frame.origin) @ way)
    return float(along.min()), float(along.max())


def _merged(reaches: list[tuple[float, float]]) -> list[tuple[float, float]]:
    """Stretches that meet or overlap as one, in order."""
    out: list[tuple[float, float]] = []
    for low, high in sorted(reaches):
        if out and low <= out[-1][1] + 1e-6:
            out[-1] = (out[-1][0], max(out[-1][1], high))
        else:
            out.append((low, high))
    return out
