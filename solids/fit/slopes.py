"""How far each gap moves for each mm or degree that a number of a part is off.

Only the planes of that part are worked out again, and only the sides of the
gaps that lie on them: all of those at once, in arrays.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from solids.fit.rows import Row, Term, planes_of
from solids.fit.settings import Setting, settings_of
from solids.kernel.mesh import Floats, Ints
from solids.model.part import Part
from solids.model.shop import TrueTo

HAIR = 1e-4  # mm or degrees: the change by which slopes are measured
FLAT = 1e-6  # mm for each mm or degree: less is no slope
SLIDING = 1e-6  # cosine: a face that the line of a gap runs along has no reach


@dataclass(frozen=True, slots=True)
class Sides:
    """The ends of gaps that lie on one part: face (m,) among `faces`, row (m,), sign (m,), point and along (m, 3)."""

    faces: tuple[tuple[int, int], ...]
    face: Ints
    row: Ints
    sign: Floats
    point: Floats
    along: Floats

    def reach(self, part: Part) -> Floats:
        """How far along its line each end lies, in mm; not a number where its face has no plane now."""
        known = planes_of(part)
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
        here = sides.reach(parts[i])
        own = np.unique(sides.row)
        for setting in settings_of(parts[i], true_to):
            slope = _steepest(sides, here, setting, parts[i], len(rows))
            for n in own[np.abs(slope[own]) > FLAT].tolist():
                found[n].append((setting, float(slope[n])))
    return found


def _sides(rows: Sequence[Row]) -> dict[int, Sides]:
    """The ends of all gaps, by the part that they lie on."""
    ends: dict[int, list[tuple[tuple[int, int], int, float, Term]]] = defaultdict(list)
    for n, row in enumerate(rows):
        for term in row.terms:
            for key, sign in ((term.a, -1.0), (term.b, 1.0)):
                ends[key[0]].append((key[1:], n, sign, term))
    return {i: _arrays(own) for i, own in sorted(ends.items())}


def _arrays(ends: list[tuple[tuple[int, int], int, float, Term]]) -> Sides:
    faces = tuple(dict.fromkeys(face for face, *_ in ends))
    place = {face: k for k, face in enumerate(faces)}
    return Sides(
        faces,
        np.array([place[face] for face, *_ in ends], np.int64),
        np.array([n for _, n, _, _ in ends], np.int64),
        np.array([sign for _, _, sign, _ in ends]),
        np.array([term.point for *_, term in ends]),
        np.array([term.along for *_, term in ends]),
    )


def _steepest(sides: Sides, here: Floats, setting: Setting, part: Part, count: int) -> Floats:
    """The slope of every row: where an error may fall at either end of a part, of the end where the row is."""
    steepest = np.zeros(count)
    for changed in setting.off_by(part, HAIR):
        slope = np.zeros(count)
        np.add.at(slope, sides.row, sides.sign * (sides.reach(changed) - here) / HAIR)
        slope = np.nan_to_num(slope)
        steepest = np.where(np.abs(slope) > np.abs(steepest), slope, steepest)
    return steepest
