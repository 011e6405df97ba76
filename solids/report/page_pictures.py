"""The pictures of the page: the whole piece with each finding's number, and each place cut open."""

from __future__ import annotations

from collections.abc import Iterator
from html import escape

import numpy as np
from markupsafe import Markup

from solids.fit.check import Report
from solids.kernel.mesh import Floats
from solids.model.finding import Finding, Severity, printable
from solids.report.page_bored import bored_place
from solids.report.page_open import opened
from solids.report.page_place import Place, place_of
from solids.report.page_plain import plain_picture
from solids.report.page_section import section
from solids.report.page_spot import spot_of
from solids.report.picture import PAPER, Panel, Pin, panel
from solids.report.visible import View

WHOLE = (430.0, 360.0)  # px that the whole piece may take
DRAWN: dict[str, str] = {
    "gap": "gap drawn {} times as wide",
    "clash": "common wood drawn {} times as deep",
    "play": "difference drawn {} times as wide",
    "step": "step drawn {} times as high",
    "angle": "opening drawn {} times as wide",
}
COLOURS: dict[tuple[str, str], str] = {
    ("", "gap"): "yellow is where wood is lacking",
    ("", "clash"): "red is wood that both take up",
    ("", "web"): "red is the wood left",
    ("gap", "gap"): "yellow is the gap between the two",
    ("step", "clash"): "red stands proud",
    ("strip", "gap"): "yellow is the strip left bare",
}


def pictures_of(report: Report, number: int, f: Finding) -> tuple[tuple[Markup, ...], str]:
    """The place cut open where a cut shows it, else the plainer picture; and what was done to show it."""
    if not f.parts:
        return (), ""
    spot = spot_of(report.dry, f)
    place = place_of(report.dry, spot) if spot is not None else bored_place(report.dry, f)
    if place is None:
        shown, how = plain_picture(report.dry, f)
        return (svg(shown, f"f{number}a", f"Finding {number}, {f.kind}", f"{f.message}. {how}"),), _sentence(how)
    how = how_drawn(place)
    title, says = f"Finding {number}, {f.kind}: the place cut open", f"{f.message}. {how}"
    return (
        svg(opened(report.dry, place), f"f{number}a", f"{title}, seen aslant", says),
        svg(section(place, report.piece.parts), f"f{number}b", f"{title}, seen straight on", says),
    ), _sentence(how)


def how_drawn(place: Place) -> str:
    """From where one looks, what the colour is, and how much larger it is drawn than it is."""
    kind = place.spot.kind
    colour = (
        place.spot.texts[1] if kind == "bored" else COLOURS.get((kind, place.colouring)) or COLOURS["", place.colouring]
    )
    larger = DRAWN.get(kind, "drawn {} times as wide").format(place.factor) if place.factor > 1 else ""
    pulled = "drawn pulled up tight" if kind == "angle" else ""
    shown = f"shown is one of the places: {place.spot.said}" if place.spot.said else ""
    return "; ".join(filter(None, [_seen_from(place), colour, pulled, larger, shown]))


def _seen_from(place: Place) -> str:
    toward = place.view.toward
    axis = int(np.argmax(np.abs(np.round(toward, 6))))
    words = (("the left", "the right"), ("the front", "the rear"), ("below", "above"))
    aslant = "" if abs(toward[axis]) > 0.999 else ", at a slant"
    return f"cut open and seen from {words[axis][int(toward[axis] > 0)]}{aslant}"


def _sentence(text: str) -> str:
    return printable(text[:1].upper() + text[1:] + ".") if text else ""


def svg(shown: Panel, id_: str, title: str, says: str) -> Markup:
    """A picture with a name and words for those who can't see it."""
    wide, high = f"{shown.width:.0f}", f"{shown.height:.0f}"
    return Markup(
        f'<svg role="img" aria-labelledby="{id_}t {id_}d" width="{wide}" height="{high}" viewBox="0 0 {wide} {high}" '
        'font-family="sans-serif" font-size="12" stroke-linejoin="round" stroke-linecap="round">'
        f'<title id="{id_}t">{escape(printable(title))}</title><desc id="{id_}d">{escape(printable(says))}</desc>'
        f'<rect width="{wide}" height="{high}" fill="{PAPER}"/>' + "\n".join(shown.elements) + "</svg>"
    )


def whole(report: Report) -> Markup:
    """The whole piece, the parts of findings in blue, each finding with its number."""
    solid = [k for k, s in enumerate(report.dry.scene.solids) if s.faces.volume > 0 and len(s.faces.offset)]
    if not solid:
        return Markup("")
    parts = [report.piece.parts[k] for k in solid]
    faulty = {p for f in report.findings if f.severity is not Severity.NOTE for p in f.parts}
    some = 0 < len(faulty) < len(parts)
    shown = panel(
        parts, solids=[report.dry.scene.solids[k] for k in solid], view=View.of(35, 28), size=WHOLE,
        highlight=(lambda part, made: part.id in faulty) if some else None, pins=list(_pins(report)),
    )  # fmt: skip
    says = f"The whole piece from the front, right and above; {len(report.findings)} findings marked by number"
    return svg(shown, "whole", report.piece.title, says if report.findings else says.partition(";")[0])


def _pins(report: Report) -> Iterator[Pin]:
    for n, f in enumerate(report.findings, 1):
        point = _pinned_at(report, f)
        if point is not None and np.isfinite(point).all():
            yield Pin(str(n), tuple(point.tolist()), f.parts)


def _pinned_at(report: Report, f: Finding) -> Floats | None:
    """The place of a finding: where it is cut open, else its cut, its own point, or the middle of its part."""
    spot, dry = spot_of(report.dry, f), report.dry
    if spot is not None:
        return spot.point
    k = dry.number[f.parts[0]] if f.parts else -1
    own = range(int(dry.scene.first[k]), int(dry.scene.first[k + 1])) if f.parts else range(0)
    cut = [q for q in own if (m := dry.scene.made(q)) is not None and f"{f.parts[0]}.{m.name}" in f.cuts]
    if cut and f.kind != "ring-open":
        return np.asarray((dry.scene.low[cut].min(0) + dry.scene.high[cut].max(0)) / 2, float)
    if f.at is not None:
        return np.array(f.at)
    there = bool(f.parts) and bool(np.isfinite(dry.scene.part_low[k]).all())
    return np.asarray((dry.scene.part_low[k] + dry.scene.part_high[k]) / 2, float) if there else None
