"""What the tools of a shop can do: where a spec is silent, nothing is asked of them."""

from __future__ import annotations

from dataclasses import dataclass

from solids.model.field import Angle, Length, takes


@dataclass(frozen=True, slots=True, kw_only=True)
class Shop:
    """Degrees and mm; None where that is not known."""

    tilt: float | None = takes(Angle(closed=True), "how far the saw's blade tilts from square", None)
    smallest_cutter: float | None = takes(Length(), "the diameter of the smallest router bit", None)
    longest_board: float | None = takes(Length(), "the longest board that there is", None)


SHOP = Shop()
