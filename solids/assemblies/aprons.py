"""The aprons of a base: between the legs, flush with their tops, by tenons or butted, trimmed to legs that lean."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import NamedTuple

from solids.assemblies.legs import CORNERS, OPPOSITE, Stance
from solids.assemblies.writing import Plain, Problem
from solids.model.field import Length, Record, StockName, takes
from solids.model.geometry import Frame, Plane, Vector, rotation
from solids.model.part import Stock

SLACK = 0.2  # mm: how much wider than its tenon a mortise is cut
ROOM = 0.5  # mm: left free at the mortise's floor and ends
STEP = 3.5  # mm: an apron set in by less looks like one that was meant to be flush
APART = 2.0  # mm: between tenons that meet in a leg, square to their mitered ends


@dataclass(frozen=True, slots=True, kw_only=True)
class ApronTenon:
    """Centred in the apron; its edges keep the shoulders."""

    length: float = takes(Length(), "how far it goes into the leg, square to it")
    thickness: float = takes(Length(), "of the tenon")
    shoulder: float = takes(Length(zero=True), "how far it keeps from the top and the bottom of the apron", 10.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Apron:
    """All four are alike in section."""

    stock: Stock = takes(StockName(), "what they are made of")
    height: float = takes(Length(), "from top to bottom, plumb")
    set_in: float | None = takes(
        Length(zero=True),
        "how far they lie in from the outside of the legs; unsaid, flush, or the least that a lean asks",
        None,
    )
    tenon: ApronTenon | None = takes(Record(ApronTenon), "on each end; unsaid, aprons are butted", None)


class Run(NamedTuple):
    """One of the four: its name, the legs that it runs between (counted from 0), the side that it looks to."""

    name: str
    low: int
    high: int
    face: str

    @property
    def across(self) -> bool:
        """Whether it runs along the front, not along a side."""
        return self.face in ("front", "rear")

    @property
    def far(self) -> bool:
        """Whether it is at the rear or on the right."""
        return self.face in ("rear", "right")

    @property
    def ends(self) -> tuple[str, str]:
        return ("left", "right") if self.across else ("front", "rear")


RUNS = (
    Run("apron_front", 0, 1, "front"),
    Run("apron_right", 1, 2, "right"),
    Run("apron_rear", 3, 2, "rear"),
    Run("apron_left", 0, 3, "left"),
)


def apron_problems(apron: Apron, stance: Stance) -> Iterator[Problem]:
    """Say what is wrong with how the aprons meet the legs."""
    thick, into = apron.stock.thickness, _wood(stance)
    least_in = _least_set_in(stance)
    if _set_in(apron, stance) < least_in:
        told = f"the sides of a leg that leans are not in one plane with its aprons: set them in by {least_in:.3g} mm"
        yield "apron.set_in", f"{told} or more"
        return
    if apron.height >= stance.height:
        yield "apron.height", f"aprons {apron.height:g} mm high on legs {stance.height:g} mm high"
    tenon = apron.tenon
    bears = thick if tenon is None or stance.leg.panels else (thick + tenon.thickness) / 2 + SLACK
    set_in = _set_in(apron, stance)
    if set_in + bears > into + 1e-9:
        told = f"set in by {set_in:.4g} mm, an apron {thick:g} mm thick passes the wood that it meets, {into:g} mm"
        yield "apron.set_in", told
        return
    if tenon is None:
        return
    if tenon.thickness >= thick:
        yield "apron.tenon.thickness", f"a tenon {tenon.thickness:g} mm thick on an apron {thick:g} mm thick"
    if 2 * tenon.shoulder >= apron.height:
        yield "apron.tenon.shoulder", f"shoulders of {tenon.shoulder:g} mm leave no tenon on {apron.height:g} mm"
    if stance.lean and not tenon.shoulder:
        yield (
            "apron.tenon.shoulder",
            "a tenon in a leg that leans keeps from the top of the apron: give it a `shoulder`",
        )
    least = min(stance.leg.section)
    if tenon.length + ROOM >= least:
        yield "apron.tenon.length", f"a tenon {tenon.length:g} mm long comes out of a leg of {least:g} mm"
    elif _meet(apron, stance) and _miter_reaches(apron, stance):
        yield "apron.tenon.length", "these tenons meet so near the legs' sides that their miters cut the shoulders"


def _wood(stance: Stance) -> float:
    """How far in from the outside there is wood for an apron's end to meet."""
    return stance.leg.stock.thickness if stance.leg.panels else min(stance.leg.section)


def _least_set_in(stance: Stance) -> float:
    """0 where legs stand upright; else what their slanting sides take over their depth, and a step that shows."""
    return stance.leg.section[1] * math.tan(math.radians(stance.twist)) + STEP if stance.lean else 0.0


def _set_in(apron: Apron, stance: Stance) -> float:
    return _least_set_in(stance) if apron.set_in is None else apron.set_in


def _middle(apron: Apron, stance: Stance) -> float:
    """How far in from a leg's outer side the middle of a tenon is."""
    return _set_in(apron, stance) + apron.stock.thickness / 2


def _meet(apron: Apron, stance: Stance) -> bool:
    """Whether tenons from the front and the side meet within a leg, or come nearer than they should."""
    if apron.tenon is None:
        return False
    reach = _middle(apron, stance) + apron.tenon.thickness / 2 + APART
    return all(size - apron.tenon.length < reach for size in stance.leg.section)


def _miter_reaches(apron: Apron, stance: Stance) -> bool:
    """Whether the plane between two meeting tenons would pass through the aprons before their shoulders."""
    far = _set_in(apron, stance) + apron.stock.thickness + APART
    return far > min(stance.leg.section)


def written(apron: Apron, stance: Stance) -> tuple[dict[str, Plain], list[Plain]]:
    """The four aprons, and how they are joined to the legs."""
    parts: dict[str, Plain] = {run.name: _apron(apron, stance, run) for run in RUNS}
    joints = [joint for run in RUNS for joint in _joints(apron, stance, run)]
    return parts, joints


def _joints(apron: Apron, stance: Stance, run: Run) -> list[Plain]:
    legs = [leg_name(stance, k, run.across) for k in (run.low, run.high)]
    if apron.tenon is None:
        return [{"touch": [run.name, leg]} for leg in legs]
    return [{"house": run.name, "into": legs, "slack": SLACK, "room": ROOM}]


def leg_name(stance: Stance, k: int, across: bool) -> str:
    """The leg, or that panel of it whose edge an apron along the front, or along a side, meets."""
    if not stance.leg.panels:
        return f"leg.{k + 1}"
    return f"leg.{k + 1}.{CORNERS[k].y_side if across else CORNERS[k].x_side}"


def _apron(apron: Apron, stance: Stance, run: Run) -> dict[str, Plain]:
    """One apron, as long as its longest edge, or its tenons, ask."""
    lie = _Lie.of(apron, stance, run)
    start, end = (lie.reach(apron, stance, run, k) for k in (run.low, run.high))
    at = [start, lie.at, lie.low] if run.across else [lie.at, start, lie.low]
    place: dict[str, Plain] = {"at": at, "length": "across" if run.across else "deep", "face": run.face}
    cuts: list[Plain] = []
    if stance.lean:
        toward = OPPOSITE[run.face] if stance.lean > 0 else run.face
        place["lean"] = {toward: abs(stance.lean), "about": list(lie.hinge)}
        cuts = [{"trim": "bottom", "to": {"z": lie.foot}}, {"trim": "top", "to": {"z": stance.height}}]
    for k, end_side in zip((run.low, run.high), run.ends, strict=True):
        cuts += _end(apron, stance, run, k, end_side)
    return {"stock": apron.stock.name, "size": [end - start, lie.wide], "place": place, "cuts": cuts}


def _end(apron: Apron, stance: Stance, run: Run, k: int, side: str) -> list[Plain]:
    """What is cut at one end: the tenon, mitered where it meets another; or the slant of a butted end."""
    corner = CORNERS[k]
    leg = f"{leg_name(stance, k, run.across)}.{OPPOSITE[corner.x_side if run.across else corner.y_side]}"
    tenon = apron.tenon
    if tenon is None:
        return [{"trim": side, "to": leg}] if stance.lean else []
    cut: dict[str, Plain] = {"tenon": side, "length": tenon.length, "width": _tenon_width(apron, stance)}
    cut["thickness"] = tenon.thickness
    if stance.lean:
        cut["to"] = leg
    return [cut, _tip_miter(stance, run, k, side)] if _meet(apron, stance) else [cut]


def _tenon_width(apron: Apron, stance: Stance) -> float:
    """Along the leg, which leans."""
    assert apron.tenon is not None
    return (apron.height - 2 * apron.tenon.shoulder) / math.cos(math.radians(stance.tip))


def _tip_miter(stance: Stance, run: Run, k: int, side: str) -> Plain:
    """The cut that keeps a tenon on its side of the plumb plane through the leg's diagonal."""
    corner = CORNERS[k]
    x, y = (stance.width if corner.right else 0.0), (stance.depth if corner.rear else 0.0)
    in_x, in_y = (-1.0 if corner.right else 1.0), (-1.0 if corner.rear else 1.0)
    sign = 1.0 if run.across else -1.0
    normal = Vector(-in_x * sign, in_y * sign, 0.0).unit()
    plane = {"through": [x, y, 0.0], "square_to": list(normal)}
    return {"trim": side, "to": plane, "clear": APART / 2, "name": f"{side}_tip"}


@dataclass(frozen=True, slots=True)
class _Lie:
    """Where an apron's blank lies: its least place across its face, its least height, how wide it is.

    `foot` is how high its lower edge is, cut level; `hinge` a point of the edge
    that it leans about: the lower, outer one.
    """

    at: float
    low: float
    wide: float
    foot: float
    hinge: Vector
    turned: Frame

    @classmethod
    def of(cls, apron: Apron, stance: Stance, run: Run) -> _Lie:
        tilt, thick = math.radians(abs(stance.lean)), apron.stock.thickness
        foot, over = stance.height - apron.height, stance.depth if run.across else stance.width
        inward = (
            _set_in(apron, stance) / math.cos(tilt) - apron.height * stance.slope
        )  # from the tops' outside, at its foot
        outer = over - inward if run.far else inward
        spare = thick * math.tan(tilt)
        hinge = Vector(0.0, outer, foot) if run.across else Vector(outer, 0.0, foot)
        along = Vector(1.0, 0.0, 0.0) if run.across else Vector(0.0, 1.0, 0.0)
        rising = (-1.0 if run.far else 1.0) * (-1.0 if run.across else 1.0)  # turns its top inward
        turned = rotation(along, rising * stance.lean, about=hinge)
        low = foot - (spare if stance.lean < 0 else 0.0)
        return cls(outer - thick if run.far else outer, low, apron.height / math.cos(tilt) + spare, foot, hinge, turned)

    def reach(self, apron: Apron, stance: Stance, run: Run, k: int) -> float:
        """How far the blank must go at one end: to the leg with all its edges, and as far in as its tenon."""
        plane = stance.inner(CORNERS[k], run.across)
        thick = apron.stock.thickness
        found = [
            self._meeting(plane, run, across, up) for across in (self.at, self.at + thick)
            for up in (self.low, self.low + self.wide)
        ]  # fmt: skip
        if apron.tenon is not None:
            middle = self._meeting(plane, run, self.at + thick / 2, self.low + self.wide / 2)
            found += self._tips(apron, stance, run, plane, middle)
        axis = 0 if run.across else 1
        return (min if k == run.low else max)(p[axis] for p in found)

    def _meeting(self, plane: Plane, run: Run, across: float, up: float) -> Vector:
        """Where a line of the apron, along its length, passes through the leg's side."""
        point = self.turned.point(Vector(0.0, across, up) if run.across else Vector(across, 0.0, up))
        along = Vector(1.0, 0.0, 0.0) if run.across else Vector(0.0, 1.0, 0.0)
        return point.plus(along.times((plane.offset - plane.normal.dot(point)) / plane.normal.dot(along)))

    def _tips(self, apron: Apron, stance: Stance, run: Run, plane: Plane, middle: Vector) -> list[Vector]:
        """The corners of a tenon's end, square to the leg's side."""
        assert apron.tenon is not None
        out = self.turned.direction(Vector(0.0, 1.0, 0.0) if run.across else Vector(1.0, 0.0, 0.0))
        wide = out.cross(plane.normal).unit().times(_tenon_width(apron, stance) / 2)
        thick = plane.normal.cross(wide).unit().times(apron.tenon.thickness / 2)
        tip = middle.minus(plane.normal.times(apron.tenon.length))
        return [tip.plus(wide.times(a)).plus(thick.times(b)) for a in (-1.0, 1.0) for b in (-1.0, 1.0)]
