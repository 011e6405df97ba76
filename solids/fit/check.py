"""The check: every rule on a piece put together dry, and one finding for each cause."""

from __future__ import annotations

import time
from dataclasses import dataclass

from solids.fit.dryfit import DryFit, dry_fit
from solids.fit.explained import explained
from solids.fit.rules import RULES
from solids.fit.scene import Solid
from solids.fit.search import causes
from solids.model.finding import Finding, Severity
from solids.model.piece import Piece

_ORDER = {Severity.STOP: 0, Severity.WARN: 1, Severity.NOTE: 2}


@dataclass(frozen=True, slots=True)
class Report:
    """What was found on a piece; `seconds` by stage."""

    piece: Piece
    findings: tuple[Finding, ...]
    dry: DryFit
    seconds: dict[str, float]

    @property
    def fits(self) -> bool:
        """Whether nothing stops it."""
        return all(f.severity is not Severity.STOP for f in self.findings)


def check(piece: Piece, solids: tuple[Solid, ...] | None = None) -> Report:
    """Put the piece together dry and say what does not fit."""
    start = time.perf_counter()
    dry = dry_fit(piece, solids)
    measured = time.perf_counter()
    raw = found(dry)
    ruled = time.perf_counter()
    findings = sorted(explained(raw, causes(dry, _open_questions(raw), found), dry), key=_rank)
    done = time.perf_counter()
    seconds = {"measure": measured - start, "rules": ruled - measured, "causes": done - ruled}
    return Report(piece, tuple(findings), dry, seconds)


def _open_questions(findings: list[Finding]) -> list[Finding]:
    """The findings of which no rule knows the cause already, as it does of stock that is not what it is called."""
    settled = {tuple(sorted(f.parts)) for f in findings if f.cause}
    return [f for f in findings if tuple(sorted(f.parts)) not in settled]


def found(dry: DryFit) -> list[Finding]:
    """What every rule finds, not yet folded."""
    return [f for rule in RULES for f in rule.check(dry)]


def _rank(f: Finding) -> tuple[int, str, str, tuple[str, ...], str]:
    place = f"{f.place.line:06d}:{f.place.column:04d}" if f.place else ""
    return _ORDER[f.severity], place, f.kind, f.parts, f.message
