"""How far each joint may come out otherwise, when every cut is only as true as the shop's tools.

Each number that is set at the bench is changed by a hair, and the planes of its
part are worked out again: that gives the slope of every gap that should close.
Errors are small, so a gap goes with them in a straight line. The worst case is
the sum of all slopes times their errors, a part's own at the end in question; what comes of errors that are anything
up to those, each as likely as the next and none knowing of another, is sampled.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

import numpy as np

from solids.fit.dryfit import DryFit
from solids.fit.facing import Facing, facing, gap_at
from solids.fit.rows import Key, Row, Term, lasting, rows_of
from solids.fit.settings import Setting
from solids.fit.slopes import slopes_of
from solids.kernel.mesh import Floats
from solids.kernel.shape import names
from solids.model.finding import Place
from solids.model.piece import Joint
from solids.model.shop import TrueTo

NOISE = 1e-6  # mm
SAMPLES = 4000
SEED = 20_260  # any number: the same every time, so that two runs say the same
SAWN = ("face",)  # what a bevel leaves: nothing but a gap to its other half
USUAL = 0.95  # of all pieces that come out within what is told as usual


@dataclass(frozen=True, slots=True)
class Spread:
    """A gap that should lie from `least` to `most` and is `value` as planned; mm.

    `worst` is how far it may be off either way with every cut at its worst,
    `usual` within what 95 of 100 come out, `closes` the share of those within
    their band. `slopes` are the settings behind it, the weightiest first, with
    mm for each mm or degree. `needs` is by how much of their errors the cuts may
    be off for it to close in any case, 1 where they are true enough.
    """

    what: str
    parts: tuple[str, ...]
    cuts: tuple[str, ...]
    value: float
    least: float
    most: float
    worst: float
    usual: float
    closes: float
    needs: float
    slopes: tuple[tuple[Setting, float], ...]

    @property
    def first(self) -> Setting:
        """The cut that matters most."""
        return self.slopes[0][0]

    @property
    def share(self) -> float:
        """How much of the worst case is that cut's."""
        setting, slope = self.slopes[0]
        return abs(slope) * setting.error / self.worst


def tolerance(dry: DryFit, true_to: TrueTo) -> tuple[Spread, ...]:
    """The spread of every gap that should close, one for each two faces that meet, the least sure first."""
    rows = [*_rows(dry), *_reveals(dry)]
    slopes = slopes_of(dry.piece.parts, [row for row, _ in rows], true_to)
    widest: dict[tuple[Any, ...], tuple[float, int]] = {}
    for n, ((row, joint), own) in enumerate(zip(rows, slopes, strict=True)):
        if own:
            key = (row.parts, *_called(dry, row, joint))
            widest[key] = max(widest.get(key, (0.0, n)), (round(_worst(own), 9), n))
    found = [_spread(dry, *rows[n], slopes[n]) for _, n in widest.values()]
    return tuple(sorted(found, key=lambda s: (s.closes, -round(s.worst, 6), s.parts, s.cuts)))


def _worst(slopes: list[tuple[Setting, float]]) -> float:
    return sum(abs(slope) * setting.error for setting, slope in slopes)


def _rows(dry: DryFit) -> Iterator[tuple[Row, Joint | None]]:
    """The gaps that should close, and do as planned: what does not, the check tells; what floats need not."""
    for row in rows_of(dry, set(range(len(dry.piece.parts))), every_corner=True):
        if row.most < dry.limits.loose.most and row.off < NOISE:
            yield row, None


def _reveals(dry: DryFit) -> Iterator[tuple[Row, Joint | None]]:
    """The gaps that should stay as wide as they were asked for, at their narrowest and at their widest."""
    for joint in (j for j in dry.piece.joints if j.kind == "reveal" and j.asked is not None):
        i, j, asked = dry.number[joint.a], dry.number[joint.b], joint.asked or 0.0
        found = facing(dry.scene, (np.array([i]), np.array([j])), asked + dry.limits.near, dry.limits.angle)
        if not len(found):
            continue
        k = int(np.argmin(np.round(np.abs((found.least + found.greatest) / 2 - asked), 6)))
        for term, gap in _ends(dry, found.take(np.array([k]))):
            band = dry.limits.reveal
            yield Row((i, j), (term,), gap, asked - band, asked + band), joint


def _ends(dry: DryFit, one: Facing) -> Iterator[tuple[Term, float]]:
    """A facing pair where its gap is the least, and where it is the greatest."""
    corners, k = one.corners()
    gaps = gap_at(dry.scene, one.a[k], one.b[k], one.along[k], corners)
    a, b = (lasting(dry, int(dry.scene.part[f]), int(dry.scene.source[f])) for f in (one.a[0], one.b[0]))
    x, y, z = one.along[0].tolist()
    for n in {int(np.argmin(gaps)), int(np.argmax(gaps))}:
        p, q, r = corners[n].tolist()
        yield Term(a, b, (p, q, r), (x, y, z)), float(gaps[n])


def _spread(dry: DryFit, row: Row, joint: Joint | None, slopes: list[tuple[Setting, float]]) -> Spread:
    slopes = sorted(slopes, key=lambda s: (-round(abs(s[1]) * s[0].error, 9), s[0].name))
    errors = np.array([abs(slope) * setting.error for setting, slope in slopes])
    worst = float(errors.sum())
    off = sampled(errors)
    is_held = joint is not None or len(row.terms) > 1  # of a width or a reveal, too narrow is as wrong as too wide
    within = row.value + off <= row.most
    if is_held:
        within &= row.value + off >= row.least
    room = min(row.most - row.value, row.value - row.least) if is_held else row.most - row.value
    needs = min(1.0, max(0.0, room) / worst)
    usual = float(np.quantile(np.abs(off), USUAL))
    what, cuts = _called(dry, row, joint)
    parts = tuple(dry.part(i).id for i in row.parts)
    least = row.least if is_held else 0.0
    closes = float(within.mean())
    return Spread(what, parts, cuts, row.value, least, row.most, worst, usual, closes, needs, tuple(slopes))


def sampled(errors: Floats) -> Floats:
    """What many pieces are off by, where each error is evenly spread up to its most."""
    draws = np.random.default_rng(SEED).uniform(-1.0, 1.0, (SAMPLES, len(errors)))
    out: Floats = draws @ errors
    return out


def _called(dry: DryFit, row: Row, joint: Joint | None) -> tuple[str, tuple[str, ...]]:
    """What kind of gap it is, and the cuts that it lies between."""
    faces = [f for term in row.terms for key in (term.a, term.b) if (f := _made(dry, key)) is not None]
    cuts = tuple(dict.fromkeys(cut for cut, _ in faces))
    if joint is not None:
        return "reveal", cuts
    if len(row.terms) > 1:
        return "width", cuts
    roles = [role for _, role in faces if role not in SAWN]
    return (roles[0] if roles else "step" if _is_step(dry, row) else "gap"), cuts


def _made(dry: DryFit, key: Key) -> tuple[str, str] | None:
    """The cut that a face came from, and what it is in it; None for a side of the blank."""
    part, order, side = key
    tool = next((t for t in dry.scene.solids[part].shape.tools if order and t.order == order - 1), None)
    if tool is None:
        return None
    words = names(tool.waste)
    role = words[side] if side < len(words) else words[0]
    return f"{dry.part(part).id}.{dry.part(part).cuts[tool.cut].name}", role


def _is_step(dry: DryFit, row: Row) -> bool:
    """Whether its two faces look the same way."""
    return (row.least, row.most) == (-dry.limits.step, dry.limits.step)


def place_of(dry: DryFit, setting: Setting) -> Place | None:
    """Where the spec writes a number."""
    part = dry.part(dry.number[setting.part])
    made = part.cut_named(setting.cut) if setting.cut else None
    return (made.places.get(setting.field) or made.place) if made else part.places.get(setting.field, part.place)
