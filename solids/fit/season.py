"""Every gap of a piece that solid wood opens and closes through the year: as made, at the driest, at the most humid."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from solids.data.moisture import equilibrium
from solids.fit.contacts import Contact
from solids.fit.dryfit import DryFit
from solids.fit.growth import Growth, growth_of
from solids.fit.holding import is_fast
from solids.kernel.mesh import Floats
from solids.model.geometry import Vector
from solids.model.piece import Joint
from solids.model.seasons import Seasons

STILL = 0.05  # mm: a gap that moves less through the year stays as it is
SQUARE = 0.9  # cosine: a face that looks more nearly than this along a part's width moves with it


@dataclass(frozen=True, slots=True)
class Moisture:
    """What the wood holds, in percent: when it was cut, at the driest and at the most humid."""

    made: float
    driest: float
    wettest: float

    @property
    def changes(self) -> tuple[float, float]:
        """From when it was cut to the driest, and to the most humid."""
        return self.driest - self.made, self.wettest - self.made


@dataclass(frozen=True, slots=True)
class SeasonGap:
    """A gap through the year; mm.

    `what` is reveal, clearance, panel or miter. `today`, `driest` and `wettest`
    are the gap at its narrowest, of a panel the room on each side where it lies
    in the middle; of a miter the gap at its widest. `widest` is the gap at its
    widest at the driest, and `held` how deep a panel sits in its groove then.
    """

    what: str
    parts: tuple[int, int]
    name: str
    today: float
    driest: float
    wettest: float
    widest: float
    point: Vector
    asked: float = 0.0
    held: float | None = None
    held_today: float | None = None
    joint: Joint | None = None
    end: str = ""
    degrees: float | None = None

    @property
    def moves(self) -> float:
        """From the driest to the most humid."""
        return abs(self.wettest - self.driest)


def moisture_of(seasons: Seasons) -> Moisture:
    """The moisture that wood comes to in the air of a year."""
    low, high = seasons.humidity
    made, driest, wettest = (equilibrium(h, seasons.temperature) for h in (seasons.made, low, high))
    return Moisture(made, driest, wettest)


class Year:
    """A piece through the year; each of its gaps worked out when first asked for."""

    def __init__(self, dry: DryFit, seasons: Seasons) -> None:
        self.dry = dry
        self.seasons = seasons
        self.moisture = moisture_of(seasons)

    @cached_property
    def growth(self) -> Growth:
        """How the parts grow for one percent."""
        return growth_of(self.dry)

    @cached_property
    def contacts(self) -> dict[int, list[Contact]]:
        """The contacts of every part, by its number."""
        found: dict[int, list[Contact]] = defaultdict(list)
        for c in self.dry.contacts:
            for part in c.parts:
                found[part].append(c)
        return found

    @cached_property
    def gaps(self) -> tuple[SeasonGap, ...]:
        """All gaps that move, in the order of their parts."""
        found = [*self._apart(), *self._panels(), *self._miters()]
        return tuple(sorted((g for g in found if g.moves > STILL), key=lambda g: (g.parts, g.what, g.name)))

    def _apart(self) -> Iterator[SeasonGap]:
        """Reveals, and what else keeps apart: of two parts the gap that a joint asks for, else the narrowest."""
        found = self.growth.gaps
        gap, widening, k = self.growth.widening(found)
        part = self.dry.scene.part
        pairs: dict[tuple[int, int], list[int]] = defaultdict(list)
        for n in range(len(found)):
            i, j = int(part[found.a[n]]), int(part[found.b[n]])
            pairs[min(i, j), max(i, j)].append(n)
        for pair, all_of_them in pairs.items():
            joint = next((j for j in self.dry.joints_by_pair.get(pair, ()) if j.asked is not None), None)
            for n in _told(found.least[all_of_them], joint, all_of_them):
                if found.greatest[n] < self.dry.limits.touch:
                    continue  # the one lies on the other: no gap to close
                own = k == n
                yield self._gap(pair, joint, gap[own], widening[own], Vector(*found.middle[n].tolist()))

    def _gap(self, pair: tuple[int, int], joint: Joint | None, gap: Floats, widening: Floats, at: Vector) -> SeasonGap:
        dry, wet = (gap + change * widening for change in self.moisture.changes)
        a, b = (joint.a, joint.b) if joint else (self.dry.part(pair[0]).id, self.dry.part(pair[1]).id)
        parts = (self.dry.number[a], self.dry.number[b])
        what = joint.kind if joint else "clearance"
        today, driest, wettest = (float(g.min()) for g in (gap, dry, wet))
        widest = max(float(dry.max()), float(wet.max()))
        asked = (joint.asked if joint else None) or 0.0
        return SeasonGap(what, parts, f"{a} and {b}", today, driest, wettest, widest, at, asked, joint=joint)

    def _panels(self) -> Iterator[SeasonGap]:
        """Panels and backs that have room across their grain on both sides, or on one."""
        for i in np.flatnonzero(self.growth.moving).tolist():
            sides = self._rooms(i)
            if sides:
                yield self._panel(i, sides)

    def _rooms(self, i: int) -> list[Contact]:
        """Where a part's edges have room in what houses them: the narrowest place on either side."""
        across = self.growth.across(i)
        found: dict[bool, Contact] = {}
        for c in self.contacts[i]:
            own, other = (c.guest, c.host) if c.guest.part == i else (c.host, c.guest)
            normal = self.dry.scene.normal[own.face]
            is_edge = own.kind in ("blank", "rabbet", "tongue", "tenon") and other.kind in ("groove", "dado", "rabbet")
            if not is_edge or abs(float(normal @ across)) < SQUARE or is_fast(self.dry, c):
                continue
            side = float(normal @ across) > 0
            if side not in found or c.least < found[side].least:
                found[side] = c
        return list(found.values())

    def _panel(self, i: int, sides: list[Contact]) -> SeasonGap:
        """Room on each side: half of what there is in all, since a panel is kept in the middle."""
        rooms, widths, depths, deepening = [], [], [], []
        for c in sides:
            gap, widening, _ = self.growth.widening(self.dry.facing.take(np.array([c.index])))
            rooms.append(float(gap.min()))
            widths.append(float(widening.mean()))
            depths.append(_depth(self.dry, c, i))
            deepening.append(depths[-1] * self._swelling(c, i))
        today, moves = (sum(values) / len(sides) for values in (rooms, widths))
        k = int(np.argmin(depths))
        dry, wet = (today + change * moves for change in self.moisture.changes)
        held = [
            depths[k] + change * deepening[k] - room
            for change, room in zip(self.moisture.changes, (dry, wet), strict=True)
        ]
        other = sides[0].host.part if sides[0].guest.part == i else sides[0].guest.part
        return SeasonGap("panel", (i, other), self.dry.part(i).id, today, dry, wet, max(dry, wet), sides[0].point,
                         held=min(held), held_today=depths[k] - today)  # fmt: skip

    def _swelling(self, c: Contact, i: int) -> float:
        """How much deeper the housing of part i gets, for each mm and percent."""
        along = self.dry.facing.along[c.index]
        return float(along @ self.growth.strain[c.host.part if c.guest.part == i else c.guest.part] @ along)

    def _miters(self) -> Iterator[SeasonGap]:
        """Miters of wide boards: their angle changes, and one end of the joint opens."""
        for c in self.dry.contacts:
            if c.meeting == "miter" and self.growth.moving[list(c.parts)].any():
                yield self._miter(c)

    def _miter(self, c: Contact) -> SeasonGap:
        """Pulled up tight it touches somewhere: what is open is how uneven the gap is."""
        one = self.dry.facing.take(np.array([c.index]))
        gap, widening, _ = self.growth.widening(one)
        through = [gap, *(gap + change * widening for change in self.moisture.changes)]
        today, driest, wettest = (float(np.ptp(g)) for g in through)
        worst, (corners, _) = max(through, key=np.ptp), one.corners()
        opened, closed = corners[int(np.argmax(worst))], corners[int(np.argmin(worst))]
        angle = float(np.degrees(np.arctan2(np.ptp(worst), np.linalg.norm(opened - closed))))
        a, b = (self.dry.part(p).id for p in c.parts)
        return SeasonGap(
            "miter", c.parts, f"{a} and {b}", today, driest, wettest, max(driest, wettest), c.point,
            end=self._end(c, opened, closed), degrees=angle,
        )  # fmt: skip

    def _end(self, c: Contact, opened: Floats, closed: Floats) -> str:
        """The toe is the end of a miter that is farther from the middles of its two parts."""
        middle = self.growth.centre[list(c.parts)].mean(axis=0)
        return "toe" if np.linalg.norm(opened - middle) > np.linalg.norm(closed - middle) else "heel"


def _told(least: Floats, joint: Joint | None, pairs: list[int]) -> list[int]:
    """The facing pairs to follow: the one nearest to what a joint asks for, else each that is open."""
    if joint is None:
        return [n for n, gap in zip(pairs, least.tolist(), strict=True) if gap > -1e-6]
    off = np.abs(least - (joint.asked or 0.0))
    return [pairs[int(np.argmin(np.round(off, 6)))]]


def _depth(dry: DryFit, c: Contact, i: int) -> float:
    """How deep the groove or rabbet is that houses part i, in mm."""
    housing = c.host if c.guest.part == i else c.guest
    cut = housing.made.cut if housing.made else None
    depth = getattr(cut, "width" if housing.kind == "rabbet" else "depth", None)
    return float(depth or dry.part(housing.part).blank.thickness)
