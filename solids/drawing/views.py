"""What the views of a part are made from: which are needed, what they show, and where places are measured from."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from solids.drawing.board import DOWN, NEAR, SEEN, Board, Seen, Way
from solids.drawing.callouts.callout import Callout
from solids.drawing.figures import Figures
from solids.drawing.section import Cut
from solids.drawing.sheet import Point
from solids.kernel.projection import projected
from solids.kernel.strokes import Stroke, clean


@dataclass(frozen=True, slots=True)
class Datum:
    """The rim that places along each axis are measured from: -1 its low side, 1 its high one."""

    signs: tuple[int, int, int]

    def at(self, axis: int, board: Board) -> float:
        return board.low[axis] if self.signs[axis] < 0 else board.high[axis]


def datum_of(board: Board) -> Datum:
    """The sides that most of the spec's own distances are from; unsaid the left, the lower edge and the face."""
    votes = [0, 0, 0]
    for made in board.part.cuts:
        for side, _ in getattr(made.cut, "at", ()):
            axis, sign = board.way(side)
            votes[axis] += sign
    return Datum((1 if votes[0] > 0 else -1, 1 if votes[1] > 0 else -1, -1 if votes[2] < 0 else 1))


@dataclass(frozen=True, slots=True)
class Views:
    """What the views of a part are made from, all but the scale. `corners` are those of the face, anticlockwise."""

    board: Board
    callouts: tuple[Callout, ...]
    strokes: Mapping[Way, Sequence[Stroke]]
    corners: tuple[Point, ...]
    cuts: tuple[Cut, ...]
    datum: Datum
    figures: Figures
    third_angle: bool


def views_of(
    board: Board,
    solid: Any,
    corners: Sequence[Point],
    callouts: Sequence[Callout],
    cuts: Sequence[Cut],
    figures: Figures,
    third_angle: bool,
) -> Views:
    """The views that are needed and no more: the face, and each side that something is done to."""
    said = {c.way for c in callouts if c.lines or c.places}
    ways = {NEAR, *said} if cuts or said - {NEAR} else {NEAR, DOWN}
    strokes = {w: _strokes(solid, board, SEEN[w]) for w in SEEN if w in ways}
    return Views(board, tuple(callouts), strokes, tuple(corners), tuple(cuts), datum_of(board), figures, third_angle)


def _strokes(solid: Any, board: Board, seen: Seen) -> list[Stroke]:
    return clean(projected([(solid, board.solid_frame())], seen.toward, seen.right))
