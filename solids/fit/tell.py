"""Findings put into a maker's words: sizes in the spec's units, parts and cuts by their names."""

from __future__ import annotations

from solids.fit.dryfit import DryFit
from solids.model.finding import Edit, Finding, Place, Severity
from solids.model.geometry import Vector
from solids.model.part import Made, Part
from solids.units import INCH, exact, show, show_angle, show_full, show_small


class Tell:
    """Writes findings for one piece."""

    def __init__(self, dry: DryFit) -> None:
        self.dry = dry
        self.units = dry.piece.told_in

    def size(self, mm: float) -> str:
        return show(mm, self.units)

    def full(self, mm: float) -> str:
        """A size as it is written: a cutter of 6.35 mm is not one of 6.4."""
        return show_full(mm, self.units)

    def small(self, mm: float) -> str:
        """A gap for reading. Noise shows neither as -0 nor by rounding a half now up, now down."""
        return show_small(0.0 if abs(mm) < 1e-6 else mm + (1e-7 if mm > 0 else -1e-7), self.units)

    def angle(self, degrees: float) -> str:
        return show_angle(degrees)

    def exact(self, mm: float) -> str:
        """A size to be written into the spec."""
        return f"{exact(round(mm, 3))} mm" if self.units == "mm" else f"{exact(round(mm / INCH, 4))} in"

    def edit(self, target: str, before: float, after: float) -> Edit:
        """A change that mends, free of the noise of measuring."""
        return Edit(target, round(before, 6), round(after, 6))

    def cut(self, part: Part, made: Made) -> str:
        return f"{part.id}.{made.name}"

    def finding(
        self,
        kind: str,
        severity: Severity,
        message: str,
        parts: tuple[int, ...],
        cuts: tuple[str, ...] = (),
        at: Vector | None = None,
        *,
        values: dict[str, float] | None = None,
        allowed: dict[str, float] | None = None,
        cause: str = "",
        remedy: tuple[Edit, ...] = (),
        advice: str = "",
        place: Place | None = None,
        box: tuple[Vector, Vector] | None = None,
    ) -> Finding:
        """A finding about parts by their numbers; its place is the first part's where no better one is known."""
        ids = tuple(self.dry.part(i).id for i in parts)
        where = place or self.dry.part(parts[0]).place
        return Finding(
            kind, severity, message, ids, cuts, at, box, values or {}, allowed or {}, cause, remedy, advice, where
        )
