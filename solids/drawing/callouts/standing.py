"""Tongues, tenons, notches: what stands at an end or is taken out of a corner."""

from __future__ import annotations

from collections.abc import Iterator

from solids.cuts.notch import Notch
from solids.cuts.tenon import Stand, Tenon, Tongue
from solids.drawing.board import NEAR, Board
from solids.drawing.callouts.callout import Callout, Place, Profile, Width
from solids.drawing.callouts.trenches import stepped
from solids.drawing.figures import Figures
from solids.model.geometry import Vector


def tongue(cut: Tongue, board: Board, figures: Figures) -> Iterator[Callout]:
    """In section: how long, how thick, and how far from the face."""
    stands = cut.stands(board.part.blank)
    yield Callout(NEAR, profile=_profile(cut, stands, board))


def tenon(cut: Tenon, board: Board, figures: Figures) -> Iterator[Callout]:
    """Its thickness in section, its width on the face."""
    stands = cut.stands(board.part.blank)
    axis = board.way(cut.side)[0]
    across = 1 - axis
    spans = [_across(s, cut, board) for s in stands]
    size = f"{figures.length(cut.width)} wide"
    lines = [f"{len(stands)}× tenon {size}" if len(stands) > 1 else f"Tenon {size}"]
    places = [Place(across, a, until=b) for a, b in spans]
    shoulder = board.coordinate(cut.side, cut.length)
    tips = [Vector(*_on(axis, (shoulder + board.coordinate(cut.side, 0.0)) / 2, b, board.high.z)) for _, b in spans]
    profile = _profile(cut, stands[:1], board, spans[0])
    yield Callout(NEAR, tuple(lines), tuple(tips), tuple(places), profile=profile)


def notch(cut: Notch, board: Board, figures: Figures) -> Iterator[Callout]:
    """So far in from two sides."""
    (a, _), (b, _) = first, second = cut.corner
    run = 3 - board.way(a)[0] - board.way(b)[0]
    yield stepped("Notch", board, (first, second), [], (board.low[run], board.high[run]), figures)


def _on(axis: int, along: float, across: float, z: float) -> tuple[float, float, float]:
    return (along, across, z) if axis == 0 else (across, along, z)


def _across(stand: Stand, cut: Tenon, board: Board) -> tuple[float, float]:
    """From where to where it stands across the part, in the drawing's axes."""
    blank = board.part.blank
    u = next(s for s in blank.edges)
    low, high = (board.coordinate(u, d) for d in (stand.u0, stand.u1))
    return min(low, high), max(low, high)


def _profile(
    cut: Tongue | Tenon, stands: list[Stand], board: Board, where: tuple[float, float] | None = None
) -> Profile:
    axis, sign = board.way(cut.side)
    run = 1 - axis
    end, shoulder = board.coordinate(cut.side, 0.0), board.coordinate(cut.side, cut.length)
    widths = []
    thick = board.size[2]
    v = next(s for s in board.part.blank.broad)
    for k, s in enumerate(stands):
        low, high = sorted(board.coordinate(v, d) for d in (s.v0, s.v1))
        if k == 0:
            widths.append(Width((shoulder, high), (end, high), 0, cut.length))
        widths.append(Width((end, low), (end, high), 1, high - low))
        widths.append(Width((end, high), (shoulder, thick), 1, thick - high))
    likeness = ("stand", axis, sign, *(round(v, 6) for s in stands for v in (s.v0, s.v1, s.length)))
    extent = where or (board.low[run], board.high[run])
    return Profile(run, min(end, shoulder), max(end, shoulder), extent, likeness, tuple(widths))
