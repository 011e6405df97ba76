"""A size that is tried at several values, to see which members of a family of pieces fit."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from solids.units import exact

MOST_VALUES = 10_000
DECIMALS = 9  # of a mm or a degree: less is the noise of reading


@dataclass(frozen=True, slots=True)
class Varied:
    """`name` runs from `first` to `last` by `step`: lengths in mm, angles in degrees, or plain numbers, as `kind` says.

    The values are exact fractions, so that the last one is met however many steps lead to it.
    """

    name: str
    kind: str
    first: Fraction
    last: Fraction
    step: Fraction

    @classmethod
    def of(cls, name: str, kind: str, first: float, last: float, step: float) -> Varied:
        """The same from numbers. Raises ValueError, with what would be right, where they lead nowhere."""
        ends = [Fraction(exact(round(v, DECIMALS))) for v in (first, last, step)]
        if ends[2] <= 0:
            raise ValueError(f"`{name}` goes on by {step:g}; a step is over 0")
        if ends[0] > ends[1]:
            raise ValueError(f"`{name}` runs from {first:g} to {last:g}; the least comes first")
        found = cls(name, kind, *ends)
        if found.count > MOST_VALUES:
            raise ValueError(f"`{name}` would take {found.count} values; {MOST_VALUES} are the most")
        return found

    def values(self) -> tuple[float, ...]:
        """Every value, from the first to the last that a whole number of steps leads to."""
        return tuple(float(self.first + k * self.step) for k in range(self.count))

    @property
    def count(self) -> int:
        """How many values there are."""
        return int((self.last - self.first) / self.step) + 1
