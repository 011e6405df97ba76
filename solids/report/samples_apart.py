"""How the reference draws each joint: its two parts moved apart, from where one looks, and what is said beside them."""

from __future__ import annotations

from dataclasses import dataclass

from solids.report.picture import Mark


@dataclass(frozen=True, slots=True)
class Apart:
    """How a joint is drawn: the parts moved `by` so many mm, seen from `view`, with labels."""

    by: dict[str, tuple[float, float, float]]
    view: tuple[float, float] = (35.0, 28.0)
    marks: tuple[Mark, ...] = ()


def _note(text: str, at: tuple[float, float, float], shift: tuple[float, float] = (0, 0)) -> Mark:
    return Mark(text, (at,), shift)


APART: dict[str, Apart] = {
    "house": Apart(
        {"shelf": (70, 0, 0)},
        marks=(_note("into: side", (0, 0, 190), (-36, 8)), _note("house: shelf", (150, 0, 84), (10, 24))),
    ),
    "miter": Apart(
        {"side": (46, 0, 0)}, (62, 30), (_note("front", (75, 0, 0), (-30, 10)), _note("side", (210, 70, 0), (26, 4)))
    ),
    "lap": Apart(
        {"rail": (0, 0, 80)},
        marks=(
            _note("rail keeps its top", (60, 75, 80), (-4, 26)),
            _note("stile keeps its bottom", (125, 20, 0), (84, 8)),
        ),
    ),
    "touch": Apart(
        {"rail": (50, 0, 0)}, marks=(_note("post", (0, 0, 10), (-22, 0)), _note("rail", (175, 7, 90), (-10, 18)))
    ),
    "bolt": Apart(
        {"rail": (60, 0, 0)},
        (-38, 24),
        (
            _note("post", (0, 0, 20), (-22, 10)),
            _note("rail", (230, 15, 80), (0, 26)),
            _note("nut_from: front", (170, 15, 178), (14, -30)),
        ),
    ),
    "dowel": Apart(
        {"rail": (70, 0, 0)},
        (-38, 24),
        (_note("post", (0, 0, 20), (-22, 10)), _note("rail", (240, 15, 80), (0, 26))),
    ),
    "screw": Apart(
        {"rail": (70, 0, 0)},
        (-38, 24),
        (_note("post", (0, 0, 20), (-22, 10)), _note("rail", (240, 15, 80), (0, 26))),
    ),
    "loose_tenon": Apart(
        {"rail": (70, 0, 0)},
        (-38, 24),
        (_note("post", (0, 0, 20), (-22, 10)), _note("rail", (240, 15, 80), (0, 26))),
    ),
    "hinge": Apart(
        {"door": (80, 0, 0)},
        (-38, 24),
        (
            _note("side", (0, 0, 20), (-22, 10)),
            _note("door", (200, 0, 60), (10, 26)),
            _note("along: left", (108, 0, 190), (14, -26)),
        ),
    ),
    "reveal": Apart(
        {"second": (24, 0, 0)},
        (14, 16),
        (_note("first", (40, 0, 0), (-10, 20)), _note("second", (165, 0, 0), (0, 20))),
    ),
    "clearance": Apart(
        {"box": (50, 0, 0)},
        (14, 20),
        (_note("side", (0, 0, 20), (-24, 0)), _note("box", (100, 0, 40), (-4, 20))),
    ),
}
