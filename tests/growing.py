"""Faults that grow from 0.1 mm to 20: small pieces in which one number is off by any amount.

Each series is a piece for a size of its fault, its joints, and the size from which on it is a fault. What is
less is lawful, by the bands of `model/limits.py`: play of 0.4 mm in a housing, 1 mm at its floor, 3 mm of room
round what floats, a step of 0.1 mm, a reveal that is 0.4 off, 3 mm of wood left.
"""

from __future__ import annotations

from collections.abc import Callable

from joinery import board

SIZES = (0.1, 0.2, 0.45, 0.9, 1.1, 2, 3, 3.3, 5, 6.1, 8, 12, 20)
STEP, REVEAL, PLAY, SEAT, ROOM = 0.2, 0.45, 0.45, 1.1, 3.3  # the first of the sizes beyond each band
BACK = ["back: {stock: thin, size: [600, 478], place: {at: [11, 194, 0], length: up, face: front}}"]
STOCK = "wood: {wood: sugar maple, thickness: 20}, thin: {sheet: mdf, thickness: 6}"

Series = tuple[Callable[[float], list[str]], list[str], float]


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


def moved_shelf(dx: float = 0, dy: float = 0, dz: float = 0) -> list[str]:
    return case(board("shelf", "[472, 194, 20]", f"[{14 + dx}, {dy}, {200.05 + dz}]", "across", "top"))


def moved_back(dx: float = 0, dy: float = 0, dz: float = 0, size: str = "[600, 478]") -> list[str]:
    place = f"{{at: [{11 + dx}, {194 + dy}, {dz}], length: up, face: front}}"
    return case(shelf(), back=[f"back: {{stock: thin, size: {size}, place: {place}}}"])


def side_cut(written: str, other: str) -> list[str]:
    return [p.replace(written, other) for p in case(shelf())]


def tray(
    x: float = 376,
    y: float = 276,
    dx: float = 0,
    dz: float = 0,
    groove: float = 6.2,
    depth: float = 8.2,
    up: float = 9.9,
) -> list[str]:
    """Four mitered sides with a bottom that floats in their grooves, 4 mm off each floor, 0.1 off each wall."""

    def ploughed(side: str) -> str:
        return f"cuts: [{{groove: {side}, at: {{bottom: {up}}}, width: {groove}, depth: {depth}}}]"

    return [
        board("front", "[400, 60]", "[0, 0, 0]", "across", "front", ploughed("rear")),
        board("rear", "[400, 60]", "[0, 280, 0]", "across", "rear", ploughed("front")),
        board("left", "[300, 60]", "[0, 0, 0]", "deep", "left", ploughed("right")),
        board("right", "[300, 60]", "[380, 0, 0]", "deep", "right", ploughed("left")),
        f"bottom: {{stock: thin, size: [{x}, {y}, 6], place: {{at: [{12 + dx}, 12, {10 + dz}], "
        "length: across, face: top}}",
    ]


def moved_front(dx: float = 0, dy: float = 0, dz: float = 0) -> list[str]:
    return [p.replace("[0, 0, 0], length: across", f"[{dx}, {dy}, {dz}], length: across") for p in box()]


def moved_side(dy: float = 0, dz: float = 0) -> list[str]:
    return [p.replace("[0, 0, 0], length: deep", f"[0, {dy}, {dz}], length: deep") for p in box()]


def tenoned(
    size: tuple[float, float] = (60, 10.1), depth: float = 26, up: float = 110, tenon: str = "length: 25, width: 59.8",
    thick: float = 10, at: tuple[float, float, float] = (15, 20, 100),
) -> list[str]:  # fmt: skip
    mortise = f"{{mortise: right, at: {{bottom: {up}}}, size: [{size[0]}, {size[1]}], depth: {depth}}}"
    return [
        board("post", "[400, 60, 40]", "[0, 0, 0]", "up", "left", f"cuts: [{mortise}]"),
        board(
            "rail", "[300, 80]", f"{[*at]}", "across", "front", f"cuts: [{{tenon: left, {tenon}, thickness: {thick}}}]"
        ),
    ]


def corner(tilt: float) -> list[str]:
    return [
        board("a", "[300, 100]", "[0, 0, 0]", "across", "front", f"cuts: [{{bevel: left, tilt: {tilt}, long: front}}]"),
        board("b", "[300, 100]", "[0, 0, 0]", "deep", "left", "cuts: [{bevel: front, tilt: 45, long: left}]"),
    ]


def bored(depth: float) -> list[str]:
    hole = f"{{hole: top, at: {{left: 100, front: 60}}, diameter: 10, depth: {depth}}}"
    return [
        board("top", "[400, 200]", "[0, 0, 0]", "across", "top", f"cuts: [{hole}]"),
        board("leg", "[100, 40]", "[100, 80, -100]", "up", "front"),
    ]


def doors(gap: float) -> list[str]:
    return [
        board("a", "[300, 200]", "[0, 0, 0]", "across", "front"),
        board("b", "[300, 200]", f"[{300 + gap}, 0, 0]", "across", "front"),
    ]


# A lapped stick, or a back beside the end of a side, that stands back by more than 1/8 in is taken to be meant so.
MOST = dict.fromkeys(("lapped stick thin", "back up", "back down", "back short", "back thin", "back long"), 3.2)
REVEALED = ["{reveal: [a, b], gap: 3}"]
RABBET = "width: 6, depth: 9"
SERIES: dict[str, Series] = {
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
    "shelf moved left": (lambda d: moved_shelf(dx=-d), [], 0.1),
    "shelf moved right": (lambda d: moved_shelf(dx=d), [], 0.1),
    "shelf moved up": (lambda d: moved_shelf(dz=d), [], 0.1),
    "shelf moved down": (lambda d: moved_shelf(dz=-d), [], 0.1),
    "shelf moved back": (lambda d: moved_shelf(dy=d), [], 0.1),
    "shelf moved forward": (lambda d: moved_shelf(dy=-d), [], STEP),
    "back moved left": (lambda d: moved_back(dx=-d), [], 0.1),
    "back moved right": (lambda d: moved_back(dx=d), [], 0.1),
    "back moved to the rear": (lambda d: moved_back(dy=d), [], STEP),
    "back moved to the front": (lambda d: moved_back(dy=-d), [], 0.1),
    "back up": (lambda d: moved_back(dz=d), [], STEP),
    "back down": (lambda d: moved_back(dz=-d), [], STEP),
    "back short": (lambda d: moved_back(size=f"[{600 - d}, 478]"), [], STEP),
    "back long": (lambda d: moved_back(size=f"[{600 + d}, 478]"), [], STEP),
    "back thin": (lambda d: moved_back(size=f"[600, 478, {6 - min(d, 5.5)}]"), [], STEP),
    "back thick": (lambda d: moved_back(size=f"[600, 478, {6 + d}]"), [], STEP),
    "dado deep": (lambda d: side_cut("depth: 6}", f"depth: {6 + min(d, 13)}}}"), [], SEAT),
    "dado wide": (lambda d: side_cut("width: 20.1", f"width: {20.1 + d}"), [], PLAY),
    "dado narrow": (lambda d: side_cut("width: 20.1", f"width: {20.1 - min(d, 19):.2f}"), [], 0.1),
    "dado high": (lambda d: side_cut("bottom: 200", f"bottom: {200 + d}"), [], 0.1),
    "dado low": (lambda d: side_cut("bottom: 200", f"bottom: {200 - d}"), [], 0.1),
    "rabbet shallow": (lambda d: side_cut(RABBET, f"width: 6, depth: {9 - min(d, 8.9):.2f}"), [], 0.1),
    "rabbet deep": (lambda d: side_cut(RABBET, f"width: 6, depth: {9 + min(d, 10)}"), [], SEAT),
    "rabbet narrow": (lambda d: side_cut(RABBET, f"width: {6 - min(d, 5.9):.2f}, depth: 9"), [], 0.1),
    "rabbet wide": (lambda d: side_cut(RABBET, f"width: {6 + d}, depth: 9"), [], SEAT),
    "side moved out": (lambda d: [p.replace("x: 250", f"x: {250 + d / 2}") for p in case(shelf())], [], SEAT),
    "side moved in": (lambda d: [p.replace("x: 250", f"x: {250 - d / 2}") for p in case(shelf())], [], 0.1),
    "bottom long": (lambda d: tray(x=376 + d), MITERS, PLAY),
    "bottom wide": (lambda d: tray(y=276 + d), MITERS, PLAY),
    "bottom short": (lambda d: tray(x=376 - d), MITERS, ROOM),
    "bottom moved right": (lambda d: tray(dx=d), MITERS, PLAY),
    "bottom moved up": (lambda d: tray(dz=d), MITERS, 0.2),
    "bottom moved down": (lambda d: tray(dz=-d), MITERS, 0.2),
    "groove wide": (lambda d: tray(groove=6.2 + d), MITERS, PLAY),
    "groove narrow": (lambda d: tray(groove=6.2 - min(d, 6)), MITERS, 0.2),
    "groove shallow": (lambda d: tray(depth=8.2 - min(d, 8.1)), MITERS, PLAY),
    "groove high": (lambda d: tray(up=9.9 + d), MITERS, 0.2),
    "groove low": (lambda d: tray(up=9.9 - min(d, 9.8)), MITERS, 0.2),
    "front of a box moved forward": (lambda d: moved_front(dy=-d), MITERS, STEP),
    "front of a box moved up": (lambda d: moved_front(dz=d), MITERS, STEP),
    "front of a box moved left": (lambda d: moved_front(dx=-d), MITERS, STEP),
    "side of a box moved back": (lambda d: moved_side(dy=d), MITERS, STEP),
    "side of a box moved down": (lambda d: moved_side(dz=-d), MITERS, STEP),
    "tenon thick": (lambda d: tenoned(thick=10 + min(d, 9.9)), [], 0.1),
    "tenon thin": (lambda d: tenoned(thick=10 - min(d, 9.5)), [], PLAY),
    "tenon wide": (lambda d: tenoned(tenon=f"length: 25, width: {59.8 + d}"), [], PLAY),
    "tenon narrow": (lambda d: tenoned(tenon=f"length: 25, width: {59.8 - d}"), [], ROOM),
    "tenon long": (lambda d: tenoned(tenon=f"length: {25 + d}, width: 59.8", at=(15 - d, 20, 100)), [], SEAT),
    "tenon short": (lambda d: tenoned(tenon=f"length: {25 - d}, width: 59.8", at=(15 + d, 20, 100)), [], 0.1),
    "mortise shallow": (lambda d: tenoned(depth=26 - d), [], SEAT),
    "mortise deep": (lambda d: tenoned(depth=26 + min(d, 13)), [], 0.1),
    "mortise narrow": (lambda d: tenoned((60, 10.1 - min(d, 10))), [], 0.1),
    "mortise wide": (lambda d: tenoned((60, 10.1 + d)), [], PLAY),
    "mortise short": (lambda d: tenoned((60 - d, 10.1)), [], STEP),
    "mortise long": (lambda d: tenoned((60 + d, 10.1)), [], ROOM),
    "mortise high": (lambda d: tenoned(up=110 + d), [], STEP),
    "rail moved up": (lambda d: tenoned(at=(15, 20, 100 + d)), [], STEP),
    "rail moved down": (lambda d: tenoned(at=(15, 20, 100 - d)), [], STEP),
    "rail moved back": (lambda d: tenoned(at=(15, 20 + d, 100)), [], 0.1),
    "rail moved forward": (lambda d: tenoned(at=(15, 20 - d, 100)), [], 0.1),
    "rail moved into the post": (lambda d: tenoned(at=(15 - d, 20, 100)), [], 0.1),
    "bevel too steep": (lambda d: corner(45 + d), [], 0.1),  # degrees
    "bevel too flat": (lambda d: corner(45 - d), [], 0.1),
    "hole deep": (lambda d: bored(16.9 + d), [], STEP),  # just through is taken to be meant so
    "reveal wide": (lambda d: doors(3 + d), REVEALED, REVEAL),
    "reveal narrow": (lambda d: doors(3 - d), REVEALED, REVEAL),
}
