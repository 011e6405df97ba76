"""Faults that grow: none is so small, or so big, that the check goes blind."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from joinery import board, dry, told

from solids.model.finding import Severity

SIZES = (0.1, 0.2, 0.45, 0.9, 1.1, 2, 3, 3.3, 5, 6.1, 8, 12, 20)
BACK = ["back: {stock: thin, size: [600, 478], place: {at: [11, 194, 0], length: up, face: front}}"]
STOCK = "wood: {wood: sugar maple, thickness: 20}, thin: {sheet: mdf, thickness: 6}"


def case(shelf: str, sides: str = "600", cuts: str = "", back: list[str] = BACK) -> list[str]:
    dado = "{dado: right, at: {bottom: 200}, width: 20.1, depth: 6}"
    rabbet = "{rabbet: rear, on: right, width: 6, depth: 9}"
    left = board("left", f"[{sides}, 200]", "[0, 0, 0]", "up", "left", f"cuts: [{dado}, {rabbet}{cuts}]")
    return [left, "right: {mirror: left, about: {x: 250}}", shelf, *back]


def shelf(length: float = 472, deep: float = 194, thick: float = 20, y: float = 0) -> str:
    return board("shelf", f"[{length}, {deep}, {thick}]", f"[14, {y}, 200.05]", "across", "top")


def box(side: float = 300) -> list[str]:
    return [
        board("front", "[400, 100]", "[0, 0, 0]", "across", "front"),
        board("rear", "[400, 100]", "[0, 280, 0]", "across", "rear"),
        board("left", f"[{side}, 100]", "[0, 0, 0]", "deep", "left"),
        board("right", "[300, 100]", "[380, 0, 0]", "deep", "right"),
    ]


MITERS = [f"{{miter: [{a}, {b}]}}" for a in ("front", "rear") for b in ("left", "right")]


def housed(length: float) -> list[str]:
    return [
        board("left", "[600, 200]", "[0, 0, 0]", "up", "left"),
        "right: {mirror: left, about: {x: 250}}",
        shelf(length, 200),
    ]


def boards(apart: float) -> list[str]:
    return [
        board("post", "[600, 40]", "[0, 0, 0]", "up", "left"),
        board("rail", "[200, 40]", f"[{20 + apart}, 0, 100]", "across", "front"),
    ]


def mortised(off: float) -> list[str]:
    post = board(
        "post",
        "[400, 60, 40]",
        "[0, 0, 0]",
        "up",
        "left",
        "cuts: [{mortise: right, at: {bottom: 110}, size: [60, 10.1], depth: 26}]",
    )
    rail = board(
        "rail",
        "[300, 80]",
        f"[{15 + off}, 20, 100]",
        "across",
        "front",
        "cuts: [{tenon: left, length: 25, width: 59.8, thickness: 10}]",
    )
    return [post, rail]


def framed(thick: float) -> list[str]:
    return [
        board("rail", "[400, 60]", "[0, 100, 0]", "across", "top"),
        board("stile", f"[300, 60, {thick}]", "[150, 0, 0]", "deep", "top"),
    ]


# From what size on each series is a fault: play and room that are lawful are no fault.
# A lapped stick thinner by more than 1/8 in is taken to be meant so.
MOST = {"lapped stick thin": 3.2}
SERIES: dict[str, tuple[Callable[[float], list[str]], list[str], float]] = {
    "shelf short": (lambda d: case(shelf(472 - d)), [], 1.1),
    "shelf long": (lambda d: case(shelf(472 + d)), [], 0.1),
    "shelf thin": (lambda d: case(shelf(thick=20 - min(d, 19))), [], 0.45),
    "shelf thick": (lambda d: case(shelf(thick=20 + d)), [], 0.1),
    "shelf proud": (lambda d: case(shelf(deep=194 + d, y=-d)), [], 0.2),
    "back narrow": (lambda d: case(shelf(), back=[BACK[0].replace("478", str(478 - d))]), [], 1.1),
    "back wide": (lambda d: case(shelf(), back=[BACK[0].replace("478", str(478 + d))]), [], 0.1),
    "dado shallow": (
        lambda d: [p.replace("depth: 6}", f"depth: {6 - min(d, 5.9):.3f}}}") for p in case(shelf())],
        [],
        0.1,
    ),
    "side of a mitered box short": (lambda d: box(300 - d), MITERS, 0.2),
    "moved apart in a touch joint": (boards, ["{touch: [post, rail]}"], 0.2),
    "moved into each other in a touch joint": (lambda d: boards(-d), ["{touch: [post, rail]}"], 0.1),
    "shelf housed by a joint, drawn short": (
        lambda d: housed(460 - d),
        ["{house: shelf, into: [left, right], slack: 0.2}"],
        0.1,
    ),
    "tenon drawn out of its mortise": (mortised, [], 0.2),
    "lapped stick thin": (lambda d: framed(20 - min(d, 19)), ["{lap: [rail, stile]}"], 0.2),
}


@pytest.mark.parametrize("name", SERIES)
def test_no_size_is_silent(name: str):
    make, joints, least = SERIES[name]
    silent = []
    for size in SIZES:
        if not least <= size <= MOST.get(name, 1e3):
            continue
        report = dry(make(size), joints, stock=STOCK)
        if not any(f.severity is not Severity.NOTE for f in report.findings):
            silent.append(size)
    assert not silent


def test_without_a_fault_they_are_sound():
    for name, (make, joints, _) in SERIES.items():
        if name != "shelf housed by a joint, drawn short":
            report = dry(make(0), joints, stock=STOCK)
            assert report.findings == (), (name, told(report))


@pytest.mark.parametrize("name", ["shelf short", "shelf long", "shelf thick", "back narrow"])
def test_a_bigger_fault_is_told_as_bigger(name: str):
    make, joints, _ = SERIES[name]
    told_sizes = []
    for size in (2, 3, 5):
        found = dry(make(size), joints, stock=STOCK).findings[0]
        told_sizes.append(
            max(abs(v) for k, v in found.values.items() if k in ("distance", "greatest", "difference", "depth"))
        )
    assert told_sizes == sorted(told_sizes)
    assert told_sizes[2] - told_sizes[0] == pytest.approx(3, abs=1e-6)
