"""Paper: the sizes of sheets, the frame round the drawing, and the scales that a sheet may have.

ISO 5457 sheets: trimmed sizes after ISO 216, 20 mm margin at the left for
filing and 10 mm elsewhere, fields of 50 mm counted from the centring marks,
A4 upright and the others lengthwise. ASME Y14.1 sheets A to E in inches; their
margins and zones are common practice, from memory. Scales after ISO 5455;
those of inch sheets are the shop's halves, common practice.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from typing import Literal, NamedTuple

from solids.drawing.pens import FRAME, RULE
from solids.drawing.sheet import Box, Line, Mark, Point, Text, rectangle

Standard = Literal["ISO", "ASME"]
LETTERS = "ABCDEFGHJKLMNPQRSTUVWXYZ"  # no I and no O


class Scale(NamedTuple):
    """How many mm of paper one mm of wood takes, and how the title block says it."""

    ratio: float
    text: str


@dataclass(frozen=True, slots=True)
class Paper:
    """A sheet's name, size in mm, and standard."""

    name: str
    width: float
    height: float
    standard: Standard

    @property
    def space(self) -> Box:
        """Inside the frame."""
        if self.standard == "ISO":
            return Box(20.0, 10.0, self.width - 10.0, self.height - 10.0)
        margin = 9.7 if self.height <= 300 else 12.7
        return Box(margin, margin, self.width - margin, self.height - margin)


def _inches(name: str, wide: float, high: float) -> Paper:
    return Paper(name, wide * 25.4, high * 25.4, "ASME")


PAPERS = {
    p.name: p
    for p in (
        Paper("A4", 210.0, 297.0, "ISO"), Paper("A3", 420.0, 297.0, "ISO"), Paper("A2", 594.0, 420.0, "ISO"),
        Paper("A1", 841.0, 594.0, "ISO"), Paper("A0", 1189.0, 841.0, "ISO"),
        _inches("A", 11, 8.5), _inches("B", 17, 11), _inches("C", 22, 17), _inches("D", 34, 22), _inches("E", 44, 34),
    )
}  # fmt: skip
_ISO = (5.0, 2.0, 1.0, 1 / 2, 1 / 5, 1 / 10, 1 / 20, 1 / 50, 1 / 100, 1 / 200)
_ASME = (4.0, 2.0, 1.0, 1 / 2, 1 / 4, 1 / 8, 1 / 16, 1 / 32, 1 / 64, 1 / 128)


def scales(standard: Standard) -> tuple[Scale, ...]:
    """Every scale, the largest first."""
    ratios = _ISO if standard == "ISO" else _ASME
    return tuple(Scale(r, f"{r:g}:1" if r >= 1 else f"1:{round(1 / r)}") for r in ratios)


def larger(paper: Paper) -> Paper | None:
    """The next size of the same standard; None after the largest."""
    same = [p for p in PAPERS.values() if p.standard == paper.standard]
    place = same.index(paper) + 1
    return same[place] if place < len(same) else None


def frame(paper: Paper) -> list[Mark]:
    """The frame with its fields and centring marks."""
    space = paper.space
    marks: list[Mark] = [rectangle(space, FRAME)]
    marks += _fields(paper, space, True) + _fields(paper, space, False)
    if paper.standard == "ISO":
        rim = space.grown(5.0)
        marks.append(rectangle(rim, RULE))
        x, y = paper.width / 2, paper.height / 2
        marks += [Line((x, 0.0), (x, 15.0), FRAME), Line((x, paper.height), (x, paper.height - 15.0), FRAME)]
        marks += [Line((0.0, y), (25.0, y), FRAME), Line((paper.width, y), (paper.width - 15.0, y), FRAME)]
    return marks


def _fields(paper: Paper, space: Box, across: bool) -> list[Mark]:
    """Numbers along the length or letters down the height, on both sides, with ticks between."""
    iso = paper.standard == "ISO"
    low, high = (space.left, space.right) if across else (space.bottom, space.top)
    middle = (paper.width if across else paper.height) / 2
    rim = 5.0 if iso else min(space.left, space.bottom)
    outward = (-1, space.bottom if across else space.left), (1, space.top if across else space.right)

    def placed(along: float, side: float) -> Point:
        return (along, side) if across else (side, along)

    edges = [low, *_cuts(low, high, middle, iso), high]
    marks: list[Mark] = []
    for k, (a, b) in enumerate(pairwise(edges)):
        number = k if across == iso else len(edges) - 2 - k  # ISO numbers from the left and letters from the top
        name = str(number + 1) if across else LETTERS[number]
        marks += [Text(placed((a + b) / 2, s + w * rim / 2), name, 2.5, "middle", "middle") for w, s in outward]
    for cut in edges[1:-1]:
        if not iso or abs(cut - middle) > 1e-6:  # else the centring mark stands there
            marks += [Line(placed(cut, s), placed(cut, s + w * rim), RULE) for w, s in outward]
    return marks


def _cuts(low: float, high: float, middle: float, iso: bool) -> list[float]:
    """Where one field ends and the next begins."""
    if iso:
        return [c for k in range(-40, 41) if low + 10 < (c := middle + 50.0 * k) < high - 10]
    count = max(2, 2 * round((high - low) / 2 / 108))
    return [low + (high - low) * k / count for k in range(1, count)]
