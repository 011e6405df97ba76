r"""Case: four walls or more round an inside, with a back, shelves, dividers and an edge detail.

        top                      seen from the front, its front at y = 0
      ________
     /        /   right          `outline: {width, height, lean: {right: 15}}`
    /        /                   is outside, the width level, the height plumb;
   /________/                    or points `[[x, z], ...]`, anticlockwise, which
    bottom                       make `wall.1`, `wall.2` ... or the names in `walls`

Corners are mitered, or rabbeted, or butted; with the last two the sides run
through, and a rabbet is half the sides' thickness deep. The inside is an
`opening` that drawers, fronts and frames can fill.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import ClassVar

from solids.assemblies import inside
from solids.assemblies.back import Back, back_problems, panel, recesses, zones_of
from solids.assemblies.inside import Rows, row_problems
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
    shelves: Rows | None = takes(Record(Rows), "shelves, all clear heights alike", None)
    dividers: Rows | None = takes(Record(Rows), "dividers, all clear widths alike", None)
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
        if self.corners != "miter" and not isinstance(self.outline, Outside):
            yield (
                "corners",
                f"a case of points has mitered corners; `{self.corners}` is for four walls with sides upright",
            )
        if self._inside() is None:
            yield "stock", f"walls {self.stock.thickness:g} mm thick leave nothing inside"
            return
        if self.dividers is not None and not isinstance(self.outline, Outside):
            yield "dividers", "a case of points takes no dividers; put them in as parts"
        for which, rows in (("shelves", self.shelves), ("dividers", self.dividers)):
            if rows is not None:
                yield from row_problems(rows, which, self.stock.thickness)
        if self.shelves is not None and not isinstance(self.outline, Outside):
            yield "shelves", "a case of points takes no shelves; put them in as parts"
        yield from back_problems(self.back, self.stock.thickness, self.depth, max(z for _, z in self._spots()))
        for kind, size in self.edge:
            if size >= self.stock.thickness:
                yield "edge", f"a {kind} of {size:g} mm on an edge {self.stock.thickness:g} mm wide"

    def write(self) -> Written:
        """The walls, the back, and what stands inside."""
        walls, opening = self._walls(), self._opening()
        parts: dict[str, Plain] = {w.name: self._wall(w, walls, opening) for w in walls}
        joints: list[Plain] = self._corner_joints(walls)
        groups: dict[str, dict[str, Plain]] = {}
        backs = {str(k + 1): panel(z, walls, self.depth) for k, z in enumerate(zones_of(self.back))}
        if len(backs) == 1:
            parts["back"] = backs["1"]
        elif backs:
            groups["back"] = {"parts": backs}
        self._furnish(opening, groups, joints)
        if not isinstance(self.outline, Outside) and not self.walls:
            groups["wall"] = {"parts": {w.name.removeprefix("wall."): parts.pop(w.name) for w in walls}}
        return Written(parts, joints, groups, opening=opening)

    def _furnish(self, opening: Opening, groups: dict[str, dict[str, Plain]], joints: list[Plain]) -> None:
        """Dividers, then shelves between them."""
        boards: dict[str, Plain] = {}
        slant = self.outline.slant if isinstance(self.outline, Outside) else 0.0
        if self.dividers is not None:
            boards = inside.dividers(opening, self.dividers, self.stock, slant)
            groups["divider"] = {"parts": boards}
            deep = self.dividers.housing or 0.0
            joints += [inside.housed(f"divider.{k}", ["bottom", "top"], deep) for k in boards]
        if self.shelves is not None:
            found = inside.bays(opening, "left", "right", boards, self.stock, slant)
            rows, more = inside.shelves(found, self.shelves, self.stock)
            groups["shelf"] = {"parts": rows}
            joints += more

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

    def _wall(self, wall: Wall, walls: tuple[Wall, ...], opening: Opening) -> dict[str, Plain]:
        """One board: as long as its outside where it is mitered; of butted and rabbeted walls the sides run through."""
        before, after = self._past(wall)
        cuts: list[Plain] = self._ends(wall, walls)
        for zone in zones_of(self.back):
            cuts += recesses(zone, wall, walls, before, after, self.corners != "miter" and wall.quarter in (1, 3))
        if self.shelves is not None and self.shelves.pins is not None and wall.name in ("left", "right"):
            cuts += inside.pin_holes(opening, self.shelves, self.stock, wall, before)
        cuts += [
            {kind: "front", "on": wall.outside, "size" if kind == "chamfer" else "radius": size}
            for kind, size in self.edge
        ]
        size = [wall.length + before + after, self.depth]
        return {"stock": self.stock.name, "size": size, "place": wall.place(before, after), "cuts": cuts}

    def _past(self, wall: Wall) -> tuple[float, float]:
        """How far a board runs past the two corners of its outside.

        Where a side is cut level its inner face may be longer; what stands between the sides is shorter.
        """
        if self.corners == "miter":
            return 0.0, 0.0
        thick, tilt = self.stock.thickness, math.radians(wall.lean)
        if wall.quarter in (1, 3):
            more = thick * math.tan(abs(tilt))
            if self.corners == "rabbet":
                return 2 * more, 2 * more  # a leaning rabbet is a trench: its outer wall stands in waste
            return (more, 0.0) if tilt > 0 else (0.0, more)
        return self._between(wall)

    def _between(self, wall: Wall) -> tuple[float, float]:
        """Of the bottom or the top between sides: less than the outside by a side, more by what goes into the rabbets
        and by the slant of its ends."""
        assert isinstance(self.outline, Outside)
        tilt = math.radians(self.outline.slant)
        level = self.stock.thickness / math.cos(tilt)
        into = level / 2 if self.corners == "rabbet" else 0.0
        spread = self.stock.thickness * math.tan(abs(tilt))
        # From its outer face to its inner one an end runs to the right or the left; the blank covers both.
        left_longer = (self.outline.slant < 0) == (wall.name == "bottom")
        left = -(level - into) + (spread if left_longer and tilt else 0.0)
        right = -(level - into) + (0.0 if left_longer or not tilt else spread)
        return (left, right) if wall.quarter == 0 else (right, left)

    def _ends(self, wall: Wall, walls: tuple[Wall, ...]) -> list[Plain]:
        """The level ends of leaning sides, and the slanting ends of what is butted between them."""
        if self.corners == "miter" or not isinstance(self.outline, Outside) or not self.outline.slant:
            return []
        if wall.quarter in (1, 3):
            return [{"trim": "bottom", "to": {"z": 0.0}}, {"trim": "top", "to": {"z": self.outline.height}}]
        if self.corners == "butt":
            return [{"trim": "left", "to": "left.right"}, {"trim": "right", "to": "right.left"}]
        return []

    def _corner_joints(self, walls: tuple[Wall, ...]) -> list[Plain]:
        if self.corners == "miter":
            return [{"miter": [walls[k].name, walls[(k + 1) % len(walls)].name]} for k in range(len(walls))]
        if self.corners == "butt":
            return [{"touch": [level, side]} for level in ("bottom", "top") for side in ("left", "right")]
        deep = self.stock.thickness / 2
        return [inside.housed(level, ["left", "right"], deep) for level in ("bottom", "top")]
