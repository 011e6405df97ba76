"""How closely things must close: every threshold of the check, in one place; mm, degrees and kg."""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple


class Band(NamedTuple):
    """The least and greatest gap that is well, in mm."""

    least: float
    most: float


@dataclass(frozen=True, slots=True)
class Limits:
    """What the check allows. A spec's `limits` replaces any of the first group."""

    glue: Band = Band(0.0, 0.10)  # miters, butts, cheeks of laps and tenons
    slip: Band = Band(0.05, 0.40)  # shelves in dados, panels in rabbets: width of the housing less what goes in
    seat: Band = Band(0.0, 1.0)  # the bottom of a housing
    loose: Band = Band(0.4, 3.0)  # floating panels, drawer bottoms
    step: float = 0.10  # flush faces
    lip: float = 0.30  # widest strip of a bevel left bare
    reveal: float = 0.40  # by which a reveal may be off, and by which those round one front may differ
    wood_left: float = 3.0  # least wood between two surfaces of one part
    cross_grain: float = 1.5  # movement of wood held across its grain: 4 in of red oak over 4 %, common practice

    touch: float = 0.01  # nearer than this is touching
    press: float = 0.02  # deeper than this is a clash
    near: float = 3.0  # how far a face looks for the one that it faces
    flush: float = 3.2  # steps up to this are looked at, 1/8 in and a little
    angle: float = 15.0  # degrees from opposite at which two faces still face each other
    lift: float = 23.0  # kg that one person lifts, at best: load constant of the revised NIOSH lifting equation
    sag: float = 600.0  # of its span that a loaded shelf may bend: 0.02 in to the foot, an article on shelves
    miter: float = 0.05  # degrees by which two bevels may miss their corner


LIMITS = Limits()
REPLACEABLE = ("glue", "slip", "seat", "loose", "step", "lip", "reveal", "wood_left", "cross_grain")
