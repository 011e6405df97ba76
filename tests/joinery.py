"""Small pieces for tests of joints and of the fit: written as a maker writes them, read and measured."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path

from solids.fit.cause import folded
from solids.fit.dryfit import DryFit, dry_fit
from solids.fit.rules import RULES
from solids.fit.scene import solids_of
from solids.model.finding import Finding, Severity
from solids.model.part import Part
from solids.model.piece import Piece
from solids.spec.reader import from_text

SPECS = Path(__file__).parent.parent / "specs"
SOUND = sorted(SPECS.glob("*.yaml"))
FAULTS = sorted((SPECS / "faults").glob("*.yaml"))
# The counter has seventy parts: what is tried on every fault many times over goes without its own.
PLAIN_FAULTS = [p for p in FAULTS if "made from: library-counter" not in p.read_text(encoding="utf-8")]
WOOD = "{wood: sugar maple, thickness: 20}"


def text(
    parts: Iterable[str], joints: Iterable[str] = (), stock: str = f"wood: {WOOD}", more: str = "", units: str = "mm"
) -> str:
    """A spec in mm from the lines of its parts and joints."""
    lines = ["title: test", f"units: {units}", f"stock: {{{stock}}}", *([more] if more else []), "parts:"]
    lines += [f"  {p}" for p in parts]
    asked = [f"  - {j}" for j in joints]
    return "\n".join(lines + (["joints:", *asked] if asked else [])) + "\n"


def board(name: str, size: str, at: str, length: str, face: str, more: str = "") -> str:
    """One part's line."""
    rest = f", {more}" if more else ""
    return f"{name}: {{stock: wood, size: {size}, place: {{at: {at}, length: {length}, face: {face}}}{rest}}}"


def piece(parts: Iterable[str], joints: Iterable[str] = (), **more: str) -> Piece:
    return from_text(text(parts, joints, **more))


@dataclass(frozen=True)
class Fit:
    """A piece put together dry, and what the rules say of it, without the search for a cause."""

    piece: Piece
    dry: DryFit
    findings: tuple[Finding, ...]


def fit(p: Piece) -> Fit:
    measured = dry_fit(p)
    return Fit(p, measured, tuple(folded([f for rule in RULES for f in rule.check(measured)], measured)))


def dry(parts: Iterable[str], joints: Iterable[str] = (), **more: str) -> Fit:
    """What the rules say of a small piece."""
    return fit(piece(parts, joints, **more))


def gone(part: Part) -> float:
    """What the cuts of a part take away, in mm³."""
    x, y, z = part.blank.size
    return float(x * y * z - solids_of((part,))[0].faces.volume)


def stops(report: Fit) -> list[Finding]:
    return [f for f in report.findings if f.severity is Severity.STOP]


def everything(findings: Iterable[Finding]) -> list[Finding]:
    """Findings with all that is folded under them."""
    out: list[Finding] = []
    for f in findings:
        out += [f, *everything(f.folded)]
    return out


def told(report: Fit) -> str:
    return "\n".join(f"{f.severity.value} {f.kind} {f.parts}: {f.message}" for f in report.findings)
