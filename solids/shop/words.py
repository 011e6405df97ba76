"""Sizes and places put into the words of a bench card."""

from __future__ import annotations

from collections.abc import Iterable

from solids.cuts.mortise import plan_axis
from solids.cuts.row import Row
from solids.cuts.shapes import At, span
from solids.model.part import Blank
from solids.model.side import Side, sides_of
from solids.units import Units, show, show_angle, show_full, show_small


class Words:
    """Writes numbers in one unit; places to the nearest 0.1 mm or 1/64 in, what a tool is set to in full."""

    def __init__(self, units: Units) -> None:
        self.units: Units = units

    def size(self, mm: float) -> str:
        return show(mm, self.units)

    def bare(self, mm: float) -> str:
        """A size without its unit, where the head of a column says it."""
        return self.size(mm).removesuffix(f" {self.units}")

    def setting(self, mm: float) -> str:
        return show_full(mm, self.units)

    def small(self, mm: float) -> str:
        """A gap: to the nearest 0.01 mm or thousandth."""
        return show_small(mm, self.units)

    def by(self, *sizes: float) -> str:
        """`19 mm x 60 mm x 600 mm`, thickness, width, length."""
        return " x ".join(self.size(s) for s in sizes)

    def angle(self, degrees: float) -> str:
        return show_angle(degrees)

    def both_ways(self, degrees: float) -> str:
        """An angle off square, and as a scale shows it on which square is 90."""
        return f"{self.angle(degrees)} off square ({self.angle(90 - degrees)} where square reads 90)"

    def spot(
        self, blank: Blank, side: Side, at: At, size: tuple[float, float] = (0.0, 0.0), row: Row | None = None
    ) -> str:
        """Where something `size` along the grain and across lies on a side: so far from two marked sides."""
        along = plan_axis(blank, side)
        other = 3 - side.axis - along
        places = (self.off(blank, a, at, s, row) for a, s in zip((along, other), size, strict=True))
        return ", ".join(places) + self.row(row)

    def off(self, blank: Blank, axis: int, at: At, size: float, row: Row | None) -> str:
        """A distance from the side that the cut is placed from, else from the one that the row leaves."""
        named = next((s for s, d in at if s.axis == axis and isinstance(d, float | int)), None)
        runs = row is not None and row.toward.axis == axis
        near = named or (row.toward.opposite if row is not None and runs else sides_of(axis)[0])
        start, _ = span(blank, at, near, size)
        if named is None and row is not None and runs:
            start -= (row.count - 1) * row.pitch / 2
        middle = " (middle)" if named is None and not runs else ""
        return f"{self.size(start)} from {near}{middle}"

    def row(self, row: Row | None) -> str:
        """`; 3 in a row, 40 mm apart toward rear`; empty where there is none."""
        if row is None:
            return ""
        return f"; {row.count} in a row, {self.size(row.pitch)} apart toward {row.toward}"


def listed(words: Iterable[str], most: int = 4) -> str:
    """`a, b and c`; beyond `most`, how many more."""
    names = list(words)
    if len(names) > most:
        return f"{', '.join(names[:most])} and {len(names) - most} more"
    return " and ".join(filter(None, [", ".join(names[:-1]), names[-1] if names else ""]))
