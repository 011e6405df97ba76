"""Frame: two stiles and two rails round a panel that floats in their grooves.

     __________________
    |  |____________|  |     left_stile, right_stile run through;
    |  |   ______   |  |     bottom_rail and top_rail carry tongues
    |  |  |      |  |  |     into the grooves of the stiles;
    |  |  | panel|  |  |     panel is smaller than the grooves' floors
    |  |  |______|  |  |     by `room` on each side, to swell and shrink
    |  |____________|  |
    |__|____________|__|

It stands upright with its face to the front, its lower left corner at 0; or
fills an `opening`, smaller by the `reveal` all round, its face flush with the
front.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import ClassVar

from solids.assemblies.writing import Plain, Problem, Written
from solids.model.field import Choice, Length, Lengths, Name, OpeningOf, Record, StockName, takes
from solids.model.opening import Opening
from solids.model.part import Stock


@dataclass(frozen=True, slots=True, kw_only=True)
class Panel:
    """The panel and the groove that it floats in."""

    stock: Stock = takes(StockName(), "what the panel is made of")
    groove: tuple[float, float] = takes(Lengths(2), "the groove's width and depth")
    room: float = takes(Length(zero=True), "between the panel and the groove's floor, on each side", 2.0)
    grain: str = takes(Choice(("up", "across")), "which way its grain runs", "up")


@dataclass(frozen=True, slots=True, kw_only=True)
class Frame:
    """Given by its own size, or by the opening that it fills."""

    kind: ClassVar[str] = "frame"
    example: ClassVar[str] = (
        "{frame: door, width: 400, height: 600, stock: oak, stile: 60, rail: 60, "
        "panel: {stock: ply, groove: [6, 10], room: 2}}"
    )

    name: str = takes(Name(), "what it is called", head=True)
    width: float | None = takes(Length(), "over all", None)
    height: float | None = takes(Length(), "over all", None)
    opening: Opening | None = takes(OpeningOf(), "what it fills, in place of `width` and `height`", None)
    reveal: float | None = takes(Length(), "the gap all round, in an opening", None)
    stock: Stock = takes(StockName(), "what stiles and rails are made of")
    stile: float = takes(Length(), "how wide the stiles are")
    rail: float = takes(Length(), "how wide the rails are")
    panel: Panel = takes(Record(Panel), "the panel in it")

    def problems(self) -> Iterator[Problem]:
        """Say what keeps it from being made: which field, and why."""
        if self.opening is None and (self.width is None or self.height is None):
            yield "name", "a frame has its `width` and `height`, or the `opening` that it fills"
            return
        if self.opening is not None and (self.width is not None or self.height is not None):
            yield "opening", "`width` and `height` follow from the opening; leave them out"
            return
        if self.opening is not None and not self._square():
            yield "opening", "a frame is square; this opening is not"
            return
        if self.opening is None and self.reveal is not None:
            yield "reveal", "a reveal is the gap to an `opening`, and none is named"
        wide, high = self._size()
        groove, deep = self.panel.groove
        if wide <= 2 * self.stile or high <= 2 * self.rail:
            yield "stile", f"stiles and rails leave no room for a panel in {wide:g} by {high:g} mm"
        if deep >= min(self.stile, self.rail):
            yield (
                "panel.groove.2",
                f"the groove is {deep:g} mm deep; it must stay inside a stile {self.stile:g} mm wide",
            )
        if groove >= self.stock.thickness:
            yield "panel.groove.1", f"the groove is {groove:g} mm wide in wood {self.stock.thickness:g} mm thick"
        if self.panel.room >= deep:
            yield "panel.room", f"room of {self.panel.room:g} mm takes the panel out of a groove {deep:g} mm deep"

    def write(self) -> Written:
        """Two stiles, two rails, a panel."""
        thick = self.stock.thickness
        groove, deep = self.panel.groove
        wide, high = self._size()
        x, y, z = self._corner()
        rail_long = wide - 2 * self.stile + 2 * deep
        rail_x = x + self.stile - deep

        def stile(at: float, inside: str) -> dict[str, Plain]:
            place = {"at": [at, y, z], "length": "up", "face": "front"}
            cuts = [{"groove": inside, "width": groove, "depth": deep}]
            return {"stock": self.stock.name, "size": [high, self.stile], "place": place, "cuts": cuts}

        def rail(at: float, inside: str) -> dict[str, Plain]:
            place = {"at": [rail_x, y, at], "length": "across", "face": "front"}
            tongues = [{"tongue": end, "length": deep, "thickness": groove} for end in ("left", "right")]
            cuts = [*tongues, {"groove": inside, "width": groove, "depth": deep}]
            return {"stock": self.stock.name, "size": [rail_long, self.rail], "place": place, "cuts": cuts}

        parts: dict[str, Plain] = {
            "left_stile": stile(x, "right"),
            "right_stile": stile(x + wide - self.stile, "left"),
            "bottom_rail": rail(z, "top"),
            "top_rail": rail(z + high - self.rail, "bottom"),
            "panel": self._panel_text(x, y + thick / 2, z),
        }
        joints: list[Plain] = [
            {"touch": [f"{r}_rail", f"{s}_stile"]} for r in ("bottom", "top") for s in ("left", "right")
        ]
        joints += [{"touch": ["panel", rail], "fit": "loose"} for rail in ("bottom_rail", "top_rail")]
        return Written(parts, joints, around=self._around())

    def _panel_text(self, x: float, middle: float, z: float) -> dict[str, Plain]:
        wide, high = self._size()
        deep, room = self.panel.groove[1], self.panel.room
        across, up = wide - 2 * self.stile + 2 * (deep - room), high - 2 * self.rail + 2 * (deep - room)
        at = [x + self.stile - deep + room, middle - self.panel.stock.thickness / 2, z + self.rail - deep + room]
        grain_up = self.panel.grain == "up"
        size = [up, across] if grain_up else [across, up]
        place = {"at": at, "length": self.panel.grain, "face": "front"}
        return {"stock": self.panel.stock.name, "size": size, "place": place}

    def _around(self) -> list[Plain]:
        """The reveals to what it stands between."""
        if self.opening is None or self.reveal is None:
            return []
        own = {"left": "left_stile", "right": "right_stile", "bottom": "bottom_rail", "top": "top_rail"}
        return [
            {"reveal": [f"{self.name}.{part}", beside], "gap": self.reveal}
            for side, part in own.items()
            if (beside := self.opening.beside(side, self.opening.bottom, self.opening.top))
        ]

    def _square(self) -> bool:
        o = self.opening
        return (
            o is not None
            and len(o.corners) == 4
            and o.clear_width(o.bottom, o.top)
            > max(o.span(o.bottom)[1], o.span(o.top)[1]) - min(o.span(o.bottom)[0], o.span(o.top)[0]) - 1e-6
        )

    def _size(self) -> tuple[float, float]:
        if self.opening is None:
            return self.width or 0.0, self.height or 0.0
        o, gap = self.opening, self.reveal or 0.0
        return o.clear_width(o.bottom, o.top) - 2 * gap, o.height - 2 * gap

    def _corner(self) -> tuple[float, float, float]:
        if self.opening is None:
            return 0.0, 0.0, 0.0
        o, gap = self.opening, self.reveal or 0.0
        return o.clear(o.bottom, o.top)[0] + gap, o.front, o.bottom + gap
