"""Small pieces for tests of joints and of the fit: written as a maker writes them, read and measured."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path

from solids.fit.check import Report, check
from solids.fit.scene import solids_of
from solids.model.finding import Finding, Severity
from solids.model.part import Part
from solids.model.piece import Piece
from solids.spec.reader import from_text

SPECS = Path(__file__).parent.parent / "specs"
SOUND = sorted(p for p in SPECS.glob("*.yaml"))
FAULTS = sorted((SPECS / "faults").glob("*.yaml"))
WOOD = "{wood: sugar maple, thickness: 20}"


def text(parts: Iterable[str], joints: Iterable[str] = (), stock: str = f"wood: {WOOD}", more: str = "", units: str = "mm") -> str:
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


def dry(parts: Iterable[str], joints: Iterable[str] = (), **more: str) -> Report:
    """What the check says of a small piece."""
    return check(piece(parts, joints, **more))


def gone(part: Part) -> float:
    """What the cuts of a part take away, in mm³."""
    x, y, z = part.blank.size
    return float(x * y * z - solids_of((part,))[0].faces.volume)


def stops(report: Report) -> list[Finding]:
    return [f for f in report.findings if f.severity is Severity.STOP]


def everything(findings: Iterable[Finding]) -> list[Finding]:
    """Findings with all that is folded under them."""
    out: list[Finding] = []
    for f in findings:
        out += [f, *everything(f.folded)]
    return out


def told(report: Report) -> str:
    return "\n".join(f"{f.severity.value} {f.kind} {f.parts}: {f.message}" for f in report.findings)
