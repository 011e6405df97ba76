"""Saw, routing and drilling cards: settings against printed tables and plain geometry, counts against the model."""

from __future__ import annotations

import csv
import math
from pathlib import Path

import pytest
from joinery import SOUND, board
from shopwork import cards, named, of, of_text, report_of

from solids.model.geometry import Bore
from solids.shop.alike import Bench
from solids.shop.saw import arrises
from solids.shop.set_up import SetUp

MITER = Path(__file__).parent.parent / "reference" / "miter.csv"
PRINTED = 0.0101  # the tables have two decimals


def rows_of_a_saw_table() -> list[tuple[int, float, float, float]]:
    """Sides, slope from plumb, gauge and tilt off square, as printed; boxes that lean out by up to 60 degrees."""
    with MITER.open(encoding="utf-8", newline="") as file:
        rows = [r for r in csv.DictReader(file) if r["miter_gauge_deg"] and "off by" not in r["note"]]
    found = [
        (int(r["sides"]), 90 - float(r["slope_from_flat_deg"]), float(r["miter_gauge_deg"]), float(r["blade_tilt_deg"]))
        for r in rows
    ]
    return [f for f in found if 0 < f[1] <= 60][::3]


@pytest.mark.parametrize(("sides", "lean", "gauge", "tilt"), rows_of_a_saw_table())
def test_the_card_of_a_splayed_ring_is_what_saw_manuals_print(sides: int, lean: float, gauge: float, tilt: float):
    # The compound settings of saw manuals, in tests/reference/miter.csv with their sources.
    text = (
        "title: t\nunits: mm\nstock: {wood: {wood: sugar maple, thickness: 12}}\nassemblies:\n"
        f"  - {{ring: r, sides: {sides}, across: {{bottom: 900}}, height: 60, lean: {{out: {lean}}}, stock: wood}}\n"
    )
    ends = [s for s in cards(of_text(text)) if s.title.startswith("Crosscut")]
    assert len(ends) == 1  # all ends of all walls by one set-up
    _, _, found_tilt, found_gauge = ends[0].order
    assert found_tilt == pytest.approx(tilt, abs=PRINTED)
    assert found_gauge == pytest.approx(gauge, abs=PRINTED)
    assert sum(line.count for line in ends[0].lines) == 2 * sides


@pytest.mark.parametrize("spec", SOUND, ids=lambda s: s.stem)
def test_every_cut_of_every_part_is_on_a_card_once(spec):
    bench = Bench(report_of(spec).dry)
    on_cards = sorted((line.mark, line.cut) for s in cards(bench) for line in s.lines)
    # By the model: the cuts of one part of each hand; a plane along the grain on a broad face is planed.
    model = sorted(
        (kind.mark, made.name)
        for kind in bench.kinds
        for first in (kind.drawn[:1], kind.mirrored[:1])
        for part in map(bench.piece.part, first)
        for made in part.cuts
        if getattr(made.cut, "side", None) not in part.blank.broad or made.cut.kind not in ("trim", "bevel")
    )
    assert on_cards == model


@pytest.mark.parametrize("spec", SOUND, ids=lambda s: s.stem)
def test_as_many_holes_are_drilled_as_there_are_in_the_wood(spec):
    bench = Bench(report_of(spec).dry)
    drilled = sum(line.count for s in cards(bench) if s.machine == "drill" for line in s.lines)
    bores = [
        t.waste
        for s in bench.dry.scene.solids
        for t in s.shape.tools
        if isinstance(t.waste, Bore) and t.waste.name == "wall"
    ]
    round_openings = sum(
        made.cut.kind == "cutout" and made.cut.diameter is not None for p in bench.piece.parts for made in p.cuts
    )  # type: ignore[attr-defined]
    assert drilled == len(bores) - round_openings


def one(cut: str, size: str = "[600, 100]", more: str = "") -> SetUp:
    found = cards(of([board("a", size, "[0, 0, 0]", "across", "top", f"cuts: [{cut}]")], more=more))
    assert len(found) == 1
    return found[0]


def test_an_angle_is_told_off_square_and_as_the_other_scale_shows_it():
    # Shop problem MB08: to make a cut 10 degrees off square a scale on which square is 90 is set to 80; 35 is 55.
    assert "10° off square (80° where square reads 90)" in " ".join(
        one("{miter: right, angle: 10, long: front}").settings
    )
    assert "35° off square (55° where square reads 90)" in " ".join(one("{bevel: right, tilt: 35, long: top}").settings)


def test_long_and_short_points_of_a_beveled_shelf():
    # Shop problem MB23: 3/4 in stock beveled 3 degrees at both ends: the faces differ by 2 x 0.75 x tan 3 = 0.079 in.
    cuts = "{bevel: left, tilt: 3, long: bottom}, {bevel: right, tilt: 3, long: bottom}"
    card = one(cuts, "[340, 200, 19.05]")
    blank = of([board("a", "[340, 200, 19.05]", "[0, 0, 0]", "across", "top", f"cuts: [{cuts}]")]).piece.parts[0]
    lost = [
        (found := arrises(blank.blank, m.cut.side, m.cut.plane(blank.blank)))[0].length - found[-1].length  # type: ignore[attr-defined]
        for m in blank.cuts
    ]
    assert sum(lost) / 25.4 == pytest.approx(0.079, abs=5e-4)
    assert [line.cells[3:] for line in card.lines] == [("340 mm", "339 mm")] * 2


def test_the_long_face_lies_up_and_the_long_edge_against_the_gauge():
    line = one("{compound: right, angle: 30, tilt: 10, long: [front, bottom]}").lines[0]
    assert line.cells[:3] == ("right", "bottom up, top down", "front to the gauge")


def test_past_45_the_part_stands_on_end_at_the_complement():
    card = next(s for s in cards(named("leaning-cabinet")) if s.title == "Crosscut 52.5°, on end: blade 37.5°")
    told = " ".join(card.settings)
    assert "blade tilted 37.5° off square (52.5° where square reads 90)" in told  # 90 - 52.5
    assert "blade tilted 52.5°" not in told  # what can't be set is not told as a setting
    assert "beyond the 45° of the saw" in told and "clamped to a carriage" in told
    assert "75°" in card.proof  # the corner of two offcuts, 180 - 2 x 52.5
    assert all(ln.cells[1].startswith("on its ") and ln.cells[2].endswith("to the tall fence") for ln in card.lines)
    assert "tall fence" not in " ".join(one("{bevel: right, tilt: 45, long: top}").settings)


def test_what_neither_flat_nor_on_end_can_be_tilted_to_lies_on_a_wedge():
    # A saw that tilts 30: a bevel of 45 leaves 45 on end as well, so a wedge of 15 and the blade at 30.
    card = one("{bevel: right, tilt: 45, long: top}", more="shop: {tilt: 30 deg}")
    assert card.title == "Crosscut 45°, on a wedge"
    assert "a sled of 15°" in " ".join(card.settings) and "blade tilted 30° off square" in " ".join(card.settings)


@pytest.mark.parametrize("side", ["left", "right"])
@pytest.mark.parametrize("face", ["top", "bottom"])
def test_on_end_the_long_face_is_the_one_that_keeps_the_length(side: str, face: str):
    # 600 long and 20 thick, 60 off square: the other face is 20 tan 60 = 34.64 shorter.
    line = one(f"{{bevel: {side}, tilt: 60, long: {face}}}").lines[0]
    assert line.cells == (side, f"on its {side}", f"{face} to the tall fence", "600 mm", "565.4 mm")


def test_the_mirrored_ones_are_measured_from_their_own_sides():
    # A rail with a dado 70 from its left end, and its twin across the room: 70 from its right end.
    rail = board("rail", "[600, 100]", "[0, 0, 0]", "across", "top", "cuts: [{dado: top, at: {left: 70}, width: 20, "
                 "depth: 6}, {hole: front, at: {right: 90}, diameter: 5, depth: 10}]")  # fmt: skip
    dado, hole = cards(of([rail, "twin: {mirror: rail, about: {x: 700}}"]))
    assert [(ln.part, ln.pieces, ln.cells[1], ln.cells[2]) for ln in dado.lines] == [
        ("rail", "1", "left to the fence", "70 mm from left"),
        ("twin", "1 mirrored", "right to the fence", "70 mm from right"),
    ]
    assert [ln.cells[1].split(",")[0] for ln in hole.lines] == ["90 mm from right", "90 mm from left"]
    assert [ln.count for ln in hole.lines] == [1, 1]


def test_a_test_cut_shows_the_error_twice():
    assert "90°" in one("{bevel: right, tilt: 45, long: top}").proof  # two at 45 make a square corner
    assert "120°" in one("{miter: right, angle: 30, long: front}").proof  # a hexagon's corner, 180 - 2 x 30


def test_two_compound_offcuts_make_the_angle_between_the_walls():
    # Four walls that lean 45 degrees: the angle between neighbours is 120, acos(-sin 45 x sin 45) from their normals.
    text = (
        "title: t\nunits: mm\nstock: {wood: {wood: sugar maple, thickness: 12}}\nassemblies:\n"
        "  - {ring: r, sides: 4, across: {bottom: 900}, height: 60, lean: {out: 45}, stock: wood}\n"
    )
    (card,) = [s for s in cards(of_text(text)) if s.title.startswith("Crosscut")]
    assert "make 120° inside" in card.proof


def test_a_counterbore_is_bored_before_its_hole():
    # Shop problem KD08: the largest first, the smaller bit then stands in its middle.
    card = one("{hole: top, at: {left: 50, front: 37}, diameter: 10, counterbore: {diameter: 25, depth: 8}}")
    assert card.settings[0] == "first the counterbore: 25 mm across, 8 mm deep"
    assert card.settings[1].startswith("bit 10 mm")


def test_large_bits_come_first_and_the_wood_left_is_told():
    cuts = "{hole: top, at: {left: 50}, diameter: 5, depth: 12}, {hole: top, at: {left: 90}, diameter: 35, depth: 13}"
    found = cards(of([board("a", "[600, 100]", "[0, 0, 0]", "across", "top", f"cuts: [{cuts}]")]))
    assert [s.title for s in found] == ["Hole 35 mm, 13 mm deep", "Hole 5 mm, 12 mm deep"]
    assert [s.lines[0].cells[-1] for s in found] == ["7 mm", "8 mm"]  # 20 - 13, 20 - 12


def test_the_nearest_bit_in_64ths_is_told_where_inches_are_used():
    def bit(diameter: str) -> str:
        text = f"""
title: t
units: in
stock: {{wood: {{wood: sugar maple, thickness: 3/4}}}}
parts:
  a: {{stock: wood, size: [20, 4], place: {{at: [0, 0, 0], length: across, face: top}},
      cuts: [{{hole: top, at: {{left: 2}}, diameter: {diameter}, depth: 1/2}}]}}
"""
        (card,) = cards(of_text(text))
        return card.settings[0]

    assert bit("0.0784") == "bit 0.0784 in, nearest is 5/64 in"  # 5/64 = 0.0781
    assert bit("1/8") == "bit 1/8 in"
    assert bit("5 mm") == "bit 0.1969 in, nearest is 13/64 in"  # 13/64 = 0.2031, 3/16 = 0.1875


def test_places_are_from_marked_sides_and_rows_by_their_pitch():
    row = "{hole: top, at: {left: 50, rear: 37}, diameter: 5, depth: 12, row: {count: 7, pitch: 32, toward: right}}"
    line = one(row).lines[0]
    assert line.cells[1] == "50 mm from left, 37 mm from rear; 7 in a row, 32 mm apart toward right"
    assert line.count == 7
    # A centred row of 7 at 32 begins (600 - 6 x 32) / 2 = 204 in; across, 100 wide, it is in the middle.
    centred = "{hole: top, diameter: 5, depth: 12, row: {count: 7, pitch: 32, toward: right}}"
    assert one(centred).lines[0].cells[1].startswith("204 mm from left, 50 mm from front (middle)")


def test_a_tenon_says_what_is_taken_off_each_side():
    line = one("{tenon: right, length: 40, width: 60, thickness: 10, at: {front: 30}}").lines[0]
    assert line.cells == ("right", "5 mm bottom, 5 mm top", "30 mm front, 10 mm rear")


@pytest.mark.parametrize(
    ("cut", "machine", "title"),
    [
        ("{dado: top, at: {left: 100}, width: 12, depth: 6}", "saw", "Trench 12 mm wide, 6 mm deep"),
        ("{groove: top, width: 6, depth: 8, stop: {left: 50}}", "router", "Stopped trench 6 mm wide, 8 mm deep"),
        ("{rabbet: rear, on: top, width: 10, depth: 6}", "saw", "Rabbet 10 mm wide, 6 mm deep"),
        ("{rabbet: rear, on: top, width: 9, depth: 6, stop: {left: 2}}", "router", "Stopped rabbet 9 mm wide"),
        ("{mortise: rear, at: {left: 100}, size: [60, 8], depth: 30}", "router", "Mortise 60 mm x 8 mm, 30 mm deep"),
        ("{taper: front, by: {right: 60}, stop: {left: 200}}", "saw", "Taper 60 mm over 400 mm"),
        ("{notch: {right: 50, front: 60}}", "saw", "Notches"),
        ("{cutout: top, at: {left: 100, front: 30}, size: [120, 40]}", "router", "Opening 120 mm x 40 mm, through"),
        ("{chamfer: front, on: top, size: 3}", "router", "Chamfer 3 mm"),
        ("{hole: top, diameter: 8, slot: {length: 9, toward: right}}", "router", "Slot 8 mm wide, 9 mm long, through"),
    ],
)  # fmt: skip
def test_each_cut_goes_to_its_machine(cut: str, machine: str, title: str):
    card = one(cut)
    assert card.machine == machine
    assert card.title.startswith(title)


def test_a_taper_s_sled_is_set_to_its_slope():
    # 60 over 400: atan(60 / 400) = 8.53 degrees.
    told = one("{taper: front, by: {right: 60}, stop: {left: 200}}").settings[0]
    assert f"{math.degrees(math.atan(60 / 400)):.2f}°" in told


def test_cuts_of_one_setting_share_a_card_and_the_cards_are_numbered():
    found = cards(named("seed-tray"))
    assert [s.number for s in found] == [f"S{k + 1}" for k in range(len(found))]
    groove = next(s for s in found if s.title.startswith("Trench"))
    assert sorted(line.part for line in groove.lines) == ["front", "left"]
    assert sum(line.count for line in groove.lines) == 4
    assert "bottom, 5.8 mm thick" in groove.proof


def test_joint_cuts_come_before_angled_ones():
    kinds = [s.title.split()[0].strip(",") for s in cards(named("library-counter")) if s.machine == "saw"]
    first_angle = min(k for k, word in enumerate(kinds) if word in ("Rip", "Crosscut"))
    assert {"Trench", "Rabbet", "Tenon", "Tongue"}.isdisjoint(kinds[first_angle:])
