"""What findings have to do with: the parts that they spoil, and the numbers of the spec that these depend on."""

from __future__ import annotations

from dataclasses import replace

from solids.fit.dryfit import DryFit
from solids.model.finding import Finding, Place
from solids.model.piece import Figure, Piece


def spoiled_by(dry: DryFit, findings: list[Finding]) -> set[int]:
    """The parts of the findings, by number; of a finding about one part, those too that it is joined to."""
    spoiled = {dry.number[p] for f in findings for p in f.parts}
    alone = {p for f in findings if len(f.parts) == 1 for p in f.parts}
    joined = (j for j in dry.piece.joints if {j.a, j.b} & alone)
    return spoiled | {dry.number[p] for j in joined for p in (j.a, j.b)}


def needed(piece: Piece, spoiled: set[int]) -> list[Figure]:
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


def concerns(dry: DryFit, after: Piece, finding: Finding) -> bool:
    """Whether a changed piece differs in anything that a finding is about: its parts, their joints, or what is common.

    The changed piece must have the same parts in the same order.
    """
    before = dry.piece
    if any(before.parts[i] != after.parts[i] for i in spoiled_by(dry, [finding])):
        return True
    if len(before.joints) != len(after.joints):
        return True
    for a, b in zip(before.joints, after.joints, strict=True):
        if a != b and {a.a, a.b} & set(finding.parts):
            return True
    return replace(before, parts=(), joints=()) != replace(after, parts=(), joints=())
