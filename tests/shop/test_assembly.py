"""The order of assembly, what is checked dry, and the handling sheet, against pieces that can be looked at."""

from __future__ import annotations

from math import cos, hypot, radians, tan

import numpy as np
import pytest
from joinery import SOUND, SPECS, board
from shopwork import cards, named, of, report_of

from solids.fit.bodies import whole_bodies
from solids.model.geometry import Vector
from solids.shop.alike import Bench
from solids.shop.assembly import Stage, side_words, stages
from solids.shop.dry_fit import checks, machined_before, outline
from solids.shop.handling import csv_rows, handling
from solids.shop.hardware_list import hardware_list
from solids.shop.words import Words

MM = Words("mm")


def whole(name: str) -> Stage:
    return stages(named(name).dry)[-1]


def order(stage: Stage) -> list[str]:
    return [s.name for s in stage.steps]


@pytest.mark.parametrize("spec", SOUND, ids=lambda s: s.stem)
def test_every_part_is_put_in_once_and_joined_to_what_is_there(spec):
    dry = report_of(spec).dry
    every = stages(dry)
    put = [i for s in every for t in s.steps if len(t.parts) == 1 for i in t.parts]
    assert sorted(put) == sorted(p.id for p in dry.piece.parts)
    for stage in every:
        assert stage.trapped == ()
        assert [s.comes_from is None for s in stage.steps] == [True] + [False] * (len(stage.steps) - 1)
        there: set[str] = set()
        for step in stage.steps:
            assert {other for other, _ in step.joints} <= there
            there |= set(step.parts)


def test_a_tray_s_bottom_goes_in_before_its_last_side():
    # Shop problem AO07: a captured panel enters before the last side, and is finished before.
    bench = named("seed-tray")
    (stage,) = stages(bench.dry)
    names = order(stage)
    assert names.index("bottom") < 4
    assert any("Finish bottom first" in line for line in machined_before(bench, stage, cards(bench)))


def test_a_back_in_rabbets_goes_in_last_from_the_rear():
    last = whole("leaning-cabinet").steps[-1]
    assert last.name == "back"
    assert last.comes_from is not None
    assert side_words(last.comes_from) == "from the rear"
    assert {p: k for p, k in last.joints if p != "shelf"} == dict.fromkeys(("left", "right", "top", "bottom"), "rabbet")


def test_what_is_glued_goes_together_before_what_is_not():
    # The counter's case: four mitered boards, then the back that lies in their rabbets, though its top opens as well.
    case = next(s for s in stages(named("library-counter").dry) if s.name == "left")
    assert order(case)[-1] == "left.back"


def test_drawers_are_put_together_before_they_run_in():
    every = stages(named("library-counter").dry)
    names = [s.name for s in every]
    assert names.index("left_drawers.1") < names.index("pedestal_left") < names.index("setting in place")
    pedestal = every[names.index("pedestal_left")]
    at = order(pedestal).index("left_drawers.1")
    assert side_words(pedestal.steps[at].comes_from or Vector(0, 0, 0)) == "from the front"


@pytest.mark.parametrize("spec", ["plate-cabinet", "score-cabinet", "plan-chest"])
def test_doors_and_drawers_go_in_when_the_rest_stands(spec: str):
    bench = named(spec)
    moving = {p for body in whole_bodies(bench.piece) for p in body.parts}
    assert moving
    last = [step.parts for step in stages(bench.dry)[-1].steps]
    swings = [set(parts) <= moving for parts in last]
    assert not swings[0]
    assert swings == sorted(swings)


def test_nothing_is_set_under_what_rests_on_it():
    names = order(stages(named("library-counter").dry)[-1])
    for below in ("pedestal_left", "modesty_left", "legs"):
        assert names.index(below) < names.index("worktop_left")
    assert names[-1] == "trough"


@pytest.mark.parametrize(
    ("way", "words"),
    [
        (Vector(0, 1, 0), "from the rear"),
        (Vector(0, 0, -1), "from below"),
        (Vector(cos(radians(15)), 0, -0.2588190451), "from the right and below, 15.0° off straight"),
        (Vector(-0.6, -0.8, 0), "from the front and the left, 36.9° off straight"),
    ],
)
def test_a_way_is_told_by_the_sides_it_comes_from(way: Vector, words: str):
    assert side_words(way) == words


def test_the_two_diagonals_of_a_leaning_case():
    # 700 wide, 780 plumb, leaning 15 degrees: the front is a parallelogram that drifts 780 tan 15 = 209.0; its
    # diagonals are hypot(700 + 209.0, 780) and hypot(700 - 209.0, 780).
    bench = named("leaning-cabinet")
    drift = 780 * tan(radians(15))
    told = list(checks(bench.dry, stages(bench.dry)[-1], MM))
    long, short = hypot(700 + drift, 780), hypot(700 - drift, 780)
    ends = f"lower left to upper right {long:.1f} mm and lower right to upper left {short:.1f} mm"
    assert f"Corner to corner from the front: {ends}, which differ as it is meant." in told
    # Its top stands 209 mm off from over its bottom: no tape goes straight across it from above or from the side.
    assert len(told) == 2


def test_square_cases_are_measured_from_three_sides_and_both_diagonals_are_alike():
    told = list(checks((bench := named("wall-shelf")).dry, stages(bench.dry)[-1], MM))
    # 30 x 24 x 7 1/4 in.
    wide, high, deep = 30 * 25.4, 24 * 25.4, 7.25 * 25.4
    assert [line.rsplit(": ")[1] for line in told[1:]] == [
        f"{d:.1f} mm, both alike.".replace(".0 mm", " mm")
        for d in (hypot(wide, high), hypot(wide, deep), hypot(deep, high))
    ]


def test_a_hexagon_is_measured_three_ways():
    bench = named("splayed-planter")
    told = [line for line in checks(bench.dry, stages(bench.dry)[-1], Words("mm")) if "from above" in line]
    # Splayed out, the top is the largest hexagon; corner to corner is across flats / cos 30.
    across = np.ptp(bench.dry.scene.points[:, 1])
    assert told == [f"Corner to corner from above: {across / cos(radians(30)):.1f} mm, all alike."]


def test_an_outline_leaves_out_corners_in_line():
    square = np.array([[0, 0], [1, 0], [2, 0], [2, 2], [0, 2], [0, 1], [1, 1]], float)
    assert sorted(map(tuple, outline(square))) == [(0, 0), (0, 2), (2, 0), (2, 2)]
    assert len(outline(np.array([[0.0, 0.0], [1.0, 1.0]]))) == 0


def test_cards_are_done_before_the_glue():
    bench = named("leaning-cabinet")
    line = next(iter(machined_before(bench, stages(bench.dry)[-1], cards(bench))))
    assert all(s.number in line for s in cards(bench))


# Handling ----------------------------------------------------------------------------------------


def block(size: str, density: int, more: str = "") -> Bench:
    wood = f"wood: {{wood: test, thickness: 20, density: {density}}}"
    return of([board("block", size, "[0, 0, 0]", "across", "top")], stock=wood, more=more)


def test_two_hundred_pounds_are_lifted_by_four():
    # Shop problem DL07: 200 lb over 51 lb (NIOSH's load constant) is 3.9: four people. 200 lb = 90.718 kg.
    (h,) = handling(block("[1000, 500, 181.436]", 1000).dry)
    assert h.module.mass == pytest.approx(90.718)
    assert h.people == 4
    (light,) = handling(block("[1000, 230, 100]", 1000).dry)
    assert light.module.mass == pytest.approx(23.0)
    assert light.people == 1


def test_what_stands_below_is_not_drawn_from_under_what_rests_on_it():
    parts = [
        board("left", "[300, 300, 100]", "[0, 0, 0]", "across", "top"),
        board("right", "[300, 300, 100]", "[700, 0, 0]", "across", "top"),
        board("slab", "[1000, 300, 100]", "[0, 0, 100]", "across", "top"),
    ]
    more = "modules: {one: [left], two: [right], over: [slab]}"
    sheet = {h.module.module.name: h for h in handling(of(parts, more=more).dry)}
    assert (sheet["over"].loaded, sheet["over"].set) == (1, 3)


def test_the_least_opening_is_the_two_smaller_sizes():
    (h,) = handling(block("[1067, 762, 705]", 500).dry)
    assert h.least == pytest.approx((705, 762))


def test_a_passage_is_told_by_what_it_spares():
    (row,) = csv_rows(handling(block("[1067, 762, 705]", 500, "passages: {door: {width: 730, height: 2000}}").dry))
    assert row[-1] == "door 25.0 mm to spare"  # 730 - 705


def test_what_is_set_first_is_loaded_last():
    sheet = handling(named("library-counter").dry)
    assert [h.loaded for h in sheet] == list(range(1, 10))
    assert [h.set for h in sheet] == list(range(9, 0, -1))
    assert sheet[0].module.module.name == "trough"  # it stands on the worktop
    masses = sum(h.module.mass for h in sheet)
    bench = named("library-counter")
    model = [
        float(s.mesh.volume()) * 1e-9 * p.stock.density
        for s, p in zip(bench.dry.scene.solids, bench.piece.parts, strict=True)
        if p.stock
    ]
    assert masses == pytest.approx(sum(model))


# Hardware ----------------------------------------------------------------------------------------


def test_each_drawer_has_two_runners():
    (ware,) = [w for w in hardware_list(named("library-counter").piece, MM) if w.what.startswith("runner")]
    drawers = len(named("library-counter").piece.bodies)
    assert ware.count == 2 * drawers == 12
    assert ware.rule.startswith("box = clear width - 2 x 12.7 mm")


POST = [
    board("post", "[700, 60, 60]", "[0, 0, 0]", "up", "left"),
    board("rail", "[500, 160]", "[60, 20, 500]", "across", "front"),
]


def test_bolts_and_what_belongs_to_them_are_counted_by_their_holes():
    more = "hardware: {long: {bolt: M6x100, washer: {}, cross_dowel: {diameter: 10, length: 16}}}"
    joint = "{bolt: [post, rail], with: long, count: 2, inset: 40, nut_from: front}"
    wares = {w.what: w for w in hardware_list(of(POST, [joint], more=more).piece, MM)}
    assert {name: w.count for name, w in wares.items()} == {"bolt": 2, "washer": 2, "cross dowel": 2}
    assert wares["bolt"].rule == "hole 6.6 mm in the part under its head"  # ISO 273, medium
    assert wares["washer"].size == "12 mm across, 1.6 mm thick"  # ISO 7089


def test_dowels_are_as_long_as_both_holes_less_two():
    (ware,) = hardware_list(of(POST, ["{dowel: [post, rail], diameter: 8, depth: [20, 30], count: 3}"]).piece, MM)
    assert (ware.what, ware.size, ware.count) == ("dowel", "8 mm x 48 mm", 3)


def test_a_piece_without_hardware_has_an_empty_list():
    assert hardware_list(named("seed-tray").piece, MM) == ()


def test_specs_here_are_the_ones_that_stand():
    assert (SPECS / "library-counter.yaml").exists()
