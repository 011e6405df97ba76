r"""Case: four walls or more round an inside, with a back, shelves, dividers and an edge detail.

        top                      seen from the front, its front at y = 0
      ________
     /        /   right          `outline: {width, height, lean: {right: 15}}`
    /        /                   is outside, the width level, the height plumb;
   /________/                    or points `[[x, z], ...]`, anticlockwise, which
    bottom                       make `wall.1`, `wall.2` ... or the names in `walls`

Corners are mitered, or rabbeted, or butted; with the last two the sides run
through, of points the steeper of two walls, and of two as steep the lower; a
rabbet is half their thickness deep. Dividers lean as the sides do, or stand
plumb where these don't run alike; shelves reach from wall to wall at their own
height. The inside is an `opening` that drawers, fronts and frames can fill.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import ClassVar

from solids.assemblies import inside
from solids.assemblies.back import Back, back_problems, panel, recesses, zones_of
from solids.assemblies.corners import corner_problems, ends, housed, joints
from solids.assemblies.dividers import Divider, bays, dividers
from solids.assemblies.inside import Rows, Shelf, row_problems
from solids.assemblies.walls import Wall, grown, is_convex, walls_of
from solids.assemblies.writing import Plain, Problem, Written
from solids.model.field import (
    Angle,
    Choice,
    Chosen,
    Either,
    Length,
    Name,
    Names,
    Points,
    Record,
    Records,
    StockName,
    takes,
)
from solids.model.opening import Opening
from solids.model.part import Stock

FOUR = ("bottom", "right", "top", "left")


@dataclass(frozen=True, slots=True, kw_only=True)
class Outside:
    """A case of four walls: the width is level, the height plumb."""

    width: float = takes(Length(), "over all, level")
    height: float = takes(Length(), "over all, plumb")
    lean: tuple[tuple[str, float], ...] = takes(
        Chosen(("left", "right"), Angle(closed=True, most=60.0)), "from plumb, as `{right: 15}`", ()
    )

    @property
    def slant(self) -> float:
        """Degrees to the right."""
        return sum(value if way == "right" else -value for way, value in self.lean)

    def corners(self) -> tuple[tuple[float, float], ...]:
        """From the lower left, anticlockwise."""
        shift = self.height * math.tan(math.radians(self.slant))
        return (0.0, 0.0), (self.width, 0.0), (self.width + shift, self.height), (shift, self.height)


@dataclass(frozen=True, slots=True, kw_only=True)
class Case:
    """mm and degrees."""

    kind: ClassVar[str] = "case"
    example: ClassVar[str] = (
        "{case: body, outline: {width: 800, height: 600}, depth: 320, stock: oak, back: {stock: ply, depth: 9}}"
    )

    name: str = takes(Name(), "what it is called", head=True)
    outline: Outside | tuple[tuple[float, float], ...] = takes(
        Either(Record(Outside), Points()), "`{width, height, lean}`, or convex points `[[x, z], ...]`, anticlockwise"
    )
    depth: float = takes(Length(), "from front to rear")
    stock: Stock = takes(StockName(), "what the walls, shelves and dividers are made of")
    corners: str = takes(Choice(("miter", "rabbet", "butt")), "how the walls meet", "miter")
    walls: tuple[str, ...] = takes(Names(), "names for the walls of points, in place of `wall.1` ...", ())
    back: tuple[Back, ...] = takes(Records(Back), "the back; a list makes panels upward", ())
    shelves: Rows | None = takes(Record(Rows), "shelves", None)
    dividers: Rows | None = takes(Record(Rows), "dividers", None)
    edge: tuple[tuple[str, float], ...] = takes(
        Chosen(("chamfer", "roundover"), Length()), "goes round the outside of the front, as `{chamfer: 3}`", ()
    )

    def problems(self) -> Iterator[Problem]:
        """Say what keeps it from being made: which field, and why."""
        if isinstance(self.outline, Outside) and self.walls:
            yield "walls", "`walls` names the walls of points; these are left, right, bottom and top"
        elif self.walls and len(self.walls) != len(self._spots()):
            yield "walls", f"{len(self.walls)} names stand here for {len(self._spots())} walls"
            return
        if not is_convex(self._walls()):
            yield "outline", "the points of a case go round anticlockwise, each turning left"
            return
        if self.corners != "miter":
            for told in corner_problems(self._walls(), self.corners):
                yield "corners", told
                return
        opening = self._inside()
        if opening is None:
            yield "stock", f"walls {self.stock.thickness:g} mm thick leave nothing inside"
            return
        for wall in self._walls():
            if wall.name not in opening.walls:
                told = f"{wall.name} is {wall.length:.4g} mm long outside, and nothing is left of it inside"
                yield "outline", f"{told}: make it longer, or leave out one of its points"
                return
        yield from self._furniture_problems()
        yield from back_problems(self.back, self.stock.thickness, self.depth, max(z for _, z in self._spots()))
        for kind, size in self.edge:
            if size >= self.stock.thickness:
                yield "edge", f"a {kind} of {size:g} mm on an edge {self.stock.thickness:g} mm wide"

    def _furniture_problems(self) -> Iterator[Problem]:
        """What is wrong with shelves and dividers."""
        thick = self.stock.thickness
        told = [
            problem
            for which, rows in (("shelves", self.shelves), ("dividers", self.dividers))
            if rows is not None
            for problem in row_problems(rows, which, thick)
        ]
        yield from told
        if told:
            return
        boards = self._dividers()
        if isinstance(boards, str):
            yield "dividers", boards
            return
        found = self._shelves(boards)
        if isinstance(found, str):
            yield "shelves", found
        elif boards and self.shelves and self.shelves.pins and 2 * self.shelves.pins.depth >= thick:
            deep = self.shelves.pins.depth
            yield "shelves.pins.depth", f"holes {deep:g} mm deep from both sides meet in a divider {thick:g} mm thick"

    def write(self) -> Written:
        """The walls, the back, and what stands inside."""
        walls = self._walls()
        boards = self._dividers()
        assert not isinstance(boards, str), "its problems were told"
        shelves = self._shelves(boards)
        assert not isinstance(shelves, str), "its problems were told"
        parts: dict[str, Plain] = {w.name: self._wall(k, walls, shelves) for k, w in enumerate(walls)}
        joints: list[Plain] = self._corner_joints(walls)
        groups: dict[str, dict[str, Plain]] = {}
        backs = {str(k + 1): panel(z, walls, self.depth) for k, z in enumerate(zones_of(self.back))}
        if len(backs) == 1:
            parts["back"] = backs["1"]
        elif backs:
            groups["back"] = {"parts": backs}
        self._furnish(boards, shelves, groups, joints)
        if not isinstance(self.outline, Outside) and not self.walls:
            groups["wall"] = {"parts": {w.name.removeprefix("wall."): parts.pop(w.name) for w in walls}}
        return Written(parts, joints, groups, opening=self._opening())

    def _furnish(
        self, boards: list[Divider], shelves: list[Shelf], groups: dict[str, dict[str, Plain]], joints: list[Plain]
    ) -> None:
        """Dividers, then shelves between them."""
        if boards and self.dividers is not None:
            deep = self.dividers.housing or 0.0
            groups["divider"] = {"parts": {str(k + 1): self._divider(d, shelves) for k, d in enumerate(boards)}}
            joints += [housed(d.board.name, [d.low, d.high], deep) for d in boards]
        if shelves and self.shelves is not None:
            rows, more = inside.shelf_parts(shelves, self.shelves, self.stock)
            groups["shelf"] = {"parts": rows}
            joints += more

    def _divider(self, divider: Divider, shelves: list[Shelf]) -> dict[str, Plain]:
        text = divider.text(self.stock, self._opening().depth)
        holes = self._pin_holes(shelves, divider.board, divider.before)
        return {**text, "cuts": holes} if holes else text

    def _dividers(self) -> list[Divider] | str:
        rows = self.dividers
        if rows is None:
            return []
        return dividers(self._opening(), rows, self.stock.thickness)

    def _shelves(self, boards: list[Divider]) -> list[Shelf] | str:
        if self.shelves is None:
            return []
        opening = self._opening()
        return inside.shelves(opening, bays(opening, boards), self.shelves, self.stock.thickness)

    def _pin_holes(self, shelves: list[Shelf], board: Wall, before: float) -> list[Plain]:
        if self.shelves is None or self.shelves.pins is None:
            return []
        return inside.pin_holes(shelves, self.shelves.pins, board, before)

    def _spots(self) -> tuple[tuple[float, float], ...]:
        return self.outline.corners() if isinstance(self.outline, Outside) else self.outline

    def _walls(self) -> tuple[Wall, ...]:
        spots = self._spots()
        names = (
            FOUR if isinstance(self.outline, Outside) else self.walls or [f"wall.{k + 1}" for k in range(len(spots))]
        )
        return walls_of(spots, names, self.stock.thickness)

    def _inside(self) -> Opening | None:
        try:
            return grown(self._walls(), 0.0, 0.0, self.depth)
        except ValueError:
            return None

    def _opening(self) -> Opening:
        rear = min([self.depth, *(b.front(self.depth) for b in self.back)])
        found = grown(self._walls(), 0.0, 0.0, rear)
        four = isinstance(self.outline, Outside)
        sides = tuple((w.name, w.name) for w in self._walls()) if four else ()
        return replace(found, sides=sides)

    def _wall(self, k: int, walls: tuple[Wall, ...], shelves: list[Shelf]) -> dict[str, Plain]:
        """One board: as long as its outside where it is mitered, else as far as `corners` has it."""
        wall, both = walls[k], ends(walls, k)
        mitered, housed = self.corners == "miter", self.corners == "rabbet"
        into = self.stock.thickness / 2 if housed else 0.0
        before, after = (0.0 if mitered else end.past(self.stock.thickness, into) for end in both)
        cuts: list[Plain] = [] if mitered else [cut for end in both for cut in end.cuts(housed)]
        through = () if mitered else tuple(end.side for end in both if end.through)
        for zone in zones_of(self.back):
            cuts += recesses(zone, wall, walls, before, after, through)
        cuts += self._pin_holes(shelves, wall, before)
        cuts += [
            {kind: "front", "on": wall.outside, "size" if kind == "chamfer" else "radius": size}
            for kind, size in self.edge
        ]
        size = [wall.length + before + after, self.depth]
        return {"stock": self.stock.name, "size": size, "place": wall.place(before, after), "cuts": cuts}

    def _corner_joints(self, walls: tuple[Wall, ...]) -> list[Plain]:
        if self.corners == "miter":
            return [{"miter": [walls[k].name, walls[(k + 1) % len(walls)].name]} for k in range(len(walls))]
        return joints(walls, self.stock.thickness / 2 if self.corners == "rabbet" else 0.0)
