"""A family as a table: for the terminal, and as CSV for a spreadsheet."""

from __future__ import annotations

import csv
import io
from collections import Counter
from collections.abc import Iterator, Sequence

from solids.model.family import Varied
from solids.report.table import columns
from solids.shop.tables import cell
from solids.units import POUND, Units, exact, show_angle, show_full
from solids.vary.member import FITS, MISFITS, UNREADABLE, WARNS, Tried

SHOWN = 60  # members on the terminal; the table has all
VERDICTS = (FITS, WARNS, MISFITS, UNREADABLE)


def lines(title: str, varied: Sequence[Varied], found: Sequence[Tried], units: Units) -> Iterator[str]:
    """The whole answer, a line at a time."""
    yield f"{title}: {summary(found)}."
    yield ""
    head = (*(v.name for v in varied), "verdict", "mass", "first finding")
    rows = [
        (*(value_words(v, x, units) for v, x in zip(varied, t.values, strict=True)), *_told(t, units)) for t in found
    ]
    yield from columns([head, *rows[:SHOWN]])
    if len(rows) > SHOWN:
        yield f"  and {len(rows) - SHOWN} more; the table has all"


def summary(found: Sequence[Tried]) -> str:
    """`12 of 15 members fit, 2 of them with warnings; 1 can't be read`."""
    counts = Counter(t.verdict for t in found)
    fit = counts[FITS] + counts[WARNS]
    told = f"{fit} of {len(found)} members fit"
    if counts[WARNS]:
        told += f", {counts[WARNS]} of them with warnings"
    return told + (f"; {counts[UNREADABLE]} can't be read" if counts[UNREADABLE] else "")


def value_words(varied: Varied, value: float, units: Units) -> str:
    """A value as a maker reads it."""
    if varied.kind == "length":
        return show_full(value, units)
    return show_angle(value) if varied.kind == "angle" else exact(round(value, 6))


def _told(t: Tried, units: Units) -> tuple[str, str, str]:
    mass = f"{t.mass / POUND:.1f} lb" if units == "in" else f"{t.mass:.1f} kg"
    return t.verdict, mass if t.verdict != UNREADABLE else "", t.first


def as_csv(varied: Sequence[Varied], found: Sequence[Tried]) -> str:
    """Every member in a row: mm, degrees and kg."""
    suffix = {"length": "_mm", "angle": "_deg", "pure": ""}
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    own = [
        "verdict",
        "stops",
        "warnings",
        "notes",
        "overall_width_mm",
        "overall_depth_mm",
        "overall_height_mm",
        "mass_kg",
        "first_finding",
    ]
    writer.writerow([*(v.name + suffix[v.kind] for v in varied), *own])
    for t in found:
        numbers = [exact(round(v, 6)) for v in (*t.size, t.mass)]
        writer.writerow([*map(exact, t.values), t.verdict, t.stops, t.warnings, t.notes, *numbers, cell(t.first)])
    return out.getvalue()
