"""Pieces made of assemblies, for tests: read, checked, written out again, and put into other places."""

from __future__ import annotations

from functools import cache
from typing import Any

from solids.fit.check import Report, check
from solids.model.piece import Piece
from solids.spec.reader import from_text
from solids.spec.written import flat_id, written

STOCK = """\
  oak: {wood: white oak, thickness: 20 mm}
  ash: {wood: white ash, thickness: 12 mm}
  ply: {sheet: birch plywood, thickness: 6 mm}
"""


def text(*assemblies: str, more: str = "", units: str = "mm", stock: str = STOCK) -> str:
    """A spec of assemblies."""
    items = "\n".join(f"  - {a}" for a in assemblies)
    return f"title: Tried out\nunits: {units}\nstock:\n{stock}{more}assemblies:\n{items}\n"


@cache
def checked(spec: str) -> Report:
    """What the check says of a spec's text."""
    return check(from_text(spec, "s.yaml"))


def told(report: Report) -> list[str]:
    """Every finding, with what it is about."""
    return [f"{f.severity} {f.kind}: {f.message}" for f in report.findings]


def volume(report: Report, id_: str) -> float:
    """mm³ of a part, as the mesh has it."""
    i = next(k for k, p in enumerate(report.piece.parts) if p.id == id_)
    return float(report.dry.scene.solids[i].faces.volume)


def volumes(report: Report) -> dict[str, float]:
    """mm³ of every part, by its flat id."""
    return {flat_id(p.id): volume(report, p.id) for p in report.piece.parts}


def boxes(piece: Piece) -> dict[str, Any]:
    """The box round each blank, by flat id, to 1e-7 mm."""
    return {flat_id(p.id): tuple(tuple(round(c, 7) + 0.0 for c in v) for v in p.extents()) for p in piece.parts}


def expanded(report: Report) -> Report:
    """The check of the same piece with everything written out."""
    return checked(written(report.piece))


def refused(spec: str) -> list[str]:
    """The mistakes in a spec, each with its place."""
    from solids.model.finding import SpecError

    try:
        from_text(spec, "s.yaml")
    except SpecError as e:
        return [str(m) for m in e.mistakes]
    return []
