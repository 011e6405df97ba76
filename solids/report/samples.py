"""What the reference shows of each cut: a stub that is cut before one's eyes, and more cuts to try on the board."""

from __future__ import annotations

import math
from dataclasses import dataclass

from solids.report.picture import Mark

BOARD = "size: [600, 300, 20]"
STUB = "size: [160, 100, 36]"
LONG, HIGH = 160.0, 36.0


@dataclass(frozen=True, slots=True)
class Sample:
    """A cut in a few words, and its picture: the cuts as a spec writes them, the labels, the part that is cut.

    `more` holds further cuts with a few words on each, and the part where it is not the board.
    """

    says: str
    cuts: tuple[str, ...]
    marks: tuple[Mark, ...] = ()
    part: str = STUB
    more: tuple[tuple[str, ...], ...] = ()


def _size(text: str, a: tuple[float, ...], b: tuple[float, ...], shift: tuple[float, float] = (0, 0)) -> Mark:
    return Mark(text, ((a[0], a[1], a[2]), (b[0], b[1], b[2])), shift)


def _behind(text: str, a: float, b: float) -> Mark:
    """A size along the grain, told behind the stub."""
    return _size(text, (a, 110, HIGH), (b, 110, HIGH), (4, -12))


def _beside(text: str, a: float, b: float) -> Mark:
    """A size across the grain, told at the stub's left."""
    return _size(text, (-12, a, HIGH), (-12, b, HIGH), (-10 - 3 * len(text), -5))


def _angle(text: str, at: tuple[float, float, float], a: int, b: int, start: float, tilt: float, r: float) -> Mark:
    """An arc of `tilt` degrees in the plane of axes a and b, from `start` degrees on."""
    points = []
    for k in range(9):
        t = math.radians(start + tilt * k / 8)
        p = list(at)
        p[a] += r * math.cos(t)
        p[b] += r * math.sin(t)
        points.append((p[0], p[1], p[2]))
    return Mark(text, tuple(points), (4, -12))


def _note(text: str, at: tuple[float, float, float], shift: tuple[float, float] = (0, 0)) -> Mark:
    return Mark(text, (at,), shift)


SAMPLES: dict[str, Sample] = {
    "bevel": Sample(
        "an end or edge sawn at a slant through the thickness",
        ("{bevel: right, tilt: 30, long: bottom}",),
        (_angle("tilt", (160, 0, 0), 0, 2, 90, 30, 32), _note("bottom stays long", (80, 0, 0), (0, 16))),
        more=(
            ("{bevel: front, tilt: 45, long: bottom}", "along an edge: 20 x 20 / 2 x 600"),
            ("{bevel: right, tilt: 0, long: top, inset: 50}", "tilt 0 is a square cut; with `inset` it shortens"),
        ),
    ),
    "miter": Sample(
        "an end sawn at an angle across the face",
        ("{miter: right, angle: 30, long: rear}",),
        (_angle("angle", (160, 100, 36), 0, 1, 240, 30, 60), _note("rear stays long", (70, 100, 36), (20, -14))),
        more=(("{miter: right, angle: 45, long: front, inset: 10}", "the long point 10 in from the end"),),
    ),
    "compound": Sample(
        "both at once: an angled cut with a tilted blade",
        ("{compound: right, angle: 25, tilt: 25, long: [rear, bottom]}",),
        (_note("this corner stays long", (160, 100, 0), (24, 18)),),
    ),
    "trim": Sample(
        "sawn off at a plane of the room, or at another part's side",
        ("{trim: bottom, to: {z: 0}}", "{trim: top, to: {z: 130}}"),
        (
            _size("z: 0", (-50, 0, 0), (100, 0, 0), (-102, -32)),
            _size("z: 130", (-10, 0, 130), (140, 0, 130), (-108, -32)),
        ),
        "size: [160, 60, 30], place: {at: [0, 0, 0], length: up, face: left, lean: {right: 20}}",
        more=(
            (
                "{trim: bottom, to: {z: 0}}",
                "the foot of a board that leans 10 degrees: 20 x 20 tan 10 / 2 x 60",
                "size: [600, 60, 20], place: {at: [0, 0, 0], length: up, face: left, lean: {right: 10}}",
            ),
            ("{trim: right, to: {x: 550}, clear: 2}", "2 short of the plane"),
            (
                "{trim: right, to: {through: [550, 0, 0], square_to: [1, 0, 0]}}",
                "the same plane, by point and direction",
            ),
        ),
    ),
    "taper": Sample(
        "a straight slope along the grain",
        ("{taper: front, by: {right: 45}, stop: {left: 50}}",),
        (_size("by", (160, 0, 36), (160, 45, 36), (16, 8)), _size("stop", (0, 0, 36), (50, 0, 36), (-4, 12))),
        more=(("{taper: front, by: {right: 60}}", "from nothing at the left end: 60 x 600 / 2 x 20"),),
    ),
    "rabbet": Sample(
        "a step along a side",
        ("{rabbet: right, on: top, width: 45, depth: 18}",),
        (_behind("width", 115, 160), _size("depth", (160, 100, 18), (160, 100, 36), (24, 0))),
        more=(
            (
                "{rabbet: rear, on: top, width: 10, depth: 6, stop: {left: 30}, radius: 3}",
                "stopped, with the cutter's radius left in its corner",
            ),
        ),
    ),
    "dado": Sample(
        "a trench across the grain",
        ("{dado: top, at: {right: 55}, width: 34, depth: 18}",),
        (_behind("at", 105, 160), _behind("width", 71, 105), _size("depth", (71, 0, 18), (71, 0, 36), (-24, 0))),
        more=(
            (
                "{dado: top, at: {left: 100}, width: 12, depth: 6, tilt: 10, toward: left}",
                "the walls drift to the left as they go in",
            ),
            (
                "{dado: top, at: {left: {front: 100, rear: 150}}, width: 12, depth: 6}",
                "swung: 100 at the front, 150 at the rear",
            ),
            ("{dado: top, at: {left: 100}, width: 12, depth: 6, stop: {front: 10}}", "ends 10 short of the front"),
            (
                "{dado: top, width: 12, depth: 6, row: {count: 3, pitch: 100, toward: right}}",
                "three, centred because `at` says nothing",
            ),
        ),
    ),
    "groove": Sample(
        "a trench along the grain",
        ("{groove: top, at: {front: 34}, width: 26, depth: 18, stop: {left: 60}}",),
        (
            _size("at", (148, 0, 36), (148, 34, 36), (-12, -4)),
            _size("width", (148, 34, 36), (148, 60, 36), (20, 10)),
            _size("stop", (0, 47, 36), (60, 47, 36), (0, -12)),
        ),
    ),
    "tongue": Sample(
        "a tongue as wide as the part",
        ("{tongue: right, length: 40, thickness: 14}",),
        (_behind("length", 120, 160), _size("thickness", (170, 100, 11), (170, 100, 25), (40, 0))),
        more=(("{tongue: right, length: 10, thickness: 8, at: {top: 4}}", "4 below the top, not in the middle"),),
    ),
    "tenon": Sample(
        "one or more tenons on an end",
        ("{tenon: right, length: 44, width: 56, thickness: 16}",),
        (
            _behind("length", 116, 160),
            _size("width", (164, 22, 10), (164, 78, 10), (22, 10)),
            _size("thickness", (164, 84, 10), (164, 84, 26), (38, 0)),
        ),
        more=(
            (
                "{tenon: right, length: 40, width: 60, thickness: 10, row: {count: 2, pitch: 120, toward: rear}}",
                "two on one end",
            ),
        ),
    ),
    "mortise": Sample(
        "a pocket with square or round corners",
        ("{mortise: top, at: {left: 40, front: 32}, size: [80, 36], depth: 22, radius: 8}",),
        (_behind("at", 0, 40), _behind("a", 40, 120), _beside("at", 0, 32), _beside("b", 32, 68)),
        more=(
            (
                "{mortise: rear, at: {left: 100}, size: [60, 8], depth: 30, radius: 4}",
                "round ends, as a cutter leaves them",
            ),
            ("{mortise: top, at: {left: 100, front: 50}, size: [40, 10]}", "without `depth`, through"),
        ),
    ),
    "hole": Sample(
        "a round hole, also counterbored, countersunk, tilted, or as a slot",
        (
            "{hole: top, at: {left: 35}, diameter: 20, depth: 26}",
            "{hole: top, at: {left: 95}, diameter: 18, counterbore: {diameter: 38, depth: 12}}",
            "{hole: top, at: {left: 155}, diameter: 16, countersink: {diameter: 40}}",
            "{hole: top, at: {left: 205}, diameter: 18, slot: {length: 52, toward: right}}",
        ),
        (
            _note("plain", (35, 0, 36), (0, -4)),
            _note("counterbore", (95, 0, 36), (0, -4)),
            _note("countersink", (155, 0, 36), (0, -4)),
            _note("slot", (222, 0, 36), (0, -4)),
        ),
        "size: [270, 90, 36]",
        more=(
            (
                "{hole: top, at: {left: 50, front: 37}, diameter: 10, depth: 15, tilt: 15, toward: right}",
                "leans to the right as it goes in; `depth` is along its axis",
            ),
            (
                "{hole: top, at: {left: 50}, diameter: 5, row: {count: 8, pitch: 32, toward: right}}",
                "a row of eight, through",
            ),
            (
                "{hole: top, at: {left: 50}, diameter: 5, slot: {length: 12, toward: right}}",
                "12 over all, from the hole to the right",
            ),
        ),
    ),
    "notch": Sample(
        "a corner taken out",
        ("{notch: {right: 60, front: 45}}",),
        (_size("right", (100, 0, 36), (160, 0, 36), (-18, 14)), _size("front", (160, 0, 36), (160, 45, 36), (26, 6))),
        more=(("{notch: {rear: 30, bottom: 8}}", "along the whole rear, as a rabbet is"),),
    ),
    "cutout": Sample(
        "an opening or a recess in a broad face",
        ("{cutout: top, at: {left: 40, front: 26}, size: [80, 48], radius: 14}",),
        (_behind("at", 0, 40), _behind("a", 40, 120), _beside("at", 0, 26), _beside("b", 26, 74)),
        more=(
            ("{cutout: top, at: {left: 300, front: 150}, diameter: 80}", "round: `at` is to its centre"),
            (
                "{cutout: top, outline: [[100, 50], [200, 50], [150, 120, 10]]}",
                "by points from the least corner; 10 is a corner's radius",
            ),
        ),
    ),
    "chamfer": Sample(
        "an arris broken straight",
        ("{chamfer: [front, right], on: top, size: [22, 14]}",),
        (_size("22", (138, 110, 36), (160, 110, 36), (4, -10)), _size("14", (168, 100, 22), (168, 100, 36), (16, 0))),
        more=(
            ("{chamfer: all, on: top, size: 3}", "all round the top"),
            ("{chamfer: front, on: top, size: [5, 3]}", "5 on the top, 3 down the front"),
        ),
    ),
    "roundover": Sample(
        "an arris rounded",
        ("{roundover: [front, right], on: top, radius: 18}",),
        (_size("radius", (142, 110, 36), (160, 110, 36), (8, -10)),),
        more=(("{roundover: ends, on: top, radius: 6}", "both ends"),),
    ),
}
