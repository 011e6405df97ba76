"""Figures: sizes and angles as a drawing writes them."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from solids.drawing.lettering import stacked
from solids.units import FINEST, INCH, INEXACT, Units, show


@dataclass(frozen=True, slots=True)
class Figures:
    """Inches as stacked fractions to 1/64, marked `~` where that is not the size itself; mm to 0.1.

    On a sheet where they are `upright` all read from below, else along their lines.
    """

    units: Units
    upright: bool = False

    def length(self, mm: float) -> str:
        """A size without its unit."""
        if self.units == "mm":
            return show(mm, "mm").removesuffix(" mm")
        ticks = round(abs(mm) / INCH * FINEST)
        whole, rest = divmod(ticks, FINEST)
        exact = abs(abs(mm) - ticks * INCH / FINEST) < 5e-7
        part = Fraction(rest, FINEST)
        text = str(whole) if whole or not rest else ""
        sign = "-" if mm < 0 and ticks else ""
        return f"{'' if exact else INEXACT}{sign}{text}{stacked(part.numerator, part.denominator) if rest else ''}"

    def reference(self, mm: float) -> str:
        """A size that follows from others, in brackets."""
        return f"({self.length(mm)})"

    def angle(self, degrees: float) -> str:
        """Degrees to 0.1, or to 0.01 where 0.1 would say something else."""
        text = f"{degrees:.2f}".rstrip("0").rstrip(".")
        return f"{'0' if text == '-0' else text}°"

    def size(self, *mm: float) -> str:
        """Several sizes of one thing."""
        return " × ".join(self.length(v) for v in mm)

    @property
    def note(self) -> str:
        """What the reader must know about the figures."""
        if self.units == "mm":
            return "Sizes are in millimetres, to the nearest 0.1."
        return f"Sizes are in inches; {INEXACT} stands before one rounded to the nearest 1/64."
