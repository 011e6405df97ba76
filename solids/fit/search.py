"""The search for a cause: which one number of the spec, changed a little, mends the most.

Each number that the spoiled parts depend on is changed by a hair and only the
planes are worked out again: that gives the slope of every row. In one dimension
the best change is then exact. The best few are tried for real, on solids, and
what is left decides; a change that spoils something else is no remedy.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

import numpy as np

from solids.fit.cause import folded
from solids.fit.change import FARTHEST, FLAT, best_interval, is_likely, merit, roundest
from solids.fit.dryfit import DryFit, dry_fit
from solids.fit.rows import Planes, Row, rows_of
from solids.fit.scene import Solid, solids_of
from solids.fit.trials import Candidate, Key, by_amount, by_steps, key, uneven
from solids.kernel.mesh import Floats
from solids.model.finding import Finding, Place, Severity, SpecError
from solids.model.piece import Figure, Piece

HAIR = 1e-4  # mm or degrees: the change by which slopes are measured
NO_CHANGE = 1e-6  # mm or degrees
TRIED = 12  # candidates tried for real
COMMON = 0.4  # merit of a figure of a part that every fault is at
EVEN = 0.5  # merit of a change after which more parts are housed as deep at one end as at the other
RIVAL = 2.0  # merit by which another explanation may be behind and still be told
WORK = 12_000  # parts read again, at most, in the whole search; counted, not timed, so that two runs say the same
MEASURED = 5  # times as much work to put a part together as to read it
MOST_PARTS = 300
MOST_CAUSES = 3
MOST_RIVALS = 4
OF_NO_NUMBER = (
    "tool-limit", "season-closes", "season-opens", "no-room", "cross-grain", "sag", "travel", "swing", "passage",
    "heavy", "not-listed", "no-stock", "trapped", "no-reach", "near-edge",
)  # fmt: skip
Rules = Callable[[DryFit], list[Finding]]
Nudges = dict[Place, float]


@dataclass(frozen=True, slots=True)
class Cause:
    """A number of the spec that explains findings, with the value that mends them, in mm or degrees.

    `rivals` are other numbers that explain as much, each with its value.
    """

    figure: Figure
    after: float
    mended: tuple[Finding, ...]
    rivals: tuple[tuple[Figure, float], ...] = ()


def causes(dry: DryFit, findings: list[Finding], rules: Rules) -> list[Cause]:
    """The causes of what stops a piece, in the order in which they were mended; none where none is found."""
    if dry.piece.again is None or len(dry.piece.parts) > MOST_PARTS:
        return []
    search = Search(dry, rules)
    found: list[Cause] = []
    while _asked(findings) and len(found) < MOST_CAUSES and search.has_time():
        cause = search.best(findings)
        if cause is None:
            break
        found.append(cause)
        findings = search.mend(cause)
    return found


def _asked(findings: list[Finding]) -> list[Finding]:
    """What stops it, but for what the shop lacks and what the year does: that no number of the spec is wrong about."""
    return [f for f in stops_of(findings) if f.kind not in OF_NO_NUMBER]


def stops_of(findings: list[Finding]) -> list[Finding]:
    """The findings that stop a piece."""
    return [f for f in findings if f.severity is Severity.STOP]


class Search:
    """One piece, with the changes that have been accepted so far."""

    def __init__(self, dry: DryFit, rules: Rules) -> None:
        self.dry = dry
        self.rules = rules
        self.nudges: Nudges = {}
        self.known: dict[str, Solid] = {s.shape.key: s for s in dry.scene.solids}
        self.work = WORK
        self.planes = Planes(dry.piece)
        self.common: frozenset[str] = frozenset()

    def sources(self, finding: Finding) -> frozenset[str]:
        """The parts of a finding as the spec names them."""
        ids = [self.dry.part(self.dry.number[p]).source for p in finding.parts]
        return frozenset(step for id_ in ids for step in id_.split("."))

    def merit(self, figure: Figure, after: float, share: float) -> float:
        """How likely a figure is the wrong one; more so where it is of a part that every fault is at."""
        return merit(self.piece, figure, after, share) + COMMON * bool(self.common & set(figure.owners))

    def chosen(self, figure: Figure, low: float, high: float) -> float:
        """The value to try of those within an interval of changes."""
        return roundest(figure, low, high, self.piece.units == "in")

    def is_remedy(self, before: list[Finding], left: list[Finding], faults: int, faults_before: int) -> bool:
        """Whether a change that leaves fewer stops rids the piece of a whole fault, and not of one end of it."""
        return faults < faults_before

    def has_time(self) -> bool:
        """Whether there is work left to spend."""
        return self.work > 0

    @property
    def piece(self) -> Piece:
        return self.dry.piece

    def again(self, figure: Figure, change: float) -> Piece | None:
        """The piece with one more number changed; None where it can't be read so, or has other parts then."""
        assert self.piece.again is not None
        self.work -= len(self.piece.parts)
        nudges = {**self.nudges, figure.place: self.nudges.get(figure.place, 0.0) + change}
        try:
            piece = self.piece.again(nudges)
        except SpecError:
            return None
        return piece if [p.id for p in piece.parts] == [p.id for p in self.piece.parts] else None

    def tried(self, figure: Figure, change: float) -> DryFit | None:
        """The same, put together and measured."""
        self.work -= MEASURED * len(self.piece.parts)
        piece = self.again(figure, change)
        return dry_fit(piece, solids_of(piece.parts, self.known)) if piece else None

    def mend(self, cause: Cause) -> list[Finding]:
        """Accept a change; returns what is still found."""
        change = cause.after - cause.figure.value
        after = self.tried(cause.figure, change)
        assert after is not None
        place = cause.figure.place
        self.nudges = {**self.nudges, place: self.nudges.get(place, 0.0) + change}
        self.dry = after
        self.planes = Planes(after.piece)
        return self.rules(after)

    def best(self, findings: list[Finding]) -> Cause | None:
        """The change that leaves the least, tried for real."""
        stops = _asked(findings)
        spoiled = {self.dry.number[p] for f in stops for p in f.parts}
        figures = _needed(self.piece, spoiled)
        self.common = frozenset.intersection(*(self.sources(f) for f in stops))
        candidates = sorted(self._candidates(spoiled, figures), key=lambda c: (c.left, -c.merit))
        cause = self._proven(candidates[:TRIED], findings)
        for attempt in (by_amount, by_steps):
            if cause is None and self.has_time():
                candidates = sorted(attempt(self, stops, figures), key=lambda c: -c.merit)
                cause = self._proven(candidates[:TRIED], findings)
        return cause

    def _proven(self, candidates: list[Candidate], findings: list[Finding]) -> Cause | None:
        """The best of those that rid the piece of a whole fault, not of one end of it, and spoil nothing."""
        before = {key(f) for f in findings}
        stops = {key(f) for f in stops_of(findings)}
        faults_before = len(stops_of(folded(findings, self.dry)))
        results: list[tuple[int, float, Candidate, set[Key]]] = []
        for c in candidates:
            after = self.tried(c.figure, c.after - c.figure.value) if self.has_time() else None
            if after is None:
                continue
            left = self.rules(after)
            bad = {key(f) for f in stops_of(left)}
            faults = len(stops_of(folded(left, after)))
            if bad < stops and self.is_remedy(findings, left, faults, faults_before):
                evened = EVEN * (uneven(after.piece) < uneven(self.piece))
                results.append((len(bad), -c.merit - evened, c, before - {key(f) for f in left}))
        if not results:
            return None
        results.sort(key=lambda r: r[:2])
        least, demerit, best, gone = results[0]
        equal = [c for n, m, c, _ in reversed(results) if n == least and m - demerit < RIVAL]
        others = {c.figure.place: (c.figure, c.after) for c in equal}
        del others[best.figure.place]
        rivals = tuple(reversed(others.values()))[:MOST_RIVALS]
        return Cause(best.figure, best.after, tuple(f for f in findings if key(f) in gone), rivals)

    def _candidates(self, spoiled: set[int], figures: list[Figure]) -> Iterator[Candidate]:
        """For each number the change that leaves the fewest rows out of their bands, where it mends any."""
        rows = rows_of(self.dry, spoiled)
        values, least, most = (np.array([getattr(r, k) for r in rows]) for k in ("value", "least", "most"))
        off = (values < least - 1e-9) | (values > most + 1e-9)
        if not off.any():
            return
        for figure in figures:
            slopes = self._slopes(rows, figure) if self.has_time() else None
            if slopes is None or not ((np.abs(slopes) > FLAT) & off).any():
                continue
            span = best_interval(values, slopes, least, most, FARTHEST[figure.is_angle])
            if span is None or span[0] >= int(off.sum()):
                continue
            after = self.chosen(figure, span[1], span[2])
            moved = np.abs(slopes) > FLAT
            share = float((moved & off).sum() / moved.sum())
            if is_likely(figure, after) and abs(after - figure.value) > NO_CHANGE:
                yield Candidate(figure, after, span[0], self.merit(figure, after, share))

    def _slopes(self, rows: list[Row], figure: Figure) -> Floats | None:
        """How far each row's value moves for each mm or degree that a number grows."""
        piece = self.again(figure, HAIR)
        if piece is None:
            return None
        planes = Planes(piece)
        out = np.zeros(len(rows))
        for k, row in enumerate(rows):
            here, there = self.planes.value(row), planes.value(row)
            if here is not None and there is not None:
                out[k] = (there - here) / HAIR
        return out


def _needed(piece: Piece, spoiled: set[int]) -> list[Figure]:
    """The numbers that the spoiled parts depend on: their own, and those that these name, and so on."""
    wanted: set[str] = set()
    for part in (piece.parts[i] for i in spoiled):
        wanted |= {part.id, *part.id.split("."), part.source}
        if part.stock:
            wanted.add(part.stock.name)
    found: dict[Place, Figure] = {}
    while more := [n for n in piece.figures if n.place not in found and wanted & set(n.owners)]:
        for figure in more:
            found[figure.place] = figure
            wanted |= set(figure.needs)
    return list(found.values())
