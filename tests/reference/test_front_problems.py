"""Problems with fronts and reveals that people of the trade put in public, with the answer worked out again.

The source stands beside each. Numbers are in inches where the source has inches;
what the source leaves open and was assumed for the test is said.
"""

from __future__ import annotations

import pytest
from joinery import everything
from problems import INCH, checked, found, kinds

from solids.model.finding import Severity
from solids.spec.reader import from_text


def filled(opening: float, columns: int, reveal: str) -> str:
    """An opening so wide in a case of 3/4 sides, its doors inset."""
    return f"""
    title: Doors
    units: in
    stock: {{ply: {{sheet: birch plywood, thickness: 3/4}}}}
    assemblies:
      - {{case: body, outline: {{width: {opening} + 1 1/2, height: 30}}, depth: 20, stock: ply}}
      - {{fronts: doors, opening: body, stock: ply, columns: {columns}, reveal: {reveal}}}
    """


@pytest.mark.parametrize(
    ("opening", "columns", "reveal", "wide"),
    [
        # 15 - 2 x 3/32 and (24 - 3 x 3/32) / 2: https://woodweb.com/knowledge_base/Inset_Cabinet_Door_Clearance.html
        (15, 1, "3/32", 14.8125),
        (24, 2, "3/32", 11.859),
        # A 12 in cabinet with stiles of 1 1/2 leaves 9: 3/32, 5/64 and 1/16 all round.
        # http://www.woodweb.com/knowledge_base/Inset_Cabinet_Door_Fitting_and_Tolerances.html
        (9, 1, "3/32", 8.8125),
        (9, 1, "5/64", 8.84375),
        (9, 1, "1/16", 8.875),
    ],
)
def test_an_inset_door_is_its_opening_less_its_gaps(opening: float, columns: int, reveal: str, wide: float) -> None:
    text = filled(opening, columns, reveal)

    assert from_text(text).part("doors.faces.1").blank.length / INCH == pytest.approx(wide, abs=5e-4)
    assert checked(text).findings == ()


def test_a_door_made_to_its_opening_has_no_gap_left() -> None:
    # The same doors, 15 wide in an opening of 15: planned with 3/32 at each side, both are gone.
    text = filled(15, 1, "3/32") + "measured: {doors.faces.1: {length: 15}}\n"
    told = found(checked(text), "reveal")

    assert told.values["difference"] / INCH == pytest.approx(3 / 16, abs=1e-6)
    assert told.values["least"] / INCH == pytest.approx(-3 / 32, abs=1e-6)


def overlay(further_in: str) -> str:
    """A pair of doors over the whole edge of a case 24 wide, 1/16 between them, each sitting so much further in."""
    return f"""
    title: Pair
    units: in
    sizes: {{further: {further_in}, wide: (24 - 1/16) / 2}}
    stock: {{ply: {{sheet: birch plywood, thickness: 3/4}}}}
    hardware: {{cups: {{hinge: cup, diameter: 35 mm, depth: 12.5 mm, from_edge: 4 mm}}}}
    assemblies: [{{case: body, outline: {{width: 24, height: 30}}, depth: 20, stock: ply}}]
    parts:
      door: {{stock: ply, size: [30, wide], place: {{at: [further, 0 - 3/4, 0], length: up, face: front}}}}
      other: {{mirror: door, about: {{x: 12}}}}
    joints:
      - {{hinge: [door, body.left], along: left, with: cups, swing: 100}}
      - {{hinge: [other, body.right], along: right, with: cups, swing: 100}}
      - {{reveal: [door, other], gap: 1/16}}
    """


def test_cups_bored_an_eighth_too_near_the_edge_bring_a_pair_of_doors_over_each_other() -> None:
    # A jig leaves 1/8 of the case bare at each side: 2 x 1/8 - 1/16 = 3/16 of overlap in the middle.
    # http://keltis.us/blog/archives/2004/09/coming_unhinged.html (a case 24 wide assumed)
    report = checked(overlay("1/8"))
    (told,) = (f for f in report.findings if f.kind in ("reveal", "interference"))

    assert told.severity is Severity.STOP
    assert {"reveal", "interference"} & kinds(report)
    value = told.values["least"] if told.kind == "reveal" else -told.values["depth"]
    assert value / INCH == pytest.approx(-3 / 16, abs=1e-6)


def test_bored_an_eighth_further_in_the_pair_closes_with_its_sixteenth() -> None:
    assert checked(overlay("0")).findings == ()


def on_frame(off: str) -> str:
    """A door of 3/4 that lies on the stile of a face frame, on hinges that stand 3/16 between them."""
    return f"""
    title: Face frame
    units: in
    stock: {{oak: {{wood: white oak, thickness: 3/4}}}}
    hardware: {{wrap: {{hinge: butt, leaf: [2, 3/8], leaf_thickness: 1/16, knuckle: 3/8, closed: 3/16}}}}
    parts:
      stile: {{stock: oak, size: [30, 1 1/2], place: {{at: [0, 0, 0], length: up, face: front}}}}
      door: {{stock: oak, size: [29, 14], place: {{at: [1 1/8, 0 - 3/4 - {off}, 1/2], length: up, face: front}}}}
    joints: [{{hinge: [door, stile], along: left, with: wrap, let_in: 0, swing: 95}}]
    """


def test_a_hinge_between_door_and_frame_brings_the_door_fifteen_sixteenths_forward() -> None:
    # The door's front is 3/4 + 3/16 = 15/16 proud of the frame; drawn flat on it, it lacks 3/16 and its rear hits the
    # frame past 90 degrees.
    # https://blog.dlawlesshardware.com/2012/10/the-gap-between-cabinet-door-face-frame.html
    flat = checked(on_frame("0"))
    assert kinds(flat) == {"clearance", "swing"}
    (told,) = [f for f in everything(flat.findings) if f.kind == "clearance"]
    assert told.values["difference"] / INCH == pytest.approx(0.1875, abs=1e-6)

    proud = checked(on_frame("3/16"))
    assert proud.findings == ()
    front = proud.piece.part("door")
    assert (proud.piece.part("stile").frame.origin.y - front.frame.origin.y) / INCH == pytest.approx(0.9375, abs=1e-9)


def lid(let_in: str, off: str) -> str:
    """A lid of 3/4 on a chest's back of 3/4, on hinges with a stack of 3/8 over both leaves."""
    return f"""
    title: Chest
    units: in
    stock: {{oak: {{wood: white oak, thickness: 3/4}}}}
    hardware: {{torsion: {{hinge: butt, leaf: [3, 5/8], leaf_thickness: 3/16, knuckle: 3/8}}}}
    parts:
      back: {{stock: oak, size: [36, 16], place: {{at: [0, 18, 0], length: across, face: rear}}}}
      lid: {{stock: oak, size: [36, 18 3/4], place: {{at: [0, 0, 16 + {off}], length: across, face: top}}}}
    joints: [{{hinge: [lid, back], along: rear, with: torsion, inset: 6, let_in: {let_in}, swing: 80}}]
    """


def test_lid_hinges_with_no_mortise_leave_the_lid_as_high_as_their_stack() -> None:
    # Hinges mounted without a mortise left a gap of 1/4 to 3/8 under the lid: 3/8 of stack, none of it let in.
    # http://www.finewoodworking.com/2009/11/01/lid-stay-torsion-hinges-review
    told = found(checked(lid("0", "0")), "clearance")
    assert told.values["need"] / INCH == pytest.approx(3 / 8, abs=1e-9)
    assert checked(lid("0", "3/8")).findings == ()


def test_lid_hinges_let_in_by_half_of_their_stack_let_the_lid_down() -> None:
    assert checked(lid("3/16", "0")).findings == ()
    # The mortises leave 3/4 - 3/16 = 9/16 of the lid.
    assert "thin-wood" not in kinds(checked(lid("3/16", "0")))


def racked(out: float) -> str:
    """A case 24 wide whose plan is out of square by so much over its width: the front lies on it as it is."""
    return f"""
    title: Base
    units: in
    numbers: {{slope: {out} / 24}}
    stock: {{ply: {{sheet: birch plywood, thickness: 3/4}}}}
    parts:
      left: {{stock: ply, size: [30, 23], place: {{at: [0, 0, 0], length: up, face: left}}}}
      right: {{stock: ply, size: [30, 23], place: {{at: [24 + 3/4, 0, 0], length: up, face: right}}}}
      front: {{stock: ply, size: [23 15/16, 8],
        place: {{at: [25/32, 0, 10], length: across, face: front, turn: {{by: 0 - asin(slope), about: [25/32, 0]}}}}}}
    joints:
      - {{reveal: [front, left], gap: 1/32}}
      - {{reveal: [front, right], gap: 1/32}}
    """


def test_a_case_an_eighth_out_of_square_in_plan_brings_its_front_out_by_as_much() -> None:
    # 1/8 over 24 is 0.30 degrees: the right edge of a front of 24 stands 1/8 proud (amount assumed).
    # https://bloodsweatsawdust.com/2014/03/29/mistakes/
    told = found(checked(racked(0.125)), "reveal")
    assert told.values["difference"] / INCH == pytest.approx(0.125, abs=0.001)
    assert told.values["degrees"] == pytest.approx(0.30, abs=0.005)
    assert checked(racked(0)).findings == ()
