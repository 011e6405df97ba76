"""A bolt, screw, dowel or loose tenon laid along its axis: where its head, its end and its nut come to, in outline."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

import numpy as np
import shapely

from solids.fit.dryfit import DryFit
from solids.fit.fastened import Drilled, Fastening, nut_distance
from solids.kernel.mesh import Floats
from solids.model.finding import Finding
from solids.model.hardware import Bolt, Screw
from solids.report.page_spot import to_eye


@dataclass(frozen=True, slots=True)
class Bored:
    """A fastening and the hole of it that a finding is about, in mm from `start` along `axis` and along `across`."""

    dry: DryFit
    finding: Finding
    fastening: Fastening
    hole: Drilled
    across: Floats

    @property
    def start(self) -> Floats:
        """Where the axis comes out of the first part: the head is beyond it."""
        return np.array(self.fastening.a.start)

    @property
    def axis(self) -> Floats:
        return np.array(self.fastening.a.axis)

    @property
    def toward(self) -> Floats:
        return to_eye(np.cross(self.axis, self.across))

    def at(self, point: Any) -> tuple[float, float]:
        """How far along the axis and to its side a point of the room lies."""
        off = np.asarray(point, float) - self.start
        return float(off @ self.axis), float(off @ self.across)

    @property
    def seat(self) -> float:
        """Where the underside of the head, or of its washer, bears on the wood."""
        return self.fastening.a.sunk

    @property
    def tip(self) -> float:
        """Where the bolt or screw ends; the deeper hole's floor where there is none."""
        ware = self.fastening.ware
        if ware is not None:
            return self.seat - washer(ware) + ware.length
        b = self.fastening.b
        return self.at(b.below(b.depth or 0.0))[0] if b is not None else (self.hole.depth or 0.0)


def steel(b: Bored) -> Iterator[Any]:
    """Head, washer, shank and nut as outlines along the axis."""
    ware, nut = b.fastening.ware, b.fastening.nut
    if nut is not None and b.fastening.b is not None:
        t = b.at(b.fastening.b.start)[0] + nut_distance(nut, b.fastening.b)
        yield shapely.Point(t, 0.0).buffer(nut.diameter / 2, quad_segs=16)
    if ware is None:
        return
    under = b.seat - washer(ware)
    radius, half = ware.diameter / 2, ware.head_diameter / 2
    if isinstance(ware, Screw):
        taper = min(half - radius, ware.length / 3)
        yield shapely.Polygon([(under, -half), (under, half), (under + taper, radius), (under + taper, -radius)])
        point = b.tip - radius
        yield shapely.Polygon([(under, -radius), (under, radius), (point, radius), (b.tip, 0.0), (point, -radius)])
        return
    yield shapely.box(under - ware.diameter, -half, under, half)
    if ware.washer is not None:
        yield shapely.box(under, -ware.washer_diameter / 2, b.seat, ware.washer_diameter / 2)
    if ware.insert is not None and b.fastening.b is not None:
        t, wide = b.at(b.fastening.b.start)[0], ware.insert.diameter / 2
        yield shapely.box(t, -wide, t + ware.insert.length, wide)
    yield shapely.box(under, -radius, b.tip, radius)


def washer(ware: Bolt | Screw) -> float:
    """How thick the washer under the head is, in mm; 0 without one."""
    return ware.washer_thickness if isinstance(ware, Bolt) else 0.0


def head(ware: Bolt | Screw) -> float:
    """Across what bears on the wood, in mm."""
    return ware.seat if isinstance(ware, Bolt) else ware.head_diameter


def radius(b: Bored) -> float:
    """Of the bolt or screw, in mm; of the hole where there is none."""
    return b.fastening.ware.diameter / 2 if b.fastening.ware is not None else b.hole.diameter / 2
