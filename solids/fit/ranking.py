"""Changes that were tried for real, the likeliest first, and which of them explain a fault as well as the first."""

from __future__ import annotations

from dataclasses import dataclass, replace

from solids.fit.dryfit import DryFit
from solids.fit.level import level_faces
from solids.fit.trials import Candidate, housed
from solids.model.finding import Place
from solids.model.piece import Figure, Piece

LEVEL = 0.3  # merit of each pair of faces that one change brings level and another does not
MOST_LEVEL = 1.0  # merit that faces brought level can give
EVEN = 0.5  # merit of a change after which more parts are housed as deep at one end as at the other
RIVAL = 2.0  # merit by which another explanation may be behind and still be told
MOST_RIVALS = 4


@dataclass(frozen=True, slots=True)
class Tried:
    """A candidate, how many stops it leaves, and the piece put together with it; `merit` once all are compared."""

    candidate: Candidate
    left: int
    dry: DryFit
    merit: float = 0.0

    @property
    def figure(self) -> Figure:
        return self.candidate.figure

    @property
    def after(self) -> float:
        return self.candidate.after


def ranked(tried: list[Tried], before: Piece) -> list[Tried]:
    """The likeliest first: by what is left, then by merit."""
    level: dict[Place, int] = {}  # the most of each figure: a value that leaves play is no worse than one that touches
    for t in tried:
        level[t.figure.place] = max(level.get(t.figure.place, 0), level_faces(t.dry.scene))
    most = max(level.values(), default=0)
    found = []
    for t in tried:
        evened = EVEN * (uneven(t.dry.piece) < uneven(before))
        missing = min(MOST_LEVEL, LEVEL * (most - level[t.figure.place]))
        found.append(replace(t, merit=t.candidate.merit + evened - missing))
    return sorted(found, key=lambda t: (t.left, -t.merit))


def rivals(ranked: list[Tried]) -> tuple[tuple[Figure, float], ...]:
    """Other figures that leave as little as the first and are not much less likely, each with its best value."""
    first, *others = ranked
    found: dict[Place, tuple[Figure, float]] = {}
    for t in others:
        if t.left == first.left and first.merit - t.merit < RIVAL and t.figure.place != first.figure.place:
            found.setdefault(t.figure.place, (t.figure, t.after))
    return tuple(found.values())[:MOST_RIVALS]


def uneven(piece: Piece) -> int:
    """How many parts are housed deeper at one end than at another, or at one end only."""
    return sum(len(set(depths)) > 1 or len(depths) == 1 for depths in housed(piece).values())
