"""The search for a cause: which one number of the spec, changed a little, mends the most.

Each number that the spoiled parts depend on is changed by a hair and only the
planes are worked out again: that gives the slope of every row. In one dimension
the best change is then exact. The best few are tried for real, on solids, and
what is left decides; a change that spoils something else is no remedy.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator
from dataclasses import dataclass
from typing import ClassVar, Protocol

import numpy as np

from solids.fit.cause import folded
from solids.fit.change import FARTHEST, FLAT, HAIR, best_interval, is_likely, round_values
from solids.fit.dryfit import DryFit, dry_fit
from solids.fit.level import by_level
from solids.fit.merit import from_names, merit
from solids.fit.needed import concerns, needed, spoiled_by
from solids.fit.ranking import Tried, ranked, rivals
from solids.fit.rows import Planes, Row, rows_of
from solids.fit.rules import RULES
from solids.fit.scene import Solid, solids_of
from solids.fit.trials import Attempt, Candidate, by_amount, by_next_amount, by_steps, key
from solids.kernel.mesh import Floats
from solids.model.finding import Finding, Place, Severity, SpecError
from solids.model.piece import Figure, Piece

NO_CHANGE = 1e-6  # mm or degrees
MOST_VALUES = 2  # of one number that are tried
TRIED = 16  # candidates tried for real
COMMON = 0.4  # merit of a figure of a part that every fault is at
WORK = 16_000  # parts read again, at most, in the whole search; counted, not timed, so that two runs say the same
SHARE = 3  # by what the work that is left is shared by the ways of trying one after another
AT_LEAST = 14  # parts that a reading counts as: a small piece takes its time, too
TOOLS = 2  # runs of a tool that take as long to work out as a part
MEASURED = 5  # times as much work to put a part together as to read it
MOST_PARTS = 300
MOST_CAUSES = 3
OF_NO_NUMBER = (
    "tool-limit", "season-closes", "season-opens", "cross-grain", "sag", "travel", "swing", "passage",
    "heavy", "not-listed", "no-stock", "trapped", "no-reach",
)  # fmt: skip
# Rules that take longer than all others together: no trial asks them, but where it is their finding that is tried.
SLOW = ("edge", "wood", "trapped", "season", "motion", "passage", "rack")
Nudges = dict[Place, float]


class Rules(Protocol):
    """What the rules find on a piece, but for the rules named."""

    def __call__(self, dry: DryFit, but: Collection[str] = ()) -> list[Finding]: ...


@dataclass(frozen=True, slots=True)
class Cause:
    """A number of the spec that explains findings, with the value that mends them, in mm or degrees.

    `rivals` are other numbers that explain as much, each with its value; `left` is what is found on the mended piece.
    """

    figure: Figure
    after: float
    mended: tuple[Finding, ...]
    rivals: tuple[tuple[Figure, float], ...]
    left: tuple[Finding, ...]
    mended_fit: DryFit


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


def warned(findings: list[Finding], left: list[Finding]) -> bool:
    """Whether a change brings a warning that was not there: a thin floor is no cure for one that is gone."""
    before = {key(f) for f in findings}
    return any(f.severity is Severity.WARN and key(f) not in before for f in left)


def _taken(piece: Piece) -> int:
    """How often a tool takes wood away: each hole of a row counts."""
    return sum(len(made.cut.waste(part.blank)) for part in piece.parts for made in part.cuts)


class Search:
    """One piece, with the changes that have been accepted so far."""

    attempts: ClassVar[tuple[Attempt, ...]] = (by_amount, by_next_amount, by_steps)  # where the rows tell of no cause
    looks_for_level: ClassVar[bool] = True  # where the rows tell of less than the whole

    def __init__(self, dry: DryFit, rules: Rules) -> None:
        self.dry = dry
        self.rules = rules
        self.nudges: Nudges = {}
        self.known: dict[str, Solid] = {s.shape.key: s for s in dry.scene.solids}
        self.work = WORK
        self.kept_back = 0
        self.hairs: dict[Place, Piece | None] = {}
        self.one_reading = max(AT_LEAST, len(dry.piece.parts), _taken(dry.piece) // TOOLS)
        self.planes = Planes(dry.piece)
        self.common: frozenset[str] = frozenset()
        self.unasked: frozenset[str] = frozenset()

    def sources(self, finding: Finding) -> frozenset[str]:
        """The parts of a finding as the spec names them."""
        ids = [self.dry.part(self.dry.number[p]).source for p in finding.parts]
        return frozenset(step for id_ in ids for step in id_.split("."))

    def merit(self, figure: Figure, after: float, share: float) -> float:
        """How likely a figure is the wrong one; more so where it is of a part that every fault is at."""
        return merit(self.piece, figure, after, share) + COMMON * bool(self.common & set(figure.owners))

    def values(self, figure: Figure, low: float, high: float) -> list[float]:
        """The likeliest values within an interval of changes: what the names of a formula come to, and round ones."""
        named = from_names(self.piece, figure)
        named = named[(named >= figure.value + low - NO_CHANGE) & (named <= figure.value + high + NO_CHANGE)]
        found = [*named.tolist(), *round_values(figure, low, high, self.piece.units == "in")]
        changed = [v for v in found if abs(v - figure.value) > NO_CHANGE and is_likely(figure, v)]
        return sorted(changed, key=lambda v: -self.merit(figure, v, 1.0))[:MOST_VALUES]

    def is_remedy(self, before: list[Finding], left: list[Finding], faults: int, faults_before: int) -> bool:
        """Whether a change that leaves fewer stops rids the piece of a whole fault, and not of one end of it."""
        return faults < faults_before

    def has_time(self) -> bool:
        """Whether there is work left to spend."""
        return self.work > self.kept_back

    @property
    def piece(self) -> Piece:
        return self.dry.piece

    def again(self, figure: Figure, change: float) -> Piece | None:
        """The piece with one more number changed; None where it can't be read so, or has other parts then."""
        assert self.piece.again is not None
        self.work -= self.one_reading
        nudges = {**self.nudges, figure.place: self.nudges.get(figure.place, 0.0) + change}
        try:
            piece = self.piece.again(nudges)
        except SpecError:
            return None
        return piece if [p.id for p in piece.parts] == [p.id for p in self.piece.parts] else None

    def tried(self, figure: Figure, change: float, findings: list[Finding] | None = None) -> DryFit | None:
        """The same, put together and measured; None, too, where it is all one to every one of these findings."""
        piece = self.again(figure, change)
        if piece is None or (findings and not any(concerns(self.dry, piece, f) for f in findings)):
            return None
        self.work -= MEASURED * self.one_reading
        return dry_fit(piece, solids_of(piece.parts, self.known))

    def mend(self, cause: Cause) -> list[Finding]:
        """Accept a change that was tried; returns what is still found."""
        place, change = cause.figure.place, cause.after - cause.figure.value
        self.nudges = {**self.nudges, place: self.nudges.get(place, 0.0) + change}
        self.dry = cause.mended_fit
        self.planes = Planes(self.dry.piece)
        self.hairs = {}
        return list(cause.left)

    def looked(self, dry: DryFit, finding: Finding | None = None) -> list[Finding]:
        """What the quick rules find on a trial, and those whose findings are tried; of one finding, its own rule."""
        if finding is None:
            return self.rules(dry, self.unasked)
        return self.rules(dry, frozenset(r.name for r in RULES if finding.kind not in r.kinds))

    def best(self, findings: list[Finding]) -> Cause | None:
        """The change that leaves the least, tried for real."""
        stops = _asked(findings)
        spoiled = spoiled_by(self.dry, stops)
        figures = needed(self.piece, spoiled)
        self.unasked = frozenset(r.name for r in RULES if r.name in SLOW and not {f.kind for f in stops} & set(r.kinds))
        self.common = frozenset.intersection(*(self.sources(f) for f in stops))
        tried = self._tried(self._by_rows(spoiled, figures), findings)
        if self.looks_for_level and not any(t.left == 0 for t in tried):
            tried += self._tried(by_level(self, stops, figures), findings)
        return self._proven(tried, findings) or self._attempted(stops, figures, findings)

    def _attempted(self, stops: list[Finding], figures: list[Figure], findings: list[Finding]) -> Cause | None:
        """The first cause that trying by other ways finds, each with its share of the work that is left."""
        shares = {n.place: self._share(n, stops) for n in figures}
        figures = [n for n in figures if shares[n.place] == max(shares.values())]
        cause = None
        for attempt in self.attempts:
            self.kept_back = max(0, self.work - WORK // SHARE)
            cause = self._proven(self._tried(attempt(self, stops, figures), findings), findings)
            if cause is not None:
                break
        self.kept_back = 0
        return cause

    def _share(self, figure: Figure, stops: list[Finding]) -> int:
        """How many of the findings a number has to do with: the one behind them all has with every one."""
        after = self.hair(figure)
        return sum(concerns(self.dry, after, f) for f in stops) if after else 0

    def hair(self, figure: Figure) -> Piece | None:
        """The piece with one number a hair larger; read once."""
        if figure.place not in self.hairs:
            self.hairs[figure.place] = self.again(figure, HAIR)
        return self.hairs[figure.place]

    def _tried(self, candidates: Iterator[Candidate], findings: list[Finding]) -> list[Tried]:
        """The best of the candidates tried for real: those that rid the piece of a whole fault and spoil nothing."""
        faults = self.faults(findings, self.dry)
        found: list[Tried] = []
        best = sorted(candidates, key=lambda c: (c.left, -c.merit)) if self.has_time() else []
        for c in dict.fromkeys(best[:TRIED]):  # few: done even where the work for finding them is spent
            after = self.tried(c.figure, c.after - c.figure.value)
            left = self.looked(after) if after else []
            if after and self.mends(findings, left, after, faults):
                found.append(Tried(c, len(stops_of(left)), after))
        return found

    def _proven(self, tried: list[Tried], findings: list[Finding]) -> Cause | None:
        """The likeliest of what was tried that all the rules agree on."""
        faults = self.faults(findings, self.dry)
        results = ranked(tried, self.piece)
        for k, best in enumerate(results):
            left = self.rules(best.dry)
            if self.mends(findings, left, best.dry, faults) and not warned(findings, left):
                gone = {key(f) for f in findings} - {key(f) for f in left}
                mended = tuple(f for f in findings if key(f) in gone)
                return Cause(best.figure, best.after, mended, rivals(results[k:]), tuple(left), best.dry)
        return None

    def mends(self, findings: list[Finding], left: list[Finding], after: DryFit, faults: int) -> bool:
        """Whether less stops the piece than before, and nothing new."""
        before, now = ({key(f) for f in stops_of(fs)} for fs in (findings, left))
        return now < before and self.is_remedy(findings, left, self.faults(left, after), faults)

    def faults(self, findings: list[Finding], dry: DryFit) -> int:
        """How many faults stop it, one for each cause."""
        return len(stops_of(folded(findings, dry)))

    def _by_rows(self, spoiled: set[int], figures: list[Figure]) -> Iterator[Candidate]:
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
            moved = np.abs(slopes) > FLAT
            share = float((moved & off).sum() / moved.sum())
            for after in self.values(figure, span[1], span[2]):
                yield Candidate(figure, after, span[0], self.merit(figure, after, share))

    def _slopes(self, rows: list[Row], figure: Figure) -> Floats | None:
        """How far each row's value moves for each mm or degree that a number grows."""
        piece = self.hair(figure)
        if piece is None:
            return None
        planes = Planes(piece)
        out = np.zeros(len(rows))
        for k, row in enumerate(rows):
            here, there = self.planes.value(row), planes.value(row)
            if here is not None and there is not None:
                out[k] = (there - here) / HAIR
        return out
