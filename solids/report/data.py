"""Findings for programs: one JSON object, values in full, always mm, degrees, mm³ and kg."""

from __future__ import annotations

import json
from typing import Any

import solids
from solids.fit.check import Report
from solids.model.finding import Finding
from solids.model.geometry import Vector
from solids.model.measured import Measure
from solids.report.moves import moves_data
from solids.report.year import year_data


def as_data(report: Report, name: str, *, timed: bool = True) -> dict[str, Any]:
    """The report as plain data; `timed` leaves the seconds in, which no two runs share."""
    return {
        "dryfit": solids.__version__,
        "spec": name,
        "title": report.piece.title,
        "verdict": "fits" if report.fits else "does not fit",
        "findings": [finding_data(f) for f in report.findings],
        "cautions": list(report.cautions),
        "moves": moves_data(report),
        "measured": [measure_data(m) for m in report.piece.measured],
        **_seasons(report),
        "parts": part_data(report),
        "pairs_checked": report.dry.pairs_checked,
        "seconds": {k: round(v, 6) for k, v in report.seconds.items()} if timed else {},
    }


def _seasons(report: Report) -> dict[str, Any]:
    """What the year does to it, where the spec says in what air it lives."""
    seasons = year_data(report.dry)
    return {} if seasons is None else {"seasons": seasons}


def as_json(report: Report, name: str, *, timed: bool = True) -> str:
    """The report as JSON text."""
    return json.dumps(as_data(report, name, timed=timed), indent=1, ensure_ascii=False, allow_nan=False) + "\n"


def finding_data(f: Finding) -> dict[str, Any]:
    """One finding, with those folded under it."""
    return {
        "kind": f.kind,
        "severity": f.severity.value,
        "parts": list(f.parts),
        "cuts": list(f.cuts),
        "at": _point(f.at),
        "box": [_point(f.box[0]), _point(f.box[1])] if f.box else None,
        "values": f.values,
        "allowed": f.allowed,
        "cause": f.cause,
        "remedy": [{"edit": e.target, "from": e.before, "to": e.after} for e in f.remedy],
        "advice": f.advice,
        "message": f.message,
        "place": {"file": f.place.file, "line": f.place.line, "column": f.place.column} if f.place else None,
        "folded": [finding_data(g) for g in f.folded],
    }


def measure_data(m: Measure) -> dict[str, Any]:
    """One number that came out otherwise than planned, in mm or degrees."""
    return {"name": m.name, "field": m.field, "parts": list(m.parts), "planned": m.planned, "measured": m.value}


def _point(v: Vector | None) -> list[float] | None:
    return [float(c) for c in v] if v is not None else None


def part_data(report: Report) -> list[dict[str, Any]]:
    """Every part: sizes of its blank, what is left of it, and the box it stands in."""
    scene = report.dry.scene
    out = []
    for i, part in enumerate(report.piece.parts):
        volume = scene.solids[i].faces.volume
        solid = volume > 0 and bool(len(scene.solids[i].faces.offset))
        out.append(
            {
                "id": part.id,
                "stock": part.stock.name if part.stock else None,
                "length": part.blank.length,
                "width": part.blank.width,
                "thickness": part.blank.thickness,
                "volume": volume,
                "mass": volume * part.stock.density * 1e-9 if part.stock else None,
                "box": [scene.part_low[i].tolist(), scene.part_high[i].tolist()] if solid else None,
                "cuts": [m.name for m in part.cuts],
            }
        )
    return out
