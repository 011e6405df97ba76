r"""Drawers: boxes on runners, one above another; square and upright, even where the case leans.

       case  runner  ____________________
        ||   |__|   |                    |    a box is its row less `below` and
        ||  /|__|   |        box         |    `above`; as wide as the opening is
        || / |__|   |____________________|    clear over that height, less the
        ||/                                   room that its two runners need
       spacer

The box is as long as its runner, from the front edge of the opening or from the
rear of the fronts that it is `behind`. Front and rear stand between the sides;
the bottom lies in grooves. The runners are at the box's middle height. Where a
side leans, a tapered spacer as high as the runner fills what is behind it; one
of even thickness does so where a box is given narrower than it could be.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from itertools import pairwise
from typing import ClassVar

from solids.assemblies.fronts import Fronts
from solids.assemblies.writing import Plain, Problem, Written
from solids.model.field import (
    AssemblyName,
    Count,
    HardwareName,
    Length,
    Lengths,
    Name,
    OpeningOf,
    Record,
    StockName,
    takes,
)
from solids.model.geometry import Frame
from solids.model.hardware import Runner
from solids.model.opening import Opening
from solids.model.part import Stock

PLAY = 0.2  # mm: how much wider than the bottom its groove is cut
SHORT = 0.5  # mm: how much short of its groove's floor the bottom is, on each side
EVEN = 1e-6  # mm: what differs by less is alike
SIDES = ("left", "right")


@dataclass(frozen=True, slots=True, kw_only=True)
class Groove:
    """Where the bottom lies."""

    up: float = takes(Length(), "from the lower edge of the box", 10.0)
    depth: float = takes(Length(), "into the sides, front and rear", 6.0)


@dataclass(frozen=True, slots=True)
class Box:
    """One box: left and right, rear of its front to front of its rear, low and high; mm in the opening's axes."""

    left: float
    right: float
    front: float
    rear: float
    low: float
    high: float

    @property
    def width(self) -> float:
        return self.right - self.left

    @property
    def middle(self) -> float:
        return (self.low + self.high) / 2


@dataclass(frozen=True, slots=True, kw_only=True)
class Drawers:
    """mm."""

    kind: ClassVar[str] = "drawers"
    example: ClassVar[str] = "{drawers: tills, opening: body, rows: 3, runner: slide, stock: ash, bottom: ply}"

    name: str = takes(Name(), "what they are called", head=True)
    opening: Opening = takes(OpeningOf(), "what they stand in: a case, or the parts on four sides")
    behind: Fronts | None = takes(AssemblyName("fronts"), "the fronts that they carry, one for each row", None)
    rows: int | None = takes(Count(1, 60), "how many, all rows alike; unsaid, as the fronts have them", None)
    heights: tuple[float, ...] = takes(
        Lengths(0), "of the rows, upward, in place of `rows`; the last may be left out, and takes the rest", ()
    )
    runner: Runner = takes(HardwareName(("runner",)), "what they run on")
    stock: Stock = takes(StockName(), "what sides, front and rear are made of")
    bottom: Stock = takes(StockName(), "what the bottom is made of")
    below: float = takes(Length(zero=True), "room under each box in its row", 12.0)
    above: float = takes(Length(zero=True), "room over each box in its row", 12.0)
    width: float | None = takes(Length(), "of the box; unsaid, as wide as the runners let it be", None)
    groove: Groove = takes(Record(Groove), "where the bottom lies", Groove())
    spacers: Stock | None = takes(StockName(), "what fills the room behind a runner where a side leans", None)

    def problems(self) -> Iterator[Problem]:
        """Say what keeps them from being made: which field, and why."""
        if self.rows is not None and self.heights:
            yield "rows", "drawers have `rows`, all alike, or their `heights`: one of the two"
            return
        if self.rows is None and not self.heights and self.behind is None:
            yield "name", "say how many drawers: `rows`, or `heights`, or the fronts that they are `behind`"
            return
        if self.behind is not None and max(self.behind.columns, len(self.behind.widths)) > 1:
            yield "behind", "drawers fill one column; give each column an opening of its own, by its four sides"
            return
        if self.behind is not None and not _is_same(self.behind.opening.frame, self.opening.frame):
            yield "behind", "these fronts fill another case; drawers stand behind fronts of their own"
            return
        if self.behind is not None and len(self._bounds()) != len(self.behind.bounds()):
            yield "behind", f"{len(self._bounds()) - 1} drawers stand behind {len(self.behind.bounds()) - 1} fronts"
            return
        yield from self._box_problems()

    def _box_problems(self) -> Iterator[Problem]:
        thick, g = self.stock.thickness, self.groove
        if g.depth >= thick:
            yield "groove.depth", f"a groove {g.depth:g} mm deep in sides {thick:g} mm thick"
        for k, box in enumerate(self.boxes()):
            if box.high - box.low <= g.up + self.bottom.thickness:
                yield "below", f"drawer {k + 1} is {box.high - box.low:.4g} mm high: too low for its bottom"
                return
            if box.width <= 2 * thick + 1:
                yield "runner", f"drawer {k + 1} is {box.width:.4g} mm wide: its sides leave nothing between them"
                return
            room = self.opening.rear - box.front
            if self.runner.needs > room + 1e-6:
                wants = f" that want {self.runner.needs:g} mm" if self.runner.depth else ""
                long = f"runners {self.runner.length:g} mm long{wants}"
                yield "runner", f"{long} where the opening is {room:.5g} mm deep"
                return
            if self.runner.height > box.high - box.low:
                yield "runner", f"runners {self.runner.height:g} mm high on boxes {box.high - box.low:.4g} mm high"
                return
            told = self._spacer_problem(k, box)
            if told is not None:
                yield told
                return

    def _spacer_problem(self, k: int, box: Box) -> Problem | None:
        """What is wrong behind the runners of a box."""
        for right in (False, True):
            room = self._behind(right, box)
            if room is None:
                return "name", f"a side of the opening has a corner behind the runner of drawer {k + 1}: move its row"
            if self.spacers is None and abs(room[1] - room[0]) > EVEN:
                return "name", "the sides lean: say what the `spacers` behind the runners are made of"
            if self.spacers is None and self.width is None and room[0] > EVEN:
                told = f"a side stands {room[0]:.4g} mm behind the runner of drawer {k + 1}"
                return "name", f"{told}: say what the `spacers` there are made of"
        return None

    def write(self) -> Written:
        """A box for each row, its spacers, and how it moves."""
        groups: dict[str, Plain] = {}
        joints: list[Plain] = []
        around: list[Plain] = []
        moving: dict[str, Plain] = {}
        for k, box in enumerate(self.boxes()):
            name = str(k + 1)
            parts, inner = self._box(box)
            wedges: dict[str, Plain] = {
                f"spacer_{s}": w for s in SIDES if (w := self._spacer(s == "right", box)) is not None
            }
            groups[name] = {"parts": parts | wedges, "joints": inner}
            moving[f"drawer_{name}"] = {"parts": [f"{name}.{p}" for p in parts], "slide": {"front": self.runner.runs}}
            joints += [self._clear(f"{name}.{s}", f"{name}.spacer_{s}") for s in SIDES if f"spacer_{s}" in wedges]
            around += self._around(name, box, wedges)
        return Written(joints=joints, groups=groups, moving=moving, around=around)

    def _clear(self, box: str, beside: str) -> Plain:
        return {"clearance": [box, beside], "gap": self.runner.side_clearance, "with": self.runner.name}

    def _around(self, name: str, box: Box, wedges: Mapping[str, Plain]) -> list[Plain]:
        """What runners and spacers are screwed to, and the front that the box carries."""
        out: list[Plain] = []
        for s in SIDES:
            beside = self.opening.beside(s, *self._runner_heights(box))
            if beside and f"spacer_{s}" in wedges:
                out.append({"touch": [f"{self.name}.{name}.spacer_{s}", beside]})
            elif beside:
                out.append(self._clear(f"{self.name}.{name}.{s}", beside))
        if self.behind is not None:
            rail = ".bottom_rail" if self.behind.frame is not None else ""
            out.append({"touch": [f"{self.name}.{name}.front", f"{self.behind.name}.faces.{name}{rail}"]})
        return out

    def boxes(self) -> list[Box]:
        """Every box where it stands shut."""
        bounds = self._bounds()
        front = self.behind.rear if self.behind is not None else self.opening.front
        out = []
        for low, high in pairwise(bounds):
            z0, z1 = low + self.below, high - self.above
            left, right = self.opening.clear(z0, max(z0, z1))
            wide = right - left - 2 * self.runner.side_clearance if self.width is None else self.width
            middle = (left + right) / 2
            out.append(Box(middle - wide / 2, middle + wide / 2, front, front + self.runner.length, z0, z1))
        return out

    def _bounds(self) -> list[float]:
        """The heights that part the rows."""
        o = self.opening
        if self.heights:
            ends = [o.bottom]
            for h in self.heights:
                ends.append(ends[-1] + h)
            return ends if ends[-1] > o.top - 1e-6 else [*ends, o.top]
        if self.rows is None and self.behind is not None:
            return self.behind.bounds()
        rows = self.rows or 1
        return [o.bottom + o.height * k / rows for k in range(rows + 1)]

    def _runner_heights(self, box: Box) -> tuple[float, float]:
        return box.middle - self.runner.height / 2, box.middle + self.runner.height / 2

    def _behind(self, right: bool, box: Box) -> tuple[float, float] | None:
        """The room from a runner to the side behind it, at the runner's foot and top; None where a corner is."""
        low, high = self._runner_heights(box)
        edge = self.opening.side_edge(right, low, high)
        if edge is None:
            return None
        flat, way = self._flat(right, box)
        return way * (edge.x(low) - flat), way * (edge.x(high) - flat)

    def _flat(self, right: bool, box: Box) -> tuple[float, float]:
        """Where a runner is screwed on, and the direction from there to the side."""
        clear = self.runner.side_clearance
        return (box.right + clear, 1.0) if right else (box.left - clear, -1.0)

    def _box(self, b: Box) -> tuple[dict[str, Plain], list[Plain]]:
        """Five parts, and how they are joined."""
        t, g = self.stock.thickness, self.groove
        high, stock = b.high - b.low, self.stock.name

        def groove(inside: str) -> Plain:
            return {"groove": inside, "at": {"bottom": g.up}, "width": self.bottom.thickness + PLAY, "depth": g.depth}

        def side(x: float, face: str, inside: str) -> Plain:
            place = {"at": [x, b.front, b.low], "length": "deep", "face": face}
            return {"stock": stock, "size": [self.runner.length, high], "place": place, "cuts": [groove(inside)]}

        def cross(y: float, face: str, inside: str) -> Plain:
            place = {"at": [b.left + t, y, b.low], "length": "across", "face": face}
            return {"stock": stock, "size": [b.width - 2 * t, high], "place": place, "cuts": [groove(inside)]}

        into = t - g.depth + SHORT
        at = [b.left + into, b.front + into, b.low + g.up + PLAY / 2]
        bottom = {"stock": self.bottom.name, "size": [b.width - 2 * into, self.runner.length - 2 * into],
                  "place": {"at": at, "length": "across", "face": "top"}}  # fmt: skip
        parts: dict[str, Plain] = {
            "left": side(b.left, "left", "right"),
            "right": side(b.right - t, "right", "left"),
            "front": cross(b.front, "front", "rear"),
            "rear": cross(b.rear - t, "rear", "front"),
            "bottom": bottom,
        }
        joints: list[Plain] = [{"touch": [end, s]} for end in ("front", "rear") for s in ("left", "right")]
        return parts, joints

    def _spacer(self, right: bool, box: Box) -> dict[str, Plain] | None:
        """What fills the room behind a runner; None where there is none to fill."""
        room = self._behind(right, box)
        if self.spacers is None or room is None or max(room) <= EVEN or min(room) < -EVEN:
            return None
        low, high = self._runner_heights(box)
        flat, way = self._flat(right, box)
        inward, away = ("left", "right") if right else ("right", "left")
        at = [flat if right else flat - max(room), box.front, low]
        place = {"at": at, "length": "deep", "face": inward}
        size = [self.runner.length, self.runner.height, max(room)]
        spacer: dict[str, Plain] = {"stock": self.spacers.name, "size": size, "place": place}
        if abs(room[1] - room[0]) > EVEN:
            slope = (room[1] - room[0]) / (high - low)
            side = {"through": [flat + way * room[0], 0.0, low], "square_to": [way, 0.0, -slope]}
            spacer["cuts"] = [{"trim": away, "to": side, "name": "taper"}]
        return spacer


def _is_same(a: Frame, b: Frame) -> bool:
    """Whether two frames stand in one place."""
    return all(p.minus(q).length() < EVEN for p, q in ((a.origin, b.origin), (a.x, b.x), (a.y, b.y), (a.z, b.z)))
