"""The comparison as one page for whoever orders the piece: nothing is fetched, and it asks for a signature."""

from __future__ import annotations

import base64
import hashlib
from importlib.resources import files
from typing import Any

from jinja2 import Environment, StrictUndefined
from markupsafe import Markup

from solids.compare.difference import Difference, PartChange
from solids.compare.words import STATES, alike, size_words, summary, verdict
from solids.fit.check import Report
from solids.model.finding import printable
from solids.report.page_pictures import svg
from solids.report.picture import Panel, panel
from solids.report.visible import View
from solids.units import Units

SIZE = (330.0, 300.0)  # px that each picture may take


def page(d: Difference, old: str, new: str, units: Units) -> str:
    """The whole page, as HTML."""
    style = files("solids.report").joinpath("page", "page.css").read_text(encoding="utf-8")
    style += files("solids.compare").joinpath("page.css").read_text(encoding="utf-8")
    digest = base64.b64encode(hashlib.sha256(style.encode()).digest()).decode()
    environment = Environment(autoescape=True, undefined=StrictUndefined, trim_blocks=True, lstrip_blocks=True)
    template = environment.from_string(files("solids.compare").joinpath("page.html").read_text(encoding="utf-8"))
    return template.render(style=Markup(style), digest=digest, **_data(d, old, new, units))


def _data(d: Difference, old: str, new: str, units: Units) -> dict[str, Any]:
    changed = {p.id for p in d.parts if p.state != "good"} | {p.id for p in d.parts if p.was}
    drawing = d.new.piece.drawing
    return {
        "title": printable(d.new.piece.title) or printable(new),
        "old": printable(old),
        "new": printable(new),
        "fits": d.new.fits,
        "summary": printable(summary(d)),
        "verdict": verdict(d),
        "overall": [printable(size_words(s, units)) for s in d.overall],
        "pictures": _pictures(d, changed, old, new),
        "groups": [
            {"title": title, "says": says, "count": len(found), "state": state, "rows": _rows(found, units)}
            for state, (title, says) in STATES.items()
            if (found := d.of(state))
        ],
        "come": [_told(f.severity.value, f.kind, f.message, f.advice) for f in d.come],
        "gone": [_told(f.severity.value, f.kind, f.message, "") for f in d.gone],
        "left": len(d.left),
        "drawing": [(printable(k), printable(v)) for k, v in drawing.items()],
    }


def _rows(parts: tuple[PartChange, ...], units: Units) -> list[dict[str, str | list[str]]]:
    """What is said of parts; those of which the same is said together."""
    return [
        {"ids": printable(", ".join(ids)), "said": [printable(w) for w in said]} for said, ids in alike(parts, units)
    ]


def _told(severity: str, kind: str, message: str, advice: str) -> dict[str, str]:
    return {"severity": severity, "kind": kind, "message": printable(message), "advice": printable(advice)}


def _pictures(d: Difference, changed: set[str], old: str, new: str) -> list[dict[str, Any]]:
    """Both states to one scale: what grows is drawn larger."""
    large = [_panel(report, changed, 1.0) for report in (d.old, d.new)]
    scale = min(SIZE[0] / max(p.width for p in large), SIZE[1] / max(p.height for p in large))
    return [
        _picture(report, changed, word, name, scale)
        for report, word, name in ((d.old, "before", old), (d.new, "after", new))
    ]


def _picture(report: Report, changed: set[str], word: str, name: str, scale: float) -> dict[str, Any]:
    shown = _panel(report, changed, scale)
    drawn = svg(shown, word, f"{word}: {report.piece.title}", f"The piece {word}, from the front, right and above")
    return {"word": word, "name": printable(name), "svg": drawn, "some": _is_some(report, changed)}


def _panel(report: Report, changed: set[str], scale: float) -> Panel:
    """The whole piece, what changed in blue; nothing where the cuts leave no wood."""
    solids = report.dry.scene.solids
    real = [k for k, s in enumerate(solids) if s.faces.volume > 0 and len(s.faces.offset)]
    return panel(
        [report.piece.parts[k] for k in real], solids=[solids[k] for k in real], view=View.of(35, 28), size=SIZE,
        highlight=(lambda part, made: part.id in changed) if _is_some(report, changed) else None, scale=scale,
    )  # fmt: skip


def _is_some(report: Report, changed: set[str]) -> bool:
    """Whether some parts changed and some did not: else there is nothing to tell apart."""
    return 0 < len([p for p in report.piece.parts if p.id in changed]) < len(report.piece.parts)
