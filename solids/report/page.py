"""The report as one page: nothing is fetched from anywhere, and the same report gives the same bytes."""

from __future__ import annotations

import base64
import hashlib
from collections.abc import Iterator
from dataclasses import dataclass
from importlib.resources import files
from typing import Any

import numpy as np
from jinja2 import Environment, StrictUndefined
from markupsafe import Markup, escape

from solids.fit.check import Report
from solids.fit.deviation import summary_words
from solids.fit.rules import RULES
from solids.model.finding import Finding, Severity, printable
from solids.model.limits import Band
from solids.picture.write import Pictures, png
from solids.report.page_pictures import pictures_of, whole
from solids.report.text import is_named, shown_edit, summary
from solids.units import Units, show, show_small

PREVIEW = (960, 600)  # px, drawn half as large: sharp on a fine screen
GROUPS = (
    (Severity.STOP, "Stops", "It can't go together like this, or will be plainly wrong."),
    (Severity.WARN, "Warnings", "It goes together; a careful maker would change it."),
    (Severity.NOTE, "Notes", "Perhaps as it is meant."),
)
LIMIT_WORDS = {
    "glue": "glued joints: gap",
    "slip": "slip fits: room in width",
    "seat": "slip fits: room at the floor",
    "loose": "loose fits: room",
    "step": "flush faces: step, at most",
    "lip": "miters: bare strip, at most",
    "wood_left": "wood left between two surfaces, at least",
}


@dataclass(frozen=True, slots=True)
class Told:
    """One finding as the page has it."""

    number: int
    kind: str
    severity: str
    message: str
    cause: str
    advice: str
    edits: tuple[str, ...]
    edits_at: str
    place: str
    below: tuple[str, ...]
    pictures: tuple[Markup, ...]
    caption: str


def page(report: Report, name: str) -> str:
    """The whole page, as HTML."""
    folder = files("solids.report") / "page"
    style = (folder / "page.css").read_text(encoding="utf-8")
    digest = base64.b64encode(hashlib.sha256(style.encode()).digest()).decode()
    environment = Environment(autoescape=True, undefined=StrictUndefined, trim_blocks=True, lstrip_blocks=True)
    template = environment.from_string((folder / "page.html").read_text(encoding="utf-8"))
    return template.render(style=Markup(style), digest=digest, **_data(report, name))


def _data(report: Report, name: str) -> dict[str, Any]:
    units = report.piece.told_in
    told = [_told(report, n, f) for n, f in enumerate(report.findings, 1)]
    groups = [
        {"word": word, "severity": severity.value, "says": says, "findings": found}
        for severity, word, says in GROUPS
        if (found := [t for t in told if t.severity == severity.value])
    ]
    return {
        "title": printable(report.piece.title) or printable(name),
        "verdict": printable(summary(report, name)),
        "fits": report.fits,
        "measured": [printable(summary_words(m, units)) for m in report.harmless],
        "cautions": [printable(c) for c in report.cautions],
        "whole": _shown(report),
        "groups": groups,
        "sizes": _overall(report, units),
        "parts": list(_parts(report, units)),
        "limits": _limits(report, units),
        "kinds": sorted({k for rule in RULES for k in rule.kinds}),
        "pairs": report.dry.pairs_checked,
        "source": printable(name),
    }


def _shown(report: Report) -> Markup:
    """The piece with its findings marked; where there are none, as it will look."""
    pictures = Pictures(report.dry, PREVIEW)
    if report.findings or pictures.is_empty:
        return whole(report)
    data = base64.b64encode(png(pictures.preview())).decode()
    words = escape(f"{printable(report.piece.title)}, from the front, left and above")
    wide, high = PREVIEW
    return Markup(f'<img width="{wide // 2}" height="{high // 2}" alt="{words}" src="data:image/png;base64,{data}">')


def _told(report: Report, number: int, f: Finding) -> Told:
    pictures, caption = pictures_of(report, number, f)
    below = tuple(f"{g.kind}: {g.message}" for g in f.folded if not is_named(g, f))
    return Told(
        number, f.kind, f.severity.value, printable(f.message),
        printable(f.cause) if f.cause not in f.message else "", printable(f.advice),
        tuple(printable(shown_edit(e, report.piece.told_in)) for e in f.remedy),
        "At the bench" if "measured" in f.values else "In the spec",
        printable(str(f.place)) if f.place else "", tuple(printable(b) for b in below), pictures, caption,
    )  # fmt: skip


def _overall(report: Report, units: Units) -> str:
    low, high = report.dry.scene.part_low, report.dry.scene.part_high
    real = np.isfinite(low).all(1)
    if not real.any():
        return ""
    size = high[real].max(0) - low[real].min(0)
    words = ("wide", "deep", "high")
    return ", ".join(f"{show(float(s), units)} {w}" for s, w in zip(size, words, strict=True))


def _parts(report: Report, units: Units) -> Iterator[dict[str, str]]:
    for part, solid in zip(report.piece.parts, report.dry.scene.solids, strict=True):
        volume = solid.faces.volume
        mass = volume * part.stock.density * 1e-9 if part.stock else None
        yield {
            "id": printable(part.id),
            "stock": printable(part.stock.name) if part.stock else "none",
            "length": show(part.blank.length, units),
            "width": show(part.blank.width, units),
            "thickness": show(part.blank.thickness, units),
            "volume": f"{volume / 25.4**3:.1f} in³" if units == "in" else f"{volume / 1000:.1f} cm³",
            "mass": "" if mass is None else f"{mass / 0.45359237:.2f} lb" if units == "in" else f"{mass:.3f} kg",
        }


def _limits(report: Report, units: Units) -> list[tuple[str, str]]:
    """Each limit that the piece was held to, in words."""

    def shown(value: Any) -> str:
        if isinstance(value, Band):
            return f"{show_small(value.least, units)} to {show_small(value.most, units)}"
        return show_small(value, units)

    return [(words, shown(getattr(report.piece.limits, key))) for key, words in LIMIT_WORDS.items()]
