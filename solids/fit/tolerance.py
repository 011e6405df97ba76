"""How far each joint may come out otherwise, when every cut is only as true as the shop's tools.

Each number that is set at the bench is changed by a hair, and the planes of its
part are worked out again: that gives the slope of every gap that should close.
Errors are small, so a gap goes with them in a straight line. The worst case is
the sum of all slopes times their errors; what comes of errors that are anything
up to those, each as likely as the next and none knowing of another, is sampled.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np

from solids.fit.dryfit import DryFit
from solids.fit.facing import facing, gap_at
from solids.fit.rows import FREE, Key, Planes, Row, Term, lasting, rows_of
from solids.fit.settings import Setting, settings_of
from solids.kernel.mesh import Floats
from solids.model.finding import Place
from solids.model.piece import Joint
from solids.model.shop import TrueTo

HAIR = 1e-4  # mm or degrees: the change by which slopes are measured
FLAT = 1e-6  # mm for each mm or degree: less is no slope
SAMPLES = 4000
SEED = 20_260  # any number: the same every time, so that two runs say the same
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
    """The spread of every gap that should close, one for each two cuts or faces that meet, the widest first."""
    rows = [*_rows(dry), *_reveals(dry)]
    slopes = _slopes(dry, [row for row, _ in rows], true_to)
    widest: dict[tuple[str, ...], Spread] = {}
    for (row, joint), own in zip(rows, slopes, strict=True):
        if not own:
            continue
        spread = _spread(dry, row, joint, own)
        key = (spread.what, *spread.parts, *spread.cuts)
        if key not in widest or spread.worst > widest[key].worst:
            widest[key] = spread
    return tuple(sorted(widest.values(), key=lambda s: (-round(s.worst, 6), s.parts, s.cuts)))


def _rows(dry: DryFit) -> Iterator[tuple[Row, Joint | None]]:
    """The gaps that should close."""
    for row in rows_of(dry, set(range(len(dry.piece.parts)))):
        if row.most < FREE:
            yield row, None


def _reveals(dry: DryFit) -> Iterator[tuple[Row, Joint | None]]:
    """The gaps that should stay as wide as they were asked for."""
    for joint in (j for j in dry.piece.joints if j.kind == "reveal" and j.asked is not None):
        i, j, asked = dry.number[joint.a], dry.number[joint.b], joint.asked or 0.0
        found = facing(dry.scene, (np.array([i]), np.array([j])), asked + dry.limits.near, dry.limits.angle)
        if not len(found):
            continue
        k = int(np.argmin(np.round(np.abs((found.least + found.greatest) / 2 - asked), 6)))
        one = found.take(np.array([k]))
        corners, _ = one.corners()
        faces = [np.repeat(f, len(corners)) for f in (one.a, one.b)]
        gaps = gap_at(dry.scene, *faces, np.repeat(one.along, len(corners), axis=0), corners)
        keys = [lasting(dry, int(dry.scene.part[f]), int(dry.scene.source[f])) for f in (one.a[0], one.b[0])]
        for n in {int(np.argmin(gaps)), int(np.argmax(gaps))}:
            point, along = (tuple(v.tolist()) for v in (corners[n], one.along[0]))
            term = Term(keys[0], keys[1], point, along)
            band = dry.limits.reveal
            yield Row((i, j), (term,), float(gaps[n]), asked - band, asked + band), joint


def _slopes(dry: DryFit, rows: list[Row], true_to: TrueTo) -> list[list[tuple[Setting, float]]]:
    """For each row the settings that move it, with mm for each mm or degree."""
    base = Planes(dry.piece)
    here = [base.value(row) for row in rows]
    of_part: dict[int, list[int]] = defaultdict(list)
    for n, row in enumerate(rows):
        for i in {key[0] for term in row.terms for key in (term.a, term.b)}:
            of_part[i].append(n)
    found: list[list[tuple[Setting, float]]] = [[] for _ in rows]
    for i, own in of_part.items():
        for setting in settings_of(dry.part(i), true_to):
            planes = with_part(base, i, setting, HAIR)
            for n in own:
                there, value = planes.value(rows[n]), here[n]
                if there is not None and value is not None and abs(there - value) > FLAT * HAIR:
                    found[n].append((setting, (there - value) / HAIR))
    return found


def with_part(base: Planes, i: int, setting: Setting, amount: float) -> Planes:
    """The planes of a piece with one number of one part off by so much; those of the other parts are kept."""
    parts = list(base.piece.parts)
    parts[i] = setting.off_by(parts[i], amount)
    planes = Planes(replace(base.piece, parts=tuple(parts)))
    planes.known = {j: known for j, known in base.known.items() if j != i}
    return planes


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
    return Spread(what, parts, cuts, row.value, least, row.most, worst, usual, float(within.mean()), needs, tuple(slopes))


def sampled(errors: Floats) -> Floats:
    """What many pieces are off by, where each error is evenly spread up to its most."""
    draws = np.random.default_rng(SEED).uniform(-1.0, 1.0, (SAMPLES, len(errors)))
    out: Floats = draws @ errors
    return out


def _called(dry: DryFit, row: Row, joint: Joint | None) -> tuple[str, tuple[str, ...]]:
    """What kind of gap it is, and the cuts that it lies between."""
    cuts = tuple(dict.fromkeys(c for term in row.terms for key in (term.a, term.b) if (c := _cut(dry, key))))
    if joint is not None:
        return "reveal", cuts
    return ("width" if len(row.terms) > 1 else "gap"), cuts


def _cut(dry: DryFit, key: Key) -> str:
    """The cut that a face came from; nothing for a side of the blank."""
    part, order, _ = key
    tools = dry.scene.solids[part].shape.tools
    tool = next((t for t in tools if t.order == order - 1), None)
    return f"{dry.part(part).id}.{dry.part(part).cuts[tool.cut].name}" if tool and order else ""


def place_of(dry: DryFit, setting: Setting) -> Place | None:
    """Where the spec writes a number."""
    part = dry.part(dry.number[setting.part])
    made = part.cut_named(setting.cut) if setting.cut else None
    return (made.places.get(setting.field) or made.place) if made else part.places.get(setting.field, part.place)
