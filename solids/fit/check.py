"""The check: every rule on a piece put together dry, and one finding for each cause."""

from __future__ import annotations

import time
from dataclasses import dataclass

from solids.fit.cause import folded
from solids.fit.dryfit import DryFit, dry_fit
from solids.fit.rules import RULES
from solids.fit.scene import Solid
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
    raw = [f for rule in RULES for f in rule.check(dry)]
    findings = sorted(folded(raw, dry), key=_rank)
    done = time.perf_counter()
    return Report(piece, tuple(findings), dry, {"measure": measured - start, "rules": done - measured})


def _rank(f: Finding) -> tuple[int, str, str, tuple[str, ...], str]:
    place = f"{f.place.line:06d}:{f.place.column:04d}" if f.place else ""
    return _ORDER[f.severity], place, f.kind, f.parts, f.message
