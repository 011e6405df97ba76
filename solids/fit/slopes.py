"""How far each gap moves for each mm or degree that a number of a part is off.

Only the planes that the number is behind are worked out again: of a size of the
blank all of its part, of a cut its own; and of the gaps only the sides that lie
on that part, all of those at once, in arrays.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import TypeAlias

import numpy as np

from solids.cuts.tenon import Tenon, Tongue
from solids.fit.change import FLAT, HAIR
from solids.fit.rows import Plane, Row, Term, planes_of
from solids.fit.settings import Setting, settings_of
from solids.kernel.mesh import Floats, Ints
from solids.kernel.shape import shape_of
from solids.model.part import Part
from solids.model.shop import TrueTo

SLIDING = 1e-6  # cosine: a face that the line of a gap runs along has no reach
Face: TypeAlias = tuple[int, int]  # tool and side
Planes: TypeAlias = dict[Face, Plane]


@dataclass(frozen=True, slots=True)
class Sides:
    """The ends of gaps that lie on one part: face (m,) among `faces`, row (m,), sign (m,), point and along (m, 3).

    `rows` (n,) are the rows that they belong to, `row` counts in these.
    """

    faces: tuple[Face, ...]
    face: Ints
    rows: Ints
    row: Ints
    sign: Floats
    point: Floats
    along: Floats

    def reach(self, known: Planes) -> Floats:
        """How far along its line each end lies, in mm; not a number where its face has no plane."""
        none = (np.full(3, np.nan), np.nan)
        planes = [known.get(face, none) for face in self.faces]
        normal = np.array([n for n, _ in planes])[self.face]
        offset = np.array([d for _, d in planes])[self.face]
        slant = np.einsum("ij,ij->i", normal, self.along)
        slant = np.where(np.abs(slant) < SLIDING, np.nan, slant)
        out: Floats = (offset - np.einsum("ij,ij->i", normal, self.point)) / slant
        return out


def slopes_of(parts: Sequence[Part], rows: Sequence[Row], true_to: TrueTo) -> list[list[tuple[Setting, float]]]:
    """For each row the settings that move it, with mm for each mm or degree."""
    found: list[list[tuple[Setting, float]]] = [[] for _ in rows]
    for i, sides in _sides(rows).items():
        known, tools = planes_of(parts[i]), _tools(parts[i])
        here = sides.reach(known)
        behind = {tool for tool, _ in sides.faces}
        for setting in settings_of(parts[i], true_to):
            if setting.cut and not behind & tools[setting.cut]:
                continue  # no gap lies on this cut
            slope = _steepest(sides, here, list(_changed(setting, parts[i], known, tools)))
            for n in np.flatnonzero(np.abs(slope) > FLAT).tolist():
                found[int(sides.rows[n])].append((setting, float(slope[n])))
    return found


def _tools(part: Part) -> dict[str, set[int]]:
    """The tools of each cut, as the keys of planes count them; tongues and tenons of a part stand together."""
    found: dict[str, set[int]] = {made.name: set() for made in part.cuts}
    for tool in shape_of(part).tools:
        found[part.cuts[tool.cut].name].add(tool.order + 1)
    stands = [made.name for made in part.cuts if isinstance(made.cut, Tongue | Tenon)]
    together = set().union(*(found[name] for name in stands))
    return found | dict.fromkeys(stands, together)


def _changed(setting: Setting, part: Part, known: Planes, tools: dict[str, set[int]]) -> Iterator[Planes]:
    """The planes of the part with a number off by a hair; of a cut that stands by itself only its own are new."""
    for changed in setting.off_by(part, HAIR):
        made = changed.cut_named(setting.cut) if setting.cut else None
        if made is None or isinstance(made.cut, Tongue | Tenon):
            yield planes_of(changed)
        else:
            before = min(tools[setting.cut]) - 1
            alone = planes_of(replace(changed, cuts=(made,)))
            yield known | {(tool + before, side): plane for (tool, side), plane in alone.items() if tool}


def _sides(rows: Sequence[Row]) -> dict[int, Sides]:
    """The ends of all gaps, by the part that they lie on."""
    ends: dict[int, list[tuple[Face, int, float, Term]]] = defaultdict(list)
    for n, row in enumerate(rows):
        for term in row.terms:
            for key, sign in ((term.a, -1.0), (term.b, 1.0)):
                ends[key[0]].append((key[1:], n, sign, term))
    return {i: _arrays(own) for i, own in sorted(ends.items())}


def _arrays(ends: list[tuple[Face, int, float, Term]]) -> Sides:
    faces = tuple(dict.fromkeys(face for face, *_ in ends))
    place = {face: k for k, face in enumerate(faces)}
    rows, row = np.unique(np.array([n for _, n, _, _ in ends], np.int64), return_inverse=True)
    return Sides(
        faces,
        np.array([place[face] for face, *_ in ends], np.int64),
        rows,
        row,
        np.array([sign for _, _, sign, _ in ends]),
        np.array([term.point for *_, term in ends]),
        np.array([term.along for *_, term in ends]),
    )


def _steepest(sides: Sides, here: Floats, changes: Sequence[Planes]) -> Floats:
    """The slope of every row: where an error may fall at either end of a part, of the end where the row is."""
    steepest = np.zeros(len(sides.rows))
    for changed in changes:
        off = sides.sign * (sides.reach(changed) - here) / HAIR
        slope = np.nan_to_num(np.bincount(sides.row, off, len(sides.rows)))
        steepest = np.where(np.abs(slope) > np.abs(steepest), slope, steepest)
    return steepest
