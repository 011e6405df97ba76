"""Candidates for a cause that no row tells of: figures changed for real, one after another, and what that does.

By amount: a finding that has a measure is measured again after a nudge, and the
change that brings it to nothing follows. By steps: where nothing can be
measured, each figure is changed by the steps that a maker errs by.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

from solids.fit.change import is_likely
from solids.model.finding import Finding, Severity
from solids.model.piece import Figure, Piece
from solids.units import INCH

if TYPE_CHECKING:
    from solids.fit.search import Search

CLOSES = 0.1  # mm: what is nearer than this is closed
NUDGE = 0.02  # mm or degrees: the change by which an amount's slope is measured, on solids
LEAST_SLOPE = 0.05
MOST_DEPTHS = 3
# What a finding is measured by, and what that should be at least: nothing, or what another value says.
AMOUNTS = (
    ("engaged", "need"), ("free", "need"), ("distance", "need"), ("past", ""), ("offset", ""), ("lip", ""),
    ("degrees", ""), ("difference", ""), ("distance", ""), ("step", ""), ("depth", ""), ("length", ""),
    ("greatest", ""),
)  # fmt: skip
STEPS_INCH = (INCH / 16, INCH / 8, INCH / 4)  # mm
STEPS_METRIC = (1.0, 2.0, 3.0, 5.0)  # mm
STEPS_ANGLE = (0.3, 0.5, 1.0)  # degrees

Key = tuple[str, tuple[str, ...], tuple[str, ...]]


@dataclass(frozen=True, slots=True)
class Candidate:
    """A figure with the value that may mend it, how many rows that leaves off, and how likely it is the one."""

    figure: Figure
    after: float
    left: int
    merit: float


def key(f: Finding) -> Key:
    """What makes two findings the same one, however large each is."""
    return f.kind, f.parts, f.cuts


def by_amount(search: Search, stops: list[Finding], figures: list[Figure]) -> Iterator[Candidate]:
    """For the first finding that has a measure: the change of each number that brings it to nothing."""
    measured = [
        f for f in stops if f.kind != "ring-open" and amount(f) is not None
    ]  # a ring's error is no one corner's
    if not measured:
        return
    finding = measured[0]
    here, depths = amount(finding) or 0.0, _housing_depths(search, finding)
    for figure in figures:
        slope = _slope(search, finding, figure, here) if search.has_time() else 0.0
        if abs(slope) < LEAST_SLOPE:
            continue
        room = 0.8 * CLOSES / abs(slope)
        for deeper in (0.0, *depths) if here else depths:
            exactly = -(here + deeper) / slope
            value = search.chosen(figure, exactly - room, exactly + room)
            if is_likely(figure, value):
                yield Candidate(figure, value, 0, search.merit(figure, value, 1.0))


def amount(f: Finding) -> float | None:
    """How much is wrong, in mm or degrees; None where the finding does not say."""
    for name, least in AMOUNTS:
        if name in f.values and (not least or least in f.values):
            return f.values[least] - f.values[name] if least else abs(f.values[name])
    return None


def _slope(search: Search, finding: Finding, figure: Figure, here: float) -> float:
    """How much more is wrong for each mm or degree that a figure grows; 0 where that makes no difference."""
    for nudge in (NUDGE, -NUDGE):
        after = search.tried(figure, nudge)
        there = None if after is None else _amount_of(search.rules(after), finding)
        if there is not None and abs(there - here) > LEAST_SLOPE * NUDGE:
            return (there - here) / nudge
    return 0.0


def _amount_of(findings: list[Finding], finding: Finding) -> float | None:
    return next((amount(f) for f in findings if key(f) == key(finding)), 0.0)


def _housing_depths(search: Search, finding: Finding) -> list[float]:
    """How deep others are housed: one that does not reach its housing must go so far; the spoiled parts' own first."""
    sources = search.sources(finding)
    own: Counter[float] = Counter()
    others: Counter[float] = Counter()
    for guest, depths in housed(search.piece).items():
        is_own = set(search.dry.part(search.dry.number[guest]).source.split(".")) <= sources
        (own if is_own else others).update(depths)
    ranked = [d for d, _ in (*own.most_common(), *others.most_common())]
    return list(dict.fromkeys(ranked))[:MOST_DEPTHS]


def housed(piece: Piece) -> dict[str, list[float]]:
    """How deep each housed part goes into its hosts, in mm, by its id."""
    parts = {p.id: p for p in piece.parts}
    found: dict[str, list[float]] = defaultdict(list)
    for joint in piece.joints:
        for part, name in joint.cuts if joint.kind == "house" else ():
            made = parts[part].cut_named(name)
            depth = getattr(made.cut, "depth", None) if made else None
            if depth:
                found[joint.a].append(round(float(depth), 6))
    return found


def uneven(piece: Piece) -> int:
    """How many parts are housed deeper at one end than at another, or at one end only."""
    return sum(len(set(depths)) > 1 or len(depths) == 1 for depths in housed(piece).values())


def by_steps(search: Search, stops: list[Finding], figures: list[Figure]) -> Iterator[Candidate]:
    """Each number changed by the steps that a maker errs by, the smallest first, until some leave nothing amiss."""
    ladders = (STEPS_INCH if search.piece.units == "in" else STEPS_METRIC), STEPS_ANGLE
    for rung in range(max(map(len, ladders))):
        mends = False
        for figure in figures:
            ladder = ladders[figure.is_angle]
            for step in (ladder[rung], -ladder[rung]) if rung < len(ladder) else ():
                value = figure.value + step
                if is_likely(figure, value) and search.has_time() and _mends(search, stops, figure, step):
                    mends = True
                    yield Candidate(figure, value, 0, search.merit(figure, value, 1.0))
        if mends:
            return


def _mends(search: Search, stops: list[Finding], figure: Figure, step: float) -> bool:
    """Whether a change leaves fewer of the things that stop the piece, and makes no new one."""
    after = search.tried(figure, step)
    if after is None:
        return False
    before = {key(f) for f in stops}
    return {key(f) for f in search.rules(after) if f.severity is Severity.STOP} < before
