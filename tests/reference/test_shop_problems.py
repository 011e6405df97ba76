"""Problems that people of the trade put in public, with the answer worked out again: what dryfit says of each.

The source stands beside each. Numbers are in inches where the source has inches;
what the source leaves open and was assumed for the test is said.
"""

from __future__ import annotations

import math

import pytest
from problems import checked

from solids.cuts.saw import Compound, Miter, sawn
from solids.fit.check import Report, check
from solids.model.geometry import Vector, rotation
from solids.model.part import Part
from solids.model.piece import Piece
from solids.spec.reader import from_text

INCH = 25.4


def found(report: Report, kind: str) -> dict[str, float]:
    (one,) = [f for f in report.findings if f.kind == kind]
    return one.values


def ring(sides: int, tilt: float, across: float = 12.0) -> Piece:
    """An upright ring of 3/4 in stock, each end beveled by hand to one tilt, every board in its right place."""
    long = across * math.tan(math.pi / sides)
    return from_text(
        f"""
        title: Ring
        units: in
        stock: {{oak: {{wood: white oak, thickness: 3/4}}}}
        parts:
          wall:
            stock: oak
            size: [{long:.12f}, 4]
            place: {{at: [{-long / 2:.12f}, {-across / 2:.12f}, 0], length: across, face: front}}
            cuts: [{{bevel: left, tilt: {tilt}, long: front}}, {{bevel: right, tilt: {tilt}, long: front}}]
            copies: {{count: {sides}, turn: {360 / sides:.12f}, about: [0, 0]}}
        """
    )


@pytest.mark.parametrize(
    ("sides", "tilt", "degrees", "opening"),
    [
        # A box whose blade is out by 1/4 degree on every cut (3/4 in stock assumed): 8 x 0.25 = 2 degrees, and
        # 3/4 x sqrt 2 x tan 2 = 0.037 in. https://www.woodmagazine.com/woodworking-how-to/joinery/miters/how-to-close-a-miter-gap
        (4, 44.75, 2.0, 0.037),
        (4, 45.25, 2.0, 0.037),
        # A hexagon cut at a mark that is really 30.8: 12 x 0.8 = 9.6 degrees, 3/4 / cos 30 x tan 9.6 = 0.146 in.
        # https://winenfood.com/avoiding-common-hexagon-degree-cut-mistakes
        (6, 30.8, 9.6, 0.146),
    ],
)
def test_small_errors_add_up_round_a_ring(sides: int, tilt: float, degrees: float, opening: float) -> None:
    values = found(check(ring(sides, tilt)), "ring-open")

    assert values["degrees"] == pytest.approx(degrees, abs=0.01)
    assert values["opening"] / INCH == pytest.approx(opening, abs=0.0005)


@pytest.mark.parametrize("sides", [3, 4, 5, 6, 8, 12])
def test_a_ring_at_its_own_angle_closes(sides: int) -> None:
    assert check(ring(sides, 180 / sides)).findings == ()


@pytest.mark.parametrize(
    ("wide", "narrow", "on_wide", "on_narrow"),
    [
        # Faces 4 and 3 1/2 in wide at a corner: 41.19 and 48.81 off square.
        # https://www.homeownershub.com/woodworking/miter-angles-for-two-different-board-widths-methods-in-a-101440-.htm
        (4, 3.5, 41.19, 48.81),
        # A picture frame of mixed moldings: https://www.beehappygraphics.com/blog/2019/using-multiple-moulding-widths-in-one-frame
        (2, 1.25, 32.01, 57.99),
        (3, 2, 33.69, 56.31),
        (3, 1.25, 22.62, 67.38),
    ],
)
def test_unlike_widths_in_a_flat_frame_take_unlike_miters(
    wide: float, narrow: float, on_wide: float, on_narrow: float
) -> None:
    piece = from_text(
        f"""
        title: Corner
        units: in
        stock: {{oak: {{wood: white oak, thickness: 3/4}}}}
        parts:
          rail: {{stock: oak, size: [20, {wide}], place: {{at: [0, 0, 0], length: across, face: front}}}}
          stile: {{stock: oak, size: [20, {narrow}], place: {{at: [0, 0, 0], length: up, face: front}}}}
        joints: [{{miter: [rail, stile]}}]
        """
    )
    (rail,), (stile,) = (piece.part(p).cuts for p in ("rail", "stile"))

    assert isinstance(rail.cut, Miter)
    assert isinstance(stile.cut, Miter)
    assert rail.cut.angle == pytest.approx(on_wide, abs=0.005)
    assert stile.cut.angle == pytest.approx(on_narrow, abs=0.005)


def test_a_box_whose_sides_slope_unlike_takes_unlike_end_cuts_and_one_blade() -> None:
    # Front leaning in by 10, side by 20: end cuts 19.72 and 9.41, blade 43.30 for a miter of equal stock.
    # http://www.woodweb.com/knowledge_base/Bevel_Cuts_for_SlopeSided_Boxes.html (the angles there are letters)
    piece = from_text(
        """
        title: Sloping corner
        units: in
        stock: {oak: {wood: white oak, thickness: 3/4}}
        parts:
          front: {stock: oak, size: [20, 10], place: {at: [0, 0, 0], length: across, face: front, lean: {rear: 10}}}
          side: {stock: oak, size: [20, 10], place: {at: [0, 0, 0], length: deep, face: left, lean: {right: 20}}}
        joints: [{miter: [front, side]}]
        """
    )
    (front,), (side,) = (piece.part(p).cuts for p in ("front", "side"))

    assert isinstance(front.cut, Compound)
    assert isinstance(side.cut, Compound)
    assert front.cut.angle == pytest.approx(19.72, abs=0.005)
    assert side.cut.angle == pytest.approx(9.41, abs=0.005)
    assert front.cut.tilt == pytest.approx(43.30, abs=0.005)
    assert side.cut.tilt == pytest.approx(43.30, abs=0.005)


def test_a_leg_that_splays_four_degrees_both_ways_leans_by_5_65_and_is_28_137_long() -> None:
    # https://forums.woodnet.net/showthread.php?pid=7234415&tid=7234384 : the maker cut 5.5; atan(sqrt 2 x tan 4) = 5.65
    piece = from_text(
        """
        title: Leg
        units: in
        stock: {oak: {wood: white oak, thickness: 1 1/2}}
        parts:
          leg:
            stock: oak
            size: [30, 1 1/2]
            place: {at: [0, 0, 0], length: up, face: front, lean: {right: 4, rear: 4}}
        """
    )
    up = piece.part("leg").frame.z

    assert math.degrees(math.acos(up.z)) == pytest.approx(5.65, abs=0.005)
    assert 28 / up.z == pytest.approx(28.137, abs=0.0005)


def test_a_lectern_leg_is_cut_at_10_and_25_on_its_front_or_25_34_and_9_05_on_its_side() -> None:
    # Legs splay 10 to the sides, the top slopes 25 to the front.
    # http://www.woodweb.com/knowledge_base/Figuring_Complex_Leg_Angles_for_Furniture.html (front view)
    up = rotation(Vector(0, 1, 0), 10).direction(Vector(0, 0, 1))
    slope = Vector(0, -math.sin(math.radians(25)), math.cos(math.radians(25)))
    assert up.x == pytest.approx(math.sin(math.radians(10)))
    for face, gauge, blade in (("front", 10.00, 25.00), ("left", 25.34, 9.05)):
        normal = ", ".join(f"{c:.12f}" for c in slope)
        text = f"""
        title: Leg
        units: in
        stock: {{oak: {{wood: white oak, thickness: 1 1/2}}}}
        parts:
          leg:
            stock: oak
            size: [40, 1 1/2]
            place: {{at: [0, 0, 0], length: up, face: {face}, lean: {{right: 10}}}}
            cuts: [{{trim: top, to: {{through: [0, 0, 36], square_to: [{normal}]}}}}]
        """
        leg: Part = from_text(text).part("leg")
        (made,) = leg.cuts
        cut = sawn(leg.blank, made.cut.side, made.cut.plane(leg.blank))  # type: ignore[attr-defined]

        assert isinstance(cut, Compound)
        # Lying on its front face the true gauge is atan(tan 10 / cos 0), the blade asin(sin 25 x cos 0) in that face's
        # own view; a compound cut's numbers are of the plane, whichever face lies down.
        assert cut.angle == pytest.approx(gauge, abs=0.3 if face == "front" else 0.01)
        assert cut.tilt == pytest.approx(blade, abs=0.3 if face == "front" else 0.01)


def dado(width: float, thick: float, depth: float = 0.25) -> Piece:
    return from_text(
        f"""
        title: Dado
        units: in
        stock: {{ply: {{sheet: birch plywood, thickness: {thick}, nominal: 3/4}}}}
        parts:
          side:
            stock: ply
            size: [20, 10, 3/4]
            place: {{at: [0, 0, 0], length: up, face: left}}
            cuts: [{{dado: right, at: {{bottom: 8}}, width: {width}, depth: {depth}}}]
          shelf:
            stock: ply
            size: [20, 10]
            place: {{at: [3/4 - {depth}, 0, 8], length: across, face: top}}
        """
    )


@pytest.mark.parametrize(("thick", "slack"), [(0.719, 0.031), (0.703, 0.047)])
def test_a_three_quarter_bit_is_loose_on_plywood_that_is_a_32nd_thin(thick: float, slack: float) -> None:
    # http://www.rockler.com/how-to/getting-dadoes-and-plywood-thickness-to-match/
    report = check(dado(0.75, thick))

    assert found(report, "loose")["difference"] / INCH == pytest.approx(slack, abs=0.0005)
    assert "ply measures" in report.findings[0].message or "ply measures" in report.findings[0].cause


def divider(depth: str) -> Piece:
    return from_text(
        f"""
        title: Divider
        units: in
        stock: {{ply: {{sheet: birch plywood, thickness: 23/32, nominal: 3/4}}}}
        parts:
          divider:
            stock: ply
            size: [30, 12]
            place: {{at: [0, 0, 0], length: up, face: left}}
            cuts:
              - {{dado: left, at: {{bottom: 12}}, width: 23/32, depth: {depth}}}
              - {{dado: right, at: {{bottom: 12}}, width: 23/32, depth: {depth}}}
        """
    )


def test_opposite_dados_at_half_the_thickness_cut_a_divider_in_two() -> None:
    # 23/32 - 2 x 3/8 = -1/32 in: the cutters meet. https://lumberjocks.com (plywood carcass construction dado depth)
    kinds = {f.kind for f in check(divider("3/8")).findings}

    assert "in-two" in kinds


@pytest.mark.parametrize("depth", ["1/4", "3/16"])
def test_opposite_dados_that_leave_enough_between_them_are_sound(depth: str) -> None:
    # 0.219 and 0.344 in are left: the same thread.
    assert check(divider(depth)).fits


def test_a_half_inch_back_in_a_quarter_inch_rabbet_stands_a_quarter_inch_proud() -> None:
    # Trade knowledge, no source (common practice).
    piece = from_text(
        """
        title: Back
        units: in
        stock: {oak: {wood: white oak, thickness: 3/4}, ply: {sheet: birch plywood, thickness: 1/2}}
        parts:
          side:
            stock: oak
            size: [30, 12]
            place: {at: [0, 0, 0], length: up, face: left}
            cuts: [{rabbet: rear, on: right, width: 1/4, depth: 3/8}]
          back: {stock: ply, size: [30, 20], place: {at: [3/8, 12 - 1/4, 0], length: up, face: front}}
        """
    )

    assert found(check(piece), "proud")["step"] / INCH == pytest.approx(0.25, abs=1e-6)


def beveled_back(off: str) -> str:
    """A back beveled at 45 against a side beveled alike, set so much aside and so much back."""
    return f"""
    title: Base
    units: in
    stock: {{ply: {{sheet: birch plywood, thickness: 3/4}}}}
    parts:
      side: {{stock: ply, size: [30, 24], place: {{at: [0, 0, 0], length: up, face: left}},
        cuts: [{{bevel: rear, tilt: 45, long: left}}]}}
      back: {{stock: ply, size: [30, 20], place: {{at: [{off}, 23 1/4 + {off}, 0], length: up, face: rear}},
        cuts: [{{bevel: left, tilt: 45, long: rear}}]}}
    joints: [{{touch: [back, side]}}]
    """


def test_a_beveled_back_a_sixteenth_off_both_ways_opens_by_a_sixteenth_times_root_two() -> None:
    # A floor template showed one side 1/16 different: the face of the bevel moves 1/16 sideways and 1/16 in depth.
    # http://tonyswoodshop.blogspot.com/2007/11/yes-were-nearly-there.html
    (told,) = checked(beveled_back("1/16")).findings
    assert told.kind == "open-joint"
    assert told.values["greatest"] / INCH == pytest.approx(0.088, abs=0.0005)
    assert checked(beveled_back("0")).findings == ()


def rabbeted_miters(depth: str) -> str:
    """A mitered case with rabbets of 3/8 for a back of 1/4 all round, one of them of another depth."""
    return f"""
    title: Case
    units: in
    stock: {{ply: {{sheet: birch plywood, thickness: 3/4}}, thin: {{sheet: birch plywood, thickness: 1/4}}}}
    parts:
      left: {{stock: ply, size: [20, 10], place: {{at: [0, 0, 0], length: up, face: left}},
        cuts: [{{rabbet: rear, on: right, width: 1/4, depth: 3/8}}]}}
      right: {{stock: ply, size: [20, 10], place: {{at: [15 1/4, 0, 0], length: up, face: right}},
        cuts: [{{rabbet: rear, on: left, width: 1/4, depth: 3/8}}]}}
      bottom: {{stock: ply, size: [16, 10], place: {{at: [0, 0, 0], length: across, face: bottom}},
        cuts: [{{rabbet: rear, on: top, width: 1/4, depth: {depth}}}]}}
      top: {{stock: ply, size: [16, 10], place: {{at: [0, 0, 19 1/4], length: across, face: top}},
        cuts: [{{rabbet: rear, on: bottom, width: 1/4, depth: 3/8}}]}}
      back: {{stock: thin, size: [19 1/4, 15 1/4], place: {{at: [3/8, 9 3/4, 3/8], length: up, face: front}}}}
    joints:
      - {{miter: [left, bottom]}}
      - {{miter: [left, top]}}
      - {{miter: [right, bottom]}}
      - {{miter: [right, top]}}
    """


def test_of_four_rabbets_that_meet_at_miters_one_a_sixteenth_shallower_keeps_the_back_out() -> None:
    # Full length on all four they meet and nothing shows; one 1/16 shallower and the back rests on that side.
    # Trade knowledge, no source (3/8 deep, so that the back of 1/4 has its ledge).
    assert checked(rabbeted_miters("3/8")).findings == ()
    (told,) = checked(rabbeted_miters("5/16")).findings
    assert told.kind == "interference"
    assert told.values["depth"] / INCH == pytest.approx(0.0625, abs=1e-6)
    (edit,) = told.remedy
    assert (edit.target, edit.after / INCH) == ("bottom.rabbet_rear.depth", pytest.approx(0.375))
