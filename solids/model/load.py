"""What lies on a shelf or a top: spread over its length, or standing in the middle."""

from __future__ import annotations

from dataclasses import dataclass

from solids.model.field import Weight, takes
from solids.model.finding import Place


@dataclass(frozen=True, slots=True, kw_only=True)
class Load:
    """Over one part, by id: `spread` in kg for each metre of length, `total` in kg spread evenly, `middle` in kg."""

    spread: float | None = takes(Weight(per_length=True), "over each foot or metre of its length", None)
    total: float | None = takes(Weight(), "spread evenly over the whole of it", None)
    middle: float | None = takes(Weight(), "in the middle between two of its supports", None)
    part: str = ""
    place: Place | None = None

    def per_metre(self, length: float) -> float:
        """What is spread, in kg for each metre of a part that is so many mm long."""
        return (self.spread or 0.0) + (self.total or 0.0) / (length / 1000)
