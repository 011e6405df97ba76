r"""Ring: walls mitered to one another all round, upright or splayed, with or without a bottom and a top.

          ______
         /      \           seen from above: `wall.1` is in front, the rest go
        /        \          round anticlockwise; `across` is from flat to flat,
       |          |         outside, at the bottom or at the top
        \        /
         \______/           height and lean are plumb, the rims are level
          wall.1

Given by its number of `sides`, about 0; or by an `outline` of points in plan,
anticlockwise. An `open` wall is left out, and its neighbours end square.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import ClassVar

from solids.assemblies.plan import Plan, Spot
from solids.assemblies.writing import Plain, Problem, Written
from solids.model.field import Angle, Choice, Chosen, Count, Length, Name, Names, Points, StockName, takes
from solids.model.part import Stock

LEAST_TURN = 5.0  # degrees: walls that turn by less are one wall


@dataclass(frozen=True, slots=True, kw_only=True)
class Ring:
    """Given by `sides` and `across`, or by an `outline`."""

    kind: ClassVar[str] = "ring"
    example: ClassVar[str] = (
        "{ring: planter, sides: 6, across: {bottom: 400}, height: 300, lean: {out: 12}, stock: oak}"
    )

    name: str = takes(Name(), "what it is called", head=True)
    sides: int | None = takes(Count(3, 60), "how many walls, all alike", None)
    across: tuple[tuple[str, float], ...] = takes(
        Chosen(("bottom", "top"), Length()),
        "flat to flat outside, as `{bottom: 400}`; with an odd number, twice flat to middle",
        (),
    )
    outline: tuple[tuple[float, float], ...] = takes(
        Points(), "in place of `sides`: the corners outside at the bottom, in plan, anticlockwise", ()
    )
    height: float = takes(Length(), "plumb")
    lean: tuple[tuple[str, float], ...] = takes(
        Chosen(("out", "in"), Angle(closed=True, most=80.0)), "from plumb, as `{out: 12}`", ()
    )
    stock: Stock = takes(StockName(), "what the walls are made of")
    walls: tuple[str, ...] = takes(Names(), "names in place of `wall.1`, `wall.2` ...", ())
    open: tuple[str, ...] = takes(Names(), "walls that are left out, by their names or as `wall_2`", ())
    grain: str = takes(Choice(("round", "up")), "which way the grain of the walls runs", "round")
    caps: tuple[tuple[str, Stock], ...] = takes(
        Chosen(("bottom", "top"), StockName(), many=True), "panels that lie inside, as `{bottom: ply}`", ()
    )

    def problems(self) -> Iterator[Problem]:
        """Say what keeps it from being made: which field, and why."""
        if (self.sides is None) == (not self.outline):
            yield "name", "a ring has its number of `sides`, or an `outline` in plan: one of the two"
            return
        if self.sides is not None and not self.across:
            yield "sides", f"a ring of {self.sides} sides lacks `across`, as `{{bottom: 400}}`"
            return
        if self.outline and self.across:
            yield "across", "`across` follows from the outline; leave it out"
        if self.sides is not None and self._bottom() <= 0:
            yield "across", f"leaning like that it is {self._bottom():g} mm across at the bottom; it must be over 0"
            return
        plan = self._plan()
        if not _convex(plan):
            yield "outline", "the corners of a ring go round anticlockwise, each turning left"
            return
        count = len(plan.corners)
        if self.walls and len(self.walls) != count:
            yield "walls", f"{len(self.walls)} names stand here for {count} walls"
        known = [w.replace(".", "_") for w in self._names()]
        for name in self.open:
            if name not in known:
                yield "open", f"no wall is called `{name}`; there is {', '.join(f'`{w}`' for w in known)}"
        if len(self.open) >= count - 1:
            yield "open", "so many walls are open that nothing is left to join"
        yield from self._closing(plan)

    def _closing(self, plan: Plan) -> Iterator[Problem]:
        """Whether there is room inside at the bottom and at the top."""
        for z in (0.0, self.height):
            for k in range(len(plan.corners)):
                a, b = plan.corner(k, z, inside=True), plan.corner(k + 1, z, inside=True)
                if plan.along(k).dot(Spot(b.x - a.x, b.y - a.y)) <= 1e-6:
                    yield "height", f"at a height of {z:g} mm the walls leave nothing inside: less lean, or less height"
                    return

    def write(self) -> Written:
        """A wall for each side that is not open, their miters, and the caps."""
        plan, names = self._plan(), self._names()
        shut = [k for k in range(len(names)) if names[k].replace(".", "_") not in self.open]
        numbered = not self.walls
        walls = {names[k].removeprefix("wall."): self._wall(plan, k) for k in shut}
        caps = {end: self._cap(plan, end, stock, shut) for end, stock in self.caps}
        joints: list[Plain] = []
        for k in shut:
            after = (k + 1) % len(names)
            if after in shut:
                joints.append({"miter": [names[k], names[after]]})
        joints += [{"touch": [cap, names[k]]} for cap in caps for k in shut]
        if numbered:
            return Written(caps, joints, {"wall": {"parts": walls}})
        return Written({**walls, **caps}, joints)

    def _names(self) -> list[str]:
        count = self.sides or len(self.outline)
        return list(self.walls) or [f"wall.{k + 1}" for k in range(count)]

    def _lean(self) -> float:
        """Degrees outward."""
        return sum(value if way == "out" else -value for way, value in self.lean)

    def _bottom(self) -> float:
        """Flat to flat at the bottom."""
        (where, across), *_ = self.across
        spread = 2 * self.height * math.tan(math.radians(self._lean()))
        return across if where == "bottom" else across - spread

    def _plan(self) -> Plan:
        if self.sides is not None:
            return Plan.regular(self.sides, self._bottom(), self._lean(), self.stock.thickness)
        return Plan(tuple(Spot(x, y) for x, y in self.outline), self._lean(), self.stock.thickness)

    def _wall(self, plan: Plan, k: int) -> dict[str, Plain]:
        """The blank as long as its longest edge, and so wide that both rims can be cut level."""
        lean, thick = plan.lean, plan.thick
        tilt = math.radians(abs(lean))
        start, end = plan.span(k, self.height)
        wide = self.height / math.cos(tilt) + thick * math.tan(tilt)
        # A wall that leans out turns about its inner lower edge, which stays at height 0; one that leans in, its outer.
        deep = thick / math.cos(tilt) - thick if lean > 0 else 0.0
        p = plan.corners[k]
        at = [p.x + start, p.y + deep, 0.0]
        length = ("across", [end - start, wide]) if self.grain == "round" else ("up", [wide, end - start])
        place: dict[str, Plain] = {"at": at, "length": length[0], "face": "front"}
        cuts: list[Plain] = []
        if lean:
            place["lean"] = {"front" if lean > 0 else "rear": abs(lean)}
            cuts = [{"trim": "bottom", "to": {"z": 0.0}}, {"trim": "top", "to": {"z": self.height}}]
        if abs(plan.turn(k)) > 1e-12:
            place["turn"] = {"by": plan.turn(k), "about": [p.x, p.y]}
        return {"stock": self.stock.name, "size": length[1], "place": place, "cuts": cuts}

    def _cap(self, plan: Plan, end: str, stock: Stock, shut: list[int]) -> dict[str, Plain]:
        """A panel round which every wall trims it: as long as the inside is where that is widest."""
        low = 0.0 if end == "bottom" else self.height - stock.thickness
        count = len(plan.corners)
        spots = [_inner(plan, k, shut, z, low) for k in range(count) for z in (low, low + stock.thickness)]
        x0, x1 = min(s.x for s in spots), max(s.x for s in spots)
        y0, y1 = min(s.y for s in spots), max(s.y for s in spots)
        size, place = [x1 - x0, y1 - y0], {"at": [x0, y0, low], "length": "across", "face": "top"}
        cuts = [cut for k in range(count) if (cut := self._trimmed(plan, k, k in shut, (x0, x1, y0, y1), low, stock))]
        return {"stock": stock.name, "size": size, "place": place, "cuts": cuts}

    def _trimmed(
        self, plan: Plan, k: int, shut: bool, box: tuple[float, float, float, float], low: float, stock: Stock
    ) -> dict[str, Plain] | None:
        """The cut along one wall; none where the blank ends there already."""
        out = plan.out(k)
        lean = math.radians(plan.lean) if shut else 0.0
        p = plan.moved(k, *[plan.outward(low, inside=shut)] * 2)
        x0, x1, y0, y1 = box
        square = abs(lean) < 1e-12 and max(abs(out.x), abs(out.y)) > 1 - 1e-12
        if square and min(abs(p.x - x0), abs(p.x - x1)) < 1e-9 and abs(out.x) > 0.5:
            return None
        if square and min(abs(p.y - y0), abs(p.y - y1)) < 1e-9 and abs(out.y) > 0.5:
            return None
        wide = abs(out.x) >= abs(out.y)
        side = ("right" if out.x > 0 else "left") if wide else ("rear" if out.y > 0 else "front")
        normal = [out.x * math.cos(lean), out.y * math.cos(lean), -math.sin(lean)]
        return {"trim": side, "to": {"through": [p.x, p.y, low], "square_to": normal}, "name": f"along_wall_{k + 1}"}


def _inner(plan: Plan, k: int, shut: list[int], z: float, low: float) -> Spot:
    """Corner k of what lies inside at a height; an open wall leaves it flush, and upright, with the outline below."""
    before, after = (
        plan.outward(z, inside=True) if wall % len(plan.corners) in shut else plan.outward(low, inside=False)
        for wall in (k - 1, k)
    )
    return plan.moved(k, before, after)


def _convex(plan: Plan) -> bool:
    turns = plan.turns()
    return all(LEAST_TURN < t < 180 - LEAST_TURN for t in turns) and abs(sum(turns) - 360) < 1e-6
