"""What the shop's own saw, cutters and boards can't make as it is drawn; only where the spec says its `shop`.

What it checks
    For every bevel, miter, compound and trim, how far the blade tilts from
    square when the part lies with its broad face on the table: the angle that
    the cut's plane leaves to that face, taken from 90. The width of dados,
    grooves, mortises, slots and cutouts against the smallest cutter, and their
    inside corners against its radius. The length of solid wood against the
    longest board.

Why it matters
    A saw that stops at 45 degrees is found out with the good wood on the table.
    A groove under the smallest cutter waits for a tool that is not there. A
    board that is not there can't be cut at all.

Findings
    tool-limit  stop where the board is too short; warn where the cut takes another set-up; note
                where only a corner is left round, with how far a square one then runs into it

Known limits
    How far the miter gauge swings is not known. A rabbet is open at one side and
    a round hole is drilled, so neither asks for a small cutter. Sheets are not
    boards.

What to do
    Past the tilt, stand the part on its edge or end, its face to a tall fence,
    and tilt the blade by what is missing to 90; or lean it on a block or sled by
    as much, the blade square (common practice). Clamp it, use guards and push
    blocks, try it on offcuts, and do nothing that the saw's manual forbids.
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterable, Iterator
from typing import NamedTuple

from solids.cuts.cutout import Cutout
from solids.cuts.hole import Hole
from solids.cuts.mortise import Mortise
from solids.cuts.rabbet import Rabbet
from solids.cuts.saw import Bevel, Compound, Miter
from solids.cuts.trench import Trench
from solids.cuts.trim import Trim
from solids.fit.dryfit import DryFit
from solids.fit.rule import Rule
from solids.fit.tell import Tell
from solids.model.finding import Finding, Severity
from solids.model.geometry import Corner, arc, sides
from solids.model.part import Blank, Cut, Made

NOISE = 1e-6  # degrees, mm
SHOWN = 4  # cuts that a message names
SQUARE = math.sqrt(0.5)  # sine of half a square corner

Where = tuple[int, Made]


def check(dry: DryFit) -> Iterator[Finding]:
    """Every cut and board against what the shop has."""
    shop = dry.piece.shop
    if shop.tilt is not None:
        yield from _past_the_tilt(dry, shop.tilt)
    if shop.smallest_cutter is not None:
        yield from _too_narrow(dry, shop.smallest_cutter)
        yield from _round_corners(dry, shop.smallest_cutter)
    if shop.longest_board is not None:
        yield from _too_long(dry, shop.longest_board)


def _cuts(dry: DryFit) -> Iterator[tuple[int, Made, Blank]]:
    for i, part in enumerate(dry.piece.parts):
        for made in part.cuts:
            yield i, made, part.blank


class Setting(NamedTuple):
    """How the saw is set with the broad face on the table, in degrees from square, and the side that is cut."""

    tilt: float
    gauge: float
    stands_on: str


def setting(cut: Cut, blank: Blank) -> Setting | None:
    """The saw's setting for a cut; None where no saw makes it, or where it is planed or split along the face."""
    if not isinstance(cut, Bevel | Miter | Compound | Trim):
        return None
    n = cut.plane(blank).normal
    through = min(1.0, abs(n[blank.face.axis]))
    if 1 - through < NOISE:
        return None
    along, across = (blank.grain, blank.across) if cut.side in blank.ends else (blank.across, blank.grain)
    tilt = math.degrees(math.asin(through))
    gauge = math.degrees(math.atan2(abs(n[across]), abs(n[along])))
    tilt, gauge = (0.0 if v < NOISE else v for v in (tilt, gauge))
    return Setting(tilt, gauge, "end" if cut.side in blank.ends else "edge")


def _past_the_tilt(dry: DryFit, limit: float) -> Iterator[Finding]:
    """One finding for each set-up: every cut that asks for the same tilt, gauge and side down."""
    groups: dict[tuple[float, float, str], list[tuple[Setting, Where]]] = defaultdict(list)
    for i, made, blank in _cuts(dry):
        s = setting(made.cut, blank)
        if s is not None and s.tilt > limit + NOISE:
            groups[round(s.tilt, 4), round(s.gauge, 4), s.stands_on].append((s, (i, made)))
    for group in groups.values():
        yield _tilted(dry, group[0][0], [w for _, w in group], limit)


def _tilted(dry: DryFit, s: Setting, where: list[Where], limit: float) -> Finding:
    t = Tell(dry)
    cuts = _named(dry, where)
    rest = 90.0 - s.tilt
    gauge = f", the miter gauge at {t.angle(s.gauge)}" if s.gauge else ""
    said = f"{_listed(cuts)} tilt{'s' * (len(cuts) == 1)} the blade {t.angle(s.tilt)} with the broad face down{gauge}"
    return t.finding(
        "tool-limit", Severity.WARN, f"{said}; the saw here goes to {t.angle(limit)}",
        _parts(where), cuts,
        values={"tilt": s.tilt, "gauge": s.gauge, "complement": rest}, allowed={"tilt": limit},
        advice=f"{set_up(t, s, limit)}; clamp it, try it on offcuts, and follow the saw's manual",
        place=where[0][1].places.get("tilt") or where[0][1].place,
    )  # fmt: skip


def set_up(t: Tell, s: Setting, limit: float) -> str:
    """How a cut past the tilt is made all the same: on edge or end at the complement, else on a wedge."""
    rest = 90.0 - s.tilt
    if rest > limit + NOISE:
        return (
            f"lay it on a wedge or a sled of {t.angle(s.tilt - limit)} square to the cut, the blade at {t.angle(limit)}"
        )
    leaned = f", leaned {t.angle(s.gauge)} along it" if s.gauge else ""
    fence = f"stand it on its {s.stands_on}, its face to a tall fence{leaned}, and tilt the blade {t.angle(rest)}"
    return f"{fence}; or lean it {t.angle(rest)} on a block or a sled, the blade square"


def width(cut: Cut) -> float | None:
    """The width that a cutter must go into between two walls, in mm; None where it need not."""
    if isinstance(cut, Trench):
        return cut.width
    if isinstance(cut, Mortise):
        return min(cut.size)
    if isinstance(cut, Cutout) and cut.size is not None:
        return min(cut.size)
    if isinstance(cut, Hole) and cut.slot is not None:
        return cut.diameter
    return None


def _too_narrow(dry: DryFit, cutter: float) -> Iterator[Finding]:
    t = Tell(dry)
    groups: dict[float, list[Where]] = defaultdict(list)
    for i, made, _ in _cuts(dry):
        wide = width(made.cut)
        if wide is not None and wide < cutter - NOISE:
            groups[round(wide, 6)].append((i, made))
    for wide, where in groups.items():
        cuts = _named(dry, where)
        by_saw = all(isinstance(made.cut, Trench) and not made.cut.stop for _, made in where)
        other = "cut it at the saw in passes" if by_saw else "chop it by hand"
        be = "is" if len(cuts) == 1 else "are"
        yield t.finding(
            "tool-limit", Severity.WARN,
            f"{_listed(cuts)} {be} {t.full(wide)} wide, under the smallest cutter here, {t.full(cutter)}",
            _parts(where), cuts, values={"width": wide}, allowed={"width": cutter},
            advice=f"{other}, or make it {t.full(cutter)} or more, and what goes in to match",
            place=where[0][1].places.get("width") or where[0][1].place,
        )  # fmt: skip


class Inside(NamedTuple):
    """An inside corner that is asked for: the sine of half its angle, and its radius in mm."""

    half: float
    radius: float

    def overlap(self, r: float) -> float:
        """How far, square to either wall, the middle of a cutter's arc stands in from the corner asked for."""
        return (r - self.radius) * (1 - self.half)

    def diagonal(self, r: float) -> float:
        """How far it stands in along the line that halves the corner."""
        return (r - self.radius) * (1 / self.half - 1)


def inside_corners(cut: Cut) -> list[Inside]:
    """The inside corners that a cut asks for and a cutter leaves round."""
    if isinstance(cut, Trench | Rabbet):
        return [Inside(SQUARE, cut.radius)] if cut.stop else []
    if isinstance(cut, Mortise) or (isinstance(cut, Cutout) and cut.size is not None):
        return [Inside(SQUARE, cut.radius)]
    if isinstance(cut, Cutout) and cut.outline is not None:
        return list(_of_outline(cut.outline))
    return []


def _of_outline(outline: tuple[Corner, ...]) -> Iterator[Inside]:
    """The convex corners of an opening's outline, sharp or rounded."""
    for k, (p, q) in enumerate(sides(outline)):
        before = outline[k - 1]
        if p.bulge > 0:
            *_, radius, _, swept = arc(p, q)
            if abs(swept) < math.pi - NOISE:
                yield Inside(math.cos(swept / 2), radius)
        elif not p.bulge and not before.bulge:
            turn = _turn(before, p, q)
            if turn > NOISE:
                yield Inside(math.cos(turn / 2), 0.0)


def _turn(before: Corner, p: Corner, q: Corner) -> float:
    """How far the outline turns at p, in radians; under 0 where it turns outward."""
    a, b = (p.a - before.a, p.b - before.b), (q.a - p.a, q.b - p.b)
    return math.atan2(a[0] * b[1] - a[1] * b[0], a[0] * b[0] + a[1] * b[1])


def _round_corners(dry: DryFit, cutter: float) -> Iterator[Finding]:
    """One note for each size of corner; what is too narrow for the cutter is told by that already."""
    groups: dict[tuple[float, float], list[tuple[Inside, Where]]] = defaultdict(list)
    for i, made, _ in _cuts(dry):
        wide = width(made.cut)
        corners = [c for c in inside_corners(made.cut) if c.radius < cutter / 2 - NOISE]
        if corners and (wide is None or wide >= cutter - NOISE):
            worst = max(corners, key=lambda c: c.diagonal(cutter / 2))
            groups[round(worst.half, 6), round(worst.radius, 6)].append((worst, (i, made)))
    for group in groups.values():
        yield _rounded(dry, group[0][0], [w for _, w in group], cutter)


def _rounded(dry: DryFit, corner: Inside, where: list[Where], cutter: float) -> Finding:
    t = Tell(dry)
    cuts = _named(dry, where)
    overlap, diagonal = corner.overlap(cutter / 2), corner.diagonal(cutter / 2)
    asked = f"of radius {t.full(corner.radius)}" if corner.radius else "square" if corner.half == SQUARE else "sharp"
    return t.finding(
        "tool-limit", Severity.NOTE,
        f"{_listed(cuts)} ask{'s' * (len(cuts) == 1)} for {asked} inside corners; the smallest cutter here leaves them "
        f"round by {t.full(cutter / 2)}, so that one overlaps by {t.small(overlap)} at each wall, "
        f"{t.small(diagonal)} along the diagonal",
        _parts(where), cuts,
        values={"overlap": overlap, "diagonal": diagonal, "radius": cutter / 2}, allowed={"radius": corner.radius},
        advice="chop the corners out by hand, or round what goes in to match", place=where[0][1].place,
    )  # fmt: skip


def _too_long(dry: DryFit, longest: float) -> Iterator[Finding]:
    t = Tell(dry)
    told: set[tuple[str, float]] = set()
    for i, part in enumerate(dry.piece.parts):
        length = part.blank.length
        key = (part.source or part.id, round(length, 6))
        if not part.blank.grained or length <= longest + NOISE or key in told:
            continue
        told.add(key)
        yield t.finding(
            "tool-limit", Severity.STOP,
            f"{part.id} is {t.full(length)} long, and the longest board here is {t.full(longest)}",
            (i,), (), part.frame.point(part.blank.middle()), values={"length": length}, allowed={"length": longest},
            advice=f"make {part.id} of two that are jointed end to end, or shorter by {t.small(length - longest)}",
            place=part.places.get("length") or part.place,
        )  # fmt: skip


def _named(dry: DryFit, where: Iterable[Where]) -> tuple[str, ...]:
    return tuple(f"{dry.part(i).id}.{made.name}" for i, made in where)


def _parts(where: Iterable[Where]) -> tuple[int, ...]:
    return tuple(dict.fromkeys(i for i, _ in where))


def _listed(names: tuple[str, ...]) -> str:
    """`a, b and c`; beyond four, how many more."""
    if len(names) == 1:
        return names[0]
    if len(names) > SHOWN:
        return f"{', '.join(names[:SHOWN])} and {len(names) - SHOWN} more"
    return f"{', '.join(names[:-1])} and {names[-1]}"


RULE = Rule("tool", ("tool-limit",), check, __doc__)
