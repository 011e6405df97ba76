"""Candidates for a cause that no row tells of: figures changed for real, one after another, and what that does.

By amount: a finding that has a measure is measured again after a nudge, and the
change that brings it to nothing follows. By steps: where nothing can be
measured, each figure is changed by the steps that a maker errs by.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import partial
from typing import TYPE_CHECKING

from solids.fit.change import is_likely
from solids.model.finding import Finding
from solids.model.piece import Figure, Piece
from solids.units import INCH

if TYPE_CHECKING:
    from solids.fit.search import Search

CLOSES = 0.1  # mm: what is nearer than this is closed
NUDGE = 0.02  # mm or degrees: the change by which an amount's slope is measured, on solids
LEAST_SLOPE = 0.05
MOST_DEPTHS = 3
REFINED = 2  # times that an estimate is tried and made nearer
STRAIGHT = 0.5  # mm or degrees: over so little every amount runs straight
ENOUGH = 6.0  # times what closes a gap: by how much more than is asked may be given
# What a finding is measured by, and what that should be at least: nothing, or what another value says.
AMOUNTS = (
    ("engaged", "need"), ("free", "need"), ("distance", "need"), ("play", "moves"), ("left", "least"),
    ("past", ""), ("offset", ""),
    ("lip", ""), ("degrees", ""), ("difference", ""), ("distance", ""), ("step", ""), ("depth", ""), ("length", ""),
    ("greatest", ""),
)  # fmt: skip
STEPS_INCH = (INCH / 16, INCH / 8, INCH / 4)  # mm
STEPS_METRIC = (1.0, 2.0, 3.0, 5.0)  # mm
STEPS_ANGLE = (0.3, 0.5, 1.0)  # degrees

Key = tuple[str, tuple[str, ...], tuple[str, ...]]
Attempt = Callable[["Search", list[Finding], list[Figure]], Iterator["Candidate"]]


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


def by_amount(search: Search, stops: list[Finding], figures: list[Figure], rank: int = 0) -> Iterator[Candidate]:
    """For the first finding that has a measure, or one after it: the change of each number that makes it nothing."""
    # A ring's error is no one corner's.
    measured = [f for f in stops if f.kind != "ring-open" and amount(f) is not None]
    for finding in measured[rank : rank + 1]:
        here, depths = amount(finding) or 0.0, _further(search, finding)
        for figure in figures:
            slope = _slope(search, finding, figure, here) if search.has_time() else 0.0
            if abs(slope) >= LEAST_SLOPE:
                yield from _closed(search, finding, figure, (here, slope), depths)


by_next_amount = partial(by_amount, rank=1)


def _closed(
    search: Search, finding: Finding, figure: Figure, line: tuple[float, float], depths: list[float]
) -> Iterator[Candidate]:
    """The values that bring an amount to nothing, or that house its part as deep as others are."""
    here, slope = line
    room = 0.8 * CLOSES / slope
    for deeper in (0.0, *depths) if here else depths:
        exactly = _closing(search, finding, figure, here, slope) if not deeper else -(here + deeper) / slope
        ends = (exactly - ENOUGH * room, exactly) if is_short(finding) else (exactly - room, exactly + room)
        for value in search.values(figure, min(ends), max(ends)):
            yield Candidate(figure, value, 0, search.merit(figure, value, 1.0))


def amount(f: Finding) -> float | None:
    """How much is wrong, in mm or degrees; None where the finding does not say."""
    for name, least in AMOUNTS:
        if name in f.values and not least:
            return abs(f.values[name])
        if name in f.values and (asked := _asked(f, least)) is not None:
            return asked - f.values[name]
    return None


def _asked(f: Finding, least: str) -> float | None:
    """What a value should be at least: among the values of a finding, or among what it allows."""
    return f.values.get(least, f.allowed.get(least)) if least else None


def _closing(search: Search, finding: Finding, figure: Figure, here: float, slope: float) -> float:
    """The change that brings a finding's amount to nothing: where that does not run straight, nearer step by step."""
    change = -here / slope
    for _ in range(REFINED):
        after = search.tried(figure, change) if abs(change) > STRAIGHT and search.has_time() else None
        there = _amount_of(search.looked(after, finding), finding) if after else None
        if not there or there >= here:
            break
        change -= there * change / (there - here)
    return change


def is_short(f: Finding) -> bool:
    """Whether it asks for so much or more: then more than that mends it too."""
    return any(name in f.values and _asked(f, least) is not None for name, least in AMOUNTS)


def _slope(search: Search, finding: Finding, figure: Figure, here: float) -> float:
    """How much more is wrong for each mm or degree that a figure grows; 0 where that makes no difference."""
    for nudge in (NUDGE,) if here else (NUDGE, -NUDGE):
        after = search.tried(figure, nudge, [finding])
        there = None if after is None else _amount_of(search.looked(after, finding), finding)
        if there is not None and abs(there - here) > LEAST_SLOPE * NUDGE:
            return (there - here) / nudge
    return 0.0


def _amount_of(findings: list[Finding], finding: Finding) -> float | None:
    return next((amount(f) for f in findings if key(f) == key(finding)), 0.0)


def _further(search: Search, finding: Finding) -> list[float]:
    """How much further than to nothing a number may have to go: a hole through a face must leave wood before it."""
    if "left" in finding.values:
        return [] if finding.allowed.get("least") else [search.dry.limits.wood_left]
    return _housing_depths(search, finding)


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


def by_steps(search: Search, stops: list[Finding], figures: list[Figure]) -> Iterator[Candidate]:
    """Each number changed by the steps that a maker errs by, the smallest first, until some leave nothing amiss."""
    ladders = (STEPS_INCH if search.piece.units == "in" else STEPS_METRIC), STEPS_ANGLE
    faults = search.faults(stops, search.dry)
    for rung in range(max(map(len, ladders))):
        is_mended = False
        for figure in figures:
            ladder = ladders[figure.is_angle]
            for step in (ladder[rung], -ladder[rung]) if rung < len(ladder) else ():
                value = figure.value + step
                if not is_likely(figure, value) or not search.has_time():
                    continue
                after = search.tried(figure, step, stops)
                if after is not None and search.mends(stops, search.looked(after), after, faults):
                    is_mended = True
                    yield Candidate(figure, value, 0, search.merit(figure, value, 1.0))
        if is_mended:
            return
