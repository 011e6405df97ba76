"""Findings on the terminal: what a maker reads first, then each fault with its place and what mends it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from solids.fit.check import Report
from solids.fit.deviation import summary_words
from solids.model.finding import Edit, Finding, Severity
from solids.report.moves import moves_lines
from solids.units import INCH, Units, exact

MOST_FOLDED = 4


def lines(report: Report, name: str, units: Units | None = None) -> Iterator[str]:
    """The whole answer, a line at a time, without colour."""
    yield summary(report, name)
    if report.harmless:
        yield f"as measured: {'; '.join(summary_words(m, units or report.piece.told_in) for m in report.harmless)}"
    for finding in report.findings:
        yield ""
        yield from told(finding, units or report.piece.told_in)
    for line in moves_lines(report, units or report.piece.told_in):
        yield ""
        yield line
    for caution in report.cautions:
        yield ""
        yield f"caution: {caution}"


def summary(report: Report, name: str) -> str:
    """One line: does it fit, and how much was looked at."""
    counts = Counter(f.severity for f in report.findings)
    verdict = "fits" if report.fits else "does not fit"
    found = [
        f"{counts[s]} {word if counts[s] == 1 else words}"
        for s, word, words in (
            (Severity.STOP, "stop", "stops"),
            (Severity.WARN, "warning", "warnings"),
            (Severity.NOTE, "note", "notes"),
        )
        if counts[s]
    ]
    parts = len(report.piece.parts)
    looked = f"{parts} part{'s' * (parts != 1)}, {report.dry.pairs_checked} pairs looked at"
    return f"{name}: {verdict}. {', '.join(found) + '; ' if found else ''}{looked}."


def told(f: Finding, units: Units) -> Iterator[str]:
    """One finding: place, gravity and kind, then cause, remedy and what else it spoils."""
    place = f"{f.place}: " if f.place else ""
    yield f"{place}{f.severity.value}: {f.kind}: {f.message}"
    if f.cause and f.cause not in f.message:
        yield f"    because  {f.cause}"
    if f.advice:
        yield f"    to mend  {f.advice}"
    for k, edit in enumerate(f.remedy):
        where = "at the bench" if "measured" in f.values else "in the spec"
        yield f"    {where if k == 0 else ' ' * len(where)}  {shown_edit(edit, units)}"
    below = [g for g in f.folded if not is_named(g, f)]
    for k, g in enumerate(below[:MOST_FOLDED]):
        yield f"    {'with it' if k == 0 else '       '}  {g.kind}: {g.message}"
    if len(below) > MOST_FOLDED:
        yield f"             and {len(below) - MOST_FOLDED} more"


def is_named(below: Finding, lead: Finding) -> bool:
    """Whether the lead's own line says it already: `the same at ...`."""
    if below.message == lead.message:
        return True
    alike = below.kind == lead.kind and "; the same at " in lead.message
    return alike and all(n in lead.message for n in (below.cuts or below.parts)[:1])


def shown_edit(edit: Edit, units: Units) -> str:
    """`side.rabbet_rear.depth: 9.5 mm to 12.7 mm`; angles in degrees."""
    if edit.target.rsplit(".", 1)[-1] in ("tilt", "angle"):
        return f"{edit.target}: {exact(round(edit.before, 4))} deg to {exact(round(edit.after, 4))} deg"
    scale, places = (INCH, 4) if units == "in" else (1.0, 3)
    before, after = (exact(round(v / scale, places)) for v in (edit.before, edit.after))
    return f"{edit.target}: {before} {units} to {after} {units}"
