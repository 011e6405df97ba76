"""The back of a case: one panel or several above one another, in rabbets, in grooves, or over the rear edges.

|  |            |  |          |__|__         recess: how far the back
|  |___         |  |_         |    __|       lies in from the rear edges
|      |   or   |   _|   or   |   |
|______|        |__| |        |___|          depth: how deep it goes into
 rabbet         groove         over          the walls, or lies on them
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from solids.assemblies.walls import Spot, Wall, grown
from solids.assemblies.writing import Plain, Problem
from solids.model.field import Choice, Length, StockName, takes
from solids.model.geometry import Plane
from solids.model.opening import Opening, kept
from solids.model.part import Stock

PLAY = 0.2  # mm: how much wider than the panel a groove is cut


@dataclass(frozen=True, slots=True, kw_only=True)
class Back:
    """One panel; several stand above one another, each up to its `height` above the bottom of the case."""

    stock: Stock = takes(StockName(), "what it is made of")
    in_: str = takes(Choice(("rabbet", "groove", "over")), "how the walls hold it", "rabbet")
    depth: float | None = takes(Length(), "how deep into the walls; unsaid, half their thickness", None)
    recess: float = takes(Length(zero=True), "how far in from the rear edges", 0.0)
    slack: float = takes(Length(zero=True), "how much smaller than its rabbet or groove, on each side", 0.5)
    height: float | None = takes(Length(), "of several: how high above the bottom of the case it reaches", None)

    def deep(self, thick: float) -> float:
        """How deep it goes into walls of a thickness."""
        return thick / 2 if self.depth is None else self.depth

    def front(self, depth: float) -> float:
        """Where its front lies in a case of a depth."""
        return depth if self.in_ == "over" else depth - self.recess - self.stock.thickness


@dataclass(frozen=True, slots=True)
class Zone:
    """A panel of the back with where it begins and ends, plumb, in mm; open ends are where the walls hold it."""

    back: Back
    low: float | None
    high: float | None

    def clipped(self, whole: Opening) -> tuple[tuple[float, float], ...]:
        """The corners of its part of an outline."""
        corners = list(whole.corners)
        for at, sign in ((self.low, 1.0), (self.high, -1.0)):
            if at is not None:
                corners = _above(corners, at, sign)
        return tuple(corners)


def zones_of(backs: Sequence[Back]) -> tuple[Zone, ...]:
    """The panels upward, each from where the one below it ends; the last to the top."""
    ends = [None, *(b.height for b in backs[:-1]), None]
    return tuple(Zone(b, ends[k], ends[k + 1]) for k, b in enumerate(backs))


def back_problems(backs: Sequence[Back], thick: float, depth: float, height: float) -> Iterator[Problem]:
    """Say what is wrong with each panel, and with how they follow one another."""
    # A panel that ends within the wood of the bottom, or begins within that of the top, is none.
    below, above = (thick - b.deep(thick) + b.slack for b in (backs[0], backs[-1])) if backs else (0.0, 0.0)
    for k, back in enumerate(backs):
        where = "back" if not k else f"back.{k + 1}"
        deep = back.deep(thick)
        if deep >= thick and back.in_ != "over":
            yield f"{where}.depth", f"the back goes {deep:g} mm into walls {thick:g} mm thick"
        if back.in_ == "over" and (deep > thick or back.recess):
            told = (
                f"it lies {deep:g} mm on edges {thick:g} mm wide"
                if deep > thick
                else "a back over the edges has no recess"
            )
            yield f"{where}.depth", told
        if back.in_ == "groove" and not back.recess:
            yield f"{where}.recess", "a back in grooves lies some way in: give its `recess` from the rear edges"
        if back.front(depth) <= 0:
            yield f"{where}.recess", f"the back lies {back.recess:g} mm in, in a case {depth:g} mm deep"
        if back.slack >= deep:
            yield f"{where}.slack", f"slack of {back.slack:g} mm takes it out of a rabbet {deep:g} mm deep"
        if k < len(backs) - 1 and (back.height is None or not below < back.height < height - above):
            told = f"each panel but the last has its `height`, upward, between {below:g} and {height - above:g} mm"
            yield f"{where}.height", told
            return
        below = back.height or 0.0


def panel(zone: Zone, walls: Sequence[Wall], depth: float) -> dict[str, Plain]:
    """The panel as a part: the inside of the walls grown into them, less the slack, in its own stretch of height."""
    back = zone.back
    whole = grown(walls, back.deep(walls[0].thick) - back.slack, 0.0, depth)
    corners = zone.clipped(whole)
    x0, x1 = min(x for x, _ in corners), max(x for x, _ in corners)
    z0, z1 = min(z for _, z in corners), max(z for _, z in corners)
    place = {"at": [x0, back.front(depth), z0], "length": "up", "face": "front"}
    out: dict[str, Plain] = {"stock": back.stock.name, "size": [z1 - z0, x1 - x0], "place": place}
    square = len(corners) == 4 and all(_at_end(x, x0, x1) and _at_end(z, z0, z1) for x, z in corners)
    if not square:
        out["outline"] = [[z - z0, x - x0] for x, z in corners]
    return out


def recesses(
    zone: Zone, wall: Wall, walls: Sequence[Wall], before: float, after: float, through: Sequence[str]
) -> list[Plain]:
    """The rabbet or groove of a wall for a panel, as far as the panel's far corners; none where it does not reach.

    `before` and `after` are how far the board runs past its two corners; at the
    ends that run `through` to the outside a cut that ran out would show.
    """
    back = zone.back
    if back.in_ == "over":
        return []
    deep = back.deep(wall.thick)
    reach = _reach(zone, wall, walls, deep)
    if not reach:
        return []
    low, high = min(reach) + before, wall.length - max(reach) + after
    stops = {}
    if zone.low is not None or zone.high is not None or through:
        long = wall.length + before + after
        stops = {side: far for side, far in ((wall.start_end, low), (wall.end_end, high)) if 1e-6 < far < long}
        free = whole_ends(zone, wall, walls, deep)
        stops = {side: far for side, far in stops.items() if side in through or side not in free}
    cut: dict[str, Plain]
    if back.in_ == "rabbet":
        cut = {"rabbet": "rear", "on": wall.inside, "width": back.stock.thickness + back.recess, "depth": deep}
    else:
        at = {"rear": back.recess - PLAY / 2}
        cut = {"groove": wall.inside, "at": at, "width": back.stock.thickness + PLAY, "depth": deep}
    return [{**cut, "stop": stops} if stops else cut]


def whole_ends(zone: Zone, wall: Wall, walls: Sequence[Wall], deep: float) -> tuple[str, ...]:
    """The ends of a wall at which the panel reaches the corner: there its cut may run out."""
    ours, mine = _reach(Zone(zone.back, None, None), wall, walls, deep), _reach(zone, wall, walls, deep)
    ends = []
    if abs(min(ours) - min(mine)) < 1e-6:
        ends.append(wall.start_end)
    if abs(max(ours) - max(mine)) < 1e-6:
        ends.append(wall.end_end)
    return tuple(ends)


def _at_end(value: float, low: float, high: float) -> bool:
    return min(abs(value - low), abs(value - high)) < 1e-9


def _reach(zone: Zone, wall: Wall, walls: Sequence[Wall], deep: float) -> list[float]:
    """How far along a wall the corners of what it holds of a panel are; empty where it holds nothing."""
    inner = wall.plane(wall.thick)
    beyond = Plane(inner.normal.times(-1), -inner.offset)
    held = kept(list(zone.clipped(grown(walls, deep, 0.0, 1.0))), beyond)
    found = [wall.along(Spot(x, z)) for x, z in held]
    return found if found and max(found) - min(found) > deep + 1e-6 else []


def _above(corners: list[tuple[float, float]], at: float, sign: float) -> list[tuple[float, float]]:
    """What of a convex outline lies above a height, below it where `sign` is under 0."""
    out: list[tuple[float, float]] = []
    for (x0, z0), (x1, z1) in zip(corners, [*corners[1:], corners[0]], strict=True):
        d0, d1 = sign * (z0 - at), sign * (z1 - at)
        if d0 >= 0:
            out.append((x0, z0))
        if d0 * d1 < 0:
            share = d0 / (d0 - d1)
            out.append((x0 + share * (x1 - x0), at))
    return out
