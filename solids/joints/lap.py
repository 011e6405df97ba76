"""Lap: two parts cross or meet, each loses half of the wood they would share.

          ____
         | B  |
     ____|____|____
    | A  :    :    |      halved midway, square to both lengths
    |____:____:____|
         |    |

A keeps the half at its face; where its face looks another way, the upper,
right or rear half.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from solids.joints.outcome import Outcome, apart, span_along
from solids.joints.trench import Walls, trench
from solids.model.field import Choice, PartName, takes
from solids.model.geometry import AXES, Vector
from solids.model.part import Cut, Part
from solids.model.side import Side

SQUARE = 1e-9


@dataclass(frozen=True, slots=True, kw_only=True)
class Lap:
    """Both parts of `parts` are cut."""

    kind: ClassVar[str] = "lap"
    example: ClassVar[str] = "{lap: [rail, stile]}"
    usual_fit: ClassVar[str] = "glue"

    parts: tuple[object, ...] = takes(
        PartName(many=True), "the two parts; the first keeps the half at its face", head=True
    )
    fit: str = takes(Choice(("glue", "slip", "loose")), "how it should close", "glue")

    def sides(self) -> tuple[tuple[object, ...], tuple[object, ...]]:
        """The names on the two sides of the joint."""
        return self.parts[:1], self.parts[1:]

    def make(self, a: Part, b: Part) -> Outcome:
        """A trench in each, half of the common thickness deep."""
        length_a = a.frame.direction(AXES[a.blank.grain])
        length_b = b.frame.direction(AXES[b.blank.grain])
        through = length_a.cross(length_b)
        if through.length() < 1e-6:
            return Outcome(trouble=f"{a.id} and {b.id} run the same way and don't cross", gap=max(0.0, apart(a, b)))
        through = _kept(a, through.unit())
        if not (_is_axis(a, through) and _is_axis(b, through)):
            return Outcome(trouble=f"{a.id} and {b.id} don't lie flat on each other", gap=max(0.0, apart(a, b)))
        return self._halved(a, b, through)

    def _halved(self, a: Part, b: Part, through: Vector) -> Outcome:
        a0, a1 = span_along(a, through)
        b0, b1 = span_along(b, through)
        low, high = max(a0, b0), min(a1, b1)
        if high - low < 1e-9:
            return Outcome(trouble=f"{a.id} and {b.id} share no wood to halve", gap=max(0.0, low - high))
        middle = (low + high) / 2
        cut_a = _trench_for(a, b, through.times(-1), middle - a0)
        cut_b = _trench_for(b, a, through, b1 - middle)
        for part, cut in ((a, cut_a), (b, cut_b)):
            if isinstance(cut, str):
                return Outcome(trouble=f"no trench of the language halves {part.id}: {cut}")
        return Outcome(a=(cut_a,), b=(cut_b,))  # type: ignore[arg-type]


def _kept(a: Part, through: Vector) -> Vector:
    """The direction in which A keeps its half."""
    face = a.frame.direction(a.blank.face.outward).dot(through)
    if abs(face) > 0.5:
        return through if face > 0 else through.times(-1)
    main = max((2, 0, 1), key=lambda i: round(abs(through[i]), 6))
    return through if through[main] > 0 else through.times(-1)


def _is_axis(part: Part, direction: Vector) -> bool:
    local = part.frame.local_direction(direction)
    return max(abs(c) for c in local) > 1 - SQUARE


def _trench_for(host: Part, guest: Part, side_of_host: Vector, depth: float) -> Cut | str:
    """The trench in `host` that takes `guest`, cut into the side that looks along a direction of the room."""
    side = host.facing(side_of_host)
    along = guest.frame.direction(AXES[guest.blank.grain])
    across = along.cross(side_of_host)
    low, high = span_along(guest, across)
    local = host.frame.local_direction(across)
    base = across.dot(host.frame.origin)
    ends = _run(host, guest, side, host.frame.local_direction(along))
    return trench(host.blank, side, Walls(local, low - base, high - base), depth, ends)


def _run(host: Part, guest: Part, side: Side, along: Vector) -> tuple[float, float]:
    """How far the guest runs in the host, along the host's axis that it runs along most nearly."""
    axis = max((i for i in range(3) if i != side.axis), key=lambda i: (round(abs(along[i]), 9), -i))
    low, high = span_along(guest, host.frame.direction(AXES[axis]))
    base = host.frame.origin.dot(host.frame.direction(AXES[axis]))
    return low - base, high - base
