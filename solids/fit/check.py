"""The check: every rule on a piece put together dry, and one finding for each cause."""

from __future__ import annotations

import time
from collections.abc import Collection
from dataclasses import dataclass
from functools import cached_property
from importlib import import_module

from solids.fit.cautions import cautions
from solids.fit.deviation import Deviation, deviations, key, told
from solids.fit.dryfit import DryFit, dry_fit
from solids.fit.explained import explained
from solids.fit.motion import Way, ways
from solids.fit.rules import RULES
from solids.fit.scene import Solid
from solids.fit.search import causes
from solids.model.finding import Finding, Severity
from solids.model.measured import Measure
from solids.model.piece import Piece

_ORDER = {Severity.STOP: 0, Severity.WARN: 1, Severity.NOTE: 2}


@dataclass(frozen=True)
class Report:
    """What was found on a piece; `seconds` by stage; `harmless` came out otherwise than planned and spoils nothing."""

    piece: Piece
    findings: tuple[Finding, ...]
    dry: DryFit
    seconds: dict[str, float]
    harmless: tuple[Measure, ...] = ()

    @property
    def fits(self) -> bool:
        """Whether nothing stops it."""
        return all(f.severity is not Severity.STOP for f in self.findings)

    @cached_property
    def ways(self) -> tuple[Way, ...]:
        """The way of everything that moves, with the room beside it."""
        return ways(self.dry) if self.piece.bodies else ()

    @cached_property
    def cautions(self) -> tuple[str, ...]:
        """What a maker is to think of beyond the fit."""
        return cautions(self.dry)

    def _repr_html_(self) -> str:
        """The checked piece in a notebook; found by name, as `Piece` does."""
        shown: str = import_module("solids.notebook").html_of_report(self)
        return shown


def check(piece: Piece, solids: tuple[Solid, ...] | None = None) -> Report:
    """Put the piece together dry and say what does not fit."""
    start = time.perf_counter()
    dry = dry_fit(piece, solids)
    measured = time.perf_counter()
    raw = found(dry)
    ruled = time.perf_counter()
    off = deviations(dry, raw, found)
    findings = sorted([*(told(d, dry, found, len(off)) for d in off), *_by_plan(raw, off, dry)], key=_rank)
    done = time.perf_counter()
    seconds = {"measure": measured - start, "rules": ruled - measured, "causes": done - ruled}
    spoiling = {d.measure for d in off}.union(*(d.others for d in off))
    return Report(piece, tuple(findings), dry, seconds, tuple(m for m in piece.measured if m.off and m not in spoiling))


def _by_plan(raw: list[Finding], off: list[Deviation], dry: DryFit) -> list[Finding]:
    """What is found whatever the wood measures, by its causes."""
    told_already = {key(f) for d in off for f in d.findings}

    def rest(dry: DryFit, but: Collection[str] = ()) -> list[Finding]:
        return [f for f in found(dry, but) if key(f) not in told_already]

    left = [f for f in raw if key(f) not in told_already]
    return explained(left, causes(dry, _open_questions(left), rest), dry)


def _open_questions(findings: list[Finding]) -> list[Finding]:
    """The findings of which no rule knows the cause already, as it does of stock that is not what it is called."""
    settled = {tuple(sorted(f.parts)) for f in findings if f.cause}
    return [f for f in findings if tuple(sorted(f.parts)) not in settled]


def found(dry: DryFit, but: Collection[str] = ()) -> list[Finding]:
    """What every rule finds, but for those named; not yet folded."""
    return [f for rule in RULES if rule.name not in but for f in rule.check(dry)]


def _rank(f: Finding) -> tuple[int, str, str, tuple[str, ...], str]:
    place = f"{f.place.line:06d}:{f.place.column:04d}" if f.place else ""
    return _ORDER[f.severity], place, f.kind, f.parts, f.message
