"""The pens: what kind of line means what, how wide it is and how it is broken.

Widths are ISO 128's line group 0.5: wide lines 0.5 mm, narrow ones 0.25 mm,
from the series 0.13 0.18 0.25 0.35 0.5 0.7 mm. Dashes are 12 and gaps 3 line
widths, long dashes 24 and dots a half (ISO 128-20); the frame's 0.7 mm is
ISO 5457's, from memory.
"""

from __future__ import annotations

from typing import NamedTuple


class Pen(NamedTuple):
    """A kind of line: width in mm, its dashes and gaps in mm, its name and colour number in a DXF file, and its use."""

    name: str
    width: float
    dashes: tuple[float, ...]
    layer: str
    colour: int
    use: str


def _dashes(width: float, *counts: float) -> tuple[float, ...]:
    return tuple(round(c * width, 3) for c in counts)


NARROW, WIDE = 0.25, 0.5
_HIDDEN = _dashes(NARROW, 12, 3)
_CENTRE = _dashes(NARROW, 24, 3, 0.5, 3)
_PHANTOM = _dashes(NARROW, 24, 3, 0.5, 3, 0.5, 3)

VISIBLE = Pen("visible", WIDE, (), "VISIBLE", 7, "visible edges")
FINE = Pen("fine", NARROW, (), "FINE", 7, "small or smooth edges, and what lies behind an outline")
HIDDEN = Pen("hidden", NARROW, _HIDDEN, "HIDDEN", 8, "hidden edges")
CENTRE = Pen("centre", NARROW, _CENTRE, "CENTRE", 1, "centre lines")
DIMENSION = Pen("dimension", NARROW, (), "DIMENSIONS", 5, "dimensions, leaders and their figures")
HATCH = Pen("hatch", 0.18, (), "HATCH", 8, "wood that is cut through")
CUTTING = Pen("cutting", WIDE, (), "CUTTING_PLANE", 6, "where a section is taken")
PHANTOM = Pen("phantom", NARROW, _PHANTOM, "PHANTOM", 8, "what stands beside, and the wood that goes")
TEXT = Pen("text", NARROW, (), "TEXT", 7, "notes and tables")
FRAME = Pen("frame", 0.7, (), "FRAME", 7, "the frame")
RULE = Pen("rule", 0.35, (), "RULES", 7, "rules of tables and of the title block")

PENS = (VISIBLE, FINE, HIDDEN, CENTRE, DIMENSION, HATCH, CUTTING, PHANTOM, TEXT, FRAME, RULE)
